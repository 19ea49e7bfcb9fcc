"""Papers filed on their form, their lines answered on theirs."""

from __future__ import annotations

import re

from dipmark.derive.papers import LineNow, unanswered
from dipmark.faces.web.site import Site
from dipmark.facts.document import Document
from dipmark.office.look import truck
from faces.web.running import Client, form, sign_in_as, text_of
from office.test_pictures import picture


def left(site: Site) -> tuple[LineNow, ...]:
    found = truck(site.office, "7", site.office.clock())
    return unanswered(found.counting, found.faults)


def test_a_paper_is_filed_and_its_lines_answered(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    client.post("/truck/7/fault", data=form(token, text="line weeps", seriousness="watch"))
    (fault,) = truck(site.office, "7", site.office.clock()).faults
    assert "Services it proves" in text_of(client.get("/truck/7/paper").text)
    sent = form(
        token,
        what="job-sheet",
        title="Job sheet",
        number="TL-1",
        issuer="Tollgate Lift Repairs",
        examined="2026-11-18",
        until="2027-11-18",
        services="150h",
        faults=fault.ref,
        lines="Belt frayed\n\nTyres near the line\n",
        first="S-1",
        hours="12",
    )
    assert client.post("/truck/7/paper", data=sent).headers["location"] == "/truck/7?noted=paper"
    page = client.get("/truck/7").text
    assert "Papers: not answered yet" in text_of(page)
    link = re.search(r'href="/truck/7/(answer[^"]+)"', page)
    assert link is not None
    assert "Belt frayed" in text_of(client.get(f"/truck/7/{link[1]}").text)
    one, other = left(site)
    for line, text in ((one, "renewed"), (other, "measured, above it")):
        sent = form(token, line=f"{line.one.id}|{line.number}", text=text)
        assert client.post("/truck/7/answer", data=sent).headers["location"] == "/truck/7?noted=answer"
    assert left(site) == ()
    assert "not answered yet" not in text_of(client.get("/truck/7").text)


def test_what_cannot_be_comes_back_with_all_that_was_typed(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    again = client.post("/truck/7/paper", data=form(token, what="warranty", title=" ", number="W-9"))
    assert again.status_code == 422
    assert 'value="W-9"' in again.text
    assert client.post("/truck/7/answer", data=form(token, line="x|y", text="done")).status_code == 422


def test_a_bulletin_waits_on_the_page_of_a_truck_until_it_is_answered(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    sent = form(token, what="bulletin", title="Pin", number="B 1", first="S-1", last="S-9")
    assert client.post("/truck/7/paper", data=sent).status_code == 303
    page = client.get("/truck/12").text
    assert "cannot be told by its serial number" in text_of(page)
    link = re.search(r'href="/truck/12/(answer[^"]+)"', page)
    assert link is not None
    assert '<option value="|B 1" selected>' in client.get(f"/truck/12/{link[1]}").text
    assert client.post("/truck/12/answer", data=form(token, line="|B 1", text="none on it")).status_code == 303
    assert "Bulletins and recalls" not in text_of(client.get("/truck/12").text)


def test_a_bill_is_filed_with_what_it_bills_and_its_pages_are_seen_in_the_logbook(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    assert 'enctype="multipart/form-data"' in client.get("/truck/7/paper").text
    sent = form(token, what="job-sheet", title="Bill", parts="hose clamp=2\n\nlamp", minutes="75", cost="164.00 GBP")
    files = [("pictures", ("page.png", picture(), "image/png")), ("pictures", ("", b"", "application/octet-stream"))]
    assert client.post("/truck/7/paper", data=sent, files=files).status_code == 303
    papers = [one.body for one in truck(site.office, "7", site.office.clock()).counting]
    (paper,) = (one for one in papers if isinstance(one, Document))
    assert ([part.part for part in paper.parts], paper.minutes, len(paper.pages)) == (["hose clamp", "lamp"], 75, 1)
    assert f"/truck/7/picture/{paper.pages[0]}" in client.get("/truck/7/log").text
    seen = client.get(f"/truck/7/picture/{paper.pages[0]}")
    assert (seen.status_code, seen.headers["content-type"]) == (200, "image/jpeg")


def test_what_a_bill_cannot_be_stands_beside_its_field(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    for name, value in (("minutes", "lots"), ("minutes", "7.5"), ("cost", "many"), ("parts", "lamp=none")):
        again = client.post("/truck/7/paper", data=form(token, what="job-sheet", title="Bill", **{name: value}))
        assert again.status_code == 422
        assert f'id="{name}-wrong"' in again.text
    files = {"pictures": ("page.png", b"<svg onload=alert(1)>", "image/png")}
    again = client.post("/truck/7/paper", data=form(token, what="job-sheet", title="Bill"), files=files)
    assert again.status_code == 422
    assert 'id="pictures-wrong"' in again.text

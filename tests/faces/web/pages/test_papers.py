"""The papers of the whole yard on their page, and what to ask about a truck's bills on its own."""

from __future__ import annotations

import re
from urllib.parse import unquote

from dipmark.faces.web.site import Site
from dipmark.office.papers import papers_of
from faces.web.running import Client, form, sign_in_as, text_of


def test_every_truck_answers_a_bulletin_and_lines_stand_by_truck(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    for path in ("/", "/due"):
        assert '<a href="/papers">' in client.get(path).text
    empty = text_of(client.get("/papers").text)
    assert "Every line is answered." in empty
    assert "The record asks nothing about them." in empty
    sent = form(token, what="bulletin", title="Pin", number="B 1", first="S-1", last="S-9", lines="Measure it")
    client.post("/truck/7/paper", data=sent)
    page = client.get("/papers")
    assert "Measure it" in text_of(page.text)
    assert 'href="/truck/7/answer?line=' in page.text
    # No serial number is noted of any: each is asked about, none is left out.
    for name in ("7", "12", "20"):
        assert f'<a href="/truck/{name}/answer?line=%7CB%201">{name}</a>' in page.text
    client.post("/truck/12/answer", data=form(token, line="|B 1", text="none on it"))
    assert '<dt>answered</dt><dd><a href="/truck/12">12</a></dd>' in client.get("/papers").text


def test_a_bill_is_asked_about_on_both_pages(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    sent = form(token, what="job-sheet", title="Bill", number="TL-1", issuer="Tarn", services="150h")
    client.post("/truck/7/paper", data=sent)
    for path in ("/papers", "/truck/7"):
        assert "Bill TL-1, Tarn: 150h billed, and nothing noted from" in text_of(client.get(path).text)
    assert "To ask about bills" not in text_of(client.get("/truck/12").text)
    link = re.search(r'href="/truck/7/(answer[^"]+)"', client.get("/papers").text)
    assert link is not None
    assert re.search(r'<option value="bill\|[^"]+" selected>Bill TL-1, Tarn<', client.get(f"/truck/7/{link[1]}").text)
    line = unquote(link[1]).partition("line=")[2]
    assert client.post("/truck/7/answer", data=form(token, line=line, text=" ")).status_code == 422
    assert client.post("/truck/7/answer", data=form(token, line=line, text="done on the 19th")).status_code == 303
    for path in ("/papers", "/truck/7"):
        assert "150h billed" not in text_of(client.get(path).text)
    assert client.post("/truck/7/answer", data=form(token, line=line, text="again")).status_code == 422


def test_the_firm_that_is_asked_does_not_answer_for_the_yard(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    client.post("/truck/7/paper", data=form(token, what="job-sheet", title="Bill", services="150h"))
    (row,) = papers_of(site.office, site.office.clock()).questions
    for path in ("/papers", "/truck/7"):
        page = client.get(path).text
        assert "150h billed" in text_of(page)
        assert "answer?line=bill" not in page
    sent = form(token, line=f"bill|{row.fact}", text="all is well")
    assert client.post("/truck/7/answer", data=sent).status_code == 403
    assert papers_of(site.office, site.office.clock()).questions == (row,)


def test_outside_people_see_the_papers_of_their_trucks(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    for name in ("7", "12"):
        client.post(f"/truck/{name}/paper", data=form(token, what="other", title="Letter", lines=f"Line of {name}"))
    sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    page = text_of(client.get("/papers").text)
    assert ("Line of 7" in page, "Line of 12" in page) == (True, False)
    sign_in_as(client, site, "Dan", "driver")
    assert "/answer?line" not in client.get("/papers").text

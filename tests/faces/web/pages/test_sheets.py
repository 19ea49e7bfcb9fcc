"""Filled sheets handed in at the desk, and looked over beside their clippings."""

from __future__ import annotations

import io

from PIL import Image

from dipmark.faces.web.guard import FIELD
from dipmark.faces.web.site import Site
from dipmark.office.look import truck
from dipmark.office.look_over import columns_waiting
from faces.web.running import Client, form, sign_in_as, text_of
from office.paper_week import column, photos, week_of

FRIDAY = 4
HORN = "horn.heard"


Shots = list[tuple[str, tuple[str, bytes, str]]]


def filled(site: Site, *, hours: str = "", fault: bool) -> Shots:
    week, pages = week_of(site.office)
    bad = [(FRIDAY, week.printed.lines.index(HORN))] if fault else []
    good = column(week, FRIDAY, *([HORN] if fault else []))
    return [("pictures", (name, data, "image/jpeg")) for name, data in photos(pages, good, bad, hours)]


def hand_in(client: Client, token: str, files: Shots) -> str:
    sent = client.post("/sheets", data={FIELD: token}, files=files)
    assert sent.status_code == 200, text_of(sent.text)
    return text_of(sent.text)


def test_what_is_sure_is_taken(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    assert "Nothing waits." in text_of(client.get("/sheets").text)
    files = filled(site, hours="000412", fault=False)
    assert "Truck 7 2026-11-20, the whole day: taken into the record" in hand_in(client, token, files)
    assert "there already" in hand_in(client, token, files)


def test_a_mark_is_looked_over_and_stops_the_truck(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    assert "waits for somebody to look" in hand_in(client, token, filled(site, fault=True))
    (waits,) = columns_waiting(site.office)
    at = f"/sheets/{waits.aside.digest}"
    page = client.get(at).text
    assert f"{at}/clip/horn.heard" in page
    clip = client.get(f"{at}/clip/{HORN}")
    assert (clip.headers["content-type"], Image.open(io.BytesIO(clip.content)).format) == ("image/png", "PNG")
    assert client.get(f"{at}/clip/none").status_code == 404
    blank = client.post(at, data=form(token))
    assert blank.status_code == 422
    assert "not looked at" in blank.text
    answer = {f"a.{HORN}": "fault", f"s.{HORN}": "dead", f"n.{HORN}": "silent"}
    assert client.post(at, data=form(token, **answer)).status_code == 303
    assert truck(site.office, "7", site.office.clock()).state.code == "out-of-service"
    assert client.get(at).status_code == 404


def test_in_order_nothing_or_dirt(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    hand_in(client, token, filled(site, hours="0x0412", fault=True))
    (waits,) = columns_waiting(site.office)
    at = f"/sheets/{waits.aside.digest}"
    assert client.post(at, data=form(token, **{f"a.{HORN}": "good"})).status_code == 422
    refused = client.post(at, data=form(token, **{f"a.{HORN}": "nothing"}, hours="many"))
    assert refused.status_code == 422
    assert 'value="many"' in refused.text
    assert client.post(at, data=form(token, step="dirt", note="")).status_code == 422
    assert client.post(at, data=form(token, step="dirt", note="nobody worked")).status_code == 303
    assert "Nothing waits." in text_of(client.get("/sheets").text)


def test_hours_may_stay_unread(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    hand_in(client, token, filled(site, hours="0x0412", fault=True))
    (waits,) = columns_waiting(site.office)
    sent = form(token, **{f"a.{HORN}": "good", "no-hours": "yes"})
    assert client.post(f"/sheets/{waits.aside.digest}", data=sent).status_code == 303
    assert truck(site.office, "7", site.office.clock()).meters[0].hours == 0


def test_what_cannot_be_read_is_said(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    files = [("pictures", ("notes.jpg", b"\xff\xd8\xff nothing", "image/jpeg"))]
    page = text_of(client.post("/sheets", data={FIELD: token}, files=files).text)
    assert "notes.jpg: Found The picture cannot be opened" in page
    assert client.post("/sheets", data={FIELD: token}, files=[]).status_code in {200, 400}


def test_it_is_for_the_lead_hand(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    assert client.get("/sheets").status_code == 403
    token = sign_in_as(client, site, "Beth", "auditor")
    assert "Hand in pictures" not in client.get("/sheets").text
    assert client.post("/sheets", data={FIELD: token}, files=[]).status_code in {400, 403}

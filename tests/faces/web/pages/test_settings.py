"""The settings at the desk: for whom they are, what is typed is kept, the number stands on the key board."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from faces.web.running import Client, form, sign_in_as, text_of

YARD = {"zone": "UTC", "country": "GB", "units": "us", "languages": "en-GB", "name": "Lower yard", "telephone": "417"}
SHIFT = {"shift-0-name": "early", "shift-0-start": "06:00", "shift-0-end": "14:00", "shift-0-telephone": "+44 901"}


def test_settings_are_for_lead_and_owner(client: Client, site: Site) -> None:
    for name, role, status in (("Dan", "driver", 403), ("Beth", "auditor", 403), ("Mo", "mechanic", 403)):
        sign_in_as(client, site, name, role)  # type: ignore[arg-type]
        assert client.get("/settings").status_code == status
        assert 'href="/settings"' not in client.get("/").text
    token = sign_in_as(client, site, "Ruth", "lead")
    assert 'href="/settings"' in client.get("/").text
    assert client.post("/settings", data=form(token, **YARD)).status_code == 303
    token = sign_in_as(client, site, "Dan", "driver")
    assert client.post("/settings", data=form(token, **YARD)).status_code == 403
    assert client.post("/settings/shifts", data=form(token, **SHIFT)).status_code == 403


def test_the_yard_is_set_and_whom_to_call_stands_on_the_key_board(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Ruth", "lead")
    assert "To release: Ruth" in text_of(client.get("/").text)
    assert "No examination falls due by law here." in client.get("/settings").text
    done = client.post("/settings", data=form(token, **YARD))
    assert (done.status_code, done.headers["location"]) == (303, "/settings?noted=yard")
    page = client.get("/settings?noted=yard").text
    assert "Noted. It holds from now on." in page
    assert "No examination falls due by law here." not in page
    for value in ("Lower yard", "417", "UTC", "GB", "en-GB"):
        assert f'value="{value}"' in page
    assert '<option value="us" selected>' in page
    assert 'href="tel:417"' in client.get("/").text
    days = {"shift-0-days": ["5", "1"], "shift-1-name": "", "closed": "2026-12-25"}
    done = client.post("/settings/shifts", data={**form(token, **SHIFT), **days})
    assert (done.status_code, done.headers["location"]) == (303, "/settings?noted=shifts")
    page = client.get("/settings").text
    assert "<legend>early</legend>" in page
    assert 'name="shift-0-days" value="5" checked' in page
    assert 'name="shift-0-days" value="2">' in page
    assert ">2026-12-25</textarea>" in page
    board = client.get("/").text
    assert 'href="tel:+44901"' in board
    assert "+44 901" in text_of(board)


def test_what_was_typed_is_kept_and_stands_beside_what_is_wrong(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Ruth", "lead")
    client.post("/settings/shifts", data={**form(token, **SHIFT), "shift-0-days": "5"})
    refused = client.post("/settings", data=form(token, **YARD | {"zone": "Mars", "telephone": "call <Ruth>"}))
    assert refused.status_code == 422
    for part in ('id="zone-wrong"', 'id="telephone-wrong"', 'value="Mars"', 'value="call &lt;Ruth&gt;"', 'value="GB"'):
        assert part in refused.text
    assert 'name="shift-0-days" value="5" checked' in refused.text
    more = {f"shift-{row}-name": "" for row in (1, 2)} | {"shift-3-name": "late", "shift-3-start": "14:00"}
    refused = client.post("/settings/shifts", data={**form(token, **SHIFT), "shift-0-days": ["5", "6"], **more})
    assert refused.status_code == 422
    for part in ('id="shift-3-days-wrong"', 'id="shift-3-end-wrong"', 'value="late"', 'value="14:00"'):
        assert part in refused.text
    assert 'name="shift-0-days" value="6" checked' in refused.text
    assert site.office.yard.shifts[0].days == (5,)


def test_a_shift_is_worked_no_longer(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Ruth", "lead")
    client.post("/settings/shifts", data={**form(token, **SHIFT), "shift-0-days": "5"})
    gone = {**form(token, **SHIFT), "shift-0-days": "5", "shift-0-gone": "yes"}
    assert client.post("/settings/shifts", data=gone).status_code == 303
    assert site.office.yard.shifts == ()


def test_a_place_is_set_and_the_truck_in_it_says_so(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Ruth", "lead")
    place = {"place-name": "Hall 9", "place-area": "I-2-D", "place-wet": "yes", "place-ramp": "8"}
    done = client.post("/settings/places", data=form(token, **place))
    assert (done.status_code, done.headers["location"]) == (303, "/settings?noted=places")
    page = client.get("/settings?place=hall+9").text
    assert '<option value="I-2-D" selected>' in page
    assert 'name="place-wet" value="yes" checked' in page
    moved = form(token, who="other-site", place="hall 9")
    assert client.post("/truck/7/key", data=moved).status_code == 303
    told = text_of(client.get("/truck/7").text)
    for text in (
        "Out of service",
        "type mark is not known",
        "Class I, Division 2, Group D",
        "Enter what the truck climbs",
    ):
        assert text in told, text
    wrong = client.post("/settings/places", data=form(token, **{"place-name": "", "place-floor": "-4"}))
    assert wrong.status_code == 422
    assert 'value="-4"' in wrong.text
    token = sign_in_as(client, site, "Dan", "driver")
    assert client.post("/settings/places", data=form(token, **place)).status_code == 403

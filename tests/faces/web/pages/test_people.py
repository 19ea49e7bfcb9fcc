"""People: each sees his own first; who may gives roles, permits, badges; secrets are shown once."""

from __future__ import annotations

import re

import pytest

from dipmark.faces.web.site import Site
from dipmark.office.sign_in import sign_in
from faces.web.running import Client, enter_person, form, sign_in_as, text_of
from office.cheap import cheap_secrets


@pytest.fixture(autouse=True)
def _cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    cheap_secrets(monkeypatch)


def test_a_driver_sees_himself_and_nobody_else(client: Client, site: Site) -> None:
    other = enter_person(site.office, "Ruth", "lead")
    sign_in_as(client, site, "Dan", "driver")
    said = text_of(client.get("/people").text)
    assert "Dan" in said
    assert "Ruth" not in said
    assert client.get(f"/people/{other}").status_code == 404
    own = site.office.people.key_of("Dan")
    page = client.get(f"/people/{own}").text
    assert "What he may drive, and until when" in page
    assert "New badge" not in page


def test_the_auditor_looks_and_writes_nothing(client: Client, site: Site) -> None:
    other = enter_person(site.office, "Ruth", "lead")
    token = sign_in_as(client, site, "Beth", "auditor")
    assert "Ruth" in client.get("/people").text
    assert client.get(f"/people/{other}").status_code == 200
    assert client.post(f"/people/{other}/badge", data=form(token)).status_code == 403


def test_somebody_new_with_a_permit_badge_and_pin(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Ruth", "lead")
    bad = client.post("/people/new", data=form(token, name="Nils", firm="Tollgate"))
    assert bad.status_code == 422
    assert 'id="roles-wrong"' in bad.text
    assert 'value="Nils"' in bad.text
    assert 'value="Tollgate"' in bad.text
    made = client.post("/people/new", data=form(token, name="Nils Berg", roles="driver"))
    assert made.status_code == 303, text_of(made.text)
    at = made.headers["location"]
    assert "Nils Berg" in client.get(at).text
    bare = client.post(f"{at}/permit", data=form(token, kind="reach", sort="whole", trained="2026-01-01"))
    assert bare.status_code == 422
    assert 'value="2026-01-01"' in bare.text
    whole = form(token, kind="reach", sort="whole", trained="2026-01-01", evaluated="2026-01-02")
    assert client.post(f"{at}/permit", data=whole).status_code == 303
    assert "may drive, until Tue 2029-01-02" in text_of(client.get(at).text)
    day = whole | {"sort": "day", "certificate": "card 4711"}
    assert client.post(f"{at}/permit", data=day).status_code == 303
    assert "day card to" in text_of(client.get(at).text)
    learner = form(token, kind="reach", sort="trainee", by=site.office.people.key_of("Ruth") or "")
    assert client.post(f"{at}/permit", data=learner).status_code == 303
    assert "only with Ruth" in text_of(client.get(at).text)
    gone = form(token, kind="reach", sort="withdrawn", why="raised mast")
    assert client.post(f"{at}/permit", data=gone).status_code == 303
    assert "raised mast" in text_of(client.get(at).text)

    badge = client.post(f"{at}/badge", data=form(token))
    assert (badge.status_code, badge.headers["cache-control"]) == (200, "no-store")
    assert "<svg" in badge.text
    code = re.search(r"<code>([A-Z2-7-]{19})</code>", badge.text)
    pin = re.search(r"<code>(\d{6})</code>", client.post(f"{at}/pin", data=form(token)).text)
    assert code is not None
    assert pin is not None
    _, asker = sign_in(site.office, code[1], pin[1], "here")
    assert asker.name == "Nils Berg"
    link = re.search(r"<code>(http://127.0.0.1/first/[^<]+)</code>", client.post(f"{at}/link", data=form(token)).text)
    assert link is not None
    assert client.get(link[1]).status_code == 200


def test_roles_are_changed_and_who_has_left_is_said_so(client: Client, site: Site) -> None:
    dan = enter_person(site.office, "Dan", "driver")
    owner = enter_person(site.office, "Olga", "owner")
    token = sign_in_as(client, site, "Ruth", "lead")
    changed = {**form(token, gone="yes", shifts="early, late"), "roles": ["driver", "mechanic"]}
    assert client.post(f"/people/{dan}/post", data=changed).status_code == 303
    said = text_of(client.get(f"/people/{dan}").text)
    assert "driver, mechanic" in said
    assert "has left" in said
    refused = client.post(f"/people/{owner}/post", data=form(token, roles="driver"))
    assert refused.status_code == 422
    assert client.post(f"/people/{owner}/badge", data=form(token)).status_code == 422
    assert client.post(f"/people/{dan}/nonsense", data=form(token)).status_code == 404


def test_only_the_owner_blanks_a_name(client: Client, site: Site) -> None:
    dan = enter_person(site.office, "Dan", "driver")
    token = sign_in_as(client, site, "Ruth", "lead")
    assert "Blank his name" not in client.get(f"/people/{dan}").text
    assert client.post(f"/people/{dan}/blank", data=form(token)).status_code == 422
    token = sign_in_as(client, site, "Olga", "owner")
    assert client.post(f"/people/{dan}/blank", data=form(token)).status_code == 303
    assert "Dan" not in client.get("/people").text
    assert "name blanked" in client.get("/people").text


def test_a_phone_is_made_known_and_forgotten(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Ruth", "lead")
    assert client.post("/people/phone", data=form(token, phone=" ")).status_code == 422
    page = client.post("/people/phone", data=form(token, phone="gate phone")).text
    link = re.search(r"<code>(http://127.0.0.1/device/[^<]+)</code>", page)
    assert link is not None
    assert client.post(link[1]).status_code == 303
    listed = client.get("/people").text
    forget = re.search(r'action="(/people/phone/[^"]+/forget)"', listed)
    assert forget is not None
    assert client.post(forget[1], data=form(token)).status_code == 303
    assert "No phone is known yet." in client.get("/people").text

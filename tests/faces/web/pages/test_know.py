"""Led round a truck: place by place, then both confirm on the same page."""

from __future__ import annotations

import pytest

from dipmark.faces.web.site import Site
from dipmark.facts.people import Familiarised
from dipmark.office.sign_in import set_passphrase
from faces.web.pages.test_walk import clean
from faces.web.running import Client, enter_person, form, sign_in_as, text_of
from office.cheap import cheap_secrets
from office.desk import airship

PHRASE = "four plain old words"


@pytest.fixture(autouse=True)
def _cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    cheap_secrets(monkeypatch)


def test_place_by_place_with_the_drawing(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Nils", "driver")
    page = client.get("/truck/7/know").text
    assert 'class="mark here" data-place="approach"' in page
    assert "Place 1 of" in page
    front = client.get("/truck/7/know?place=front").text
    for one in ("Front: forks, carriage, mast", "As it ought to be", "What bad looks like", "It matters"):
        assert one in front, one
    assert "?place=approach" in front
    assert "?place=sides" in front
    assert client.get(f"/truck/{airship(site.office)}/know").status_code == 404


def test_both_confirm_and_the_truck_says_so(client: Client, site: Site) -> None:
    lead = enter_person(site.office, "Ruth", "lead")
    set_passphrase(site.office, lead, PHRASE)
    token = sign_in_as(client, site, "Nils", "driver")
    early = client.post("/truck/7/know", data=form(token, who="Ruth", secret=PHRASE))
    assert early.status_code == 422
    assert "Do the walk-round first" in early.text
    assert PHRASE not in early.text
    client.post("/truck/7/walk", data=form(token, **clean(site)))
    wrong = client.post("/truck/7/know", data=form(token, who="Ruth", secret="not at all"))
    assert wrong.status_code == 422
    done = client.post("/truck/7/know", data=form(token, who="Ruth", secret=PHRASE))
    assert done.status_code == 303, text_of(done.text)
    assert "You were led round it" in client.get("/truck/7").text
    facts = [item.fact.body for item in site.office.book(site.office.store.books()[-1])]
    assert Familiarised(person=facts[-1].person, truck="truck:7", led_by=lead) == facts[-1]  # type: ignore[attr-defined, arg-type]

"""The walk-round at the desk, without a script: one answer a check, the same rules as at the terminal."""

from __future__ import annotations

import re

from dipmark.faces.web.site import Site
from dipmark.facts.base import truck_book
from dipmark.office.enter import report_fault, stop
from dipmark.office.look import truck
from dipmark.office.walk import sheet
from faces.web.pages.test_truck import NOON
from faces.web.running import Client, form, sign_in_as, text_of


def clean(site: Site, *, full: bool = False) -> dict[str, str]:
    """Every check answered: OK."""
    asked = sheet(site.office, "7", site.office.clock(), full=full)
    return {f"a.{check.id}": "ok" for stop in asked.stops for check in stop.checks}


def test_the_list_stands_in_walking_order_each_by_itself(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    page = client.get("/truck/7/walk").text
    asked = sheet(site.office, "7", site.office.clock(), full=False)
    names = re.findall(r'name="a\.([^"]+)" value="ok"', page)
    assert names == [check.id for stop in asked.stops for check in stop.checks]
    assert "Not you: no permit" in page
    longer = client.get("/truck/7/walk?full").text
    assert len(re.findall(r'name="a\.[^"]+" value="ok"', longer)) > len(names)
    assert "checked" not in re.findall(r'<input type="radio"[^>]*>', page)[0]


def test_a_clean_walk_round_checks_the_truck(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    answer = client.post("/truck/7/walk", data=form(token, **clean(site), **{"v.hours.read": "120"}))
    assert answer.status_code == 303, text_of(answer.text)
    assert truck(site.office, "7", site.office.clock()).state.code == "checked"
    full = form(token, full="yes", **clean(site, full=True))
    assert client.post("/truck/7/walk", data=full).status_code == 303


def test_what_is_missing_or_unfit_stands_beside_its_check_and_all_that_was_ticked_stays(
    client: Client, site: Site
) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    typed = clean(site) | {"a.chain.tension": "fault", "s.chain.tension": "slack", "n.chain.tension": "left one"}
    typed |= {"a.forks.cracks": "unseen", "v.hours.read": "many"}
    del typed["a.brake.service"]
    answer = client.post("/truck/7/walk", data=form(token, **typed))
    assert answer.status_code == 422
    page = answer.text
    for check in ("forks.cracks", "brake.service", "hours.read"):
        assert f'id="{check}-wrong"' in page, check
    assert 'id="chain.tension-wrong"' not in page
    assert 'name="a.chain.tension" value="fault" checked' in page
    assert 'value="left one"' in page
    assert '<option value="slack" selected>' in page
    assert len(site.office.book(truck_book("7"))) == 1


def test_a_fault_stops_the_truck_and_open_ones_are_asked_first(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    report_fault(site.office, "7", "seat torn", NOON, seriousness="stop")
    fault = truck(site.office, "7", site.office.clock()).faults[0].ref
    page = client.get("/truck/7/walk").text
    assert page.index("seat torn") < page.index('name="a.card.read"')
    found = clean(site) | {"a.chain.tension": "fault", "s.chain.tension": "slack", f"a.{fault}": "same"}
    assert client.post("/truck/7/walk", data=form(token, **found)).status_code == 303
    assert truck(site.office, "7", site.office.clock()).state.code == "out-of-service"


def test_hours_that_do_not_agree_are_asked_once_more(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    for day, hours in ((10, "1000"), (12, "1020"), (14, "1040")):
        client.post("/truck/7/read", data=form(token, hours=hours, when=f"2026-11-{day}T08:00"))
    typed = clean(site) | {"v.hours.read": "104"}
    first = client.post("/truck/7/walk", data=form(token, **typed))
    assert first.status_code == 422
    assert 'id="hours.read-wrong"' in first.text
    assert 'name="doubted" value="104"' in first.text
    assert client.post("/truck/7/walk", data=form(token, doubted="104", **typed)).status_code == 303


def test_a_card_on_it_is_said_before_anything(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    stop(site.office, "7", "gas", NOON)
    assert "Look only: touch nothing" in client.get("/truck/7/walk").text
    token = sign_in_as(client, site, "Dan", "driver")
    bad = client.post("/truck/7/walk", data=form(token, when="soon", **clean(site)))
    assert bad.status_code == 422
    assert 'id="when-wrong"' in bad.text

"""A hit and an exchange noted on a phone without network; what the yard makes of them."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, Playwright, expect

from browser.phones import begin, known, phone, picture
from browser.yards import Yard
from dipmark.derive.impact import seal_holds
from dipmark.facts.base import truck_book
from dipmark.facts.charging import Charged
from dipmark.facts.incident import Incident
from dipmark.facts.measure import ToppedUp
from dipmark.office.items import item, not_so


def test_a_hit_without_network_stops_the_truck_once_the_yard_hears_of_it(
    playwright: Playwright, yard: Yard, tmp_path: Path
) -> None:
    """29 CFR 1910.178(p)(1): out of service at once. First the people, then the truck: common practice, no source."""
    with phone(playwright, yard, tmp_path / "phone") as context:
        page = known(context, yard)
        expect(page.get_by_text("works without network now")).to_be_visible()
        yard.network.mode = "away"
        begin(page, yard, "7", "It was hit, or nearly", first=True)
        expect(page.get_by_text("First the people: help, call, warn.")).to_be_visible()
        page.get_by_role("button", name="It was hit, or hit something").click()
        page.get_by_role("button", name="Note it").click()
        expect(page.get_by_text("Say it in a few words.")).to_be_visible()
        page.get_by_label("What happened, in plain words").fill("reversed into rack 14")
        page.get_by_label("What was struck").fill("counterweight, rack 14")
        page.get_by_label("I drove it").check()
        page.locator("input[type=file]").set_input_files(picture(tmp_path))
        expect(page.get_by_text("Photo kept.")).to_be_visible()
        page.get_by_role("button", name="Note it").click()
        expect(page.get_by_text("Key out, into the locked box.")).to_be_visible()
        expect(page.get_by_text("waiting to be sent")).to_be_visible()
        yard.network.mode = "there"
        expect(page.get_by_text("taken by the yard")).to_be_visible(timeout=90_000)
        page.get_by_role("button", name="Done").click()
        expect(page.locator(".trucks").get_by_role("button", name=re.compile("^7 Out of service"))).to_be_visible()
    with yard.office() as office:
        book = office.store.book(truck_book("7"))
        (hit,) = [one.fact for one in book if isinstance(one.fact.body, Incident)]
        assert isinstance(hit.body, Incident)
        assert (hit.body.what, hit.body.struck, hit.body.person) == ("hit", ("counterweight", "rack 14"), hit.by)
        assert seal_holds(hit.body.seal or "", book)
        assert office.store.blob(hit.body.pictures[0]) is not None


def test_what_hangs_is_moved_by_phone(page: Page, yard: Yard) -> None:
    page.locator(".trucks").get_by_role("button", name=re.compile("^8")).click()
    expect(page.get_by_text("Not with what hangs on it now:")).to_be_visible()
    page.get_by_role("button", name="Back").click()
    begin(page, yard, "8", "What hangs on it", first=True)
    page.get_by_role("button", name="Take off clamp 1").click()
    expect(page.get_by_text("Nobody under what hangs.")).to_be_visible()
    page.get_by_role("button", name="Done: note it").click()
    expect(page.get_by_text("taken by the yard")).to_be_visible(timeout=90_000)
    page.get_by_role("button", name="Done").click()
    begin(page, yard, "7", "What hangs on it")
    page.get_by_role("button", name="Hang clamp 1").click()
    page.get_by_label("Where on the truck").fill("carriage")
    page.get_by_role("button", name="Done: note it").click()
    expect(page.get_by_text("is looked up on its plate")).to_be_visible()
    expect(page.get_by_text("taken by the yard")).to_be_visible(timeout=90_000)
    with yard.office() as office:
        found = item(office, "clamp 1", office.clock())
        assert found.on is not None
        assert (found.on.truck, found.on.position, list(not_so(office, office.clock()))) == (
            truck_book("7"),
            "carriage",
            ["7"],
        )


def test_a_charge_is_noted_where_the_battery_stands(page: Page, yard: Yard) -> None:
    """29 CFR 1910.178(g): no flame, protection, water for the eyes, before anything is typed."""
    begin(page, yard, "12", "What hangs on it", first=True)
    page.get_by_role("button", name="battery 2 was charged").click()
    expect(page.get_by_text("no smoking, flame or spark")).to_be_visible()
    page.get_by_label("Left before, in %").fill("130")
    page.get_by_role("button", name="Done: note it").click()
    expect(page.get_by_text("A number from 0 to 100, or blank.")).to_be_visible()
    page.get_by_label("Left before, in %").fill("30")
    page.get_by_label("Charged until all cells are alike").check()
    page.get_by_label("Water after the charge, in litres").fill("2,5")
    page.get_by_role("button", name="Done: note it").click()
    expect(page.get_by_text("taken by the yard")).to_be_visible(timeout=90_000)
    with yard.office() as office:
        charge, water = (one.body for one in item(office, "battery 2", office.clock()).counting[-2:])
    assert isinstance(charge, Charged)
    assert isinstance(water, ToppedUp)
    assert (charge.what, charge.percent, str(water.amount)) == ("equalise", 30, "2.5")

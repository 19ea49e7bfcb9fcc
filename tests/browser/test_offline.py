"""A walk-round without network: begun cold, killed in the middle, sent later, and counted once."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, Playwright, expect

from browser.phones import begin, enter_pin, in_order, kill, known, phone, picture
from browser.yards import Yard
from dipmark.facts.base import truck_book
from dipmark.facts.walk_round import WalkRound

SHIFT = "Walk-round before the shift"


def walks(yard: Yard, truck: str = "7") -> list[WalkRound]:
    with yard.office() as office:
        bodies = [item.fact.body for item in office.store.book(truck_book(truck))]
    return [body for body in bodies if isinstance(body, WalkRound)]


def wet_ground(page: Page, photo: Path) -> None:
    """The first place: the ground is wet with oil, and there is a photo of it."""
    page.get_by_role("button", name="OK", exact=True).first.click()
    page.get_by_role("group", name="The ground under the truck").get_by_role("button", name="Fault").click()
    page.get_by_label("oil: wet, or drops that do not fall").check()
    page.get_by_label("What else, in your words").fill("under the axle")
    page.locator("input[type=file]").set_input_files(photo)
    expect(page.get_by_text("Photo kept.")).to_be_visible()
    page.get_by_role("button", name="Keep this fault").click()
    expect(page.get_by_text("under the axle")).to_be_visible()
    page.locator("#onward").click()
    expect(page.get_by_role("heading", name="Front")).to_be_visible()


def test_a_walk_round_without_network_survives_and_counts_once(
    playwright: Playwright, yard: Yard, tmp_path: Path
) -> None:
    memory = tmp_path / "phone"
    with phone(playwright, yard, memory) as context:
        known(context, yard)
        expect(context.pages[0].get_by_text("works without network now")).to_be_visible()

    yard.network.mode = "away"
    with phone(playwright, yard, memory) as context:
        page = context.pages[0]
        page.goto(f"{yard.address}/phone")
        begin(page, yard, "7", SHIFT, first=True)
        page.get_by_label("Hours on the meter").fill("1250.5")
        page.get_by_role("button", name="Next").click()
        wet_ground(page, picture(tmp_path))
        in_order(page)
        page.get_by_role("button", name="OK", exact=True).first.click()
        expect(page.get_by_role("button", name="OK", exact=True).first).to_have_attribute("aria-pressed", "true")
        page.wait_for_timeout(300)
        kill(memory)

    with phone(playwright, yard, memory) as context:
        page = context.pages[0]
        page.goto(f"{yard.address}/phone")
        page.get_by_role("button", name="Go on with truck 7").click()
        enter_pin(page)
        expect(page.get_by_role("heading", name="Both sides")).to_be_visible()
        expect(page.get_by_role("button", name="OK", exact=True).first).to_have_attribute("aria-pressed", "true")
        while page.locator("#onward").count():
            in_order(page)
        expect(page.get_by_role("heading", name="Restricted")).to_be_visible()
        expect(page.get_by_text("under the axle: Repair within 7 days")).to_be_visible()
        expect(page.get_by_text("By this check only.")).to_be_visible()
        expect(page.get_by_text("waiting to be sent")).to_be_visible()
        assert walks(yard) == []

        yard.network.mode = "cut"
        expect(page.get_by_text("taken by the yard")).to_be_visible(timeout=90_000)
        assert yard.network.cuts == 1
        taken(page, yard)


def taken(page: Page, yard: Yard) -> None:
    """The yard has the sheet, once, and all of it."""
    (walk,) = walks(yard)
    assert (walk.verdict, walk.sheet) == ("restricted", "shift")
    assert walk.meter is not None
    assert str(walk.meter.hours) == "1250.5"
    assert len(walk.answers) == 25
    (fault,) = [answer for answer in walk.answers if answer.mark == "fault"]
    assert (fault.check, fault.symptom, fault.text) == ("ground.leaks", "wet", "under the axle")
    with yard.office() as office:
        assert office.store.set_aside_list() == ()
        kept = office.store.blob(fault.picture or "")
    assert kept is not None
    assert kept.media == "image/jpeg"
    assert len(kept.data) < 1_500_000
    assert b"Exif" not in kept.data
    page.get_by_role("button", name="Done").click()
    page.get_by_role("button", name="What was sent").click()
    expect(page.get_by_text("taken by the yard")).to_be_visible()


def test_a_clean_list_takes_few_touches_and_little_typing(page: Page, yard: Yard) -> None:
    begin(page, yard, "7", SHIFT, first=True)
    page.go_back()
    page.get_by_role("button", name="Throw away").click()
    page.get_by_role("button", name="Really?").click()
    expect(page.get_by_role("button", name="Go on")).to_have_count(0)
    touches = 4  # the truck, what, who, begin
    begin(page, yard, "7", SHIFT)
    assert page.locator("input").count() == 1
    page.get_by_label("Hours on the meter").fill("1250.5")
    page.get_by_role("button", name="Next").click()
    touches += 1
    expect(page.get_by_role("heading", name="Coming up to the truck")).to_be_visible()
    places = checks = typed = 0
    while page.locator("#onward").count():
        checks += page.locator("fieldset.check").count()
        typed += page.locator("main input").count()
        touches += in_order(page)
        places += 1
    expect(page.get_by_role("heading", name="Checked, nothing found")).to_be_visible()
    page.get_by_role("button", name="I take the key").click()
    touches += 1
    assert (places, checks, typed) == (9, 24, 2)
    assert touches <= checks + places + 10, touches
    expect(page.get_by_role("heading", name="Which truck?")).to_be_visible()


def test_what_is_refused_late_is_set_aside_and_not_lost(page: Page, yard: Yard) -> None:
    yard.network.mode = "away"
    begin(page, yard, "7", "Something is wrong", first=True)
    page.get_by_role("button", name="Something else").click()
    page.get_by_label("What is wrong?").fill("It groans")
    page.get_by_role("button", name="Report it").click()
    expect(page.get_by_text("waiting to be sent")).to_be_visible()
    yard.leave("Dan Pruett")
    yard.network.mode = "there"
    expect(page.get_by_text("set aside: show it to the lead hand")).to_be_visible(timeout=90_000)
    with yard.office() as office:
        (aside,) = office.store.set_aside_list()
    assert [problem.code for problem in aside.problems] == ["not-his-to-write"]
    assert "It groans" in str(aside.fact.body)


def test_a_sheet_begun_survives_a_reload(page: Page, yard: Yard) -> None:
    begin(page, yard, "7", SHIFT, first=True)
    page.get_by_label("Hours on the meter").fill("12.5")
    page.get_by_role("button", name="Next").click()
    expect(page.get_by_text("less than last time (1240 h)")).to_be_visible()
    page.get_by_label("Hours on the meter").fill("1251")
    page.get_by_role("button", name="Next").click()
    in_order(page)
    page.reload()
    page.get_by_role("button", name="Go on with truck 7").click()
    enter_pin(page)
    expect(page.get_by_role("heading", name="Front")).to_be_visible()
    page.get_by_role("button", name="Back").click()
    expect(page.get_by_role("button", name="OK", exact=True).first).to_have_attribute("aria-pressed", "true")

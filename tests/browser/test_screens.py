"""Every screen of the phone: nothing that axe minds, targets of 56 px, readable at 320 px and at twice the size."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]  # it ships no types
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from browser.phones import begin, in_order, known, phone
from browser.yards import Yard

SMALLEST: Final = 56
PICTURES: Final = os.environ.get("DIPMARK_PICTURES")
"""A folder: then every screen is pictured there, to be looked at."""

TARGETS: Final = """() => Array.from(document.querySelectorAll(
        "button, .button, summary, select, .choice, input:not([type=radio], .away)"))
    .map((one) => [one.innerText || one.tagName, one.getBoundingClientRect(), one])
    .filter(([, box]) => box.width)
    .map(([text, box]) => [text, box.width, box.height])"""


class Eye:
    """Looks at each screen as it comes.

    Args:
        page: the phone's page.
        name: of this round, for the pictures.
    """

    def __init__(self, page: Page, name: str) -> None:
        self.page, self.name, self.seen = page, name, 0

    def look(self, what: str, heading: str) -> None:
        """Nothing for axe to mind, no small target, nothing wider than the glass."""
        self.seen += 1
        page = self.page
        expect(page.locator("h1")).to_contain_text(heading)
        if PICTURES:
            page.screenshot(path=Path(PICTURES) / f"{self.name}-{self.seen:02d}-{what}.png")
        found = Axe().run(page)
        assert found.violations_count == 0, f"{what}: {found.generate_report()}"
        for text, width, height in page.evaluate(TARGETS):
            assert min(width, height) >= SMALLEST - 0.5, (what, text, width, height)
        wide = page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, (what, wide)


def round_of_screens(page: Page, yard: Yard, look: Callable[[str, str], None]) -> None:
    """The screens up to the first place, in the order that a shift brings them."""
    look("trucks", "Which truck?")
    begin_looking(page, yard, look)
    page.get_by_role("button", name="worse").click()
    look("meter", "Hour meter")
    page.get_by_label("Hours on the meter").fill("12")
    page.get_by_role("button", name="Next").click()
    look("meter-again", "Hour meter")
    page.get_by_text("It cannot be read").click()
    look("meter-unread", "Hour meter")
    page.get_by_label("Hours on the meter").fill("1251")
    page.get_by_role("button", name="Next").click()
    expect(page.get_by_role("heading", name="Coming up")).to_be_visible()
    look("place", "Coming up")
    page.get_by_role("button", name="Could not check").first.click()
    look("not-seen", "Any card")
    page.get_by_role("button", name="dark").click()
    expect(page.locator("fieldset.unseen")).to_be_visible()
    page.get_by_role("button", name="Fault", exact=True).nth(1).click()
    page.get_by_label("oil: wet").check()
    look("fault", "The ground")
    page.get_by_role("button", name="Keep this fault").click()
    look("place-answered", "Coming up")


def rest_of_places(page: Page, look: Callable[[str, str], None]) -> None:
    """Something put right on the spot, and the verdict."""
    page.locator("#onward").click()
    expect(page.get_by_role("heading", name="Front")).to_be_visible()
    in_order(page)
    expect(page.get_by_role("heading", name="Both sides")).to_be_visible()
    page.get_by_role("button", name="Fault", exact=True).nth(1).click()
    page.get_by_label("below what is asked").check()
    look("fault-put-right", "Air tyres")
    page.get_by_role("button", name="Back").last.click()
    expect(page.get_by_role("heading", name="Both sides")).to_be_visible()
    while page.locator("#onward").count():
        in_order(page)
    look("verdict-out-of-service", "Out of service")


def rest_of_screens(page: Page, yard: Yard, look: Callable[[str, str], None]) -> None:
    """A clean sheet, what was sent, and something wrong during the day."""
    page.get_by_role("button", name="Done").click()
    begin(page, yard, "7", "Walk-round before the shift")
    page.get_by_label("Hours on the meter").fill("1251")
    page.get_by_role("button", name="Next").click()
    expect(page.locator("#onward")).to_be_visible()
    while page.locator("#onward").count():
        in_order(page)
    look("verdict-checked", "Checked")
    page.get_by_role("button", name="I take the key").click()
    page.get_by_role("button", name="What was sent").click()
    look("sent", "What was sent")
    page.get_by_role("button", name="Back").click()
    begin(page, yard, "7", "Something is wrong")
    look("wrong", "Something is wrong")
    page.get_by_role("button", name="felt").click()
    look("wrong-felt", "Something is wrong")
    page.get_by_role("button", name="Headache").click()
    look("trouble", "Headache")
    page.get_by_role("button", name="Report it").click()
    expect(page.get_by_text("taken by the yard")).to_be_visible()
    look("reported", "Reported")
    page.get_by_role("button", name="Done").click()


def begin_looking(page: Page, yard: Yard, look: Callable[[str, str], None]) -> None:
    page.locator(".trucks button").nth(1).click()
    look("truck", "Truck 8")
    page.get_by_role("button", name="Walk-round before the shift").click()
    look("who", "Who are you?")
    page.get_by_label("Code on your badge").fill("ABCD")
    page.get_by_role("button", name="Next").click()
    look("who-unknown", "Who are you?")
    page.get_by_label("Code on your badge").fill(yard.badges["Dan Pruett"])
    page.get_by_role("button", name="Next").click()
    look("pin", "Dan Pruett")
    page.get_by_label("PIN").fill("482913")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Open faults")).to_be_visible()
    look("faults", "Open faults")


LOOKS: Final[dict[str, dict[str, Any]]] = {
    "light": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
    "narrow": {"viewport": {"width": 320, "height": 568}},
    "twice": {"viewport": {"width": 180, "height": 390}},
}
"""At twice the size the glass of 360 px has room for 180."""


@pytest.fixture(params=LOOKS)
def looking(
    request: pytest.FixtureRequest, playwright: Playwright, yard: Yard, tmp_path: Path
) -> Iterator[tuple[str, BrowserContext]]:
    with phone(playwright, yard, tmp_path / "phone", **LOOKS[request.param]) as context:
        yield request.param, context


def test_every_screen_can_be_used_by_everybody(looking: tuple[str, BrowserContext], yard: Yard) -> None:
    name, context = looking
    page = known(context, yard)
    eye = Eye(page, name)
    round_of_screens(page, yard, eye.look)
    rest_of_places(page, eye.look)
    rest_of_screens(page, yard, eye.look)
    assert eye.seen >= 20

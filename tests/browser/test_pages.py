"""Every page of the desk: nothing that axe minds, nothing wider than the screen, no error of the content policy.

In both themes, three languages, at 360, 768 and 1440 px, on the invented yard; then what people do there, by clicks.
"""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Final

import msgspec
import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]  # it ships no types
from playwright.sync_api import Browser, BrowserContext, FilePayload, Page, Playwright, expect

from browser.phones import ARGS, CHROMIUM
from dipmark.adapters.clock import system_clock
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.demo import make_demo
from dipmark.demo.yard import NAMES
from dipmark.facts.base import PersonKey, truck_book
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem
from dipmark.office.look_over import columns_waiting
from dipmark.office.open import Office
from dipmark.office.sign_in import begin_session, set_passphrase
from dipmark.office.take_sheets import take_sheets
from office.paper_week import column, photos, week_of

PASSPHRASE: Final = "three old wet planks"
PICTURES: Final = os.environ.get("DIPMARK_PICTURES")
"""A folder: then every page is pictured there, to be looked at."""

WIDTHS: Final = (360, 768, 1440)
LPG: Final = "engine-pneumatic-lpg"
DEEDS: Final = (
    "read",
    "fault",
    "stop",
    "key",
    "hit",
    "fit",
    "paper",
    "answer",
    "take-off",
    "begin",
    "end",
    "repair",
    "release",
    "plate",
    "correct",
    "withdraw",
)

PATHS: Final = (
    "/",
    "/account",
    "/trust",
    "/faults",
    "/due",
    "/lessons",
    "/workshop",
    "/parts",
    "/items",
    "/papers",
    "/item/forks-1",
    "/item/battery-B",
    f"/lessons/kind/{LPG}",
    "/people",
    "/settings",
    "/settings?place=Paint+store",
    "/rules",
    "/rules/kind/pallet",
    "/rules/duties",
    "/rules/limits",
    "/rules/sources",
    "/rules/own",
    f"/rules/own?value=interval:{LPG}:150h",
    "/set-aside",
    "/sheets",
    "/find?q=chain",
    "/truck/2",
    "/truck/4",
    "/truck/5",
    "/truck/5/log?only=fault",
    "/truck/5/know",
    "/truck/5/know?place=both",
    "/truck/5/wrong",
    "/truck/5/wrong?system=brakes&trouble=soft",
    "/truck/5/walk",
    "/truck/5/measure",
    "/truck/5/measure?what=chain",
    "/truck/5/service/450h",
    "/truck/5/service/after-hit",
    *(f"/truck/4/{deed}" for deed in DEEDS),
    "/truck/6/except",
    "/nowhere",
)


class Desk(msgspec.Struct, frozen=True):
    """A served yard.

    Args:
        address: where a browser finds it.
        store: its file.
        sessions: tokens by short name.
        more: addresses of pages that are known only now.
    """

    address: str
    store: str
    sessions: dict[str, str]
    more: tuple[str, ...]


def furnish(store: Path) -> tuple[dict[str, str], tuple[str, ...]]:
    """The invented yard, with something set aside; sessions, and pages of one person and of what is set aside."""
    with Office(open_store(str(store), clock=system_clock, create=True), read_rules(), system_clock) as office:
        make_demo(office, office.clock())
        keys = {short: office.people.key_of(NAMES[short]) or PersonKey("") for short in ("owen", "carl", "dan", "ruth")}
        body = MeterRead(hours=Decimal(90000))
        fact = office.fact(truck_book("3"), body, datetime.now(UTC), by=keys["dan"])
        aside = office.store.set_aside(fact, [Problem("meter-doubtful", "90,000 h", "about 9,000 h", "Ask him.")])
        take_sheets(office, filled_sheet(office, "8"))
        (waits,) = columns_waiting(office)
        for key in keys.values():
            set_passphrase(office, key, PASSPHRASE)
        sessions = {short: begin_session(office, key) for short, key in keys.items()}
        return sessions, (f"/people/{keys['dan']}", f"/set-aside/{aside.digest}", f"/sheets/{waits.aside.digest}")


def filled_sheet(office: Office, truck: str) -> list[tuple[str, bytes]]:
    """Photos of the week sheet of a truck; on Monday somebody ticked a fault box, and one ring too many."""
    week, pages = week_of(office, truck, office.clock())
    at = len(week.printed.faults)
    return photos(pages, column(week, 0, week.printed.lines[at]), [(0, at)], "0x4711")


@pytest.fixture(scope="module")
def desk(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """The invented yard, served with a folder for its own rules; without a browser it is not even made."""
    folder = tmp_path_factory.mktemp("desk")
    sessions, more = furnish(folder / "yard.db")
    (folder / "own").mkdir()
    (folder / "own" / "yard.toml").write_text("# The yard's own rules.\n", "utf-8")
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    command = ["--store", str(folder / "yard.db"), "--rules", str(folder / "own"), "serve", "--port", str(port)]
    with (folder / "said").open("wb") as said:
        process = subprocess.Popen([sys.executable, "-m", "dipmark", *command], stdout=said, stderr=said)
    try:
        for _ in range(200):
            with socket.socket() as trial:
                if trial.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield Desk(f"http://127.0.0.1:{port}", str(folder / "yard.db"), sessions, more)
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(20)


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """A browser at a desk."""
    made = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGS))
    yield made
    made.close()


def opened(browser: Browser, desk: Desk, who: str, theme: str = "light", language: str = "en") -> BrowserContext:
    """Somebody who is signed in."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    named = {"session": desk.sessions[who], "theme": theme, "language": language}
    context.add_cookies(
        [{"name": f"dipmark_{name}", "value": value, "url": desk.address} for name, value in named.items()]
    )
    return context


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("language", ["en", "en-US", "es"])
def test_axe_minds_nothing_and_everything_fits(browser: Browser, desk: Desk, theme: str, language: str) -> None:
    context = opened(browser, desk, "owen", theme, language)
    page, wrong = context.new_page(), list[str]()
    page.on(
        "console", lambda line: wrong.append(f"{page.url}: {line.text}") if "Content Security" in line.text else None
    )
    for number, path in enumerate((*PATHS, *desk.more)):
        page.goto(desk.address + path)
        found = Axe().run(page)
        if found.violations_count:
            wrong.append(f"{path}: {found.generate_report()}")
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            wide = page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth")
            if wide > 0:
                wrong.append(f"{path}: {wide} px too wide at {width}")
            if PICTURES:
                page.screenshot(path=Path(PICTURES) / f"{number:02d}-{width}-{theme}-{language}.png", full_page=True)
    context.close()
    assert wrong == []


def sign_in(page: Page, desk: Desk, name: str) -> None:
    """By name and passphrase, as people do."""
    page.context.clear_cookies()
    page.goto(f"{desk.address}/sign-in")
    page.get_by_label("Name, or the code on your badge").fill(name)
    page.get_by_label("Passphrase, or your PIN with the badge").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Key board")).to_be_visible()


def test_a_stop_shows_on_the_key_board_and_a_mechanic_mends_and_releases(browser: Browser, desk: Desk) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    sign_in(page, desk, NAMES["dan"])
    page.get_by_role("link", name="1", exact=True).click()
    page.get_by_role("link", name="Something is wrong").last.click()
    page.get_by_text("Brakes", exact=False).first.click()
    page.get_by_role("link", name="The pedal is soft").click()
    expect(page.get_by_text("Out of service until a competent person")).to_be_visible()
    page.get_by_label("In your own words").fill("sinks to the floor")
    page.get_by_role("button", name="Report this fault").click()
    expect(page.get_by_role("heading", name="Out of service", exact=True)).to_be_visible()
    expect(page.get_by_role("link", name="Release the truck")).to_have_count(0)
    page.goto(f"{desk.address}/truck/1/release")
    expect(page.get_by_role("heading", name="That is not for you to do here.")).to_be_visible()
    page.goto(desk.address)
    expect(page.locator("#hook-1")).to_contain_text("Key in the locked box")

    sign_in(page, desk, NAMES["carl"])
    page.get_by_role("link", name="Faults").click()
    page.get_by_role("link", name="Note a repair 1: The pedal is soft").click()
    page.get_by_label("What was done, and what was the cause").fill("air in the line, bled")
    page.get_by_label("What was tested, and held").fill("brake-test")
    page.get_by_role("button", name="Note the repair").click()
    page.get_by_role("link", name="Release the truck").first.click()
    page.get_by_label("What was tested, and held").fill("brake-test")
    page.get_by_role("button", name="Release it").click()
    expect(page.get_by_role("heading", name="Out of service", exact=True)).to_have_count(0)
    context.close()


def test_a_wrong_meter_reading_is_corrected(browser: Browser, desk: Desk) -> None:
    page = opened(browser, desk, "ruth").new_page()
    page.goto(f"{desk.address}/truck/7")
    page.get_by_role("link", name="Read the meter").click()
    page.get_by_label("Hours on the meter").fill("2")
    page.get_by_role("button", name="Note the reading").click()
    doubts = page.locator("section", has=page.get_by_role("heading", name="Meter readings to look into"))
    expect(doubts).to_contain_text("2 h")
    doubts.locator("li", has_text="2 h").first.get_by_role("link", name="Withdraw it").click()
    page.get_by_label("Why it never was").fill("another truck's")
    page.get_by_role("button", name="Withdraw it").click()
    expect(page.get_by_role("status")).to_contain_text("Withdraw an entry")
    page.get_by_role("link", name="The whole logbook").click()
    expect(page.get_by_text("Withdrawn: it no longer counts.").first).to_be_visible()


def test_what_was_refused_late_waits_in_the_list_and_is_settled(browser: Browser, desk: Desk) -> None:
    page = opened(browser, desk, "ruth").new_page()
    page.goto(f"{desk.address}/set-aside")
    page.get_by_role("link", name="Look into it").click()
    page.get_by_label("How it was settled").fill("his slip, told him")
    page.get_by_role("button", name="Settle it").click()
    expect(page.get_by_text("Settled: his slip, told him")).to_be_visible()
    expect(page.get_by_text("Nothing waits.")).to_be_visible()


def test_a_filled_sheet_is_handed_in_and_its_fault_stops_the_truck(browser: Browser, desk: Desk) -> None:
    with Office(open_store(desk.store, clock=system_clock, create=False), read_rules(), system_clock) as office:
        shots = filled_sheet(office, "9")
    context = opened(browser, desk, "ruth")
    page = context.new_page()
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{desk.address}/sheets")
    files: list[FilePayload] = [{"name": name, "mimeType": "image/jpeg", "buffer": data} for name, data in shots]
    page.get_by_label("Photos or scans").set_input_files(files)
    page.get_by_role("button", name="Read them").click()
    expect(page.get_by_role("heading", name="What became of the pictures")).to_be_visible()
    page.get_by_role("link", name="9, Mon").click()
    page.wait_for_load_state("load")
    for clipping in page.get_by_role("img", name="The mark as it was photographed").all():
        assert clipping.evaluate("(one) => one.complete && one.naturalWidth > 30")
    if PICTURES:
        page.screenshot(path=Path(PICTURES) / "look-over-390.png", full_page=True)
    page.get_by_role("button", name="Enter the walk-round").click()
    expect(page.get_by_role("alert")).to_contain_text("not looked at")
    page.get_by_label("fault", exact=True).check()
    page.get_by_label("No hours can be read").check()
    page.get_by_role("button", name="Enter the walk-round").click()
    expect(page.get_by_role("link", name="9, Mon")).to_have_count(0)
    page.goto(desk.address)
    expect(page.locator("#hook-9")).to_contain_text("Key in the locked box")
    context.close()


def test_a_plan_is_published_a_visit_moved_and_the_change_kept(browser: Browser, desk: Desk) -> None:
    context = opened(browser, desk, "ruth")
    page = context.new_page()
    page.goto(f"{desk.address}/workshop")
    page.get_by_role("button", name="Look for the best plan").click()
    expect(page.get_by_text("nobody goes by it before it is published").first).to_be_visible()
    page.get_by_role("button", name="Publish this plan").click()
    expect(page.get_by_role("button", name="Look for the best plan")).to_be_visible()
    visits = page.locator(".plan-visit").count()
    assert visits > 2
    page.get_by_label("Visit", exact=True).select_option(index=0)
    page.get_by_label("To", exact=True).select_option("out")
    page.get_by_role("button", name="Show what that does").click()
    expect(page.get_by_text("The plan gets dearer by").first).to_be_visible()
    if PICTURES:
        page.screenshot(path=Path(PICTURES) / "plan-moved.png", full_page=True)
    page.get_by_role("button", name="Publish this plan").click()
    expect(page.locator(".plan-visit")).to_have_count(visits - 1)
    expect(page.get_by_role("heading", name="Not in the plan")).to_be_visible()
    context.close()


def test_the_keyboard_alone_reaches_the_page_and_a_form(browser: Browser, desk: Desk) -> None:
    page = opened(browser, desk, "dan").new_page()
    page.goto(f"{desk.address}/truck/7")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the page itself")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()
    card = page.get_by_role("link", name="Hang the out-of-service card")
    for _ in range(80):
        page.keyboard.press("Tab")
        if card.evaluate("(one) => one === document.activeElement"):
            break
    expect(card).to_be_focused()
    page.keyboard.press("Enter")
    page.get_by_label("Why, in one line").focus()
    page.keyboard.type("smoke from the motor")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Out of service", exact=True)).to_be_visible()

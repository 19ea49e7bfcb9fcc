"""A hit at night, an agency's driver, a hired truck, a borrowed attachment: from the phone to the truck file."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Final

import pypdfium2
import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from browser.phones import ARGS, CHROMIUM, begin, known, phone, picture
from browser.yards import LPG, PASSPHRASE, PIN, Yard, served
from dipmark.facts.base import YARD, PersonKey, truck_book
from dipmark.facts.custody import HeldBy
from dipmark.facts.people import Familiarised, Permit, PersonSet, YardSet
from dipmark.facts.truck import Enrolled, PlateRead, PlateValue
from dipmark.office.access import asker_of
from dipmark.office.enter import When, enrol
from dipmark.office.items import fit
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.office.sign_in import issue_badge, set_passphrase, set_pin

NIGHT: Final = datetime.now(UTC).replace(hour=2, minute=14, second=0, microsecond=0) - timedelta(days=3)
"""When it happened: three days before it is released."""

DRIVER: Final = "Ali Brook"
MECHANIC: Final = "Glen Tasker"


def people(office: Office) -> dict[str, str]:
    """The agency's driver with the card of that shift, and the outside mechanic who sees one truck; badges."""
    lead = office.people.key_of("Ruth Ashby") or PersonKey("")
    asker = asker_of(office.yard, lead, "Ruth Ashby")
    assert asker is not None
    ali, glen = office.people.key_or_new(DRIVER), office.people.key_or_new(MECHANIC)
    before = NIGHT - timedelta(hours=6)
    card = Permit(
        person=ali,
        what=LPG,
        trained=date(2026, 1, 5),
        evaluated=date(2026, 1, 6),
        by=lead,
        ends=NIGHT + timedelta(hours=4),
        certificate="agency card 4711",
    )
    bodies = (
        PersonSet(person=ali, roles=("driver",), firm="Quay Hands"),
        card,
        Familiarised(person=ali, truck=truck_book("H4"), led_by=lead),
        PersonSet(
            person=glen, roles=("outside-mechanic", "mechanic"), firm="Tollgate Lift Repairs", books=(truck_book("H4"),)
        ),
        YardSet(zone="Europe/London", country="GB", name="Ninefold Wharf", telephone="+44 20 7946 0000"),
    )
    office.append([office.fact(YARD, body, before, by=lead) for body in bodies], {ali: DRIVER, glen: MECHANIC})
    badge = issue_badge(office, asker, ali)
    set_pin(office, ali, PIN)
    set_passphrase(office, glen, PASSPHRASE)
    return {DRIVER: badge}


def furnish(office: Office) -> None:
    """The hired truck with the borrowed clamp, and its key with the driver that night."""
    came = When(NIGHT - timedelta(days=20))
    enrol(office, "H4", Enrolled(what=LPG, capacity_kg=Decimal(2500), commissioned=date(2025, 1, 6)), came)
    fit(office, "H4", "Mill Lane clamp", When(NIGHT - timedelta(hours=5)), what="attachment")
    ali = office.people.key_of(DRIVER)
    plate = PlateRead(
        values=(PlateValue(name="capacity", value=Decimal(1800), unit="kg"),), fitted=("Mill Lane clamp",)
    )
    for body, when in (
        (HeldBy(who="hired-in", firm="Quayside Hire", until=(NIGHT + timedelta(days=30)).date()), came.happened),
        (plate, NIGHT - timedelta(hours=5)),
        (HeldBy(who="driver", person=ali), NIGHT - timedelta(hours=4)),
    ):
        office.append([office.fact(truck_book("H4"), body, when)])


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    """The yard of the browser tests with all of this in it."""
    with served(tmp_path) as made:
        with made.office() as office:
            office.by = office.people.key_of("Ruth Ashby") or PersonKey("")
            made.badges |= people(office)
            furnish(office)
        yield made


def at_a_desk(playwright: Playwright, yard: Yard, name: str, width: int) -> BrowserContext:
    """Somebody signs in with a browser of that width."""
    trust = f"--ignore-certificate-errors-spki-list={yard.spki}"
    browser = playwright.chromium.launch(executable_path=CHROMIUM, headless=True, args=[*ARGS, trust])
    context = browser.new_context(viewport={"width": width, "height": 780}, ignore_https_errors=True)
    page = context.new_page()
    page.goto(f"{yard.address}/sign-in")
    page.get_by_label("Name, or the code on your badge").fill(name)
    page.get_by_label("Passphrase, or your PIN with the badge").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Key board")).to_be_visible()
    return context


def words_of(page: Page, yard: Yard, path: str) -> str:
    """What a printed sheet says, its lines in one."""
    found = page.evaluate(
        """async (path) => {
            const answer = await fetch(path);
            return [answer.status, [...new Uint8Array(await answer.arrayBuffer())]];
        }""",
        f"{yard.address}{path}",
    )
    assert found[0] == 200, (path, found[0])
    with pypdfium2.PdfDocument(bytes(found[1])) as book:
        text = " ".join(page.get_textpage().get_text_bounded() for page in book)
    return " ".join(text.split())


def fits(page: Page) -> bool:
    """Nothing is wider than the screen."""
    return bool(page.evaluate("() => document.documentElement.scrollWidth <= document.documentElement.clientWidth"))


def hit_at_night(playwright: Playwright, yard: Yard, folder: Path) -> None:
    """The driver notes it on the phone, out of reach of the yard."""
    with phone(playwright, yard, folder / "phone") as context:
        page = known(context, yard)
        expect(page.get_by_text("works without network now")).to_be_visible()
        yard.network.mode = "away"
        page.clock.set_fixed_time(NIGHT)
        begin(page, yard, "H4", "It was hit, or nearly", first=True, name=DRIVER)
        page.get_by_role("button", name="It was hit, or hit something").click()
        page.get_by_label("What happened, in plain words").fill("clamp caught rack 14 while turning in the dark")
        page.get_by_label("What was struck").fill("mast, rack 14")
        page.get_by_label("I drove it").check()
        page.locator("input[type=file]").set_input_files(picture(folder))
        expect(page.get_by_text("Photo kept.")).to_be_visible()
        page.get_by_role("button", name="Note it").click()
        expect(page.get_by_text("Key out, into the locked box.")).to_be_visible()
        expect(page.get_by_role("link", name="Call +44 20 7946 0000")).to_be_visible()
        page.clock.set_fixed_time(datetime.now(UTC))
        yard.network.mode = "there"
        expect(page.get_by_text("taken by the yard")).to_be_visible(timeout=90_000)


def looked_over_by_the_outside_mechanic(page: Page, yard: Yard) -> None:
    """On his phone: the list ticked whole, the sheet that both sign; no other truck is his to see."""
    page.goto(f"{yard.address}/truck/7")
    expect(page.get_by_text("No truck 7 is enrolled.")).to_be_visible()
    page.goto(f"{yard.address}/truck/H4")
    assert fits(page)
    page.get_by_role("link", name="Tick it off").click()
    for box in page.locator("input[name=task]").all():
        box.check()
    page.get_by_label("What was tested, and held").fill("brake test, lift test, road test")
    page.get_by_label("Minutes of work").fill("95")
    assert fits(page)
    page.get_by_role("button", name="Note the service").click()
    expect(page.get_by_text("Noted:")).to_be_visible()
    sheet = words_of(page, yard, "/truck/H4/print/job")
    for text in (
        "Glen Tasker",
        "Tollgate Lift Repairs",
        "After a hit: every part looked at",
        "This sheet releases nothing",
    ):
        assert text in sheet, text
    assert "LEFT OUT" not in sheet


def examined(page: Page, yard: Yard) -> None:
    """The lead hand files the examiner's report; LOLER 1998, regulation 9(3)(a)(iv)."""
    page.goto(f"{yard.address}/truck/H4/paper")
    page.locator("[name=what]").select_option("examination")
    page.locator("[name=title]").fill("Report of thorough examination")
    page.locator("[name=number]").fill("W-4711")
    page.locator("[name=issuer]").fill("Hugh Marsden")
    for box in page.locator("input[name=duties]").all():
        box.check()
    page.locator("[name=fit]").select_option("yes")
    page.locator("main form button").last.click()
    expect(page.get_by_text("Noted:")).to_be_visible()


def test_from_the_phone_at_night_to_the_truck_file(playwright: Playwright, yard: Yard, tmp_path: Path) -> None:
    """29 CFR 1910.178(p)(1), (l)(4)(ii); LOLER 1998, regulation 9(3)(a)(iv): each step, and that the file proves it."""
    hit_at_night(playwright, yard, tmp_path)
    desk = at_a_desk(playwright, yard, "Ruth Ashby", 1280).pages[0]
    expect(desk.locator("#hook-H4")).to_contain_text("Out of service")
    desk.goto(f"{yard.address}/truck/H4")
    expect(desk.get_by_text("The record up to it is as it was sealed")).to_be_visible()
    card = words_of(desk, yard, "/truck/H4/print/out")
    assert "Do not drive" in card
    assert "clamp caught rack 14 while turning in the dark" in card

    mechanic = at_a_desk(playwright, yard, MECHANIC, 360).pages[0]
    looked_over_by_the_outside_mechanic(mechanic, yard)
    examined(desk, yard)
    with yard.office() as office:
        assert truck(office, "H4", office.clock()).state.code == "out-of-service"
    mechanic.goto(f"{yard.address}/truck/H4/release")
    mechanic.get_by_label("What was tested, and held").fill("brake test, road test")
    assert fits(mechanic)
    mechanic.locator("main form button").last.click()
    expect(mechanic.get_by_text("Noted:")).to_be_visible()

    file = words_of(desk, yard, "/truck/H4/print/file")
    for text in (
        "The record up to it is as it was sealed",
        "Looked over: the list ticked off whole Glen Tasker",
        "Examined anew, found fit: Report of thorough examination W-4711 Ruth Ashby",
        "Released Glen Tasker",
        "a refresher and a new evaluation",
        "Mill Lane clamp attachment",
        "hired in, Quayside Hire",
        "Verified when printed",
    ):
        assert text in file, text
    with yard.office() as office:
        assert office.store.verify() == ()
        now = truck(office, "H4", office.clock())
        assert now.state.code == "not-checked"  # released; the driver walks round it before he drives
    desk.context.browser.close()  # type: ignore[union-attr]
    mechanic.context.browser.close()  # type: ignore[union-attr]

"""The phone's other screens: a stop on the key board, take-over, end of shift, Spanish, plain http, the verdict."""

from __future__ import annotations

import json
import re
from pathlib import Path
from random import Random

from playwright.sync_api import Page, Playwright, expect

from browser.phones import begin, in_order, phone, picture
from browser.yards import PASSPHRASE, Yard, served
from derive.builders import KIND, SHIFTS, ZONE, at, record, rules
from dipmark.derive.state import options_of
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import yard_now
from dipmark.facts.base import YARD, truck_book
from dipmark.facts.custody import HeldBy
from dipmark.facts.fault import Fault
from dipmark.facts.people import YardSet
from dipmark.facts.walk_round import WalkRound
from dipmark.office.enter import When, release, repair
from dipmark.views.compiled_sheet import compiled_sheet, in_ms, verdict
from dipmark.views.walk_round import check_list
from views.sheets import made_up, plain, walk_of, with_values

GENERATED = 5000
AT_ONCE = 500


def test_phone_and_yard_give_the_same_verdict(page: Page) -> None:
    rng, yard, rules_, done = Random(5000), yard_now(record(SHIFTS), at("2026-11-30")), rules(), 0
    seen: dict[str, int] = {}
    while done < GENERATED:
        cases, expected = [], []
        for _ in range(AT_ONCE):
            items, now = made_up(rng)
            truck = truck_now(items, rules_, yard, ZONE, now)
            assert truck is not None
            asked = check_list(rules_, KIND, options_of(truck.counting, KIND))
            sheet, asked = with_values(rng, compiled_sheet(truck, rules_, {}, now, ZONE, asked), asked)
            walk, later, celsius = (
                walk_of(rng, sheet, asked),
                in_ms(now) + rng.choice((0, 1, 10**9)),
                rng.randint(-30, 50),
            )
            said = verdict(sheet, asked, walk, later, celsius)
            seen[said.code] = seen.get(said.code, 0) + 1
            expected.append([said.code, list(said.why)])
            cases.append([plain(sheet), plain(asked), plain(walk), later, celsius])
        found = page.evaluate(
            """async (cases) => {
                const { verdict } = await import("/static/phone/verdict.js");
                const said = JSON.parse(cases).map((one) => verdict(...one));
                return JSON.stringify(said.map(({ code, why }) => [code, why]));
            }""",
            json.dumps(cases),
        )
        assert json.loads(found) == expected
        done += len(cases)
    assert min(seen.values()) > GENERATED / 50, seen


def test_a_stop_is_seen_on_the_key_board(page: Page, playwright: Playwright, yard: Yard, tmp_path: Path) -> None:
    with phone(playwright, yard, tmp_path / "desk", viewport={"width": 1440, "height": 900}) as office:
        board = office.pages[0]
        board.goto(f"{yard.address}/sign-in")
        board.get_by_label("Name, or the code").fill("Ruth Ashby")
        board.get_by_label("Passphrase").fill(PASSPHRASE)
        board.get_by_role("button", name="Sign in").click()
        hook = board.locator(".hook").filter(has=board.get_by_role("link", name="7", exact=True))
        expect(hook).to_contain_text("Not checked")
        begin(page, yard, "7", "Something is wrong", first=True)
        page.get_by_role("button", name="felt").click()
        page.get_by_role("button", name=re.compile("brake", re.IGNORECASE)).first.click()
        expect(page.get_by_text("Out of service").or_(page.get_by_text("Don't start")).first).to_be_visible()
        page.get_by_role("button", name="Report it").click()
        expect(page.get_by_text("taken by the yard")).to_be_visible()
        expect(page.get_by_text("Tell: Ruth Ashby.")).to_be_visible()
        expect(hook).to_contain_text("Out of service")


def test_take_over_and_end_of_shift_lean_on_the_walk_round(page: Page, yard: Yard) -> None:
    begin(page, yard, "7", "Take over", first=True)
    walk_on(page, "1250")
    expect(page.get_by_text("No walk-round covers this time.")).to_be_visible()
    page.get_by_role("button", name="Done").click()
    begin(page, yard, "7", "Walk-round before the shift")
    walk_on(page, "1250")
    page.get_by_role("button", name="I take the key").click()
    expect(page.get_by_role("button", name="7 Checked, nothing found")).to_be_visible()
    begin(page, yard, "7", "Take over", first=True, name="Carl Voss")
    walk_on(page, "1251")
    expect(page.get_by_role("heading", name="Checked, nothing found")).to_be_visible()
    page.get_by_role("button", name="Done").click()
    begin(page, yard, "7", "End of the shift", name="Carl Voss")
    walk_on(page, "1252")
    page.get_by_role("button", name="The key is on its hook").click()
    page.get_by_role("button", name="What was sent").click()
    expect(page.get_by_text("waiting to be sent")).to_have_count(0)
    with yard.office() as office:
        held = [item.fact.body for item in office.store.book(truck_book("7")) if isinstance(item.fact.body, HeldBy)]
    assert [one.who for one in held] == ["driver", "yard"]


def walk_on(page: Page, hours: str) -> None:
    page.get_by_label("Hours on the meter").fill(hours)
    page.get_by_role("button", name="Next").click()
    expect(page.locator("#onward")).to_be_visible()
    while page.locator("#onward").count():
        in_order(page)


def test_open_faults_come_first_and_are_never_retyped(page: Page, yard: Yard) -> None:
    begin(page, yard, "8", "Walk-round before the shift", first=True)
    expect(page.get_by_role("group", name="Seat torn")).to_be_visible()
    page.get_by_role("button", name="worse").click()
    walk_on(page, "1250")
    expect(page.get_by_role("heading", name="Out of service")).to_be_visible()
    expect(page.locator(".why")).to_contain_text("Seat torn: worse")
    expect(page.get_by_text("Take the key out, lock it away, tell the lead hand.")).to_be_visible()


def test_another_truck_is_named_that_is_like_it_and_checked(page: Page, yard: Yard) -> None:
    begin(page, yard, "7", "Walk-round before the shift", first=True)
    walk_on(page, "1250")
    page.get_by_role("button", name="Done").click()
    expect(page.get_by_role("button", name="7 Checked, nothing found")).to_be_visible()
    begin(page, yard, "8", "Something is wrong")
    page.get_by_role("button", name="Something else").click()
    page.get_by_label("What is wrong?").fill("It groans")
    page.get_by_role("button", name="Report it").click()
    expect(page.get_by_text("Take instead: Truck 7, Hall A.")).to_be_visible()


def test_a_truck_without_rules_can_be_reported_all_the_same(page: Page, yard: Yard) -> None:
    page.get_by_role("button", name="99 Not checked").click()
    expect(page.get_by_text("have no rules yet")).to_be_visible()
    expect(page.get_by_role("button", name="Walk-round")).to_have_count(0)
    page.get_by_role("button", name="Back").click()
    begin(page, yard, "99", "Something is wrong", first=True)
    page.get_by_role("button", name="Something else").click()
    page.get_by_label("What is wrong?").fill("It leaks gas")
    page.get_by_role("button", name="Report it").dblclick()
    expect(page.get_by_text("taken by the yard")).to_be_visible()
    with yard.office() as office:
        faults = [item.fact.body for item in office.store.book(truck_book("99")) if isinstance(item.fact.body, Fault)]
    assert [(fault.text, fault.seriousness) for fault in faults] == [("It leaks gas", "stop")]


def test_who_has_no_permit_is_told_not_you(page: Page, yard: Yard) -> None:
    page.get_by_role("button", name="12 ").click()
    page.get_by_role("button", name="Walk-round before the shift").click()
    page.get_by_label("Code on your badge").fill(yard.badges["Dan Pruett"].lower().replace("-", " "))
    page.get_by_role("button", name="Next").click()
    expect(page.get_by_text("Not you.")).to_be_visible()
    page.get_by_label("PIN").fill("111222")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_text("That is not the PIN.")).to_be_visible(timeout=20_000)


def test_the_same_photo_twice_is_not_taken(page: Page, yard: Yard, tmp_path: Path) -> None:
    photo = picture(tmp_path)
    begin(page, yard, "7", "Something is wrong", first=True)
    page.get_by_role("button", name="Something else").click()
    for said in ("Photo kept.", "This photo was used before."):
        page.locator("input[type=file]").set_input_files(photo)
        expect(page.get_by_text(said)).to_be_visible()
    (tmp_path / "no.jpg").write_bytes(b"no photo")
    page.locator("input[type=file]").set_input_files(tmp_path / "no.jpg")
    expect(page.get_by_text("That is no photo")).to_be_visible()


def test_what_is_put_right_on_the_spot_stops_nothing_and_is_written_down(page: Page, yard: Yard) -> None:
    begin(page, yard, "7", "Walk-round before the shift", first=True)
    page.get_by_label("Hours on the meter").fill("1250")
    page.get_by_role("button", name="Next").click()
    for _ in range(4):
        in_order(page)
    oil = page.get_by_role("group", name="Engine oil")
    oil.get_by_role("button", name="Fault").click()
    page.locator("input[value=low]").check()
    page.get_by_label("Topped up to between the marks").fill("topped up")
    page.get_by_role("textbox", name="How much", exact=True).fill("0,5")
    page.get_by_role("button", name="Keep this fault").click()
    expect(page.get_by_text("topped up: 0.5 l")).to_be_visible()
    while page.locator("#onward").count():
        in_order(page)
    expect(page.get_by_role("heading", name="Checked, nothing found")).to_be_visible()
    expect(page.get_by_text("taken by the yard")).to_be_visible()
    with yard.office() as office:
        body = office.store.book(truck_book("7"))[-1].fact.body
    assert isinstance(body, WalkRound)
    (fixed,) = [answer for answer in body.answers if answer.put_right]
    assert (fixed.put_right, str(fixed.amount), fixed.amount_unit) == ("topped up", "0.5", "l")


def test_who_reported_is_told_when_it_is_mended(page: Page, yard: Yard) -> None:
    begin(page, yard, "7", "Something is wrong", first=True)
    page.get_by_role("button", name="Something else").click()
    page.get_by_label("What is wrong?").fill("It groans")
    page.get_by_role("button", name="Report it").click()
    expect(page.get_by_text("taken by the yard")).to_be_visible()
    with yard.office() as office:
        now = When(office.clock())
        repair(office, "7", (), "greased", now, tests=("road-test",), hours=None)
        release(office, "7", now, tests=(), note=None)
    page.reload()
    page.get_by_role("button", name="What was sent").click()
    expect(page.get_by_text("It groans")).to_be_visible()
    page.reload()
    page.get_by_role("button", name="What was sent").click()
    expect(page.get_by_text("What you reported is mended.")).to_be_visible()


def test_in_spanish_from_the_list_to_the_verdict(page: Page, yard: Yard) -> None:
    page.get_by_label("Language").select_option("es")
    expect(page.get_by_role("heading", name="¿Qué carretilla?")).to_be_visible()
    assert page.locator("html").get_attribute("lang") == "es"
    page.get_by_role("button", name="7 Sin revisar").click()
    page.get_by_role("button", name="Vuelta antes del turno").click()
    page.get_by_label("Código de tu tarjeta").fill(yard.badges["Dan Pruett"])
    page.get_by_role("button", name="Siguiente").click()
    page.get_by_label("PIN").fill("482913")
    page.get_by_role("button", name="Empezar").click()
    page.get_by_label("Horas del contador").fill("1250")
    page.get_by_role("button", name="Siguiente").click()
    expect(page.locator("#onward")).to_be_visible()
    while page.locator("#onward").count():
        here = page.locator("h1").inner_text()
        for button in page.get_by_role("button", name="Bien", exact=True).all():
            button.click()
        if page.get_by_label("Presión de los neumáticos, bar").count():
            page.get_by_label("Presión de los neumáticos, bar").fill("8,5")
        if page.get_by_label("Letra de la plaquita").count():
            page.get_by_label("Letra de la plaquita").fill("a")
        page.locator("#onward").click()
        expect(page.locator("h1")).not_to_have_text(here)
    expect(page.get_by_role("heading", name="Revisada, nada encontrado")).to_be_visible()
    expect(page.get_by_text("Se puede girar la llave.")).to_be_visible()
    expect(page.get_by_text("Tarjeta en el volante o alguien debajo: no tocar.")).to_be_visible()


def test_on_plain_http_the_page_says_why_it_cannot(playwright: Playwright, tmp_path: Path) -> None:
    with served(tmp_path, secure=False) as yard, phone(playwright, yard, tmp_path / "phone") as context:
        page = context.pages[0]
        page.goto(f"{yard.address}/phone")
        expect(page.get_by_role("heading", name="This phone cannot work without network here")).to_be_visible()
        page.get_by_role("link", name="Phones and trust").click()
        expect(page.get_by_text("This page came over plain http.")).to_be_visible()


def test_a_phone_that_nobody_knows_is_told_so(playwright: Playwright, yard: Yard, tmp_path: Path) -> None:
    with phone(playwright, yard, tmp_path / "phone") as context:
        page = context.pages[0]
        page.goto(f"{yard.address}/phone")
        expect(page.get_by_text("This phone is not known in the yard.")).to_be_visible()


def test_whom_to_call_is_a_button(page: Page, yard: Yard) -> None:
    with yard.office() as office:
        office.append([office.fact(YARD, YardSet(telephone="+44 20 7946 0417"), office.clock())])
    page.reload()
    expect(page.get_by_role("heading", name="Which truck?")).to_be_visible()
    page.wait_for_function(
        """async () => (await import("/static/phone/yard.js")).telephone(Date.now()) === "+44 20 7946 0417" """
    )
    begin(page, yard, "7", "Something is wrong", first=True)
    page.get_by_role("button", name="Something else").click()
    page.get_by_label("What is wrong?").fill("It groans")
    page.get_by_role("button", name="Report it").click()
    call = page.get_by_role("link", name="Call +44 20 7946 0417")
    expect(call).to_have_attribute("href", "tel:+442079460417")
    box = call.bounding_box()
    assert box is not None
    assert box["height"] >= 56
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_number_of_a_shift_is_called_to_its_end(page: Page) -> None:
    said = page.evaluate("""async () => {
        const { telephone, yard } = await import("/static/phone/yard.js");
        const at = (always, own) => {
            yard.bundle = { telephone: always, shift_telephone: own };
            return [telephone(999), telephone(1000)];
        };
        const own = { number: "901", until: 1000 };
        return [at("900", own), at(null, own), at("900", null), at(null, null)];
    }""")
    assert said == [["901", "900"], ["901", None], ["900", "900"], [None, None]]


def test_links_on_truck_and_badge_open_the_right_screen(page: Page, yard: Yard) -> None:
    page.goto("about:blank")
    page.goto(f"{yard.address}/phone#badge={yard.badges['Dan Pruett']}")
    expect(page.get_by_role("heading", name="Which truck?")).to_be_visible()
    page.goto("about:blank")
    page.goto(f"{yard.address}/phone#truck=7")
    expect(page.get_by_role("heading", name="Truck 7")).to_be_visible()
    page.get_by_role("button", name="Full list").click()
    expect(page.get_by_role("button", name="Dan Pruett")).to_be_visible()

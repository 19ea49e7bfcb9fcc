"""The page of lessons: advice first, figures behind it, and who sees what of people."""

from __future__ import annotations

from decimal import Decimal

import msgspec
import pytest

from derive.builders import ZONE
from derive.lessons.made import fault, made, mends, walk, when
from dipmark.derive.lessons.vigilance import SIGNS, Shown, Sign
from dipmark.derive.lessons.yard import Lessons, lessons
from dipmark.facts.base import FactId, PersonKey
from dipmark.facts.measure import ToppedUp
from dipmark.facts.said import SAID
from dipmark.views.lessons import Row, Vigilance, Watcher, lessons_page, of_kind, vigilance, watched_in
from lessons.seeded import RULES, YARD

KIM, LEE, LEAD = PersonKey("p-kim"), PersonKey("p-lee"), PersonKey("p-lead")
NAMES = {KIM: "Kim", LEE: "Lee", LEAD: "Ruth"}


def shown(by: PersonKey, sign: Sign = "quick", marked: int = 30, said: bool = True) -> Shown:
    return Shown(
        by=by, sign=sign, marked=marked, of=40, others_marked=1, others_of=90, chance=1e-9, facts=(FactId("x"),),
        said=said,
    )  # fmt: skip


@pytest.fixture(scope="module")
def found() -> Lessons:
    oil = [(100 * number, ToppedUp(fluid="oil", amount=Decimal("0.5"), unit="l")) for number in range(1, 9)]
    reads = [(100 * number, walk()) for number in range(1, 9)]
    one = made((0, walk()), (100, fault()), (101, mends(2, minutes=60)), (150, fault()), *reads, *oil, name="1")
    two = made((0, walk()), (300, fault("horn.sound")), name="2")
    return lessons([one, two, made(name="3", end=0)], RULES, YARD, when(1000), ZONE)


def test_nothing_to_say_is_said(found: Lessons) -> None:
    page = lessons_page(found, RULES, NAMES, "GB", Watcher())
    (advice,) = page.advice
    assert advice.startswith("Nothing in this record asks for a change")
    assert advice.endswith("Of 2 of 2 trucks there is not enough to tell yet.")
    assert page.unheard == ("3",)
    assert [section.id for section in page.sections] == [
        "trucks", "bad", "intervals", "repairs", "kinds", "upkeep", "topups",
    ]  # fmt: skip
    assert not any(row.said for section in page.sections for row in section.rows)
    assert "at most once in 20" in page.method


def test_where_every_truck_tells_enough_no_waiting_is_asked_for(found: Lessons) -> None:
    sure = msgspec.structs.replace(found, wears=())
    (advice,) = lessons_page(sure, RULES, NAMES, "GB", Watcher()).advice
    assert advice.endswith("as they are.")
    nobody = msgspec.structs.replace(found, trucks=0)
    (advice,) = lessons_page(nobody, RULES, NAMES, "GB", Watcher()).advice
    assert advice.startswith("There is nothing to learn from yet")


def test_advice_is_the_surest_first_and_stands_first_in_its_section(found: Lessons) -> None:
    one, two = found.wears
    bad = msgspec.structs.replace(found.bad[0], said=True, chance=1e-9)
    said = msgspec.structs.replace(
        found, wears=(one, msgspec.structs.replace(two, said=True, chance=1e-3)), bad=(bad, found.bad[1])
    )
    page = lessons_page(said, RULES, NAMES, "GB", Watcher())
    assert [line.partition(":")[0][:13] for line in page.advice] == ["Truck 1 fails", "Truck 2 wears"]
    assert [row.said for row in page.sections[0].rows] == [True, False]


def test_the_numbers_stand_behind_the_words(found: Lessons) -> None:
    page = lessons_page(found, RULES, NAMES, "GB", Watcher())
    by_id = {section.id: section for section in page.sections}
    row: Row = by_id["trucks"].rows[0]
    assert (row.numbers["truck"], row.numbers["faults"], row.numbers["rate"]) == ("1", 2, 2)
    assert len(row.facts) == 2
    assert "law_beta" in row.numbers
    assert by_id["repairs"].rows[0].facts
    assert by_id["kinds"].rows[0].numbers["of"] == "kind"
    assert "mean_hours" not in by_id["kinds"].rows[0].numbers
    kind = page.curves[0]
    assert (kind.name, kind.hours, kind.at_risk) == ("reach truck", (100, 150, 300), (2, 2, 2))
    assert kind.value == pytest.approx((0.5, 1, 1.5))
    assert [(curve.name, curve.of, curve.unit) for curve in page.curves] == [
        ("reach truck", "kind", "faults a truck"),
        ("reach truck, lamp", "part", "faults a truck"),
        ("reach truck, horn", "part", "faults a truck"),
        ("reach truck, labour on faults", "labour", "h of labour a truck"),
    ]
    assert (kind.kind, kind.low, kind.high) == ("reach", (None,) * 3, (None,) * 3)
    assert msgspec.json.encode(page)


def test_limits_of_a_curve_stand_where_ten_trucks_are_watched() -> None:
    trucks = [made((0, walk()), (100 + name, fault()), end=200, name=str(name)) for name in range(10)]
    more = lessons([*trucks, made((0, walk()), (900, fault()), name="10")], RULES, YARD, when(1000), ZONE)
    curve = lessons_page(more, RULES, NAMES, "GB", Watcher()).curves[0]
    assert curve.at_risk == (*(11,) * 10, 1)
    assert None not in (*curve.low[:10], *curve.high[:10])
    assert (curve.low[10], curve.high[10]) == (None, None)


def test_a_kind_has_a_page_of_its_own(found: Lessons) -> None:
    one, two = found.wears
    said = msgspec.structs.replace(
        found, wears=(msgspec.structs.replace(one, said=True), msgspec.structs.replace(two, kind="pallet"))
    )
    page = lessons_page(said, RULES, NAMES, "GB", Watcher())
    reach, pallet = of_kind(page, "reach"), of_kind(page, "pallet")
    assert reach.advice == page.advice
    assert [len(section.rows) for section in reach.sections] == [1, 2, 1, 1, 4, 2, 1]
    assert reach.curves == page.curves
    assert (pallet.advice, [section.id for section in pallet.sections], pallet.curves) == ((), ["trucks"], ())
    assert of_kind(page, "airship").sections == ()


def test_every_row_has_a_cell_for_each_column(found: Lessons) -> None:
    for section in lessons_page(found, RULES, NAMES, "GB", Watcher()).sections:
        assert {len(row.cells) for row in section.rows} == {len(section.columns)}


def test_it_is_said_in_the_readers_language(found: Lessons) -> None:
    words = {english: f"«{english}»" for english in SAID}
    page = lessons_page(found, msgspec.structs.replace(RULES, words=words), NAMES, "GB", Watcher(KIM, all=True))
    told = [*page.advice, page.method, page.signs.note, *page.signs.posted, page.caution]
    for section in page.sections:
        told += [section.title, *section.columns, *(row.text for row in section.rows)]
        told += [section.fooled] if section.fooled else []
    told += [curve.unit for curve in page.curves]
    assert [text for text in told if not text.startswith(("«", "reach truck"))] == []
    assert vigilance([], NAMES, None, Watcher(), words.__getitem__).note.startswith("«Not shown")


def test_nobody_is_named_but_under_signs(found: Lessons) -> None:
    page = lessons_page(found, RULES, {PersonKey("mona"): "Mona Vale"}, "GB", Watcher(all=True))
    told = msgspec.json.encode((page.advice, page.sections, page.curves)).decode()
    assert "mona" not in told
    assert "Mona" not in told


def of(watcher: Watcher, country: str | None = "GB", *more: Shown) -> Vigilance:
    return vigilance([shown(KIM), shown(LEE, said=False), *more], NAMES, country, watcher)


def test_each_sees_his_own_and_the_lead_those_that_may_be_said() -> None:
    own = of(Watcher(KIM))
    assert [row.text.partition(":")[0] for row in own.own] == ["Kim"]
    assert own.others == ()
    lead = of(Watcher(LEAD, all=True))
    assert (lead.own, [row.text.partition(":")[0] for row in lead.others]) == ((), ["Kim"])
    both = of(Watcher(LEE, all=True))
    assert [row.text.partition(":")[0] for row in (*both.own, *both.others)] == ["Lee", "Kim"]
    nobody = of(Watcher())
    assert (nobody.own, nobody.others) == ((), ())
    assert nobody.on
    assert nobody.yard == ("60 of 80 sheets made too quickly to have walked. So many: look at the list, and at the time"
                           " given for it.",)  # fmt: skip


@pytest.mark.parametrize("country", ["DE", "DE-BY", "AT", "NL", None])
def test_off_where_a_works_council_must_agree(country: str | None) -> None:
    assert not watched_in(country)
    off = of(Watcher(KIM, all=True), country)
    assert (off.on, off.own, off.others, off.yard) == (False, (), (), ())
    assert "works council" in off.note
    assert of(Watcher(KIM, all=True, on=True), country).on
    assert len(off.posted) == len(SIGNS)


def test_off_where_the_yard_has_decided_so() -> None:
    assert watched_in("GB")
    assert "the yard has decided so" in of(Watcher(KIM, on=False)).note


def test_what_the_whole_yard_shows_names_nobody() -> None:
    found = of(Watcher(), "GB", shown(KIM, "missed", 3), shown(KIM, "nothing-found", 40), shown(KIM, "letter", 0))
    assert found.yard[1:] == ("3 of 40 faults called OK and found at the next service.",)

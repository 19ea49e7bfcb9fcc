"""The compiled sheet: its verdict is the state that the record derives, on sheets made up by thousands."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from random import Random

import msgspec
import pytest

from derive.builders import CHECKS, ENROLLED, KIND, SHIFTS, ZONE, at, record, rules, taken
from derive.measuring import PLATE, PRESSED, chain, pressed
from derive.measuring import RULES as MEASURED
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow, yard_now
from dipmark.facts.base import Accepted, Fact, PersonKey, Reading
from dipmark.facts.codec import fact_of
from dipmark.facts.walk_round import Answer, OpenFault, WalkRound
from dipmark.rules.model import Asked, Kind
from dipmark.views.compiled_sheet import (
    LETTERS,
    Sheet,
    compiled_sheet,
    in_ms,
    letter_of,
    place_asked,
    values_asked,
    verdict,
)
from dipmark.views.walk_round import CheckList, Cuts, check_list
from views.sheets import made_up, walk_of

NOW = "2026-11-20T05:30:00"


def stands(text: str, now: str = NOW, kind: Kind = KIND) -> tuple[TruckNow, Sheet, CheckList]:
    truck = truck_now(record(text), rules(kind), yard(), ZONE, at(now))
    assert truck is not None
    asked = check_list(rules(kind), kind, options_of(truck.counting, kind))
    return truck, compiled_sheet(truck, rules(kind), {PersonKey("lead"): "Ruth"}, at(now), ZONE, asked), asked


def yard() -> YardNow:
    return yard_now(record(SHIFTS), at("2026-11-30"))


def ms(now: str) -> int:
    return in_ms(at(now))


def clean(asked: CheckList, sheet: str = "shift", **other: Answer) -> WalkRound:
    answers = {one.id: Answer(check=one.id) for one in asked.checks(sheet)} | {one.check: one for one in other.values()}
    return WalkRound(answers=tuple(answers.values()), sheet=sheet)  # type: ignore[arg-type]


def code(text: str, walk: WalkRound | None = None, now: str = NOW, **fates: str) -> str:
    _, sheet, asked = stands(text, now)
    walk = walk or clean(asked)
    pairs = zip(sheet.faults, fates.values(), strict=False)
    open_faults = tuple(msgspec.convert({"fault": one.ref, "now": fate}, OpenFault) for one, fate in pairs)
    return verdict(sheet, asked, msgspec.structs.replace(walk, open_faults=open_faults), ms(now)).code


def test_the_verdict_is_what_the_record_derives() -> None:
    rng, seen = Random(20261), set()
    for number in range(1500):
        items, now = made_up(rng)
        before = truck_now(items, rules(), yard(), ZONE, now)
        assert before is not None
        asked = check_list(rules(), KIND, options_of(before.counting, KIND))
        sheet = compiled_sheet(before, rules(), {}, now, ZONE, asked)
        walk = walk_of(rng, sheet, asked)
        fact = fact_of(f"00000000-0000-7000-9000-{number:012x}", "truck:7", now, "dan", walk)
        after = truck_now(with_fact(items, fact), rules(), yard(), ZONE, now)
        assert after is not None
        said = verdict(sheet, asked, walk, in_ms(now))
        assert said.code == after.state.code, (number, said, after.state, walk, before.state)
        assert bool(said.why) == (said.code != "checked")
        seen.add((walk.sheet, said.code))
    assert len(seen) == 16, seen


def with_fact(items: tuple[Accepted, ...], fact: Fact) -> tuple[Accepted, ...]:
    return taken([*((item.fact, item.received) for item in items), (fact, fact.happened)])


FAULTY = f"""{ENROLLED}
fault truck:7 2026-11-18T06:00:00+01:00 lead
  text "seat torn"
  seriousness repair-by
  days 5
fault truck:7 2026-11-18T07:00:00+01:00 lead
  text "paint gone"
  seriousness watch
"""


def test_open_faults_weigh_the_same_worse_or_gone() -> None:
    assert code(FAULTY) == "restricted"
    assert code(FAULTY, None, NOW, a="worse") == "out-of-service"
    assert code(FAULTY, None, NOW, a="gone", b="gone") == "restricted"
    assert code(FAULTY, None, NOW, a="same", b="worse") == "out-of-service"
    _, sheet, asked = stands(FAULTY)
    assert [(fault.ranks, fault.words) for fault in sheet.faults] == [
        ((1, 3, 1), "Repair by"),
        ((0, 3, 0), "Watch"),
    ]
    assert sheet.faults[0].by == "Ruth"
    walk, due = clean(asked), sheet.faults[0].due
    assert due == ms("2026-11-24T00:00:00")
    assert verdict(sheet, asked, walk, due - 1).code == "restricted"
    assert verdict(sheet, asked, walk, due).why == (sheet.faults[0].ref,)


def test_cards_and_locks_stand_on_it() -> None:
    text = f"""{ENROLLED}
out-of-service truck:7 2026-11-18T06:00:00+01:00 lead
  reason "bent fork"
work-begun truck:7 2026-11-18T06:10:00+01:00 lead
held-by truck:7 2026-11-18T06:20:00+01:00 lead
  who driver
  person dan
  place "Hall C"
"""
    _, sheet, asked = stands(text)
    assert (sheet.cards, sheet.lock, sheet.free, sheet.place) == (("bent fork",), "Ruth", False, "Hall C")
    assert sheet.start.rank == 3
    assert "bent fork" in sheet.start.reasons[0]
    assert verdict(sheet, asked, clean(asked), ms(NOW)).why == ("start",)


def test_a_take_over_leans_on_the_walk_round_before_it() -> None:
    text = f"""{ENROLLED}
walk-round truck:7 2026-11-20T05:10:00+01:00 dan
"""
    _, sheet, asked = stands(text)
    over = clean(asked, "take-over")
    assert sheet.start.covered == ms("2026-11-20T14:00:00")
    assert verdict(sheet, asked, over, ms("2026-11-20T13:59:59")).code == "checked"
    assert verdict(sheet, asked, over, ms("2026-11-20T14:00:00")).why == ("cover",)
    assert code(ENROLLED, clean(asked, "take-over")) == "not-checked"


def test_where_the_start_may_have_got_worse_the_phone_does_not_say_checked() -> None:
    text = f"""{ENROLLED}
worked truck:7 2026-06-20T05:10:00+02:00 lead
  services - 900h
"""
    _, sheet, asked = stands(text)
    until = sheet.start.until
    assert until is not None
    assert verdict(sheet, asked, clean(asked), until - 1).code == "checked"
    assert verdict(sheet, asked, clean(asked), until).why == ("start",)


def test_hours_read_can_make_a_service_late() -> None:
    text = f"""{ENROLLED}
worked truck:7 2026-08-20T05:10:00+02:00 lead
  services - 900h
  meter {{"hours": "100"}}
meter-read truck:7 2026-11-19T05:10:00+01:00 dan
  hours 1000
"""
    _, sheet, asked = stands(text)
    assert sheet.meter.cuts == Cuts(at=((1_025_000_001,),), ranks=(0, 3), places=6)
    assert (sheet.meter.last, sheet.meter.read) == ("1000", ms("2026-11-19T05:10:00+01:00"))
    for hours, said in (("1025", "checked"), ("1025.000001", "out-of-service")):
        walk = msgspec.structs.replace(clean(asked), meter=Reading(hours=Decimal(hours)))
        assert verdict(sheet, asked, walk, ms(NOW)).code == said


def test_a_value_asked_for_tips_at_its_cut_points() -> None:
    _, sheet, asked = stands(ENROLLED, NOW, asking(1))
    assert sheet.cuts == {}
    cuts = Cuts(at=((600, 700), (650, 750)), ranks=(3, 1, 0), places=2, coldest=20)
    sheet = msgspec.structs.replace(sheet, cuts={"tyre.pressure": cuts})
    for value, celsius, said in (
        ("5.99", 20, "out-of-service"),
        ("6.00", 20, "restricted"),
        ("6.00", 21, "out-of-service"),
        ("7.00", -5, "checked"),
        ("7.49", 99, "restricted"),
        ("7.499", 99, "restricted"),
    ):
        answer = Answer(check="tyre.pressure", value=Decimal(value), unit="bar")
        assert verdict(sheet, asked, clean(asked, a=answer), ms(NOW), celsius).code == said


@pytest.mark.parametrize(
    ("symptom", "put_right", "value", "said"),
    [
        ("soft", "to 8 bar", "6.50", "checked"),
        ("soft", "to 8 bar", "5.00", "out-of-service"),
        ("soft", None, "9.00", "restricted"),
        ("flat", "to 8 bar", "9.00", "out-of-service"),
        (None, "to 8 bar", "9.00", "out-of-service"),
    ],
)
def test_what_is_put_right_does_nothing_unless_the_value_stops(
    symptom: str | None, put_right: str | None, value: str, said: str
) -> None:
    _, sheet, asked = stands(ENROLLED, NOW, asking(1))
    sheet = msgspec.structs.replace(sheet, cuts={"tyre.pressure": Cuts(at=((600, 700),), ranks=(3, 1, 0), places=2)})
    found = Answer(
        check="tyre.pressure", mark="fault", symptom=symptom, put_right=put_right, value=Decimal(value), unit="bar"
    )
    assert verdict(sheet, asked, clean(asked, a=found), ms(NOW)).code == said


def asking(count: int) -> Kind:
    checks = tuple(
        msgspec.structs.replace(one, asked=Asked(quantity=f"brake-{number}", unit="bar")) if number < count else one
        for number, one in enumerate(CHECKS)
    )
    return msgspec.structs.replace(KIND, checks=checks)


def test_a_pressure_tips_where_the_record_would_have_it() -> None:
    """Source: 29 CFR 1910.177(f): 80 % of 8 bar (6.4) or less is not inflated on the truck; below 8: practice."""
    text = ENROLLED + PLATE + pressed("2026-11-10", "8.1") + chain("2026-11-11", "509")
    truck = truck_now(record(text), MEASURED, yard(), ZONE, at(NOW))
    assert truck is not None
    asked = check_list(MEASURED, PRESSED, options_of(truck.counting, PRESSED))
    sheet = compiled_sheet(truck, MEASURED, {}, at(NOW), ZONE, asked)
    assert sheet.cuts == {"tyre.pressure": Cuts(at=((65, 80),), ranks=(3, 1, 0), places=1)}


def test_values_and_letters_take_turns_by_day() -> None:
    _, sheet, asked = stands(ENROLLED, NOW, asking(3))
    days = [date(2026, 11, 20) + timedelta(days=one) for one in range(3)]
    turns = [values_asked(sheet, asked, day) for day in days]
    assert {len(turn) for turn in turns} == {2}
    assert len(set(turns)) == 3
    assert values_asked(*stands(ENROLLED, NOW, asking(1))[1:], days[0]) == ("tyre.pressure",)
    assert values_asked(*stands(ENROLLED)[1:], days[0]) == ()
    assert place_asked(sheet.book, asked, days[0]) == "front"
    assert letter_of(sheet.book, "front") == letter_of(sheet.book, "front")
    letters = {letter_of(sheet.book, f"place {number}") for number in range(200)}
    assert letters == set(LETTERS)


def test_what_stands_in_for_a_truck_is_like_it() -> None:
    assert stands(ENROLLED)[1].like == ""
    text = ENROLLED + "  capacity_kg 2500\n  options - seat-belt\n"
    assert stands(text)[1].like == "engine-pneumatic-lpg|2500|"
    plate = f"""{text}
plate-read truck:7 2026-11-18T06:00:00+01:00 lead
  values - {{"name": "lift-height", "value": "4500", "unit": "mm"}}
"""
    assert stands(plate)[1].like == "engine-pneumatic-lpg|2500|4500"


def test_a_kind_without_rules_has_no_list_and_is_never_checked() -> None:
    items = record("enrolled truck:9 2026-01-01T06:00:00+01:00 lead\n  what airship\n")
    truck = truck_now(items, rules(), yard(), ZONE, at(NOW))
    assert truck is not None
    sheet = compiled_sheet(truck, rules(), {}, at(NOW), ZONE, None)
    assert (sheet.list, sheet.kind_text, sheet.start.rank, sheet.like) == (None, "airship", 2, "")
    assert sheet.meter.last is None


def test_the_worst_counts_where_nobody_named_a_symptom() -> None:
    _, sheet, asked = stands(ENROLLED)
    lamp = Answer(check="lamp.work", mark="fault")
    assert verdict(sheet, asked, clean(asked, a=lamp), ms(NOW)).code == "restricted"
    soft = Answer(check="tyre.pressure", mark="fault", symptom="soft", put_right="to 8 bar")
    assert verdict(sheet, asked, clean(asked, a=soft), ms(NOW)).code == "checked"

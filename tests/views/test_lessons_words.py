"""The sentences of the lessons, each of them once."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from derive.lessons.made import fault, mends, seen, walk, when
from dipmark.derive.cost import EconomicLife, NextYear
from dipmark.derive.lessons.intervals import Interval, Price, intervals
from dipmark.derive.lessons.parts import Part, part_lives
from dipmark.derive.lessons.repeats import Missed, Returns, returns
from dipmark.derive.lessons.upkeep import Life, Upkeep, YearSpent
from dipmark.derive.lessons.wearing import Bad, Wears, bad_ones, fails, wears
from dipmark.derive.reliability.life import Law
from dipmark.derive.reliability.life_limits import Limits
from dipmark.facts.kinds import AnyBody
from dipmark.facts.work import PartUsed, Worked
from dipmark.views.lessons_words import (
    LOOSER,
    bad_words,
    between,
    fails_words,
    figure,
    interval_words,
    missed_words,
    more_words,
    part_words,
    returns_words,
    upkeep_words,
    wears_words,
)
from lessons.seeded import RULES

replace = msgspec.structs.replace


@pytest.fixture(scope="module")
def interval() -> Interval:
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for spell in range(12):
        events += [(250 * spell + 200, fault(None)), (250 * (spell + 1), Worked(services=("250h",)))]
    (found,) = intervals([seen(*events, end=3000)], RULES)
    return replace(
        found, price=Price(60, 60, "min", 0.1), best=120.0, low=100.0, high=150.0, leans="shorter", chance=1e-6
    )


def test_an_interval(interval: Interval) -> None:
    name = "The 250h service (reach truck)"
    said = interval_words(replace(interval, said=True), RULES)
    assert said.startswith(
        "Do the 250h service (reach truck) sooner: at about 120 h (100 to 150), not every 250 h: late"
    )
    longer = interval_words(replace(interval, said=True, leans="longer", best=None), RULES)
    assert longer.startswith(f"{name} could wait longer than 250 h: late")
    assert "try it at 312 h, and look again" in longer
    assert longer.endswith(LOOSER)
    hint = "The 250h service (reach truck), done every 250 h: services and faults together cost least at about 120 h"
    assert interval_words(interval, RULES).startswith(hint)
    assert interval_words(replace(interval, low=300.0, high=None), RULES).startswith(hint)
    kept = interval_words(replace(interval, high=260.0), RULES)
    assert kept.startswith("Keep the 250h service (reach truck) at 250 h: services and faults together cost least")
    assert "faults come no faster late" in interval_words(replace(interval, best=None, low=None, high=None), RULES)
    waits = (
        f"{name}: not enough to tell: 12 faults between services in 3,000 h; with about 900 more hours of such trucks"
    )
    assert interval_words(replace(interval, more=900.0), RULES).startswith(waits)
    assert interval_words(replace(interval, more=900.0, leans=None), RULES).startswith(waits)
    blank = replace(interval, leans=None, price=None, more=None)
    assert "written down too seldom" in interval_words(blank, RULES)
    unruled = interval_words(blank, replace(RULES, kinds={}))
    assert unruled.startswith("The 250h service (reach): not enough")


def wearing(**changed: Any) -> Wears:
    (one,) = wears([seen((0, walk()), (400, fault(None)), (600, fault(None)), (700, fault(None)))], 0.05)
    return replace(one, **changed)


def test_wear() -> None:
    so_far = "3 faults in 1,000 h, 3.0 in 1,000 h (0.82 to 7.8)"
    said = wears_words(wearing(said=True))
    assert said.startswith(f"Truck 1 wears out: its faults come closer and closer together. {so_far}. About ")
    assert said.endswith(" in the next 1,000 h.")
    assert wears_words(wearing(said=True, law=None)).endswith("(0.82 to 7.8).")
    assert wears_words(wearing(more=None)) == f"Truck 1: no wear to be seen; {so_far}."
    assert "with about 4,000 more hours it would be." in wears_words(wearing(more=4000.0))
    assert wears_words(wearing(faults=0, more=None)).startswith("Truck 1: not enough to tell: 0 faults")


def test_a_bad_truck() -> None:
    one, _ = bad_ones([seen((0, walk()), (10, fault()), (20, fault(None))), seen((0, walk()), (9, fault()), name="2")])
    assert bad_words(one).startswith("Truck 1 fails 2.0 times as often as the others of its kind (")
    assert bad_words(replace(one, said=True)).endswith(" Most of it: lamp 1, other 1.")
    none: Bad = replace(one, times=None)
    assert bad_words(none) == "Truck 1: the others of its kind had no fault, it had 2."


def test_a_part() -> None:
    hose = (PartUsed(part="lift hose"),)
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for at in (100, 250, 420):
        events += [(at, fault(None)), (at, mends(len(events) + 1, parts=hose))]
    (one,) = part_lives([seen(*events)])
    name = "The lift hose (reach truck)"
    assert part_words(one, RULES).startswith(f"{name}: not enough to tell: 3 failures in 1,000 h")
    whole: Part = replace(
        one, law=Law("weibull", 3.0, 200.0, -1), limits=Limits(1.5, 4.0, 150, 250, "calibrated"), tenth=94.5, said=True,
        ahead=((2.0, None), (5.0, 120.0)),
    )  # fmt: skip
    shape = "(shape 3.0 (1.5 to 4.0), 3 failures in 1,000 h)"
    said = f"{name} wears out: one in ten has failed by 94.5 h {shape}."
    assert part_words(whole, RULES) == (
        f"{said} Renewing it ahead costs least at 120 h where a failure costs 5 times as much."
    )
    assert part_words(replace(whole, ahead=()), RULES) == said
    assert part_words(replace(whole, said=False), RULES) == f"{name} seems to wear out {shape}."
    chance = replace(whole, said=False, limits=Limits(0.8, 1.2, 150, 250, "calibrated"))
    assert "fails by chance as far as can be told" in part_words(chance, RULES)


def test_repairs_and_what_was_missed() -> None:
    (one,) = returns([seen((0, walk()), (10, fault("horn.sound")), (11, mends(2)), (20, fault("horn.sound")))])
    assert returns_words(one, RULES) == "Repairs of “Look at horn.sound” of truck 1: 1 of 1 was back within 100 h."
    many: Returns = replace(one, back=2, repairs=3, said=True, kind="unknown")
    assert returns_words(many, RULES).startswith("Repairs of “horn.sound” of truck 1 do not hold: 2 of 3 were back")
    late = Missed(
        truck="1", kind="reach", check="x", text="dry chain.", fault="f", work="w", sheet="s", by="p", hours=6.0  # type: ignore[arg-type]
    )  # fmt: skip
    assert missed_words(late) == "Truck 1: dry chain; found at work, called OK 6.0 h before."


def test_a_kind() -> None:
    whole, part, labour = fails([seen((0, walk()), (10, fault()), (11, mends(2, minutes=30)))])
    assert fails_words(whole, RULES).startswith("reach truck: 1 fault, 1.0 in 1,000 h (")
    assert fails_words(part, RULES).startswith("reach truck, lamp: 1 fault")
    assert fails_words(replace(labour, few=False), RULES) == (
        "reach truck: 0.50 h of labour on faults a truck, 1 truck, 1,000 h."
    )
    assert fails_words(labour, RULES).endswith("too few trucks for limits of the curve.")


def test_what_a_truck_takes() -> None:
    year = YearSpent(start=when(0), hours=1000, minutes=600, costs={"EUR": 500}, jobs=4, unpriced=1)
    one = Upkeep(
        truck="1", kind="reach", years=(year,), span=365, required=2000, by_shift=True, down=20, availability=0.99,
        stops=1, restore=10, life=None, because=(),
    )  # fmt: skip
    assert upkeep_words(one) == (
        "Truck 1: 1,000 h in 365 days, 10.0 h of labour (0.60 min an hour worked), 500 EUR (0.50 an hour worked), 1 of "
        "4 jobs without cost; available 99.0 % of its shifts; out of service once, on average 10.0 h until it was back."
    )
    idle = replace(year, hours=0, costs={}, unpriced=0)
    bare = upkeep_words(replace(one, years=(idle,), by_shift=False, stops=0, restore=None))
    assert bare == (
        "Truck 1: 0 h in 365 days, 10.0 h of labour, no cost written down; available 99.0 % of the whole time, for no "
        "shifts are known."
    )
    assert "5 EUR;" in upkeep_words(replace(one, years=(replace(year, hours=0, costs={"EUR": 5}, unpriced=0),)))
    life = Life(EconomicLife((9.0, 8.0), (9.0, 7.0), 2, 8000.0, last=True), NextYear("keep", 7000.0, 8000.0))
    kept = upkeep_words(replace(one, stops=3, life=life))
    assert "out of service 3 times" in kept
    assert kept.endswith(
        "It costs least a year kept 2 years, or longer: 8,000. Another year costs about 7,000: keep it."
    )
    sure = replace(life, kept=EconomicLife((8.0, 9.0), (8.0, 9.0), 1, 8000.0, last=False))
    assert "kept 1 year: 8,000." in upkeep_words(replace(one, life=sure))


def test_numbers() -> None:
    assert [figure(value) for value in (0, 0.05, 0.5, 5, 50, 5000)] == ["0", "0.050", "0.50", "5.0", "50.0", "5,000"]
    assert between(None, 2) == "(0 to 2.0)"
    assert more_words(200_000, 1000, "1 fault") == "not enough to tell: 1 fault."

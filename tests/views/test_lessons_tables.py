"""The cells of each answer: figures in words, a dash where nothing is known."""

from __future__ import annotations

import msgspec
import pytest

from derive.lessons.made import fault, mends, seen, walk, when
from dipmark.derive.lessons.intervals import Interval, Price
from dipmark.derive.lessons.parts import Part, part_lives
from dipmark.derive.lessons.repeats import Missed, returns
from dipmark.derive.lessons.upkeep import Upkeep, YearSpent
from dipmark.derive.lessons.wearing import bad_ones, fails, wears
from dipmark.derive.lessons.yard import TopUp
from dipmark.derive.reliability.life import Law
from dipmark.derive.reliability.life_limits import Limits
from dipmark.facts.kinds import AnyBody
from dipmark.facts.work import PartUsed
from dipmark.views.lessons_tables import COLUMNS, cells, limits
from lessons.seeded import RULES

replace = msgspec.structs.replace


def test_a_truck_and_its_wear() -> None:
    (one,) = wears([seen((0, walk()), (400, fault(None)), (600, fault(None)))], 0.05)
    assert cells(replace(one, more=None), RULES) == ("1", "1,000", "2", "2.0 (0.36 to 6.3)", "enough")
    assert cells(replace(one, more=4000.0), RULES)[4] == "about 4,000 h more"
    assert cells(replace(one, more=200_000.0), RULES)[4] == "–"
    assert cells(replace(one, faults=0, more=None), RULES)[4] == "–"


def test_a_bad_truck() -> None:
    one, two = bad_ones(
        [seen((0, walk()), (10, fault()), (20, fault(None))), seen((0, walk()), (9, fault()), name="2")]
    )
    assert cells(one, RULES) == ("1", limits(2.0, one.low, one.high), "lamp 1, other 1")
    assert cells(replace(two, times=None, worst=()), RULES) == ("2", "–", "–")


def test_an_interval() -> None:
    one = Interval(
        kind="reach", service="250h", ruled=250.0, done=240.0, spells=9, hours=3000.0, faults=12, early=(1.0, 0.5, 2.0),
        late=(7.0, 5.0, 9.0), steady=0.1, price=Price(60, 60, "min", 0.1), best=120.0, low=100.0, high=None,
        leans="shorter", chance=1e-6, more=None,
    )  # fmt: skip
    told = (
        "250h, reach truck",
        "240 h",
        "12",
        "1.0 (0.50 to 2.0)",
        "7.0 (5.0 to 9.0)",
        "120 (100 or more) h",
        "enough",
    )
    assert cells(one, RULES) == told
    waits = cells(replace(one, done=None, leans=None, more=900.0), RULES)
    assert (waits[1], waits[5], waits[6]) == ("–", "–", "about 900 h more")
    assert cells(replace(one, more=900.0), RULES)[6] == "about 900 h more"
    assert cells(replace(one, more=900.0, said=True), RULES)[6] == "enough"


def test_a_part() -> None:
    hose = (PartUsed(part="lift hose"),)
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for at in (100, 250):
        events += [(at, fault(None)), (at, mends(len(events) + 1, parts=hose))]
    (one,) = part_lives([seen(*events)])
    told = ("lift hose, reach truck", "2", "1", "1,000", "–", "–")
    assert cells(replace(one, more=900.0), RULES) == (*told, "about 900 h more")
    whole: Part = replace(
        one, law=Law("weibull", 3.0, 200.0, -1), limits=Limits(1.5, 4.0, 150, 250, "calibrated"), tenth=94.5
    )
    assert cells(whole, RULES)[4:] == ("3.0 (1.5 to 4.0)", "94.5 h", "enough")


def test_repairs_what_was_missed_and_what_is_used() -> None:
    (one,) = returns([seen((0, walk()), (10, fault("horn.sound")), (11, mends(2)), (20, fault("horn.sound")))])
    assert cells(one, RULES) == ("1", "Look at horn.sound", "1", "1")
    late = Missed(
        truck="1", kind="reach", check="x", text="dry chain.", fault="f", work="w", sheet="s", by="p", hours=6.0  # type: ignore[arg-type]
    )  # fmt: skip
    assert cells(late, RULES) == ("1", "dry chain", "6.0 h")
    oil = TopUp(truck="1", kind="reach", fluid="oil", per_100h=0.5, text="It uses 0.50 l in 100 h.", since=None)
    assert cells(oil, RULES) == ("1", "oil", "It uses 0.50 l in 100 h.")


def test_a_kind() -> None:
    whole, part, labour = fails([seen((0, walk()), (10, fault()), (11, mends(2, minutes=30)))])
    assert cells(whole, RULES) == ("reach truck", "1", "1,000", "1", limits(1.0, whole.low, whole.high))
    assert cells(part, RULES)[0] == "reach truck, lamp"
    assert cells(labour, RULES) == ("reach truck, labour on faults", "1", "1,000", "–", "0.50 h a truck")


@pytest.mark.parametrize(("costs", "said"), [({}, "–"), ({"GBP": 1200.0, "EUR": 5.0}, "5 EUR, 1,200 GBP")])
def test_what_a_truck_takes(costs: dict[str, float], said: str) -> None:
    year = YearSpent(start=when(0), hours=1000, minutes=600, costs=costs, jobs=4, unpriced=1)
    one = Upkeep(
        truck="1", kind="reach", years=(year,), span=365, required=2000, by_shift=True, down=20, availability=0.99,
        stops=1, restore=10, life=None, because=(),
    )  # fmt: skip
    assert cells(one, RULES) == ("1", "1,000", "10.0 h", said, "99.0 %", "1", "10.0 h")
    assert cells(replace(one, restore=None), RULES)[6] == "–"


def test_every_question_has_its_columns() -> None:
    assert all(columns[0] for columns in COLUMNS.values())
    assert {len(columns) for columns in COLUMNS.values()} == {3, 4, 5, 7}

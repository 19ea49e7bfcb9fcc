"""All lessons of a yard together."""

from __future__ import annotations

from decimal import Decimal

from derive.builders import ZONE
from derive.lessons.made import fault, made, walk, when
from dipmark.derive.lessons.yard import PAGE, Finding, lessons
from dipmark.facts.measure import ToppedUp
from dipmark.facts.truck import Retired
from lessons.seeded import RULES, YARD


def test_a_yard_without_a_record() -> None:
    found = lessons([made(name="1", end=0)], RULES, YARD, when(0), ZONE)
    assert (found.trucks, found.unheard, found.asked) == (0, ("1",), 0)
    assert (found.wears, found.bad, found.fails, found.upkeep, found.signs) == ((), (), (), (), ())


def test_what_is_asked_is_counted_and_nothing_is_said_of_little() -> None:
    one = made((0, walk()), (100, fault(None)), (200, fault(None)), (400, fault(None)), name="1")
    two = made((0, walk()), (300, fault(None)), name="2")
    found = lessons([one, two], RULES, YARD, when(1000), ZONE)
    assert (found.trucks, found.unheard) == (2, ())
    findings: list[Finding] = [*found.wears, *found.bad, *found.intervals, *found.parts, *found.returns]
    asked = [one for one in findings if one.chance is not None]
    assert found.asked == len(asked) == 3
    assert not any(one.said for one in asked)
    assert [one.truck for one in found.upkeep] == ["1", "2"]
    sold = made((0, walk()), (900, Retired(how="sold")), name="2")
    assert [one.truck for one in lessons([one, sold], RULES, YARD, when(1000), ZONE).upkeep] == ["1"]
    assert PAGE == 0.05


def test_what_trucks_use() -> None:
    oil = [(100 * number, ToppedUp(fluid="engine oil", amount=Decimal("0.5"), unit="l")) for number in range(1, 9)]
    reads = [(100 * number, walk()) for number in range(1, 9)]
    leak = [(820 + 5 * number, ToppedUp(fluid="engine oil", amount=Decimal("0.5"), unit="l")) for number in range(9)]
    more = [(820 + 5 * number, walk()) for number in range(9)]
    truck = made((0, walk()), *reads, *oil, *more, *leak, end=1000)
    (use,) = lessons([truck], RULES, YARD, when(1000), ZONE).topups
    assert (use.truck, use.fluid) == ("1", "engine oil")
    assert use.since is not None
    steady = made((0, walk()), *reads, *oil, end=1000)
    (use,) = lessons([steady], RULES, YARD, when(1000), ZONE).topups
    assert use.since is None
    assert "0.50 l in 100 h" in use.text

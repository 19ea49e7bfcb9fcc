"""Does an interval pay? Against sums done by hand."""

from __future__ import annotations

from decimal import Decimal

import msgspec
import pytest

from derive.lessons.made import fault, fid, mends, seen, walk
from dipmark.derive.lessons.intervals import FEWEST_LONGER, intervals
from dipmark.derive.lessons.watched import Watched
from dipmark.facts.kinds import AnyBody
from dipmark.facts.work import Money, Worked
from dipmark.rules.model import Rules
from lessons.seeded import RULES

SPELLS = 20


def served(
    places: tuple[float, ...], *, service: int | None = 60, repair: int | None = 60, money: int | None = None
) -> Watched:
    """A truck served every 250 h, with faults at these hours of each of 20 spells, each mended at once."""
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for spell in range(SPELLS):
        for at in places:
            events.append((250 * spell + at, fault(None)))
            spread = 10 if spell % 2 else -10
            minutes = None if repair is None else repair + spread
            events.append((250 * spell + at, mends(len(events), minutes=minutes)))
        cost = None if money is None else Money(amount=Decimal(money + spell % 2), currency="EUR")
        minutes = None if service is None else service + (5 if spell % 2 else -5)
        events.append((250 * (spell + 1), Worked(services=("250h",), minutes=minutes, cost=cost)))
    return seen(*events, end=250 * SPELLS)


def test_late_faults_ask_for_a_shorter_interval() -> None:
    (one,) = intervals([served((100, 200, 225, 245))], RULES)
    lean = 2 * (100 + 200 + 225 + 245) / 250 - 4
    rise = 3 * lean / 250**2
    assert (one.kind, one.service, one.ruled, one.done, one.spells) == ("reach", "250h", 250, 250, SPELLS)
    assert (one.hours, one.faults) == (5000, 80)
    assert one.price is not None
    assert (one.price.service, one.price.fault, one.price.unit) == (60, 60, "min")
    assert one.best == pytest.approx((1 / rise) ** 0.5)
    assert one.leans == "shorter"
    assert one.chance is not None
    assert one.chance < 1e-6
    assert one.early[0] == pytest.approx(2000 * 20 / 5000)
    assert one.late[0] == pytest.approx(2000 * 60 / 5000)
    assert one.steady < 1e-6
    assert one.more is None


def test_a_dear_service_may_be_done_less_often() -> None:
    (one,) = intervals([served((20, 130, 220), service=600)], RULES)
    assert one.leans == "longer"
    assert one.chance is not None
    assert one.chance < 1e-3
    (few,) = intervals([served((130,), service=600)], RULES)
    assert few.faults < FEWEST_LONGER
    assert (few.leans, few.chance) == (None, 1)
    assert few.more == pytest.approx(5000 * (FEWEST_LONGER / 20 - 1))


def test_where_the_rate_does_not_rise_no_interval_is_best() -> None:
    (one,) = intervals([served((20, 120, 180))], RULES)
    assert (one.best, one.high) == (None, None)


def test_money_goes_before_labour() -> None:
    (one,) = intervals([served((100, 200), money=300)], RULES)
    assert one.price is not None
    assert one.price.unit == "min"  # repairs have no money
    (unknown,) = intervals([served((100, 200), repair=None)], RULES)
    assert (unknown.price, unknown.leans, unknown.chance) == (None, None, None)
    assert unknown.more is None


def test_money_is_taken_where_both_have_it() -> None:
    cost = Money(amount=Decimal(30), currency="EUR")
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for spell in range(4):
        at = 250 * spell + 200
        events += [(at, fault(None)), (at, Worked(mends=(fid("1", len(events) + 1),), cost=cost))]  # type: ignore[arg-type]
        events.append((250 * (spell + 1), Worked(services=("250h",), cost=Money(amount=Decimal(90), currency="EUR"))))
    (one,) = intervals([seen(*events, end=1100)], RULES)
    assert one.price is not None
    assert (one.price.unit, one.price.ratio, one.price.error) == ("EUR", 3, 0)
    assert one.more == pytest.approx(1100 * 6 / 4)  # four faults, and ten are wanted


def test_a_short_record_says_how_long_to_wait() -> None:
    # Faults are ten times as dear as services, and 24 of them are too few to tell one half too long from a right one.
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for spell in range(24):
        at = 250 * spell + (240 if spell % 3 else 10)
        events += [(at, fault(None)), (at, mends(len(events) + 1, minutes=590 + spell))]
        events.append((250 * (spell + 1), Worked(services=("250h",), minutes=60 + spell % 2)))
    (one,) = intervals([seen(*events, end=6000)], RULES)
    assert one.leans == "shorter"
    assert one.more is not None
    assert one.more > 0


def test_faults_found_at_work_and_before_the_first_service_known_are_left_out() -> None:
    service = Worked(services=("250h",), minutes=60)
    old = seen((40, walk()), (50, fault()), (200, service), (200, fault("horn.sound", fid("1", 3))), end=400, new=False)
    (one,) = intervals([old], RULES)
    assert (one.spells, one.faults, one.done, one.hours) == (1, 0, None, 200)
    assert (one.steady, one.more, one.early[0]) == (1, None, 0)


def test_two_services_of_one_visit_are_no_spell() -> None:
    service = Worked(services=("250h",), minutes=60)
    (one,) = intervals([seen((0, walk()), (240, service), (240.5, service), end=400)], RULES)
    assert (one.spells, one.done, one.hours) == (2, 240, 240 + 159.5)


def test_what_has_no_hours_no_rules_or_no_service_is_not_asked() -> None:
    kind = RULES.kinds["reach"]
    (service,) = kind.services
    once = msgspec.structs.replace(service, id="50h", once=True)
    months = msgspec.structs.replace(service, id="12mo", interval_hours=None)
    walk_round = msgspec.structs.replace(service, id="8h")
    others = msgspec.structs.replace(kind, services=(walk_round, once, months, service))
    rules: Rules = msgspec.structs.replace(RULES, kinds={"reach": others})
    truck = seen((40, walk()), end=400, new=False)
    assert intervals([truck], rules) == ()
    assert intervals([truck], msgspec.structs.replace(RULES, kinds={})) == ()

"""What a truck takes: labour, money, standstill, and keeping it for another year."""

from __future__ import annotations

from datetime import date, time, timedelta
from decimal import Decimal

import msgspec
import pytest

from derive.builders import ZONE
from derive.lessons.made import FIRST, fault, fid, made, walk, when
from dipmark.derive.cost import Year, economic_life
from dipmark.derive.lessons.upkeep import YEAR, Priced, Upkeep, stopped, upkeep
from dipmark.derive.lessons.watched import Watched, watched
from dipmark.facts.base import FaultRef
from dipmark.facts.document import Document
from dipmark.facts.fault import Fault, OutOfService, Released
from dipmark.facts.incident import Incident
from dipmark.facts.kinds import AnyBody
from dipmark.facts.people import Shift
from dipmark.facts.work import Money, Worked
from lessons.seeded import YARD


def euros(amount: int) -> Money:
    return Money(amount=Decimal(amount), currency="EUR")


def of(*events: tuple[float, AnyBody], end: float = 1000, new: bool = True) -> Watched:
    found = watched(made((0, walk()), *events, end=end, new=new))
    assert found is not None
    return found


def told(one: Watched, end: float = 1000, priced: Priced | None = None) -> Upkeep:
    (found,) = upkeep([one], YARD, when(end), ZONE, priced)
    return found


def test_labour_and_money_by_hours_worked() -> None:
    paper = Document(what="job-sheet", title="a", minutes=60, cost=euros(100))
    billed = Document(what="job-sheet", title="b", cost=euros(900))
    jobs: list[tuple[float, AnyBody]] = [
        (10, paper),
        (20, Worked(minutes=30, cost=euros(40), document=fid("1", 2))),
        (30, billed),
        (40, Worked(minutes=15)),
        (50, Document(what="insurance", title="c", cost=euros(5000))),
        (60, Worked(cost=Money(amount=Decimal(7), currency="GBP"))),
    ]
    one = told(of(*jobs))
    (year,) = one.years
    assert (year.hours, year.minutes, year.costs) == (1000, 45, {"EUR": 940, "GBP": 7})
    assert (year.jobs, year.unpriced) == (4, 1)
    assert one.span == pytest.approx(2000 / 24)
    assert (one.availability, one.stops, one.restore, one.by_shift) == (1, 0, None, False)


def test_out_of_service_from_card_or_fault_to_release() -> None:
    stops = Fault(text="brake", seriousness="stop", check="horn.sound")
    events: list[tuple[float, AnyBody]] = [
        (100, OutOfService(reason="leak")),  # 2
        (110, stops),  # 3
        (120, Released(clears=(FaultRef(fid("1", 2)),))),
        (130, Worked(mends=(FaultRef(fid("1", 3)),))),
        (140, Released(clears=(FaultRef(fid("1", 3)),))),
        (500, Incident(what="hit", text="rack")),
    ]
    one = of(*events)
    spans = [((begin - FIRST) / timedelta(hours=2), (end - FIRST) / timedelta(hours=2)) for begin, end, _ in
             stopped(one, when(1000))]  # fmt: skip
    assert sorted(spans) == [(100, 120), (110, 140), (500, 1000)]
    found = told(one)
    assert (found.stops, found.down, found.required) == (2, 80 + 1000, 2000)
    assert found.restore == pytest.approx(540)
    assert found.availability == pytest.approx(1 - 1080 / 2000)
    assert set(found.because) == {fid("1", 2), fid("1", 3), fid("1", 7)}


def test_a_fault_past_its_day_stops_the_truck_until_it_is_mended() -> None:
    soon = msgspec.structs.replace(fault(), days=1)
    one = of((10, soon), (12, msgspec.structs.replace(fault("horn.sound"), days=90)))
    ((begin, end, fact),) = list(stopped(one, when(1000)))
    assert (begin.date(), end, fact) == (date(2026, 1, 7), when(1000), fid("1", 2))
    mended = of((10, soon), (11, Worked(mends=(FaultRef(fid("1", 2)),))))
    assert list(stopped(mended, when(1000))) == []
    watch = of((10, Fault(text="dim", seriousness="watch", check="lamp.work")))
    assert list(stopped(watch, when(1000))) == []
    assert list(stopped(of((1000, OutOfService(reason="now"))), when(1000))) == []


def test_only_shifts_are_required_where_they_are_known() -> None:
    early = Shift(name="early", days=(1, 2, 3, 4, 5), start=time(6), end=time(14))
    night = Shift(name="night", days=(1,), start=time(22), end=time(6))
    yard = msgspec.structs.replace(YARD, shifts=(early, night), closed=(date(2026, 1, 6),))
    one = of((4, OutOfService(reason="leak")), (12, Released()), end=84)  # a week from a Monday at six
    (found,) = upkeep([one], yard, when(84), ZONE)
    assert found.by_shift
    assert found.required == pytest.approx(4 * 8 + 8)
    assert found.down == pytest.approx(8 - 8 + 8)  # the night shift of Monday; Tuesday is closed
    assert found.availability == pytest.approx(1 - found.down / found.required)
    idle = msgspec.structs.replace(YARD, shifts=(msgspec.structs.replace(early, days=(7,)),))
    (none,) = upkeep([of(end=6)], idle, when(6), ZONE)
    assert (none.required, none.availability) == (0, 1)


def test_a_truck_whose_record_has_not_begun_is_left_out() -> None:
    assert upkeep([of()], YARD, when(0), ZONE) == ()


def test_whole_years_are_told_and_priced() -> None:
    hours = YEAR / timedelta(hours=2)
    jobs: list[tuple[float, AnyBody]] = [(year * hours + 50, Worked(cost=euros(3000 + 1500 * year))) for year in (0, 1)]
    one = of(*jobs, end=2 * hours)
    priced = Priced(30000, 0.1, "EUR", 0.25)
    found = told(one, 2 * hours, priced)
    assert [year.costs["EUR"] for year in found.years] == [4500, 3000]
    assert found.life is not None
    assert found.life.kept == economic_life(30000, [Year(22500, 3000), Year(16875, 4500)], 0.1)
    assert found.life.next.marginal == pytest.approx(16875 * 1.1 - 16875 * 0.75 + 4500)
    assert found.life.next.choice == "keep"


def test_without_money_or_its_first_years_nothing_is_said_of_keeping() -> None:
    hours = YEAR / timedelta(hours=2)
    priced = Priced(30000, 0.1, "EUR")
    cost = Worked(cost=euros(5))
    assert told(of((50, cost), end=hours), hours, priced).life is not None
    assert told(of((50, Worked(minutes=5)), end=hours), hours, priced).life is None
    short = told(of((50, cost), end=0.5 * hours), 0.5 * hours, priced)
    assert (len(short.years), short.life) == (1, None)
    old = watched(made((100, walk()), (150, cost), end=1.5 * hours, new=False))
    assert old is not None
    assert told(old, 1.5 * hours, priced).life is None

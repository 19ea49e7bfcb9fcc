"""Trucks as the lessons see them: hours, faults once each, repairs, what came back, spells between services."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import msgspec
import pytest

from derive.lessons.made import fault, fid, made, mends, seen, walk, when
from dipmark.derive.lessons.watched import BACK, Odometer, resets_of, watched
from dipmark.facts.base import Reading
from dipmark.facts.meter import MeterRead
from dipmark.facts.walk_round import OpenFault, WalkRound
from dipmark.facts.work import Worked
from lessons.seeded import RULES


def test_hours_lie_on_straight_lines_between_readings() -> None:
    truck = made((100, MeterRead(hours=Decimal(100))), (200, MeterRead(hours=Decimal(200))), end=300)
    odometer = Odometer(truck.meters[0])
    assert odometer.at(when(150)) == pytest.approx(150)
    assert odometer.at(when(200)) == 200
    assert odometer.at(when(0) - timedelta(days=9)) == 0
    assert odometer.at(when(900)) == 300


def test_a_fact_without_a_good_reading_has_the_hours_of_its_time() -> None:
    bad = walk("lamp.work", meter=Reading(hours=Decimal(9000)))
    one = seen((100, walk()), (150, bad), (200, walk()), (300, walk()), end=400)
    (struck,) = one.struck
    assert struck.hours == pytest.approx(150)


def test_a_fault_seen_again_while_it_is_open_counts_once() -> None:
    one = seen((10, fault()), (20, walk("lamp.work")), (30, fault("horn.sound")), (40, mends(1)), (50, fault(None)))
    assert [(struck.hours, struck.part) for struck in one.struck] == [(10, "lamp"), (30, "horn"), (50, "other")]
    assert [struck.mended for struck in one.struck] == [40, None, None]


@pytest.mark.parametrize(("hours", "back"), [(20 + BACK, True), (21 + BACK, False)])
def test_a_fault_within_the_hours_after_its_repair_has_come_back(hours: float, back: bool) -> None:
    one = seen((10, fault()), (20, mends(1)), (hours, fault()), (500, fault("horn.sound")))
    assert [struck.back is not None for struck in one.struck] == [False, back, False]
    assert not back or str(one.struck[1].back) == fid("1", 1)


def test_what_went_by_itself_was_not_repaired() -> None:
    gone = WalkRound(open_faults=(OpenFault(fault=fid("1", 1), now="gone"),))  # type: ignore[arg-type]
    watch = fault().__class__(text="dim", seriousness="watch", check="lamp.work")
    one = seen((10, watch), (20, gone), (30, fault()))
    assert [(struck.mended, struck.back) for struck in one.struck] == [(None, None), (None, None)]


def test_what_was_found_at_work_is_no_fault_seen_in_use() -> None:
    one = seen((10, Worked(services=("250h",))), (10, fault(found_in=fid("1", 1))), (20, fault("horn.sound")))
    assert [struck.hours for struck in one.in_use] == [20]
    assert one.struck[0].found_in == fid("1", 1)


def test_the_watch_begins_with_the_first_walk_round_fault_or_work() -> None:
    one = seen((10, MeterRead(hours=Decimal(10))), (40, walk()), (90, walk()), end=100, new=False)
    assert (one.start, one.now, one.hours, one.from_new) == (40, 100, 60, False)
    assert one.since == when(40)
    assert seen((10, walk())).from_new


def test_spells_run_from_service_to_service() -> None:
    service = Worked(services=("250h",))
    works = ((1, walk()), (240, service), (260, Worked(services=("8h",))), (500, service))
    resets = frozenset({"250h"})
    assert list(seen(*works).spells(resets)) == [(0, 240, True), (240, 500, True), (500, 1000, False)]
    old = seen((40, walk()), *works[1:], end=500, new=False)
    assert list(old.spells(resets)) == [(240, 500, True)]
    assert list(seen((40, walk()), new=False).spells(resets)) == []


def test_without_hours_or_facts_nothing_is_learnt() -> None:
    assert watched(made(end=0, new=False)) is None
    assert watched(made()) is None
    assert watched(made((0, walk()), end=0)) is None
    truck = made((5, walk()), new=False)
    assert watched(truck) is not None
    unread = msgspec.structs.replace(truck.meters[0], good=())
    assert watched(msgspec.structs.replace(truck, meters=(unread,))) is None


def test_a_service_is_begun_anew_by_those_that_include_it() -> None:
    (service,) = RULES.kinds["reach"].services
    bigger = service.__class__(id="500h", text="500 h", tasks=(), includes=("250h",), source="practice", mark="seen")
    assert resets_of(service, (service, bigger)) == {"250h", "500h"}
    assert resets_of(bigger, (service, bigger)) == {"500h"}

"""Lives of parts from one renewal to the next."""

from __future__ import annotations

import pytest

from derive.lessons.made import fault, fid, mends, seen, walk
from dipmark.derive.lessons.parts import FEWEST, part_lives
from dipmark.derive.reliability.renewal import age
from dipmark.facts.kinds import AnyBody
from dipmark.facts.work import PartUsed, Worked

HOSE = (PartUsed(part="Lift hose"),)


def test_lives_run_from_renewal_to_renewal() -> None:
    events: list[tuple[float, AnyBody]] = [
        (0, walk()),
        (300, fault(None)),
        (300, mends(2, parts=HOSE, minutes=90)),
        (700, Worked(services=("250h",), parts=(PartUsed(part="lift  hose"), PartUsed(part="seal")), minutes=30)),
    ]
    (one,) = part_lives([seen(*events)])
    assert (one.kind, one.part, one.failed, one.running, one.hours) == ("reach", "Lift hose", 1, 2, 1000)
    assert (one.planned, one.failure) == (30, 90)
    assert (one.law, one.limits, one.tenth, one.ahead, one.chance) == (None, None, None, (), None)
    assert one.more is not None
    assert one.facts == (fid("1", 3), fid("1", 4))
    assert one.survival.hours.tolist() == [300]


def test_the_first_life_of_an_old_truck_is_not_known() -> None:
    renewed: list[tuple[float, AnyBody]] = [
        (400, fault(None)),
        (400, mends(2, parts=HOSE)),
        (700, fault(None)),
        (700, mends(4, parts=HOSE)),
    ]
    (one,) = part_lives([seen((50, walk()), *renewed, new=False)])
    assert (one.failed, one.running, one.hours) == (1, 1, 600)
    assert (one.planned, one.failure) == (None, None)


def test_an_old_truck_that_never_had_one_renewed_says_nothing() -> None:
    one = seen((0, walk()), (300, fault(None)), (300, mends(2, parts=HOSE)), (600, Worked(parts=HOSE)))
    old = seen((50, walk()), (90, walk()), name="2", new=False)
    (part,) = part_lives([one, old])
    assert (part.failed, part.running, part.hours) == (1, 2, 1000)


def test_a_part_that_never_failed_is_not_told() -> None:
    service = Worked(services=("250h",), parts=HOSE)
    assert part_lives([seen((0, walk()), (200, service), (400, service))]) == ()
    assert part_lives([seen((0, walk()), (300, fault(None)), (300, mends(2, parts=HOSE)))]) == ()


def test_wear_shows_in_a_few_lives() -> None:
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for at in (100, 205, 301, 410, 506, 604, 711, 808, 905):
        events += [(at, fault(None)), (at, mends(len(events) + 1, parts=HOSE))]
    (one,) = part_lives([seen(*events)])
    assert one.failed == 9
    assert one.law is not None
    assert one.limits is not None
    assert one.limits.shape_low > 1
    assert one.chance is not None
    assert one.chance < 1e-4
    assert one.tenth is not None
    assert one.tenth == pytest.approx(one.law.scale * 0.105360516 ** (1 / one.law.shape))
    times, hours = one.ahead[1]
    assert times == 5
    assert hours == age(one.law, 1, 5).hours


def test_few_failures_ask_for_more() -> None:
    events: list[tuple[float, AnyBody]] = [(0, walk())]
    for at in (100, 450, 600):
        events += [(at, fault(None)), (at, mends(len(events) + 1, parts=HOSE))]
    (one,) = part_lives([seen(*events)])
    assert one.failed < FEWEST
    assert one.law is not None
    assert (one.limits, one.chance) == (None, None)

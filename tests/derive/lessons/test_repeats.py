"""Repairs that do not hold, and what a walk-round should have found."""

from __future__ import annotations

import msgspec
import pytest
from scipy import stats

from derive.lessons.made import fault, fid, made, mends, seen, walk
from dipmark.derive.lessons.repeats import missed, returns
from dipmark.derive.lessons.watched import watched
from dipmark.facts.kinds import AnyBody
from dipmark.facts.work import Worked
from lessons.seeded import RULES


def repaired(*hours: float, check: str = "horn.sound", first: int = 1) -> list[tuple[float, AnyBody]]:
    """Faults of one check, each mended within an hour; the first stands at that place."""
    events: list[tuple[float, AnyBody]] = [(0, walk())] if first == 1 else []
    for at in hours:
        events.append((at, fault(check)))
        events.append((at + 1, mends(first + len(events) - 1)))
    return events


def test_repairs_whose_fault_is_back_soon() -> None:
    (one,) = returns([seen(*repaired(100, 120, 135, 800))])
    after = 19 + 14 + 100 + 100
    assert (one.truck, one.kind, one.check, one.repairs, one.back, one.other) == ("1", "reach", "horn.sound", 4, 2, 2)
    assert (one.after, one.other_hours) == (after, 1000 - after)
    assert one.chance == pytest.approx(stats.binomtest(2, 4, after / 1000, "greater").pvalue)
    assert one.works == (fid("1", 3), fid("1", 5))
    assert tuple(map(str, one.faults)) == (fid("1", 4), fid("1", 6))


def test_too_few_faults_are_not_asked() -> None:
    (one,) = returns([seen(*repaired(100, 120))])
    assert (one.back, one.chance) == (1, None)
    (last,) = returns([seen(*repaired(10, 500, 999))])
    assert last.after == 200


def test_a_fault_never_mended_and_one_of_no_check_have_no_repair() -> None:
    assert returns([seen((0, walk()), (10, fault()), (20, fault(None)), (30, mends(3)))]) == ()
    open_one = [*repaired(100, 500), (800, fault("horn.sound"))]
    (one,) = returns([seen(*open_one)])
    assert (one.repairs, one.other) == (2, 3)


def test_those_with_the_most_come_back_stand_first() -> None:
    few, many = seen(*repaired(100, 120), name="1"), seen((0, walk()), name="2")
    assert [one.truck for one in returns([many, few])] == ["1"]
    horn = repaired(100, 300, 500)
    lamp = repaired(700, 710, 720, check="lamp.work", first=1 + len(horn))
    found = returns([seen(*horn, *lamp)])
    assert [(one.check, one.back) for one in found] == [("lamp.work", 2), ("horn.sound", 0)]


def test_what_a_service_found_and_the_walk_round_had_called_ok() -> None:
    work = Worked(services=("250h",))
    events: list[tuple[float, AnyBody]] = [(100, walk()), (106, work), (106.1, fault("lamp.work", fid("1", 2)))]
    (one,) = missed([seen(*events)], RULES)
    assert (one.truck, one.check, one.work, one.sheet, one.by) == (
        "1", "lamp.work", fid("1", 2), fid("1", 1), "mona",
    )  # fmt: skip
    assert one.hours == pytest.approx(6.1)


@pytest.mark.parametrize(
    "events",
    [
        [(100, walk("lamp.work")), (106, Worked(services=("250h",))), (107, fault("horn.up", fid("1", 2)))],
        [(100, walk(asked=("horn.sound",))), (106, Worked()), (107, fault("lamp.work", fid("1", 2)))],
        [(106, Worked(services=("250h",))), (107, fault("lamp.work", fid("1", 1)))],
        [(100, walk()), (107, fault("lamp.work"))],
        [(100, walk()), (106, Worked()), (107, fault(None, fid("1", 2)))],
    ],
    ids=["unknown check", "not asked", "no sheet", "not at work", "no check"],
)
def test_what_nobody_had_called_ok_was_not_missed(events: list[tuple[float, AnyBody]]) -> None:
    assert missed([seen(*events)], RULES) == ()


def test_a_check_that_is_not_asked_each_shift_is_not_missed() -> None:
    kind = RULES.kinds["reach"]
    checks = tuple(msgspec.structs.replace(check, shift=False) for check in kind.checks)
    rules = msgspec.structs.replace(RULES, kinds={"reach": msgspec.structs.replace(kind, checks=checks)})
    truck = watched(made((100, walk()), (106, Worked()), (107, fault("lamp.work", fid("1", 2)))))
    assert truck is not None
    assert missed([truck], rules) == ()
    assert missed([truck], msgspec.structs.replace(RULES, kinds={})) == ()

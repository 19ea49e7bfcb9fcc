"""What the law forbids or demands, paragraph by paragraph."""

from __future__ import annotations

import pytest

from derive.builders import ENROLLED, at, fid, record, truck
from dipmark.derive.admit import admit

DAY = "2026-11-20"
WALK = f"\nwalk-round truck:7 {DAY}T06:00:00+01:00 ana\n"


def _state(text: str, clock: str = "12:00:00", day: str = DAY) -> str:
    return truck(ENROLLED + text, f"{day}T{clock}").state.code


def _pedal(mark: str) -> str:
    answer = '{"check": "brake.pedal", "mark": "' + mark + '", "symptom": "slack", "seriousness": "watch"}'
    return f"{WALK}  answers - {answer}\n"


# 29 CFR 1910.178(q)(7): examined before being placed in service, at least daily; not placed in service if the
# examination shows a condition that adversely affects the safety of the vehicle.


def test_q7_a_truck_is_examined_before_it_is_placed_in_service() -> None:
    assert _state("") == "not-checked"
    assert _state(WALK, "05:59:59") == "not-checked"
    assert _state(WALK, "06:00:00") == "checked"


def test_q7_at_least_daily() -> None:
    assert _state(WALK, "23:59:59") == "checked"
    assert _state(WALK, "00:00:00", "2026-11-21") == "not-checked"


def test_q7_where_it_is_used_round_the_clock_after_each_shift() -> None:
    from derive.builders import SHIFTS
    from dipmark.derive.yard import yard_now

    yard = yard_now(record(SHIFTS), at(DAY))
    for clock, code in (("13:59:59", "checked"), ("14:00:00", "not-checked")):
        assert truck(ENROLLED + WALK, f"{DAY}T{clock}", yard=yard).state.code == code


def test_q7_what_adversely_affects_safety_is_not_placed_in_service_however_lightly_it_was_marked() -> None:
    assert _state(_pedal("ok")) == "checked"
    assert _state(_pedal("fault")) == "out-of-service"


# 29 CFR 1910.178(p)(1): in need of repair, defective or in any way unsafe: out of service until restored.


def test_p1_out_of_service_until_restored_and_released() -> None:
    text = _pedal("fault")
    mended = text + f'\nworked truck:7 {DAY}T09:00:00+01:00 mia\n  mends - "{fid(2)}#brake.pedal"\n'
    mended += '  tests - {"test": "brake-test", "passed": true}\n'
    released = f"\nreleased truck:7 {DAY}T10:00:00+01:00 lead\n"
    assert _state(mended) == "out-of-service"
    assert _state(text + released) == "out-of-service"
    assert _state(mended + released) == "checked"
    assert _state(mended + released, "09:59:59") == "out-of-service"


@pytest.mark.parametrize("days", range(3))
def test_p1_a_day_gone_by_restores_nothing(days: int) -> None:
    day = f"2026-11-{20 + days}"
    again = WALK.replace(DAY, day)
    assert _state(_pedal("fault") + again, day=day) == "out-of-service"


# 29 CFR 1910.147(e)(3): each lock is removed by the employee who applied it.


def test_e3_a_lock_is_removed_by_the_one_who_applied_it() -> None:
    begun = f"\nwork-begun truck:7 {DAY}T07:00:00+01:00 mia\n"
    end = f"\nwork-ended truck:7 {DAY}T08:00:00+01:00 bob\n  begun {fid(2)}\n"
    before = truck(ENROLLED + begun, f"{DAY}T07:30:00")
    fact = record(ENROLLED + begun + end)[2].fact
    assert [problem.code for problem in admit(fact, before, record(ENROLLED + begun), at(f"{DAY}T08:00:00"))] == [
        "not-your-lock"
    ]
    assert [lock.by for lock in truck(ENROLLED + begun + end, f"{DAY}T12:00:00").locks] == ["mia"]
    assert truck(ENROLLED + begun + end.replace("bob", "mia"), f"{DAY}T12:00:00").locks == ()


def test_e3_an_exception_is_the_owners_and_written() -> None:
    begun = f"\nwork-begun truck:7 {DAY}T07:00:00+01:00 mia\n"
    end = f"\nwork-ended truck:7 {DAY}T08:00:00+01:00 lead\n  begun {fid(2)}\n"
    assert len(truck(ENROLLED + begun + end, f"{DAY}T12:00:00").locks) == 1
    assert truck(ENROLLED + begun + end + '  owners_exception "seen off the site"\n', f"{DAY}T12:00:00").locks == ()

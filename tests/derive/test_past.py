"""What counts: order, two times, corrections, withdrawals, what was known."""

from __future__ import annotations

from datetime import date, timedelta
from zoneinfo import ZoneInfo

from derive.builders import ENROLLED, LATER, at, counting, fid, record
from dipmark.derive.past import enrolled_in, past
from dipmark.facts.meter import MeterRead

TICK = timedelta(microseconds=1)

READ = """
meter-read truck:7 2026-02-01T07:00:00+01:00 ana
  hours 100.0
"""


def _hours(text: str, as_of: str | None = None) -> list[str]:
    return [str(one.body.hours) for one in counting(text, as_of) if isinstance(one.body, MeterRead)]


def test_a_fact_effective_exactly_at_as_of_counts_and_one_a_tick_later_does_not() -> None:
    items, instant = record(ENROLLED + READ), at("2026-02-01T07:00:00")
    assert [one.id for one in past(items, instant)] == [fid(1), fid(2)]
    assert [one.id for one in past(items, instant - TICK)] == [fid(1)]


def test_order_is_by_effective_time_then_id() -> None:
    early = READ.replace("02-01", "01-15")
    assert [one.id for one in counting(ENROLLED + READ + early + READ)] == [fid(1), fid(3), fid(2), fid(4)]


def test_a_clock_ahead_counts_from_the_receipt() -> None:
    text = ENROLLED + READ + "  @received 2026-01-20T07:00:00+01:00\n"
    read = counting(text)[-1]
    assert read.effective == at("2026-01-20T07:00:00")
    assert read.happened == at("2026-02-01T07:00:00")


def test_a_fact_received_late_counts_from_when_it_happened() -> None:
    text = ENROLLED + READ + "  @received 2026-03-01T07:00:00+01:00\n"
    assert counting(text)[-1].effective == at("2026-02-01T07:00:00")
    assert past(record(text), LATER, known=1) == past(record(text)[:1], LATER)


CORRECTED = f"""
corrected truck:7 2026-03-01T07:00:00+01:00 lead
  target {fid(2)}
  reason misread
  body {{"kind": "meter-read", "hours": "110.0"}}
"""


def test_a_correction_acts_at_its_targets_time_once_it_is_known() -> None:
    text = ENROLLED + READ + CORRECTED
    read = counting(text, "2026-02-02T00:00:00")[-1]
    assert isinstance(read.body, MeterRead)
    assert (str(read.body.hours), read.effective, read.by) == ("110.0", at("2026-02-01T07:00:00"), "ana")
    assert read.amended == (fid(3),)
    assert [one.body for one in past(record(text), LATER, known=2)][1] == record(text)[1].fact.body


def test_a_correction_may_change_time_whole_day_and_person() -> None:
    moved = CORRECTED + "  happened 2026-01-30T00:00:00+01:00\n  whole_day true\n  by bob\n"
    read = counting(ENROLLED + READ + moved)[-1]
    assert (read.effective, read.whole_day, read.by) == (at("2026-01-30T00:00:00"), True, "bob")
    assert _hours(ENROLLED + READ + moved, "2026-01-30T00:00:00") == ["110.0"]


def test_a_correction_never_makes_a_fact_later_than_its_receipt() -> None:
    moved = CORRECTED + "  happened 2026-12-01T00:00:00+01:00\n"
    assert counting(ENROLLED + READ + moved)[-1].effective == at("2026-02-01T07:00:00")


def test_of_several_corrections_the_last_made_counts_whatever_arrived_last() -> None:
    later = CORRECTED.replace("03-01", "03-05").replace("110.0", "120.0")
    assert _hours(ENROLLED + READ + CORRECTED + later) == ["120.0"]
    assert _hours(ENROLLED + READ + later + CORRECTED) == ["120.0"]


def test_a_correction_of_another_kind_changes_nothing() -> None:
    other = CORRECTED.replace('{"kind": "meter-read", "hours": "110.0"}', '{"kind": "retired", "how": "sold"}')
    assert _hours(ENROLLED + READ + other) == ["100.0"]


def _withdrawn(target: int, day: str = "03-02") -> str:
    return f"\nwithdrawn truck:7 2026-{day}T07:00:00+01:00 lead\n  target {fid(target)}\n  reason wrong\n"


def test_a_withdrawn_fact_never_was_and_twice_is_once() -> None:
    once = ENROLLED + READ + _withdrawn(2)
    assert _hours(once) == _hours(once + _withdrawn(2)) == []
    assert _hours(once, "2026-02-02T00:00:00") == []


def test_a_withdrawal_can_be_withdrawn_and_so_can_a_correction() -> None:
    assert _hours(ENROLLED + READ + _withdrawn(2) + _withdrawn(3, "03-03")) == ["100.0"]
    assert _hours(ENROLLED + READ + CORRECTED + _withdrawn(3)) == ["100.0"]


def test_one_withdrawal_of_two_withdrawn_leaves_the_other() -> None:
    text = ENROLLED + READ + _withdrawn(2) + _withdrawn(2) + _withdrawn(3, "03-03")
    assert _hours(text) == []


def test_enrolled_counts_from_the_first_fact_without_a_date() -> None:
    early = READ.replace("2026-02-01", "2025-06-01")
    first = counting(early + ENROLLED)[0]
    assert first.effective == at("2025-06-01T07:00:00+01:00")


def test_enrolled_counts_from_the_day_in_its_row_but_never_from_later_than_itself() -> None:
    assert counting(ENROLLED + "  commissioned 2024-05-01\n")[0].effective == at("2024-05-01T00:00:00+01:00")
    assert counting(ENROLLED + "  commissioned 2027-05-01\n")[0].effective == at("2026-01-01T06:00:00")


def test_the_last_enrolment_tells_what_it_is() -> None:
    found = enrolled_in(counting(ENROLLED))
    assert found is not None
    assert found.what == "engine-pneumatic-lpg"
    assert enrolled_in(counting(READ)) is None


def test_an_empty_book_has_no_past() -> None:
    assert past((), LATER) == ()


def test_a_date_stays_that_date_when_the_zone_is_set_later() -> None:
    text = "meter-read truck:7 2026-03-09T00:00:00+00:00/day ana\n  hours 5\n"
    (whole,) = counting(text)
    (instant,) = counting(text.replace("/day", ""))
    west = ZoneInfo("America/New_York")
    assert whole.day(west) == date(2026, 3, 9)
    assert instant.day(west) == date(2026, 3, 8)

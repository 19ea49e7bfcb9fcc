"""Hour meters against the figures of the check values, section 11."""

from __future__ import annotations

from decimal import Decimal

from derive.builders import ENROLLED, ZONE, counting
from dipmark.derive.meter import MeterLife, meters_of

FOUR = ENROLLED + '  meters - {"name": "main", "digits": 4}\n'


def _read(time: str, hours: str) -> str:
    return f"\nmeter-read truck:7 {time} ana\n  hours {hours}\n"


def _life(text: str) -> MeterLife:
    return meters_of(counting(text), ZONE)[0]


def test_9987_4_to_0012_9_on_four_digits_is_25_5_hours() -> None:
    # Check values 11: (b − a) mod 10^k, own example; the clock of two days allows it.
    life = _life(FOUR + _read("2026-02-02T06:00:00+01:00", "9987.4") + _read("2026-02-04T06:00:00+01:00", "0012.9"))
    first, last = life.good
    assert last.hours - first.hours == Decimal("25.5")
    assert life.hours == Decimal("10012.9")


def test_1250_hours_a_year_for_twenty_years_are_two_turns_of_a_four_digit_meter() -> None:
    # Check values 11: 1,250 h/yr × 20 yr = 25,000 h, own example.
    text = FOUR.replace("2026-01-01", "2006-01-01")
    for year in range(21):
        text += _read(f"{2006 + year}-01-02T06:00:00+01:00", f"{1250 * year % 10_000:04}.0")
    life = _life(text)
    assert life.doubtful == ()
    assert life.hours == Decimal("25000.0")
    assert sum(late.shown < early.shown for early, late in zip(life.good, life.good[1:], strict=False)) == 2


def test_a_reading_never_falls_and_a_day_never_has_more_than_24_hours() -> None:
    # Check values 11: sanity limit, own: hours a day ≤ 24 between readings; never falls without a change.
    start = _read("2026-02-02T06:00:00+01:00", "100.0")
    assert _life(ENROLLED + start + _read("2026-02-03T06:00:00+01:00", "124.0")).doubtful == ()
    for wrong in ("124.3", "99.7"):
        assert len(_life(ENROLLED + start + _read("2026-02-03T06:00:00+01:00", wrong)).doubtful) == 2


def test_a_replaced_meter_runs_on_from_the_final_value_of_the_old_one() -> None:
    # Check values 11: replacement: keep the old final and the new start; never edit old readings.
    change = "\nmeter-changed truck:7 2026-02-03T06:00:00+01:00 mia\n  old 7310.2\n  new 0.4\n"
    text = ENROLLED + _read("2026-02-02T06:00:00+01:00", "7300.0") + change
    life = _life(text + _read("2026-02-04T06:00:00+01:00", "8.4"))
    assert life.hours == Decimal("7318.2")
    assert [one.shown for one in life.good] == [Decimal(n) for n in ("7300.0", "7310.2", "0.4", "8.4")]

"""The record as series: hours left of what wears, what a truck uses of a fluid."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.builders import fid
from derive.measuring import RULES, chain, heel, measured_truck, pressed
from dipmark.derive.trend.line import NotEnough, Trend
from dipmark.derive.trend.topups import Use
from dipmark.derive.truck import TruckNow
from dipmark.derive.wear import Wear, hours_at, use_of_fluid, uses_now, wear_of

DAYS = [f"2026-{month:02}-01" for month in range(2, 11)]
HOURS = range(100, 1000, 100)


def read(when: str, hours: int) -> str:
    return f"\nmeter-read truck:7 {when}T12:00:00+01:00 mia\n  hours {hours}\n"


def at_hours(hours: int) -> str:
    return f'  meter {{"hours": "{hours}"}}\n'


def worn(lengths: list[str], last: int = 900) -> str:
    """A chain of 508 mm, a reading every hundred hours."""
    known = zip(DAYS, HOURS, lengths, strict=False)
    return "".join(chain(day, mm, rest=at_hours(hours)) for day, hours, mm in known) + read("2026-11-01", last)


def wear(now: TruckNow, index: int = -1) -> Wear | None:
    return wear_of(now.measures[index], now.measures, now.meters, RULES)


STEADY = [f"{Decimal(508) + Decimal(n) / 2:f}" for n in range(1, 10)]
"""Half a millimetre in a hundred hours: out at 523.24 mm, 15.24 mm more than new."""


def test_hours_left_of_a_chain_that_wears_steadily() -> None:
    found = wear(measured_truck(worn(STEADY)))
    assert found is not None
    assert isinstance(found.trend, Trend)
    assert [point.hours for point in found.points] == [Decimal(hours) for hours in HOURS]
    assert (found.limit.value, found.limit.grows, found.limit.unit) == (Decimal(3), True, "%")
    # 0.5 mm in 100 h; 4.5 mm are gone, 10.74 mm are left: 2,148 h
    assert found.trend.left.middle == pytest.approx(2148, rel=0.01)


def test_hours_left_count_from_where_the_meter_stands() -> None:
    early, late = wear(measured_truck(worn(STEADY))), wear(measured_truck(worn(STEADY, last=1000)))
    assert early is not None
    assert late is not None
    assert isinstance(early.trend, Trend)
    assert isinstance(late.trend, Trend)
    assert early.trend.left.middle - late.trend.left.middle == pytest.approx(100)


def test_a_renewed_part_begins_a_new_line() -> None:
    renewal = '\nworked truck:7 2026-08-15T08:00:00+01:00 mia\n  parts - {"part": "chain"}\n'
    text = worn(STEADY[:7]) + renewal + chain("2026-09-01", "508.2", rest=at_hours(800))
    found = wear(measured_truck(text))
    assert found is not None
    assert [point.renewed for point in found.points] == [False] * 7 + [True]
    assert isinstance(found.trend, NotEnough)


def test_a_reading_whose_hours_nobody_knows_is_left_out() -> None:
    found = wear(measured_truck(chain("2026-01-15", "508.1") + worn(STEADY)))
    assert found is not None
    assert len(found.points) == 9
    assert wear(measured_truck(chain("2026-01-15", "508.1"))) is None


def test_hours_between_two_readings_are_on_the_line_between_them() -> None:
    now = measured_truck(read("2026-10-01", 100) + chain("2026-10-02", "510") + read("2026-10-03", 120))
    one = now.measures[0]
    assert hours_at(now.meters, one.fact, one.since) == Decimal(110)


def test_only_what_wears_has_hours_left() -> None:
    walked = pressed("2026-11-01", "8.0")
    assert wear(measured_truck(worn(STEADY) + walked)) is None
    odd = chain("2026-11-02", "-1")
    assert wear(measured_truck(worn(STEADY) + odd)) is None
    renewal = '\nworked truck:7 2026-11-15T08:00:00+01:00 mia\n  parts - {"part": "chain"}\n'
    assert wear(measured_truck(worn(STEADY) + renewal)) is None


def test_a_fork_that_grew_is_doubtful_in_the_line() -> None:
    mm = ["39.8", "39.6", "39.4", "40.0", "39.0", "38.8", "38.6", "38.4", "38.2"]
    known = zip(DAYS, HOURS, mm, strict=True)
    text = "".join(heel(day, ("left", one), new="40.0", rest=at_hours(hours)) for day, hours, one in known)
    found = wear(measured_truck(text))
    assert found is not None
    assert [doubt.fact for doubt in found.trend.doubtful] == [fid(5)]
    assert found.limit.grows is False


def topped(when: str, hours: int, amount: str = "0.5", unit: str = "l", fluid: str = "engine oil") -> str:
    return (
        f"\ntopped-up truck:7 {when}T12:00:00+01:00 mia\n"
        f'  fluid "{fluid}"\n  amount {amount}\n  unit {unit}\n{at_hours(hours)}'
    )


def used(text: str, unit: str = "l", fluid: str = "Engine  oil") -> Use | None:
    now = measured_truck(text)
    return use_of_fluid(now.counting, now.meters, fluid, unit)


EACH = "".join(topped(day, hours) for day, hours in zip(DAYS, HOURS, strict=True))


def test_what_a_truck_uses_in_a_hundred_hours() -> None:
    found = used(EACH)
    assert found is not None
    assert found.per_100h == pytest.approx(0.5)
    assert found.because.facts[0] == fid(2)
    millilitres = used(EACH, "ml")
    assert millilitres is not None
    assert millilitres.per_100h == pytest.approx(500)


def test_three_gaps_are_enough() -> None:
    some = [topped(day, hours) for day, hours in zip(DAYS, HOURS, strict=True)]
    assert used("".join(some[:3])) is None
    assert used("".join(some[:4])) is not None


def test_what_cannot_be_counted_is_left_out() -> None:
    odd = (
        topped("2026-10-10", 910, unit="cubit")
        + topped("2026-10-11", 920, unit="kg")
        + topped("2026-10-12", 930, amount="0")
        + topped("2026-10-13", 940, fluid="coolant")
        + "\ntopped-up truck:7 2026-10-20T12:00:00+01:00 mia\n  fluid coolant\n  amount 1\n  unit l\n"
    )
    assert used(EACH + odd) == used(EACH)
    assert used("\ntopped-up truck:7 2026-10-20T12:00:00+01:00 mia\n  fluid coolant\n  amount 1\n  unit l\n") is None


def test_a_mended_leak_begins_the_count_anew() -> None:
    renewals = [
        f'\nworked truck:7 2026-{month}-15T08:00:00+01:00 mia\n  parts - {{"part": "Engine oil"}}\n'
        for month in ("05", "08")
    ]
    found = used(EACH + renewals[0])
    assert found is not None
    assert len(found.because.facts) == 5
    assert used(EACH + renewals[1]) is None


def test_every_fluid_in_the_unit_it_was_told_in_last() -> None:
    text = EACH + topped("2026-10-13", 940, fluid="coolant") + topped("2026-10-14", 950, unit="qt")
    text += topped("2026-10-15", 960, unit="cubit")
    now = measured_truck(text)
    ((fluid, use),) = uses_now(now.counting, now.meters)
    assert (fluid, use.because.text.split()[3]) == ("engine oil", "qt")

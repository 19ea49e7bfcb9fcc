"""One part in words: its line, its doubtful readings, its renewals, its days and dates."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import numpy as np
import pytest

from dipmark.derive.trend.line import (
    ORDERING_ONLY,
    Band,
    Dates,
    Instrument,
    Limit,
    NotEnough,
    Point,
    Trend,
    dates_of,
    days_left,
    trend_of,
)
from dipmark.facts.base import FactId

FORK = Limit(Decimal("36.0"), grows=False, unit="mm")
CALIPER = Instrument(Decimal("0.1"), sd=Decimal("0.1"))
READ = ("40.0", "39.5", "39.1", "38.5", "38.0")


def points(values: Sequence[str], step: int = 500, renewed: int | None = None) -> tuple[Point, ...]:
    return tuple(
        Point(Decimal(step * n), Decimal(value), FactId(str(n)), renewed=n == renewed) for n, value in enumerate(values)
    )


def test_a_line_says_how_fast_and_how_long() -> None:
    found = trend_of(points(READ), FORK, CALIPER)
    assert isinstance(found, Trend)
    # Least squares by hand: the slope of 40.0 39.5 39.1 38.5 38.0 is -5.0 / 10 a step of 500 h.
    assert found.per_100h == pytest.approx(-0.1, abs=0.002)
    assert found.level == pytest.approx(38.02, abs=0.02)
    assert found.left.high is not None
    assert 0 < found.left.low < found.left.middle < found.left.high
    assert found.left.middle == pytest.approx(2020, abs=40)
    assert found.because.text.startswith("0.1 mm in 100 h, from 5 readings: to the limit of 36.0 mm about 2,")
    assert found.because.facts == tuple(map(FactId, "01234"))
    assert found.because.rule == "trend.line"
    assert found.doubtful == ()


def test_hours_left_count_from_what_the_meter_shows_now() -> None:
    then, now = trend_of(points(READ), FORK, CALIPER), trend_of(points(READ), FORK, CALIPER, now=Decimal(2300))
    assert isinstance(then, Trend)
    assert isinstance(now, Trend)
    assert now.left.middle == pytest.approx(then.left.middle - 300)
    assert now.level < then.level


def test_a_fork_that_grew_is_doubted_and_the_line_goes_without_it() -> None:
    found = trend_of(points([*READ[:3], "44.6", *READ[3:]]), FORK, CALIPER)
    assert isinstance(found, Trend)
    (doubt,) = found.doubtful
    assert doubt.fact == FactId("3")
    assert "44.6 mm at 1,500 h and 39.1 mm at 1,000 h cannot both be true" in doubt.because.text
    assert "the instrument explains 0.59 mm at most. Measure again, or note the renewal." in doubt.because.text
    assert doubt.because.facts == (FactId("3"), FactId("2"))
    assert FactId("3") not in found.because.facts


@pytest.mark.parametrize(
    ("last", "said"), [("37.0", False), ("32.0", True), ("32.0 later", True)], ids=["near", "far", "far, and since"]
)
def test_a_last_reading_far_nearer_the_limit_is_said_beside_the_line(last: str, *, said: bool) -> None:
    value, _, later = last.partition(" ")
    found = trend_of(points([*READ, value]), FORK, CALIPER, now=Decimal(2900) if later else None)
    assert isinstance(found, Trend)
    sentence = "But the last reading is 5.5 mm nearer the limit than the line: measure again."
    assert found.because.text.endswith(sentence) == said
    assert found.doubtful == ()


def test_so_it_is_where_the_line_shows_no_wear() -> None:
    found = trend_of(points(["40.0"] * 6 + ["37.0"]), FORK, CALIPER)
    assert isinstance(found, NotEnough)
    assert found.because.text == (
        "7 readings show no wear towards the limit of 36.0 mm. Go on measuring."
        " But the last reading is 3 mm nearer the limit than the line: measure again."
    )


def test_of_two_readings_that_contradict_each_other_neither_counts() -> None:
    found = trend_of(points(["40.0", "38.0", "39.5"]), FORK, CALIPER)
    assert isinstance(found, NotEnough)
    assert [one.fact for one in found.doubtful] == [FactId("1"), FactId("2")]
    assert found.because.text.startswith("1 readings that count, 3 at different hours are needed.")
    assert found.because.facts == (FactId("0"),)


def test_what_was_before_the_last_renewal_counts_no_more() -> None:
    found = trend_of(points(["37.0", "36.5", "36.1", *READ], renewed=3), FORK, CALIPER)
    assert isinstance(found, Trend)
    assert found.because.facts == tuple(map(FactId, "34567"))
    assert found.doubtful == ()
    unnoted = trend_of(points(["37.0", "36.5", "36.1", *READ]), FORK, CALIPER)
    assert len(unnoted.doubtful) == 3


@pytest.mark.parametrize("values", [[], ["40.0"], ["40.0", "39.0"]])
def test_fewer_than_three_readings_are_not_enough(values: list[str]) -> None:
    found = trend_of(points(values), FORK, CALIPER)
    assert isinstance(found, NotEnough)
    assert found.because.text == f"{len(values)} readings that count, 3 at different hours are needed. Measure again."


def test_readings_at_the_same_hours_are_not_enough() -> None:
    found = trend_of(points(["40.0", "39.9", "39.9"], step=0), FORK, CALIPER)
    assert isinstance(found, NotEnough)
    assert found.because.text.startswith("3 readings that count")


def test_no_wear_is_said_to_be_none() -> None:
    found = trend_of(points(["40.0", "40.0", "40.0", "40.1"]), FORK, CALIPER)
    assert isinstance(found, NotEnough)
    assert found.because.text == "4 readings show no wear towards the limit of 36.0 mm. Go on measuring."


def test_where_the_line_may_be_level_no_end_is_in_sight() -> None:
    found = trend_of(points(["40.0", "39.9", "40.0", "39.9"]), FORK, Instrument(Decimal("0.1")))
    assert isinstance(found, Trend)
    assert found.left.high is None
    assert found.because.text.endswith("and it may be long.")
    assert days_left(found.left, Band(4, 5, 6)).high is None


def test_a_chain_grows_towards_its_limit() -> None:
    chain = Limit(Decimal("3.00"), grows=True, unit="%")
    found = trend_of(points(["0.10", "0.52", "0.90", "1.30"]), chain, Instrument(Decimal("0.05")))
    assert isinstance(found, Trend)
    assert found.per_100h == pytest.approx(0.08, abs=0.002)
    assert found.left.middle == pytest.approx(2130, abs=40)


def test_hours_on_chain_fork_and_brake_order_only() -> None:
    # Rulings, "Never invented on paper".
    assert ORDERING_ONLY == "For ordering only; the limit decides."


def test_days_are_exact_where_both_ranges_are_log_normal() -> None:
    # By simulation: the ratio of two log-normal numbers.
    rng = np.random.default_rng(1)
    hours, a_day = 1000 * np.exp(rng.normal(0, 0.4, 400_000)), 5 * np.exp(rng.normal(0, 0.3, 400_000))

    def band(values: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Band:
        low, middle, high = np.percentile(values, (10, 50, 90)).tolist()
        return Band(low, middle, high)

    found, asked = days_left(band(hours), band(a_day)), band(hours / a_day)
    assert [found.low, found.middle, found.high] == pytest.approx([asked.low, asked.middle, asked.high], rel=0.01)


@pytest.mark.parametrize(
    ("left", "a_day", "days"),
    [
        (Band(0, 1000, 2000), Band(5, 5, 5), Band(0, 200, 400)),  # the limit may be reached
        (Band(500, 1000, None), Band(5, 5, 5), Band(100, 200, None)),
        (Band(500, 1000, 2000), Band(0, 5, 5), Band(100, 200, None)),  # it may stand still
        (Band(500, 1000, 2000), Band(5, 5, None), Band(0, 200, 400)),  # nobody knows how hard it may be used
        (Band(0, 0, 100), Band(4, 5, 6), Band(0, 0, 25)),  # the line is past the limit
        (Band(0, 0, 0), Band(4, 5, 6), Band(0, 0, 0)),
        (Band(0, 0, None), Band(4, 5, 6), Band(0, 0, None)),
        (Band(0, 0, 100), Band(0, 5, 6), Band(0, 0, None)),
    ],
)
def test_days_at_the_ends(left: Band, a_day: Band, days: Band) -> None:
    found = days_left(left, a_day)
    assert (found.low, found.middle) == pytest.approx((days.low, days.middle))
    assert found.high == (None if days.high is None else pytest.approx(days.high))


def test_dates_count_from_a_day_and_end_with_the_calendar() -> None:
    day = date(2026, 11, 2)
    assert dates_of(Band(0.9, 29.0, 60.5), day) == Dates(day, date(2026, 12, 1), date(2027, 1, 1))
    assert dates_of(Band(10.0, 1e9, None), day) == Dates(date(2026, 11, 12), None, None)
    assert dates_of(Band(1e8, 1e9, None), day) == Dates(None, None, None)

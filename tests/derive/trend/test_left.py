"""Hours left: how often the band is right, what one gross error does, and the crossing against a search."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from derive.trend.parts import LIMIT, PARTS, held, left_of, parts, shifted
from dipmark.derive.trend.factors import half_band
from dipmark.derive.trend.fit import Fitted, fit
from dipmark.derive.trend.left import BLOCK, project


@pytest.mark.parametrize("known", [False, True])
@pytest.mark.parametrize(("sd", "resolution"), [(0.3, 0.1), (0.1, 0.1), (0.05, 0.1), (0.3, 0.5), (1.0, 0.1)])
def test_the_band_of_twelve_readings_holds_78_to_82_in_100(sd: float, resolution: float, *, known: bool) -> None:
    # Own simulation, generator in parts.py.
    made = parts(5, PARTS, 12, sd, resolution)
    found = left_of(made.hours, made.values, resolution, sd if known else np.nan)
    assert not np.isnan(found.middle).any()
    early, late = np.mean(made.left < found.low), np.mean(made.left > found.high)
    assert 0.78 <= 1 - early - late <= 0.82
    assert (early, late) == pytest.approx((0.1, 0.1), abs=0.015)


@pytest.mark.parametrize(("readings", "known"), [(4, False), (3, True), (6, False), (8, True), (20, False)])
def test_the_band_of_other_numbers_of_readings_holds_as_much(readings: int, *, known: bool) -> None:
    assert 0.78 <= held(6, readings, 0.1, 0.1, known=known) <= 0.82


@pytest.mark.parametrize("known", [False, True])
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("size", [1.0, 3.0, 10.0])
def test_one_gross_error_in_ten_moves_the_median_by_less_than_a_twentieth(
    size: float, sign: int, *, known: bool
) -> None:
    assert abs(shifted(7, 10, sign * size, None, 0.1 if known else np.nan)) < 0.05


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("place", [0, 9])
def test_even_where_it_is_always_the_first_or_the_last_reading(place: int, sign: int) -> None:
    assert abs(shifted(7, 10, sign * 2.0, place)) < 0.05


def test_a_gross_error_is_doubted_and_good_readings_are_not() -> None:
    made = parts(9, PARTS, 12, 0.1, 0.1)
    assert left_of(made.hours, made.values, 0.1, 0.1).used.all(axis=1).mean() > 0.999
    made.values[:, 6] += 5
    found = left_of(made.hours, made.values, 0.1, 0.1)
    assert not found.used[:, 6].any()
    assert found.used.sum(axis=1).min() >= 10


def edge(line: Fitted, row: int, half: float, sign: int, at: float) -> float:
    away = at - line.hours[row]
    rise = line.value[row] + line.slope[row] * away
    return float(rise + sign * half * np.sqrt(1 / line.weight[row] + away**2 / line.spread[row]))


def test_the_crossing_is_where_the_edges_of_the_band_reach_the_limit() -> None:
    # Fieller's interval by its definition: both edges searched with scipy.optimize.brentq.
    made = parts(10, 200, 6, 1.0, 0.1)
    least = np.full(200, 0.1 / 12**0.5)
    line = fit(made.hours, -made.values, least)
    half = half_band(line, least, np.full(200, np.nan))
    found, checked, open_ended = left_of(made.hours, made.values, 0.1), 0, 0
    for row in np.flatnonzero(found.low > 0).tolist():
        now = made.hours[row, -1]

        def short(at: float, sign: int, row: int = row) -> float:
            return edge(line, row, float(half[row]), sign, at) + LIMIT

        assert found.low[row] == pytest.approx(brentq(lambda at: short(at, 1), now, 1e6) - now, rel=1e-6, abs=1e-6)
        assert found.middle[row] >= found.low[row]
        if np.isinf(found.high[row]):
            open_ended += 1
            assert short(1e12, -1) < 0
        else:
            checked += 1
            searched = brentq(lambda at: short(at, -1), now, 1e12) - now
            assert found.high[row] == pytest.approx(searched, rel=1e-6, abs=1e-6)
    assert checked > 50
    assert open_ended > 5


def test_at_or_past_the_limit_nothing_is_left() -> None:
    hours, values = np.array([[0.0, 100, 200, 300]]), np.array([[31.0, 30.5, 30.0, 29.5]])
    found = left_of(hours, values, 0.001)
    assert (found.low[0], found.middle[0], found.high[0]) == (0, 0, 0)
    near = left_of(hours, values + 0.5, 0.001)
    assert near.middle[0] == pytest.approx(0, abs=1e-6)
    assert near.low[0] == 0
    assert 0 < near.high[0] < 5


def test_a_value_that_grows_is_judged_like_its_mirror() -> None:
    made = parts(11, 50, 8, 0.1, 0.1)
    grown = project(made.hours, -made.values, limit=-LIMIT, grows=True, resolution=0.1)
    for name in ("low", "middle", "high", "used", "allowed"):
        assert getattr(grown, name) == pytest.approx(getattr(left_of(made.hours, made.values, 0.1), name))
    fallen = left_of(made.hours, made.values, 0.1)
    assert grown.slope == pytest.approx(-fallen.slope)
    assert grown.level == pytest.approx(-fallen.level)


def test_without_wear_towards_the_limit_nothing_is_said() -> None:
    hours = np.array([[0.0, 100, 200, 300]])
    for values in ([[35.0, 35.0, 35.0, 35.0]], [[35.0, 35.01, 35.01, 35.02]]):
        found = left_of(hours, np.array(values), 0.1)
        assert np.isnan([found.low[0], found.middle[0], found.high[0]]).all()
        assert found.used.all()


def test_hours_count_from_now() -> None:
    hours, values = np.array([[0.0, 100, 200, 300]]), np.array([[34.0, 33.5, 33.0, 32.5]])
    found = project(hours, values, limit=LIMIT, grows=False, resolution=0.1, now=400.0)
    assert found.middle[0] == pytest.approx(400)
    assert found.level[0] == pytest.approx(32.0)


def test_blocks_change_nothing_and_no_series_are_no_series() -> None:
    made = parts(12, 2 * (BLOCK // 72) + 7, 12, 0.1, 0.1)
    whole, half = left_of(made.hours, made.values, 0.1), left_of(made.hours[5000:], made.values[5000:], 0.1)
    assert np.array_equal(whole.high[5000:], half.high)
    assert left_of(made.hours[:0], made.values[:0], 0.1).middle.shape == (0,)

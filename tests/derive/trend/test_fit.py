"""The robust line against ordinary least squares, Theil's line and records with gross errors."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import theilslopes

from dipmark.derive.trend import fit as module
from dipmark.derive.trend.fit import FEWEST, fit

RNG = np.random.default_rng(1)
HOURS = np.cumsum(RNG.gamma(2, 1, (50, 12)), axis=1)
VALUES = 3 - 0.2 * HOURS + RNG.normal(0, 0.1, HOURS.shape)
LEAST = np.full(50, 1e-6)


def test_without_weights_it_is_least_squares(monkeypatch: pytest.MonkeyPatch) -> None:
    # numpy.polyfit; the scatter by the definition of the residual standard deviation with n - 2.
    monkeypatch.setattr(module, "TUNING", 1e6)
    line = fit(HOURS, VALUES, LEAST)
    for row in range(50):
        (slope, start), (left, *_) = np.polyfit(HOURS[row], VALUES[row], 1, full=True)[:2]
        assert line.slope[row] == pytest.approx(slope, rel=1e-6)
        assert line.value[row] - line.slope[row] * line.hours[row] == pytest.approx(start, rel=1e-6)
        assert line.scatter[row] == pytest.approx(np.sqrt(left / 10), rel=1e-6)


def test_it_begins_with_the_middle_of_all_slopes() -> None:
    # scipy.stats.theilslopes, Theil 1950 and Sen 1968.
    found = module._middle(module._slopes(HOURS, VALUES))
    assert found == pytest.approx([theilslopes(v, h).slope for h, v in zip(HOURS, VALUES, strict=True)])


def test_the_median_leaves_out_what_is_not_there() -> None:
    rows = np.array([[3.0, np.nan, 1.0, 2.0], [4.0, 1.0, 2.0, 3.0], [np.nan] * 4, [np.nan, 7.0, np.nan, np.nan]])
    assert module._middle(rows) == pytest.approx([2.0, 2.5, np.nan, 7.0], nan_ok=True)


@pytest.mark.parametrize("place", range(12))
def test_one_gross_error_changes_nothing_that_matters(place: int) -> None:
    wrong = VALUES.copy()
    wrong[:, place] += 1000
    without = VALUES.copy()
    without[:, place] = np.nan
    found, asked = fit(HOURS, wrong, LEAST), fit(HOURS, without, LEAST)
    assert np.median(np.abs(found.slope / asked.slope - 1)) < 0.01
    assert np.max(np.abs(found.slope - asked.slope)) < 0.05
    assert np.all(found.weight <= 11)


def test_missing_readings_are_as_if_never_made() -> None:
    gaps = np.insert(VALUES, [0, 5, 12], np.nan, axis=1)
    hours = np.insert(HOURS, [0, 5, 12], [1.0, 2.0, np.nan], axis=1)
    for one, other in zip(fit(hours, gaps, LEAST), fit(HOURS, VALUES, LEAST), strict=True):
        assert one == pytest.approx(other)


def test_readings_on_a_line_leave_no_scatter() -> None:
    line = fit(HOURS, 3 - 0.2 * HOURS, LEAST)
    assert line.slope == pytest.approx(-0.2)
    assert line.scatter == pytest.approx(0, abs=1e-9)
    assert np.all(line.readings == 12)


def test_too_few_readings_or_hours_make_no_line() -> None:
    hours = np.array([[1.0, 2.0, np.nan], [5.0, 5.0, 5.0], [1.0, 2.0, 3.0]])
    line = fit(hours, np.array([[1.0, 2.0, 3.0]] * 3), np.full(3, 0.1))
    assert line.readings.tolist() == [2, 3, FEWEST]
    for part in line[1:]:
        assert np.isnan(part).tolist() == [True, True, False]
    assert line.slope[2] == pytest.approx(1)


def test_where_most_readings_show_the_same_digit_the_line_still_falls() -> None:
    # Ten of twelve readings are alike, so that the middle of all slopes is nought.
    values = np.array([[10.0] + [9.9] * 10 + [9.8]])
    hours = np.arange(12.0)[None, :]
    assert module._middle(module._slopes(hours, values))[0] == 0
    assert fit(hours, values, np.array([0.1 / 12**0.5])).slope[0] < -0.001

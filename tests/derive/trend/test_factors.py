"""The factors of the band: their simulation is run again in small, and held against Student's t."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import t

import trend_factors
from dipmark.derive.trend import fit as module
from dipmark.derive.trend.factors import FACTORS, HELD, KNOWN, half_band
from dipmark.derive.trend.fit import fit


@pytest.mark.parametrize(("count", "factor", "scatter"), [row for row in FACTORS if row[0] in {3, 4, 5, 8, 12, 20}])
def test_the_table_is_what_its_simulation_gives(count: int, factor: float, scatter: float) -> None:
    assert trend_factors.simulated(count, 100_000) == pytest.approx((factor, scatter), rel=0.02)


def test_the_last_row_is_what_integration_gives() -> None:
    last = FACTORS[-1]
    assert last[0] == math.inf
    assert trend_factors.without_end() == pytest.approx(last[1:], abs=5e-4)


@pytest.mark.parametrize("count", [3, 12])
def test_the_simulation_gives_students_t_for_least_squares(monkeypatch: pytest.MonkeyPatch, count: int) -> None:
    # Student's t, n - 2 degrees of freedom: 3.078 for 3 readings, 1.372 for 12 (any table; scipy.stats.t).
    monkeypatch.setattr(module, "TUNING", 1e6)
    factor, _ = trend_factors.simulated(count, 100_000)
    assert factor == pytest.approx(t.ppf((1 + HELD) / 2, count - 2), rel=0.02)


def test_the_simulation_prints_the_table(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(trend_factors, "ROUNDS", 2_000)
    trend_factors.main()
    rows = eval("[" + capsys.readouterr().out + "]", {"math": math})
    assert [row[0] for row in rows] == [row[0] for row in FACTORS]
    assert rows[-1] == FACTORS[-1]


@pytest.mark.parametrize("count", [3, 5, 12, 25])
def test_a_band_with_a_known_instrument_holds_four_in_five(count: int) -> None:
    rng = np.random.default_rng(2)
    hours = np.cumsum(rng.gamma(2, 1, (40_000, count)), axis=1)
    line = fit(hours, rng.normal(size=hours.shape), np.full(40_000, 1e-9))
    half = half_band(line, np.full(40_000, 1e-9), np.ones(40_000))
    away = 2 * hours[:, -1] - line.hours
    off = np.abs(line.value + line.slope * away)
    assert np.mean(off <= half * np.sqrt(1 / line.weight + away**2 / line.spread)) == pytest.approx(HELD, abs=0.01)


def test_an_instrument_is_believed_until_the_readings_scatter_too_much() -> None:
    hours = np.arange(12.0)[None, :]
    values = np.array([[0.1, -0.1] * 6])
    line = fit(hours, values, np.array([0.01]))
    scatter, factor, most = float(line.scatter[0]), FACTORS[9][1], FACTORS[9][2]
    assert FACTORS[9][0] == 12

    def half(sd: float, least: float = 0.01) -> float:
        return float(half_band(line, np.array([least]), np.array([sd]))[0])

    assert half(scatter) == pytest.approx(scatter * KNOWN)
    assert half(scatter / most * 0.99) == pytest.approx(scatter * factor)
    assert half(math.nan) == pytest.approx(scatter * factor)
    assert half(math.nan, least=0.5) == pytest.approx(0.5 * factor)

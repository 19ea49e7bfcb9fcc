"""Demand now and then, against printed examples (statistics of this project, section 8)."""

from __future__ import annotations

import pytest

from dipmark.plan.intermittent import by_chance, by_gaps, less_biased

HAND = ([1, 0, 4, 0, 1], [0, 0, 4, 0, 1])
"""The hand table of github marcoscattolin/IntermittentDemandForecasting, `data.xlsx`."""

LUBRICANT = [
    *(0, 2, 0, 1, 0, 11, 0, 0, 0, 0, 2, 0, 6, 3, 0, 0, 0, 0, 0, 7, 0, 0, 0, 0, 0, 0, 0, 3, 1, 0, 0, 1, 0, 1, 0, 0),
]
"""Monthly sales of a lubricant; Hyndman and Athanasopoulos, Forecasting, 12.2 (from memory)."""


def test_by_gaps_in_the_hand_table() -> None:
    first, second = (by_gaps(series) for series in HAND)
    assert [first.size, first.gap] == pytest.approx([1.27, 1.19])
    assert first.rate == pytest.approx(1.0672268907563025, abs=1e-12)
    assert second.rate == pytest.approx(1.2758620689655171, abs=1e-12)


def test_by_chance_in_the_hand_table() -> None:
    first, second = (by_chance(series) for series in HAND)
    assert first.rate == pytest.approx(1.063117, abs=5e-7)
    assert second.rate == pytest.approx(0.6697, abs=5e-5)


def test_less_biased() -> None:
    """Our own figure there: 0.95 times the rate."""
    assert less_biased(by_gaps(HAND[0])) == pytest.approx(1.013866, abs=5e-7)


def test_lubricant_sales_as_by_r_forecast() -> None:
    found = by_gaps(LUBRICANT)
    assert [found.size, found.gap] == pytest.approx([2.750254, 2.793280], abs=5e-7)
    assert found.rate == pytest.approx(0.9845965, abs=5e-8)

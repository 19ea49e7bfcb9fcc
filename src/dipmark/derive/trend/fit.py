"""A straight line through many series of readings at once, which a gross error does not move."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

FEWEST: Final = 3
"""So many readings make a line that can be doubted."""

TUNING: Final = 4.685
"""Beyond so many standard deviations a reading counts for nothing; 95 % as sure as least squares where all are good."""

STEPS: Final = 5
"""So often the readings are weighed again."""

NORMAL: Final = 1.4826
"""From the middle deviation to the standard deviation of a normal distribution: 1 / 0.6745."""


class Fitted(NamedTuple):
    """Lines, one element a series; NaN where there is none.

    Args:
        readings: how many were there.
        weight: sum of their weights; each counts for 0 to 1.
        hours: weighted mean of the hours.
        value: the line at those hours.
        spread: weighted sum of squared distances from those hours, in h².
        slope: value an hour.
        scatter: standard deviation of one reading about the line.
    """

    readings: NDArray[np.intp]
    weight: Floats
    hours: Floats
    value: Floats
    spread: Floats
    slope: Floats
    scatter: Floats


def fit(hours: Floats, values: Floats, least: Floats) -> Fitted:
    """The line of each series: first the middle of all slopes between two readings, then weighed least squares.

    Readings are weighed by their distance from the line before (Tukey's bisquare), held against the scatter about the
    first line: the middle of the distances that are left when the two smallest, nearly nought by its making, are taken
    away.

    Args:
        hours: one row a series, `FEWEST` columns at least; NaN where there is no reading.
        values: the same shape.
        least: scatter that no readings are believed to be below, one a series; above nought.

    *Edge*: fewer than `FEWEST` readings, or all at the same hours: NaN.
    *Source*: Theil 1950 and Sen 1968 for the first line; Beaton and Tukey 1974 for the weights; Maronna, Martin and
    Yohai, Robust Statistics, 2006, for the scatter. From memory.
    """
    there = ~np.isnan(hours + values)
    count = there.sum(axis=1)
    hours, values = np.where(there, hours, np.nan), np.where(there, values, np.nan)
    slope = _middle(_slopes(hours, values))
    left = values - slope[:, None] * hours
    left -= _middle(left)[:, None]
    first = np.fmax(_middle(np.sort(np.abs(left), axis=1)[:, 2:]) * NORMAL, least)
    origin = np.nan_to_num(hours[:, :1])
    x, y, left = np.nan_to_num(hours - origin), np.nan_to_num(values), np.nan_to_num(left)
    reach = 1 / (TUNING * first[:, None])
    line = Fitted(count, *(np.full(len(hours), np.nan) for _ in range(6)))
    enough = (count >= FEWEST) & np.isfinite(slope)
    with np.errstate(invalid="ignore", divide="ignore"):
        for _ in range(STEPS):
            weights = np.square(np.fmax(1 - np.square(left * reach), 0)) * there
            line, left = _weighed(x, y, weights, count)
    keep = [np.where(enough, part, np.nan) for part in line[1:]]
    keep[1] += origin[:, 0]
    return Fitted(count, *keep)


def _slopes(hours: Floats, values: Floats) -> Floats:
    """Slopes between any two readings of a row that are not at the same hours; NaN for the others."""
    early, late = np.triu_indices(hours.shape[1], 1)
    run = hours[:, late] - hours[:, early]
    run[run == 0] = np.nan
    return np.asarray((values[:, late] - values[:, early]) / run)


def _middle(rows: Floats) -> Floats:
    """Median of what is not NaN in each row; NaN where nothing is."""
    rows = np.sort(rows, axis=1)
    last = np.maximum((~np.isnan(rows)).sum(axis=1) - 1, 0)
    row = np.arange(len(rows))
    return np.asarray((rows[row, last // 2] + rows[row, (last + 1) // 2]) / 2)


def _weighed(x: Floats, y: Floats, weights: Floats, count: NDArray[np.intp]) -> tuple[Fitted, Floats]:
    """Weighed least squares, and what is left of each value."""
    weight = weights.sum(axis=1)
    hours = np.einsum("ij,ij->i", weights, x) / weight
    value = np.einsum("ij,ij->i", weights, y) / weight
    away = x - hours[:, None]
    pull = weights * away
    spread = np.einsum("ij,ij->i", pull, away)
    slope = np.einsum("ij,ij->i", pull, y) / spread
    left = y - value[:, None] - slope[:, None] * away
    free = np.fmax(weight - 2, 0.5)
    scatter = np.sqrt(np.einsum("ij,ij,ij->i", weights, left, left) / free)
    return Fitted(count, weight, hours, value, spread, slope, scatter), left

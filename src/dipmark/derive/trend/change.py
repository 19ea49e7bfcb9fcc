"""How long a chart runs until it alarms: mean number of values, without a change and after one.

A chart of limited range is cut into narrow cells and becomes a chain of states; the mean number of steps until it
leaves them solves a system of linear equations. The answer's error falls with the square of a cell's width, so two
widths give the answer for none.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from dipmark.derive.trend.fit import Floats

Chance = Callable[[Floats], Floats]
"""For each number the chance that a step of the chart is at most that."""

CELLS: Final = 100
"""Of the coarser cut; the finer has twice as many."""


def cusum_length(chance: Chance, limit: float, start: float = 0) -> float:
    """Mean number of steps until a sum that is never below nought passes its limit.

    Args:
        chance: distribution of what one value adds to the sum, its allowance already taken off.
        limit: an alarm is a sum above it.
        start: the sum at the beginning, a head start.

    *Edge*: a sum at the limit itself is no alarm yet.
    *Source*: Brook and Evans 1972 for the chain of states and its cells, Richardson 1911 for the two widths; both from
    memory.

    Example:
        >>> from scipy.stats import norm
        >>> round(cusum_length(lambda step: norm.cdf(step + 0.5), limit=3), 2)
        117.6
    """

    def cut(cells: int) -> tuple[float, float]:
        width = 2 * limit / (2 * cells - 1)
        states = np.arange(cells) * width
        reach = np.append(start, states)[:, None]
        moves = np.diff(chance(states + width / 2 - reach), axis=1, prepend=0)
        return width, _until_out(moves[1:], moves[0])

    return _without_width(cut(CELLS), cut(2 * CELLS))


def ewma_length(chance: Chance, weight: float, limit: float) -> float:
    """Mean number of values until a moving average leaves the range from -limit to limit, from nought on.

    Args:
        chance: distribution of one value.
        weight: of the newest value, above 0 and at most 1.
        limit: an alarm is an average beyond it, to either side.

    *Source*: as in `cusum_length`; Lucas and Saccucci 1990 for the average. From memory.

    Example:
        >>> from scipy.stats import norm
        >>> round(ewma_length(norm.cdf, 0.5, 3.071 * (0.5 / 1.5) ** 0.5))
        500
    """

    def cut(cells: int) -> tuple[float, float]:
        width = 2 * limit / cells
        edges = np.linspace(-limit, limit, cells + 1)
        reach = (1 - weight) * np.append(0, (edges[1:] + edges[:-1]) / 2)[:, None]
        moves = np.diff(chance((edges - reach) / weight), axis=1)
        return width, _until_out(moves[1:], moves[0])

    return _without_width(cut(CELLS), cut(2 * CELLS))


def both_sides(high: float, low: float, high_start: float, low_start: float) -> float:
    """Mean number of values until one of two sums alarms, one for each direction.

    Args:
        high: mean length of the sum upwards from nought.
        low: the same downwards.
        high_start: mean length of the sum upwards from its head start; `high` where it has none.
        low_start: the same downwards.

    *Source*: Lucas and Crosier 1982; holds where both cannot be above nought for long. From memory.

    Example:
        >>> both_sides(336, 336, 336, 336)
        168.0
    """
    return (high_start * low + low_start * high - high * low) / (high + low)


def _until_out(moves: Floats, first: Floats) -> float:
    """Mean number of steps until the chain is out, the first of them with chances of its own."""
    return float(1 + first @ np.linalg.solve(np.eye(len(moves)) - moves, np.ones(len(moves))))


def _without_width(coarse: tuple[float, float], fine: tuple[float, float]) -> float:
    (wide, one), (narrow, other) = coarse, fine
    return (other * wide**2 - one * narrow**2) / (wide**2 - narrow**2)

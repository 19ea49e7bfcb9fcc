"""Measurements that cannot be true beside the others: wear that was taken back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from dipmark.derive.meter_chain import longest_chain
from dipmark.derive.trend.factors import half_band
from dipmark.derive.trend.fit import Fitted, Floats

BEYOND: Final = 4
"""Two readings may differ by so many standard deviations of their difference.

Of two good readings on the same wear one pair in 15,000 differs by more, to either side. Common practice, no source.
"""

ENOUGH: Final = 8
"""So many readings show by themselves how far one may be off, where nobody knows the instrument's error."""

_FINE: Final = 1 << 20


def allowed(line: Fitted, least: Floats, known: Floats) -> Floats:
    """How far a value may move the wrong way, one a series: what the error of two readings explains.

    Args:
        line: through all readings.
        least: as in `half_band`.
        known: as in `half_band`.

    *Edge*: error unknown and fewer than `ENOUGH` readings: any move is allowed.
    """
    shown = np.where(line.readings >= ENOUGH, half_band(line, least, known) / _HELD, np.inf)
    return np.asarray(BEYOND * np.sqrt(2) * np.where(np.isnan(known), shown, known))


_HELD: Final = 1.2816
"""A normal error is within so many standard deviations in `factors.HELD` of all cases."""


def doubtful(worn: Floats, most: Floats) -> NDArray[np.bool_]:
    """Which readings are doubtful, see `against`; vectorised over many series.

    Args:
        worn: one row a series in the order they were made, growing with wear; NaN where there is no reading.
        most: how far one may fall below another before it, one a series.
    """
    found = np.zeros(worn.shape, dtype=np.bool_)
    fallen = np.fmax.accumulate(worn, axis=1) - worn > most[:, None]
    for row in np.flatnonzero(fallen.any(axis=1)):
        there = np.flatnonzero(~np.isnan(worn[row]))
        found[row, there[list(against(worn[row, there].tolist(), float(most[row])))]] = True
    return found


def against(worn: Sequence[float], most: float) -> dict[int, int]:
    """The doubtful readings of one series, each with the nearest of those it stands against.

    The largest set of readings of which none falls below one before it by more than is allowed is good. A reading left
    out that stands against one good reading only would serve as well as that one: then both are doubtful.

    Args:
        worn: in the order they were made, growing with wear.
        most: how far one may fall below another before it.

    *Edge*: exactly as much as is allowed is good.

    Example:
        >>> against([1.0, 2.0, 3.0, 0.5, 4.0], 0.4)
        {3: 2}
        >>> against([1.0, 2.0, 1.5, 3.0], 0.4)
        {1: 2, 2: 1}
    """
    low = min(worn)
    spans = [(round((value - low) / most * _FINE), round((value - low) / most * _FINE) + _FINE) for value in worn]
    kept = [index for index, keep in enumerate(longest_chain(spans)) if keep]
    found: dict[int, int] = {}
    for index in sorted(set(range(len(worn))) - set(kept)):
        others = [one for one in kept if spans[min(one, index)][0] > spans[max(one, index)][1]]
        nearest = min(others, key=lambda one: abs(one - index))
        found[index] = nearest
        if len(others) == 1:
            found.setdefault(nearest, index)
    return dict(sorted(found.items()))

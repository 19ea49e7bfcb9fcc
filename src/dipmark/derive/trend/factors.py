"""How wide the band about a line is, so that it holds four times in five."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from dipmark.derive.trend.fit import Fitted, Floats

HELD: Final = 0.8
"""Of all bands so many hold the truth."""

FACTORS: Final = (
    (3, 3.056, 1.653),
    (4, 1.865, 1.523),
    (5, 1.894, 1.403),
    (6, 1.692, 1.350),
    (7, 1.671, 1.302),
    (8, 1.590, 1.273),
    (9, 1.574, 1.246),
    (10, 1.538, 1.226),
    (11, 1.529, 1.208),
    (12, 1.501, 1.194),
    (15, 1.481, 1.160),
    (20, 1.449, 1.122),
    (30, 1.428, 1.081),
    (60, 1.404, 1.029),
    (math.inf, 1.382, 0.910),
)
"""Readings of a series; the factor; the scatter, in true standard deviations, that a tenth of all series exceed.

Found by simulation with ``scripts/trend_factors.py``, where the generator is stated: a million series a row, a fifth
of that from 30 readings on, the last row by integration. With the factor in the place of Student's t the band of the
robust line holds `HELD` of all truths.
"""

KNOWN: Final = 1.225
"""The factor where the instrument's own standard deviation is taken instead of the scatter.

By the same simulation it ought to be 1.20 with the fewest readings and 1.26 with the most; one for all holds 79 to 81
in 100.
"""

_ROOT, _FACTOR, _MOST = (np.array(part) for part in zip(*((n**-0.5, f, s) for n, f, s in FACTORS[::-1]), strict=True))


def half_band(line: Fitted, least: Floats, known: Floats) -> Floats:
    """Half of the band's height, to be multiplied with the root of 1/weight + away²/spread.

    An instrument whose standard deviation is known is believed, unless the readings scatter more than nine series in
    ten would by it: then, and where nobody knows it, the scatter itself counts.

    Args:
        line: as fitted.
        least: scatter that no readings are believed to be below.
        known: standard deviation of one reading by this instrument, its rounding included; NaN where unknown.

    *Source*: own simulation, see `FACTORS`.
    """
    root = np.fmax(line.readings, 1) ** -0.5
    believed = line.scatter <= known * np.interp(root, _ROOT, _MOST)
    return np.where(believed, known * KNOWN, np.fmax(line.scatter, least) * np.interp(root, _ROOT, _FACTOR))

"""Made-up parts that wear along a line, and readings of them."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from dipmark.derive.trend.fit import Floats
from dipmark.derive.trend.left import Left, project

NEW: Final = 40.0
LIMIT: Final = 30.0
PARTS: Final = 10_000


class Parts(NamedTuple):
    """Readings, one row a part, and the hours that are truly left."""

    hours: Floats
    values: Floats
    left: Floats


def parts(seed: int, count: int, readings: int, sd: float, resolution: float) -> Parts:
    """Parts that wear evenly, each at its own rate: from new over all their readings by 3.6 to 8.4 of the 10 there are.

    They are read at hours with gamma gaps of shape 2 and mean 250 h. A reading has a normal error of standard deviation
    `sd` and is rounded to the resolution.
    """
    rng = np.random.default_rng(seed)
    hours = np.cumsum(rng.gamma(2, 125, (count, readings)), axis=1)
    rate = rng.uniform(3.6, 8.4, count) / (250 * readings)
    values = NEW - rate[:, None] * hours + rng.normal(0, sd, hours.shape)
    left = np.maximum((NEW - LIMIT) / rate - hours[:, -1], 0)
    return Parts(hours, np.round(values / resolution) * resolution, left)


def held(seed: int, readings: int, sd: float, resolution: float, *, known: bool) -> float:
    """Share of bands with the true hours in them, of 10,000 parts those that are not past their limit."""
    made = parts(seed, PARTS, readings, sd, resolution)
    found = left_of(made.hours, made.values, resolution, sd if known else np.nan)
    counted = ~np.isnan(found.middle) & (made.left > 0)
    return float(np.mean(((found.low <= made.left) & (made.left <= found.high))[counted]))


def shifted(seed: int, readings: int, size: float, place: int | None, sd: float = np.nan) -> float:
    """By what share the median of the hours left moves where one reading of each part is wrong by `size`.

    The wrong one is at `place`; None: anywhere.
    """
    made = parts(seed, PARTS, readings, 0.1, 0.1)
    wrong = made.values.copy()
    where = np.random.default_rng(seed).integers(0, readings, PARTS) if place is None else place
    wrong[np.arange(PARTS), where] += size
    right, moved = (left_of(made.hours, values, 0.1, sd).middle for values in (made.values, wrong))
    return float(np.nanmedian(moved) / np.nanmedian(right) - 1)


def left_of(hours: Floats, values: Floats, resolution: float, sd: float = np.nan) -> Left:
    """What is left until `LIMIT`."""
    return project(hours, values, limit=LIMIT, grows=False, resolution=resolution, sd=sd)

"""Hours until a line reaches its limit, with the band of what is likely; many series at once."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dipmark.derive.trend.doubt import allowed, doubtful
from dipmark.derive.trend.factors import half_band
from dipmark.derive.trend.fit import Fitted, Floats, fit

BLOCK: Final = 1 << 18
"""So many slopes between two readings are held in memory at once."""


class Left(NamedTuple):
    """What is left of many series, one element a series.

    Args:
        used: which readings the line rests on, one row a series.
        allowed: how far a reading may go back against wear before it is doubtful.
        slope: value an hour; NaN where there is no line.
        level: the line at the hours of now.
        low: hours until the limit that one truth in ten is below.
        middle: hours until the line reaches the limit; NaN where it does not go there.
        high: hours that one truth in ten is above; infinite where the line may be level.
    """

    used: NDArray[np.bool_]
    allowed: Floats
    slope: Floats
    level: Floats
    low: Floats
    middle: Floats
    high: Floats


def project(
    hours: Floats,
    values: Floats,
    *,
    limit: ArrayLike,
    grows: ArrayLike,
    resolution: ArrayLike,
    sd: ArrayLike = np.nan,
    now: ArrayLike = np.nan,
) -> Left:
    """Hours left until each series reaches its limit, its doubtful readings kept out.

    Args:
        hours: one row a series in the order the readings were made, three columns at least, in h; NaN where there is
            none.
        values: the same shape.
        limit: one for all or one a series; so are the others.
        grows: the value grows with wear.
        resolution: one unit of the instrument's last digit, above nought.
        sd: standard deviation of one reading by this instrument; NaN: not known.
        now: hours on the meter from which hours left count; NaN: those of the last reading.

    *Edge*: a line that is at the limit has 0 h left.
    *Source*: Fieller 1954 for the band of a crossing, from memory; its factor from `factors`.

    Example:
        >>> left = project(
        ...     np.array([[0.0, 500, 1000, 1500]]),
        ...     np.array([[40.0, 39.5, 39.0, 38.5]]),
        ...     limit=36.0,
        ...     grows=False,
        ...     resolution=0.1,
        ... )
        >>> round(float(left.middle[0]))
        2500
    """
    size = len(hours)
    given = [np.broadcast_to(np.asarray(part, dtype=np.float64), size) for part in (limit, grows, resolution, sd, now)]
    rows = max(1, BLOCK // max(1, hours.shape[1] ** 2 // 2))
    parts = [
        _block(*(part[start : start + rows] for part in (hours, values, *given)))
        for start in range(0, max(1, size), rows)
    ]
    return Left(*(np.concatenate(part) for part in zip(*parts, strict=True)))


def _block(hours: Floats, values: Floats, *given: Floats) -> Left:
    limit, grows, resolution, sd, now = given
    sign = np.where(grows, 1.0, -1.0)
    worn = sign[:, None] * values
    least = resolution / np.sqrt(12)
    known = np.hypot(sd, least)
    line = fit(hours, worn, least)
    most = allowed(line, least, known)
    out = doubtful(worn, most)
    again = np.flatnonzero(out.any(axis=1))
    if again.size:
        better = fit(hours[again], np.where(out[again], np.nan, worn[again]), least[again])
        for part, news in zip(line, better, strict=True):
            part[again] = news
    last = np.fmax.reduce(hours, axis=1, initial=-np.inf)
    now = np.where(np.isnan(now), last, now)
    low, middle, high = _crossing(line, sign * limit, half_band(line, least, known), now)
    level = line.value + line.slope * (now - line.hours)
    return Left(~out & ~np.isnan(worn), most, sign * line.slope, sign * level, low, middle, high)


def _crossing(line: Fitted, limit: Floats, half: Floats, now: Floats) -> tuple[Floats, Floats, Floats]:
    """Hours from now at which the upper edge of the band, the line and the lower edge reach the limit from below.

    With z hours after the line's mean, an edge is where (short − slope z)² = half² (1/weight + z²/spread), short being
    what the value has to grow from the mean. It may have no end: then the slope could be nought.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        here, short, slope = now - line.hours, limit - line.value, line.slope
        wide, steep = half**2 / line.weight, half**2 / line.spread
        root = np.sqrt(wide * (slope**2 - steep) + steep * short**2)
        edge = half * np.sqrt(1 / line.weight + here**2 / line.spread)
        behind = slope * here - short
        early = np.where(behind + edge >= 0, 0.0, (short**2 - wide) / (short * slope + root) - here)
        late = np.where(slope**2 > steep, (short * slope + root) / (slope**2 - steep) - here, np.inf)
        late = np.where(behind - edge >= 0, 0.0, late)
        goes = slope > 0
        return (
            np.where(goes, early, np.nan),
            np.where(goes, np.fmax(short / slope - here, 0.0), np.nan),
            np.where(goes, late, np.nan),
        )

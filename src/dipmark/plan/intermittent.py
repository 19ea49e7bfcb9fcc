"""Demand that comes now and then: how large it is and how often, smoothed each by itself."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec


class Intermittent(msgspec.Struct, frozen=True):
    """What is asked for, smoothed.

    Args:
        size: how much where anything is asked for.
        gap: periods from one time to the next, or one over the chance of a period.
    """

    size: float
    gap: float

    @property
    def rate(self) -> float:
        """Demand of a period."""
        return self.size / self.gap if self.size else 0.0


def by_gaps(series: Sequence[float], size: float = 0.1, gap: float = 0.1) -> Intermittent:
    """Size and gap smoothed each time something is asked for. It keeps its rate when nothing is asked for any more.

    Args:
        series: demand of each period, nought mostly.
        size: the share the last size counts.
        gap: the share the last gap counts.

    *Edge*: the first size and gap are taken as they are, the first gap from the start of the series; nothing ever asked
    for is a size of nought.
    *Source*: Croston 1972.
    """
    found: Intermittent | None = None
    since = 0
    for one in series:
        since += 1
        if one > 0:
            if found is None:
                found = Intermittent(one, since)
            else:
                found = Intermittent(found.size + size * (one - found.size), found.gap + gap * (since - found.gap))
            since = 0
    return found or Intermittent(0.0, 1.0)


def less_biased(found: Intermittent, gap: float = 0.1) -> float:
    """The rate by gaps without most of its bias upwards.

    Args:
        found: see `by_gaps`.
        gap: the share the last gap counted.

    *Source*: Syntetos and Boylan 2005.
    """
    return (1 - gap / 2) * found.rate


def by_chance(series: Sequence[float], size: float = 0.1, chance: float = 0.1) -> Intermittent:
    """Size smoothed each time something is asked for, the chance of that in every period: what dies out fades.

    Args:
        series: demand of each period, nought mostly.
        size: the share the last size counts.
        chance: the share the last period counts.

    *Edge*: the chance starts at one where the first period has demand, else at nought: a convention.
    *Source*: Teunter, Syntetos and Babai 2011.
    """
    mean, likely = 0.0, 0.0
    for at, one in enumerate(series):
        asked = 1.0 if one > 0 else 0.0
        likely = asked if at == 0 else likely + chance * (asked - likely)
        if one > 0:
            mean = one if mean == 0 else mean + size * (one - mean)
    return Intermittent(mean, 1 / likely if likely else 1.0)

"""What is known of a kind of truck before one of them has been read: its week, its season, how much and how evenly."""

from __future__ import annotations

from hashlib import sha256
from typing import Final

import msgspec

CHANGE: Final = 0.05
"""So many trucks in one change their job in a year. Common practice, no source."""


class Prior(msgspec.Struct, frozen=True):
    """What trucks of a kind have in common; fitted on a schedule, stored, passed in.

    Args:
        factors: what a planned hour is worth on a Monday to Sunday and on a closed day: true hours run for one planned,
            one truck and one time of the year with another; all above nought.
        season: the yearly wave of the kind, cosine and sine, as shares of the mean.
        wave: variance of a truck's own wave about that, of each of both.
        known: one over the variance, from truck to truck, of a truck's hours over the kind's.
        even: events in an hour of working time: mean over variance of the hours of a truck of level one.
        memory: days after which a reading counts a third.
        change: chance that a truck changes its job within a year.
        trucks: so many it was fitted on.
    """

    factors: tuple[float, ...] = (0.4, 0.4, 0.4, 0.4, 0.4, 0.1, 0.05, 0.05)
    season: tuple[float, float] = (0.0, 0.0)
    wave: float = 0.01
    known: float = 2.0
    even: float = 0.75
    memory: float = 240.0
    change: float = CHANGE
    trucks: int = 0

    @property
    def digest(self) -> str:
        """SHA-256 of the prior as JSON: what is derived with it names it."""
        return sha256(msgspec.json.encode(self)).hexdigest()

"""What is known of a kind of truck before one of them has been read: its week, its season, how much and how evenly."""

from __future__ import annotations

from hashlib import sha256

import msgspec


class Prior(msgspec.Struct, frozen=True):
    """What trucks of a kind have in common; learnt on a schedule, stored, passed in.

    As it stands nothing has been learnt: wide guesses that a few readings of a truck outweigh. Project rule.

    Args:
        factors: true hours run for one planned, on a Monday to Sunday and on a closed day, by a truck of level one; all
            above nought.
        season: the yearly wave of the kind, cosine and sine, in shares of the mean.
        wave: variance of a truck's own wave about that, of either part; above nought.
        known: one over the variance of the levels: a truck's hours over the kind's, one in the mean.
        even: how evenly hours run: events in a working day, as the shape of the gamma process.
        memory: days after which a reading counts a third.
        trucks: so many it was learnt from.
    """

    factors: tuple[float, ...] = (0.3, 0.3, 0.3, 0.3, 0.3, 0.1, 0.03, 0.03)
    season: tuple[float, float] = (0.0, 0.0)
    wave: float = 0.01
    known: float = 2.0
    even: float = 2.0
    memory: float = 240.0
    trucks: int = 0

    @property
    def digest(self) -> str:
        """SHA-256 of the prior as JSON: what is derived with it can name it."""
        return sha256(msgspec.json.encode(self)).hexdigest()

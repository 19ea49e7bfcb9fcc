"""A traction battery was charged."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from dipmark.facts.base import Body, BookId, Instant, Text

ChargeKind = Literal["charge", "equalise", "opportunity"]

Percent = Annotated[int, msgspec.Meta(ge=0, le=100)]


class Charged(Body, frozen=True, tag="charged"):
    """A battery was charged; it happened when the charge had ended.

    Args:
        what: a full charge, one that goes on until all cells are alike, or one in a break that fills it in part.
        since: when the charge began; None: not said.
        percent: what was left in it before, in % of full, as its gauge showed; None: not read.
        charger: the charger's book; None: not said.
        note: anything else.
    """

    what: ChargeKind = "charge"
    since: Instant | None = None
    percent: Percent | None = None
    charger: BookId | None = None
    note: Text | None = None

"""What lies on the shelf."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

import msgspec

from dipmark.facts.base import Body, FactId, Key, Text, Whole
from dipmark.facts.work import Money

Level = Annotated[int, msgspec.Meta(ge=50, le=99)]
"""Per cent of what is asked for that has to be there."""


class Stock(Body, frozen=True, tag="stock"):
    """Parts counted, received, issued or ordered.

    Args:
        part: which.
        what: counted (the shelf holds so many), received, issued, ordered or thrown away.
        quantity: how many, in `unit`.
        unit: piece where None.
        place: the shelf.
        price: for one.
        use_by: last day of its shelf life.
        expected: when an order is to come.
        work: the fact it was issued for.
        note: anything else.
    """

    part: Key
    what: Literal["counted", "received", "issued", "ordered", "thrown-away"]
    quantity: Decimal
    unit: Key | None = None
    place: Key | None = None
    price: Money | None = None
    use_by: date | None = None
    expected: date | None = None
    work: FactId | None = None
    note: Text | None = None


class PartSet(Body, frozen=True, tag="part-set"):
    """How a part is bought and kept, from here on.

    Args:
        part: which.
        lead_days: from the order to the shelf, as a rule.
        lead_most: one time in ten it takes longer; as a rule where None.
        pack: it comes in so many at a time, in `unit`; one where None.
        unit: piece where None.
        shelf_days: it keeps so long; None: as good as for ever.
        level: per cent of what is asked for that has to be there; None: as for the yard.
        supplier: where it is ordered.
    """

    part: Key
    lead_days: Whole
    lead_most: Whole | None = None
    pack: Decimal | None = None
    unit: Key | None = None
    shelf_days: Whole | None = None
    level: Level | None = None
    supplier: Key | None = None

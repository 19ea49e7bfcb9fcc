"""What lies on the shelf."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from dipmark.facts.base import Body, FactId, Key, Text
from dipmark.facts.work import Money


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

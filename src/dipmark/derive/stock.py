"""What lies on the shelf: counted, received, issued, thrown away, ordered, and what went into trucks unnoted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, tzinfo
from decimal import Decimal

import msgspec

from dipmark.derive.days import local_day
from dipmark.derive.past import Counting, past
from dipmark.facts.base import Accepted, FactId, folded
from dipmark.facts.stock import PartSet, Stock
from dipmark.facts.work import Money, Worked

PIECE = "piece"
"""The unit where none is named."""


class Coming(msgspec.Struct, frozen=True):
    """Ordered and not here yet.

    Args:
        quantity: that is still to come.
        ordered: the day it was ordered.
        expected: the day it is to come; None: nobody has said.
    """

    quantity: Decimal
    ordered: date
    expected: date | None


class Taken(msgspec.Struct, frozen=True):
    """Something left the shelf for a truck.

    Args:
        day: on which.
        quantity: how much.
        planned: by a service; False: by a repair, or nobody has said.
    """

    day: date
    quantity: Decimal
    planned: bool


class Lot(msgspec.Struct, frozen=True):
    """What came together.

    Args:
        quantity: that is left of it.
        use_by: last day of its shelf life; None: as good as for ever.
    """

    quantity: Decimal
    use_by: date | None


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    """One part.

    Args:
        part: as it was written first.
        unit: of all amounts.
        there: on the shelf and not past its day; below nought where more left it than was known to be there.
        past_day: on the shelf and past its day.
        lots: what is there, the first to go off first.
        place: where, as last told.
        price: of one, as last told.
        counted: the day it was last counted; None: never.
        unnoted: went into trucks since the last count without a word of the shelf.
        coming: ordered, oldest first.
        taken: for trucks, oldest first.
        bought: how it is bought; None: nobody has said.
    """

    part: str
    unit: str
    there: Decimal
    past_day: Decimal
    lots: tuple[Lot, ...]
    place: str | None
    price: Money | None
    counted: date | None
    unnoted: Decimal
    coming: tuple[Coming, ...]
    taken: tuple[Taken, ...]
    bought: PartSet | None


class _Shelf:
    def __init__(self, part: str, unit: str) -> None:
        self.part, self.unit = part, unit
        self.lots: list[Lot] = []
        self.short = Decimal(0)
        self.place: str | None = None
        self.price: Money | None = None
        self.counted: date | None = None
        self.unnoted = Decimal(0)
        self.coming: list[Coming] = []
        self.taken: list[Taken] = []
        self.bought: PartSet | None = None

    def told(self, body: Stock, day: date, *, planned: bool) -> None:
        self.place, self.price = body.place or self.place, body.price or self.price
        if body.what == "counted":
            self.lots, self.short = [Lot(body.quantity, body.use_by)], Decimal(0)
            self.counted, self.unnoted = day, Decimal(0)
        elif body.what == "received":
            self.arrived(body.quantity)
            self.put(Lot(body.quantity, body.use_by))
        elif body.what == "ordered":
            self.coming.append(Coming(body.quantity, day, body.expected))
        else:
            self.take(body.quantity)
            if body.what == "issued":
                self.taken.append(Taken(day, body.quantity, planned))

    def used(self, quantity: Decimal, day: date, *, planned: bool) -> None:
        """It went into a truck, and nobody noted that it left the shelf."""
        self.unnoted += quantity
        self.take(quantity)
        self.taken.append(Taken(day, quantity, planned))

    def put(self, lot: Lot) -> None:
        covered = min(self.short, lot.quantity)
        self.short -= covered
        if lot.quantity > covered:
            self.lots.append(Lot(lot.quantity - covered, lot.use_by))
            self.lots.sort(key=lambda one: one.use_by or date.max)

    def take(self, quantity: Decimal) -> None:
        """What goes off first goes first."""
        while quantity > 0 and self.lots:
            first = self.lots[0]
            gone = min(first.quantity, quantity)
            quantity -= gone
            self.lots[:1] = [Lot(first.quantity - gone, first.use_by)] if first.quantity > gone else []
        self.short += quantity

    def arrived(self, quantity: Decimal) -> None:
        """The oldest order is filled first."""
        while quantity > 0 and self.coming:
            first = self.coming[0]
            filled = min(first.quantity, quantity)
            quantity -= filled
            left = first.quantity - filled
            self.coming[:1] = [Coming(left, first.ordered, first.expected)] if left else []

    def now(self, today: date) -> Shelf:
        good = sum((lot.quantity for lot in self.lots if lot.use_by is None or lot.use_by >= today), Decimal(0))
        old = sum((lot.quantity for lot in self.lots), Decimal(0)) - good
        return Shelf(
            part=self.part,
            unit=self.unit,
            there=good - self.short,
            past_day=old,
            lots=tuple(self.lots),
            place=self.place,
            price=self.price,
            counted=self.counted,
            unnoted=self.unnoted,
            coming=tuple(self.coming),
            taken=tuple(self.taken),
            bought=self.bought,
        )


def shelves(record: Sequence[Accepted], trucks: Iterable[Counting], as_of: datetime, zone: tzinfo) -> tuple[Shelf, ...]:
    """Every part the yard keeps, by name.

    Args:
        record: the yard's book.
        trucks: the facts of its trucks that count at that instant.
        as_of: the instant.
        zone: the yard's.

    A part is kept that a shelf fact or a word on how it is bought names, in one unit. What went into a truck left the
    shelf, once: an issue that names that work is the same thing told twice, and so is an issue of the same day that
    names no work, as far as it goes. A count sets all before it right.

    *Edge*: on its last day a lot is still good. Of facts at one instant those of the shelf come first.
    *Source*: first to go off goes first: common practice, no source.
    """
    counting = past(record, as_of)
    events: list[tuple[datetime, int, Stock | PartSet | Worked, FactId]] = []
    named: dict[FactId, set[str]] = {}
    loose: dict[tuple[str, date], Decimal] = {}
    planned: dict[FactId, bool] = {}
    for one in counting:
        if isinstance(one.body, Stock | PartSet):
            events.append((one.effective, 0, one.body, one.id))
        if isinstance(one.body, Stock) and one.body.what == "issued":
            if one.body.work is not None:
                named.setdefault(one.body.work, set()).add(folded(one.body.part))
            else:
                key = folded(one.body.part), local_day(one.effective, zone)
                loose[key] = loose.get(key, Decimal(0)) + one.body.quantity
    for facts in trucks:
        for one in facts:
            if isinstance(one.body, Worked):
                events.append((one.effective, 1, one.body, one.id))
                planned[one.id] = bool(one.body.services)
    kept: dict[str, _Shelf] = {}
    for when, _, body, fact in sorted(events, key=lambda event: event[:2]):
        day = local_day(when, zone)
        if isinstance(body, Worked):
            _worked(kept, body, day, named.get(fact, set()), loose)
            continue
        unit = body.unit or PIECE
        shelf = kept.setdefault(folded(body.part), _Shelf(body.part, unit))
        if isinstance(body, PartSet):
            shelf.bought = body
        elif unit == shelf.unit:
            shelf.told(body, day, planned=bool(body.work and planned.get(body.work)))
    today = local_day(as_of, zone)
    return tuple(shelf.now(today) for _, shelf in sorted(kept.items()))


def _worked(
    kept: dict[str, _Shelf], body: Worked, day: date, named: set[str], loose: dict[tuple[str, date], Decimal]
) -> None:
    for used in body.parts:
        name = folded(used.part)
        shelf = kept.get(name)
        if shelf is None or name in named or (used.unit or PIECE) != shelf.unit:
            continue
        told = min(used.quantity, loose.get((name, day), Decimal(0)))
        loose[name, day] = loose.get((name, day), Decimal(0)) - told
        if used.quantity > told:
            shelf.used(used.quantity - told, day, planned=bool(body.services))

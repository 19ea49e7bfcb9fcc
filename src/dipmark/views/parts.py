"""The stores: what lies there, what to order by when, and the kit of each visit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.stock import Shelf
from dipmark.facts.said import Word, says
from dipmark.plan.orders import Order, Store
from dipmark.views.expected import near_day
from dipmark.views.gauge import Gauge

OUT: Final = says("none left")
SHORT: Final = says("{} fewer than none: count it")
PAST: Final = says("{} past their day: no stock")
UNNOTED: Final = says("{} went into trucks without a word here since the last count")
NEVER: Final = says("never counted")
COMES: Final = says("{} ordered, expected {}")
COMES_UNSAID: Final = says("{} ordered, nobody knows when it comes")
LATE: Final = says("{} ordered, was to come {}: ask")
NO_LEAD: Final = says("nobody has said how long it takes to come: reckoned with {} days")
FOR_REPAIRS: Final = says("for what breaks")
TODAY: Final = says("today")


def bare(value: Decimal) -> str:
    """An amount without needless noughts.

    Example:
        >>> bare(Decimal("4.50")), bare(Decimal("100"))
        ('4.5', '100')
    """
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


class PartRow(msgspec.Struct, frozen=True):
    """One part on the shelf.

    Args:
        part: its name.
        unit: of the amounts.
        there: that may be used.
        place: the shelf.
        gauge: what is there of what is wanted until the next order could come.
        words: what to look into, the gravest first.
        coming: ordered, as people say it.
        wanted: in the next weeks, with its trucks.
        lead_days: from order to shelf; None: nobody has said.
    """

    part: str
    unit: str
    there: Decimal
    place: str | None
    gauge: Gauge
    words: tuple[str, ...]
    coming: tuple[str, ...]
    wanted: tuple[str, ...]
    lead_days: int | None


class OrderRow(msgspec.Struct, frozen=True):
    """One line of the order list.

    Args:
        part: which.
        quantity: whole packs.
        unit: of it.
        by: the last day to order.
        day: the same as people say it.
        wanted: what for, with the days.
        lead_days: it takes so long as a rule; None: nobody has said.
        supplier: where; None: nobody has said.
    """

    part: str
    quantity: int
    unit: str
    by: date
    day: str
    wanted: str
    lead_days: int | None
    supplier: str | None


class KitLine(msgspec.Struct, frozen=True):
    """One part of a kit.

    Args:
        part: which; how many and which exactly stands on the truck's plate or in its manual.
        quantity: as last used there, one where nobody knows.
        there: on the shelf; None: it is not kept.
    """

    part: str
    quantity: int
    there: Decimal | None


class KitRow(msgspec.Struct, frozen=True):
    """The parts of one stop.

    Args:
        truck: its number.
        what: services.
        day: as people say it; empty: not planned.
        lines: its parts.
        ready: all of it is there.
    """

    truck: str
    what: str
    day: str
    lines: tuple[KitLine, ...]
    ready: bool


class PartsPage(msgspec.Struct, frozen=True):
    """The stores at an instant.

    Args:
        shelf: every part, by name.
        orders: what to order, the most pressing first.
        kits: of the visits of the plan, and of what is due.
        level: per cent of what is asked for that is to be there.
        day: the instant's day.
    """

    shelf: tuple[PartRow, ...]
    orders: tuple[OrderRow, ...]
    kits: tuple[KitRow, ...]
    level: int
    day: date


def part_row(shelf: Shelf, store: Store, today: date, wanted: int, word: Word = str) -> PartRow:
    """A part as people read it.

    Args:
        shelf: what lies there.
        store: the same with what is asked for.
        today: the yard's day.
        wanted: whole pieces that ought to be there.
        word: says a sentence in the reader's language.
    """
    words = []
    if shelf.there < 0:
        words.append(word(SHORT).format(bare(-shelf.there)))
    if shelf.past_day:
        words.append(word(PAST).format(bare(shelf.past_day)))
    if shelf.unnoted:
        words.append(word(UNNOTED).format(bare(shelf.unnoted)))
    if shelf.counted is None:
        words.append(word(NEVER))
    if shelf.bought is None:
        words.append(word(NO_LEAD).format(store.lead_most))
    full = max(Decimal(wanted), shelf.there, Decimal(1))
    left = max(shelf.there, Decimal(0))
    return PartRow(
        part=shelf.part,
        unit=shelf.unit,
        there=shelf.there,
        place=shelf.place,
        gauge=Gauge(shelf.part, Decimal(0), full, left, unit=shelf.unit, word="" if left else word(OUT)),
        words=tuple(words),
        coming=tuple(_coming(bare(one.quantity), one.expected, today, word) for one in shelf.coming),
        wanted=tuple(
            f"{use.what}: {near_day(use.about, today, word)}" for use in sorted(store.uses, key=lambda one: one.about)
        ),
        lead_days=None if shelf.bought is None else shelf.bought.lead_days,
    )


def _coming(quantity: str, expected: date | None, today: date, word: Word) -> str:
    if expected is None:
        return word(COMES_UNSAID).format(quantity)
    return word(COMES if expected >= today else LATE).format(quantity, near_day(expected, today, word))


def order_row(order: Order, shelf: Shelf, today: date, word: Word = str) -> OrderRow:
    """A line of the order list as people read it.

    Args:
        order: see `plan.orders`.
        shelf: of its part.
        today: the yard's day.
        word: says a sentence in the reader's language.
    """
    wanted = (f"{use.what} ({near_day(use.about, today, word)})" for use in order.uses)
    return OrderRow(
        part=shelf.part,
        quantity=order.quantity,
        unit=shelf.unit,
        by=order.by,
        day=word(TODAY) if order.by <= today else near_day(order.by, today, word),
        wanted=", ".join(wanted) or word(FOR_REPAIRS),
        lead_days=None if shelf.bought is None else shelf.bought.lead_days,
        supplier=None if shelf.bought is None else shelf.bought.supplier,
    )


def kit_row(truck: str, what: str, day: str, lines: Sequence[KitLine]) -> KitRow:
    """The parts of one stop.

    Args:
        truck: its number.
        what: services.
        day: as people say it.
        lines: its parts.
    """
    ready = all(line.there is not None and line.there >= line.quantity for line in lines)
    return KitRow(truck, what, day, tuple(lines), ready)

"""What hung on which truck, and when: the make-up of a truck at any minute, and the hours an item has worked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import BookId, FactId
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.truck import Retired

NIL: Final = Decimal(0)


class Hung(msgspec.Struct, frozen=True):
    """An item on a truck, from one instant to another.

    Args:
        item: the item's book.
        truck: the truck's book.
        start: since when; the instant itself belongs to it.
        fitted: the fact that says so.
        position: where on the truck.
        end: until when, that instant no longer; None: it hangs there still.
        off: the fact that ended it; None: none has.
        moved: True where it was fitted elsewhere before anybody had noted it taken off here.
    """

    item: BookId
    truck: BookId
    start: datetime
    fitted: FactId
    position: str | None = None
    end: datetime | None = None
    off: FactId | None = None
    moved: bool = False

    def holds(self, instant: datetime) -> bool:
        """Whether it hung there at an instant."""
        return self.start <= instant and (self.end is None or instant < self.end)


class Ran(msgspec.Struct, frozen=True):
    """Hours an item has worked on trucks.

    Args:
        likely: in h, by straight lines between good readings; None where a truck's meter says nothing at an edge.
        low: no fewer.
        high: no more; None where that cannot be said.
    """

    likely: Decimal | None = NIL
    low: Decimal = NIL
    high: Decimal | None = NIL

    def __add__(self, other: Ran) -> Ran:
        likely = None if self.likely is None or other.likely is None else self.likely + other.likely
        high = None if self.high is None or other.high is None else self.high + other.high
        return Ran(likely, self.low + other.low, high)


def hung_of(books: Mapping[BookId, Counting]) -> tuple[Hung, ...]:
    """Every stay of every item on every truck, in the order in which they began.

    The order of arrival changes nothing. An item that is fitted anew elsewhere has left the truck before at that very
    instant, whether or not anybody noted it; a second fitting on the truck where it hangs already changes nothing, nor
    does taking it off where it does not hang. When a truck or an item leaves the yard, what hung ends.

    Args:
        books: what counts in the books of trucks and items.

    *Edge*: at the instant it is taken off, an item hangs there no longer; of two facts of one instant the order of
    their ids decides, as everywhere.
    """
    told = sorted((one for book in books.values() for one in book if _tells(one)), key=lambda one: one.order)
    on: dict[BookId, Hung] = {}
    ended: list[Hung] = []
    for one in told:
        place, body = one.item.fact.book, one.body
        if isinstance(body, Fitted):
            there = on.get(body.item)
            if there is not None and there.truck == place:
                continue
            if there is not None:
                ended.append(_ended(there, one, moved=True))
            on[body.item] = Hung(body.item, place, one.effective, one.id, body.position)
        elif isinstance(body, Removed):
            if body.item in on and on[body.item].truck == place:
                ended.append(_ended(on.pop(body.item), one))
        else:
            leaving = [item for item, hung in on.items() if place in (item, hung.truck)]
            ended.extend(_ended(on.pop(item), one) for item in leaving)
    return tuple(sorted((*ended, *on.values()), key=lambda hung: (hung.start, hung.fitted)))


def _tells(one: Counted) -> bool:
    return isinstance(one.body, Fitted | Removed | Retired)


def _ended(hung: Hung, one: Counted, *, moved: bool = False) -> Hung:
    return msgspec.structs.replace(hung, end=one.effective, off=one.id, moved=moved)


def makeup_at(stays: Iterable[Hung], truck: BookId, instant: datetime) -> tuple[Hung, ...]:
    """What hung on a truck at an instant, in the order in which it was fitted.

    Args:
        stays: of `hung_of`.
        truck: its book.
        instant: any.

    *Edge*: at the instant of its fitting an item hangs there; at that of its removal no longer.
    """
    return tuple(one for one in stays if one.truck == truck and one.holds(instant))


def ran(stay: Hung, meters: Sequence[MeterLife]) -> Ran:
    """The hours of a truck's first meter while an item hung on it; nothing is projected past the last good reading.

    Args:
        stay: of `hung_of`.
        meters: of that truck.
    """
    life, end = meters[0], stay.end
    first, last = life.sure_at(stay.start), None if end is None else life.sure_at(end)
    if first is None or life.hours is None or (end is not None and life.hours_at(end) is None):
        return Ran(None, NIL, None)
    begun = first.likely if first.likely is not None else _outside(life, stay.start)
    until, low, high = life.hours, life.hours, life.hours  # it hangs there still, or nobody has read the meter since
    if last is not None and last.likely is not None:
        until, low, high = last.likely, last.low, last.high
    likely = None if begun is None else max(until - begun, NIL)
    return Ran(likely, max(low - first.high, NIL), max(high - first.low, NIL))


def _outside(life: MeterLife, instant: datetime) -> Decimal | None:
    """After the last good reading its hours, never projected; before the first nobody knows."""
    return life.hours if life.hours_at(instant) is not None else None


def hours_of_item(item: BookId, stays: Iterable[Hung], meters: Mapping[BookId, Sequence[MeterLife]]) -> Ran:
    """The hours an item has worked: those of its trucks while it hung on them.

    Args:
        item: its book.
        stays: of `hung_of`.
        meters: of every truck it has hung on.
    """
    return sum((ran(one, meters[one.truck]) for one in stays if one.item == item), Ran())

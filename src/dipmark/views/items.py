"""Items on a page: where each hangs, what is wrong with it, its hours; and what hangs on a truck."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.combination import Combination
from dipmark.derive.item import ItemNow
from dipmark.derive.makeup import Ran, hours_of_item, ran
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.measures import latest
from dipmark.derive.meter import MeterLife
from dipmark.facts.base import BookId, name_of
from dipmark.facts.said import Word, says
from dipmark.rules.items import ITEMS
from dipmark.views.words import hours, moment

NOWHERE: Final = says("on no truck")
ON_TRUCK: Final = says("on truck {} since {}")
LEFT: Final = {
    "sold": says("sold"),
    "scrapped": says("scrapped"),
    "given-back": says("given back"),
    "lost": says("lost"),
}
EXAMINED: Final = says("{}: to be examined by {}")
AT_LEAST: Final = says("at least {}; the meter was not read when it went on or came off")
MOVED: Final = says("Hung elsewhere before anybody had noted it taken off here. Ask when it came off.")
NAMED: Final = says("A plate read on this truck names what hangs on it.")


class StayRow(msgspec.Struct, frozen=True):
    """A stay on a truck: which, from when, until when, the hours it worked there; and what two books disagree on."""

    truck: str
    start: str
    end: str
    hours: str
    doubt: str


class ItemRow(msgspec.Struct, frozen=True):
    """An item.

    Args:
        name: its name.
        what: its kind, in words.
        truck: the truck it hangs on; empty: none.
        where: where it is, in words.
        stops: why nothing may work with it.
        due: its examinations with their days.
        serial: its serial number; empty: not noted.
    """

    name: str
    what: str
    truck: str
    where: str
    stops: tuple[str, ...]
    due: tuple[str, ...]
    serial: str


class ItemPage(msgspec.Struct, frozen=True):
    """One item.

    Args:
        row: as on the list.
        hours: that it has worked on trucks.
        stays: the latest first.
        measures: the latest readings: what, value, verdict.
        faults: what is open.
    """

    row: ItemRow
    hours: str
    stays: tuple[StayRow, ...]
    measures: tuple[str, ...]
    faults: tuple[str, ...]


class Carried(msgspec.Struct, frozen=True):
    """What hangs on a truck.

    Args:
        items: each.
        stops: why the truck may not work with it; empty: nothing in the record forbids it.
        asks: what ought to be read.
        plate: that a plate names the combination; empty: none has to, or none does.
    """

    items: tuple[ItemRow, ...]
    stops: tuple[str, ...]
    asks: tuple[str, ...]
    plate: str


def item_row(item: ItemNow, zone: tzinfo, word: Word = str) -> ItemRow:
    """An item on a list.

    Args:
        item: as it stands.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    on = item.on
    if item.retired is not None:
        where = word(LEFT[item.retired.how])
    elif on is None:
        where = word(NOWHERE)
    else:
        where = word(ON_TRUCK).format(name_of(on.truck), moment(on.start, zone, word))
    return ItemRow(
        name=item.name,
        what=word(ITEMS.get(item.enrolled.what, item.enrolled.what)),
        truck=name_of(on.truck) if on else "",
        where=where,
        stops=tuple(one.text for one in item.stops),
        due=tuple(
            word(EXAMINED).format(word(one.duty.name), one.due.day.isoformat())
            for one in item.duties
            if one.due.day is not None and one.stops is None
        ),
        serial=item.enrolled.serial or "",
    )


def item_page(item: ItemNow, meters: Mapping[BookId, Sequence[MeterLife]], zone: tzinfo, word: Word = str) -> ItemPage:
    """One item on a page; see `item_row`.

    Args:
        item: as it stands.
        meters: of every truck it has hung on.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    return ItemPage(
        row=item_row(item, zone, word),
        hours=worked(hours_of_item(item.book, item.stays, meters), word),
        stays=tuple(
            StayRow(
                name_of(one.truck),
                moment(one.start, zone, word),
                "" if one.end is None else moment(one.end, zone, word),
                worked(ran(one, meters[one.truck]), word),
                word(MOVED) if one.moved else "",
            )
            for one in reversed(item.stays)
        ),
        measures=tuple(
            f"{word(MEASUREMENTS[one.name].text)}: {one.judged.because if one.judged else ', '.join(one.said)}"
            for one in latest(item.measures)
        ),
        faults=tuple(one.text for one in item.faults if one.open),
    )


def worked(ran: Ran, word: Word = str) -> str:
    """Hours that an item has worked, in words."""
    return hours(ran.likely) if ran.likely is not None else word(AT_LEAST).format(hours(ran.low))


def carried(combination: Combination, zone: tzinfo, word: Word = str) -> Carried:
    """What hangs on a truck, in words.

    Args:
        combination: as derived.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    return Carried(
        items=tuple(item_row(one, zone, word) for one in combination.on),
        stops=tuple(one.text for one in combination.stops),
        asks=tuple(one.text for one in combination.asks),
        plate=word(NAMED) if combination.plate is not None else "",
    )

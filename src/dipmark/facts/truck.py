"""A truck or an item comes into the yard and leaves it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from dipmark.facts.base import Body, Key, Part, Text, Whole

MeterCounts = Literal["key", "engine", "working", "drive", "lift", "run-on"]
"""What an hour meter counts: key on, engine running, any motor, travel, lift pump, key run-on."""


class Meter(Part, frozen=True):
    """An hour meter on the truck.

    Args:
        name: how this truck's people call it.
        counts: what it counts; None where nobody has said, then what its kind of truck usually has.
        digits: digits before the decimal point, after which it starts again at zero; None unknown.
    """

    name: Key = "main"
    counts: MeterCounts | None = None
    digits: Whole | None = None


class PlateValue(Part, frozen=True):
    """A value counted or read on this very truck, such as its grease fittings or its oil.

    Args:
        name: what, such as ``grease-fittings.rear-wheel-left``.
        value: the number.
        unit: its unit, None for a count.
        source: ``plate``, ``manual`` or ``counted``.
    """

    name: Key
    value: Decimal
    unit: Key | None = None
    source: Literal["plate", "manual", "counted"] = "plate"


class PlateText(Part, frozen=True):
    """What a plate or manual says in words, such as the type mark, a tyre size or a grade of oil.

    Args:
        name: what.
        text: as it stands there.
        source: ``plate``, ``manual`` or ``counted``.
    """

    name: Key
    text: Text
    source: Literal["plate", "manual", "counted"] = "plate"


class Enrolled(Body, frozen=True, tag="enrolled"):
    """A truck or an item is in the yard's care from here on.

    Args:
        what: the kind of truck, or the kind of item.
        commissioned: the date it went to work; it counts from then, without one from the book's first fact.
        start_hours: hours on its meter when it was commissioned.
        meters: its hour meters; empty means one, called ``main``.
        options: what it has of what its kind may have, such as ``seat-belt``; None where nobody has said, then what
            such a truck usually has.
        uses: how it is used where that is harder than usual, such as ``harsh``.
        fuel: in the words of its people, in lower case.
        tyres: in the words of its people, in lower case.
        serial: serial number.
        built: year of manufacture.
        capacity_kg: rated capacity from the plate.
        place: where it works.
        note: anything else.
    """

    what: Key
    commissioned: date | None = None
    start_hours: Decimal | None = None
    meters: tuple[Meter, ...] = ()
    options: tuple[Key, ...] | None = None
    uses: tuple[Key, ...] = ()
    fuel: Key | None = None
    tyres: Key | None = None
    serial: Key | None = None
    built: Whole | None = None
    capacity_kg: Decimal | None = None
    place: Key | None = None
    note: Text | None = None


class PlateRead(Body, frozen=True, tag="plate-read"):
    """Counts and values read on this truck; the header says by whom and when.

    Args:
        values: counts and values.
        texts: what stands there in words.
        fitted: what the plate says must hang on the truck for these values to hold; empty: the bare truck.
    """

    values: tuple[PlateValue, ...]
    texts: tuple[PlateText, ...] = ()
    fitted: tuple[Key, ...] = ()


class Retired(Body, frozen=True, tag="retired"):
    """The truck or item leaves: sold, scrapped, given back. Its book is kept.

    Args:
        how: sold, scrapped, given back to its owner, lost.
        note: anything else.
    """

    how: Literal["sold", "scrapped", "given-back", "lost"]
    note: Text | None = None

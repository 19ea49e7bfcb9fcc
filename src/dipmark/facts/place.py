"""A place of the yard: what may be in its air, how cold and wet it is, what its floor and its ramp ask of a truck."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from dipmark.facts.base import Body, Key, Text

Area = Literal[
    "I-1-A",
    "I-1-B",
    "I-1-C",
    "I-1-D",
    "I-2-A",
    "I-2-B",
    "I-2-C",
    "I-2-D",
    "II-1-E",
    "II-1-F",
    "II-1-G",
    "II-2-E",
    "II-2-F",
    "II-2-G",
    "III-1",
    "III-2",
]
"""Class, division and group of an area in which the air may burn: I gases and vapours, II dusts, III fibres.

*Source*: 29 CFR 1910.178(c) and its Table N-1; (c)(2) speaks of the classes as they stand in Subpart S.
"""


class PlaceSet(Body, frozen=True, tag="place-set"):
    """A place of the yard is like this from here on; what was said of it before no longer holds.

    Args:
        name: as the yard calls it, the same that stands as a truck's place.
        area: class, division and group, as whoever has a say in it has written them down; None: an ordinary place.
        sealed: True where all that could burn stays shut in: sealed containers, closed bins, bags.
        cold: a cold store, or in and out of one.
        food: food lies open there, or is packed.
        wet: water on the floor, wash-down, salt or rain.
        floor_kg: what the floor, lift or bridge carries in all, truck and load together; None: nobody has set a limit.
        ramp_percent: the steepest ramp, in per cent; None: there is none.
        note: anything else.
    """

    name: Key
    area: Area | None = None
    sealed: bool = False
    cold: bool = False
    food: bool = False
    wet: bool = False
    floor_kg: Decimal | None = None
    ramp_percent: Decimal | None = None
    note: Text | None = None

"""The battery room on a page: when a battery was charged, equalised and watered last, and what to look into."""

from __future__ import annotations

from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.charging import Room
from dipmark.facts.said import Word, says
from dipmark.rules.limits import Subject
from dipmark.views.words import moment

NEVER: Final = says("not noted")
DRINKS: Final = says("{} l in 100 charges, as far as noted")
ROOM_CAUTIONS: Final = ("gas", "air", "acid", "charger-off", "frozen", "lithium", "maker")
"""The cautions of the subject that belong beside a charge, in this order."""


class RoomRow(msgspec.Struct, frozen=True):
    """A battery in the battery room.

    Args:
        charges: noted in all.
        charged: when last.
        equalised: when last.
        watered: when last.
        water: litres in 100 charges; empty: too little is noted.
        asks: what to look into.
        cautions: what can hurt.
    """

    charges: int
    charged: str
    equalised: str
    watered: str
    water: str
    asks: tuple[str, ...]
    cautions: tuple[str, ...]


class BatteryLog(msgspec.Struct, frozen=True):
    """A battery in the battery room: its name, where it is, what its log says."""

    name: str
    where: str
    room: RoomRow


def room_cautions(subject: Subject) -> tuple[str, ...]:
    """What can hurt at a battery that is charged, in the reader's language.

    Args:
        subject: the rules for batteries.
    """
    named = {one.id: one.text for one in subject.cautions}
    return tuple(named[one] for one in ROOM_CAUTIONS)


def room_row(room: Room, subject: Subject, zone: tzinfo, word: Word = str) -> RoomRow:
    """What the battery room's log says, in words.

    Args:
        room: as derived.
        subject: the rules for batteries, for their cautions.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    times = (
        word(NEVER) if one is None else moment(one.effective, zone, word)
        for one in (room.charged, room.equalised, room.watered)
    )
    charged, equalised, watered = times
    asks = tuple(one.text for one in room.asks)
    water = "" if room.per_100 is None else word(DRINKS).format(room.per_100)
    return RoomRow(room.charges, charged, equalised, watered, water, asks, room_cautions(subject))

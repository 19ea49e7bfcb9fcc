"""The log of the battery room: charges, water, equalising; and what a lead hand should look into."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FactId, folded
from dipmark.facts.charging import Charged
from dipmark.facts.measure import ToppedUp
from dipmark.facts.said import Word, says
from dipmark.facts.truck import PlateRead
from dipmark.rules.limits import Subject

CELLS: Final = "cells"
"""What a battery's plate calls its kind: ``lead-acid``, ``lithium``."""

AFTER_CHARGE: Final = timedelta(hours=24)
"""Water belongs to the charge that ended no longer ago. Common practice, no source."""

EQUALISE: Final = says("Since it was equalised, as far as noted: charges {}, days {}. {}")
WATER: Final = says("Since it was watered, as far as noted: charges {}. {}")
BEFORE: Final = says("Water went in with no charge in the 24 hours before. It goes in after the charge: it boils over.")
DEEP: Final = says("{} % were left when it was charged last. {}")
SEALED: Final = says("A lithium battery gets no water and is not equalised by hand. Ask who noted that.")


class Room(msgspec.Struct, frozen=True):
    """What the battery room's log says of a battery.

    Args:
        charges: noted in all.
        charged: the last charge, equalising among them; None: none is noted.
        equalised: the last time all cells were made alike; None: nobody has noted it.
        watered: the last time water was topped up; None: nobody has noted it.
        since_equalised: charges since then, or in all.
        since_watered: charges since then, or in all.
        asks: what a lead hand should look into.
    """

    charges: int = 0
    charged: Counted | None = None
    equalised: Counted | None = None
    watered: Counted | None = None
    since_equalised: int = 0
    since_watered: int = 0
    asks: tuple[Because, ...] = ()


def room_now(counting: Counting, subject: Subject, as_of: datetime, word: Word = str) -> Room:
    """What the log of the battery room says of a battery.

    Args:
        counting: the battery's book.
        subject: the rules for lead-acid batteries.
        as_of: the instant.
        word: says a sentence in the reader's language.

    *Edge*: with just so many charges or days as the limits name it is asked. Water that goes in just 24 hours after a
    charge still belongs to it. At 20 % left nothing is said, below it is.
    *Source*: makers of traction batteries (seen): limits ``equalise-charges``, ``equalise-days``, ``water-new`` (of an
    old battery half as many: its readings of `battery-water` say so) and ``deep``; 29 CFR 1910.178(g).
    """
    room = Room()
    for one in counting:
        room = _then(room, one)
    lithium = _lithium(counting)
    asks = _sealed(room, word) if lithium else _asks(room, counting, subject, as_of, word)
    return msgspec.structs.replace(room, asks=tuple(asks))


def _then(room: Room, one: Counted) -> Room:
    """The log with one entry more."""
    replace = msgspec.structs.replace
    if isinstance(one.body, Charged):
        room = replace(room, charges=room.charges + 1, charged=one, since_watered=room.since_watered + 1)
        if one.body.what == "equalise":
            return replace(room, equalised=one, since_equalised=0)
        return replace(room, since_equalised=room.since_equalised + 1)
    return replace(room, watered=one, since_watered=0) if _is_water(one) else room


def _is_water(one: Counted) -> bool:
    return isinstance(one.body, ToppedUp) and "water" in folded(one.body.fluid)


def _lithium(counting: Counting) -> bool:
    """What its plate said last."""
    said = [
        text.text
        for one in counting
        if isinstance(one.body, PlateRead)
        for text in one.body.texts
        if text.name == CELLS
    ]
    return bool(said) and "lithium" in folded(said[-1])


def _sealed(room: Room, word: Word) -> Iterator[Because]:
    facts = tuple(one.id for one in (room.watered, room.equalised) if one is not None)
    if facts:
        yield Because(word(SEALED), "battery.sealed", "practice", facts)


def _asks(room: Room, counting: Counting, subject: Subject, as_of: datetime, word: Word) -> Iterator[Because]:
    limits = subject.limits
    first = next((one for one in counting if isinstance(one.body, Charged)), None)
    since = room.equalised or first
    if since is not None:
        days, charges = (as_of - since.effective).days, room.since_equalised
        passed = (
            limits[name]
            for name, count in (("equalise-days", days), ("equalise-charges", charges))
            if count >= limits[name].exact
        )
        for limit in tuple(passed)[:1]:
            said = word(EQUALISE).format(charges, days, limit.text)
            yield Because(said, "battery.equalise", limit.source, (since.id,))
    water, deep = limits["water-new"], limits["deep"]
    if room.since_watered >= water.exact:
        said = word(WATER).format(room.since_watered, water.text)
        yield Because(said, "battery.water", water.source, _ids(room.watered))
    if room.watered is not None and not _after_a_charge(room.watered, counting):
        yield Because(word(BEFORE), "battery.water-before", "practice", _ids(room.watered))
    left = room.charged.body.percent if room.charged and isinstance(room.charged.body, Charged) else None
    if left is not None and left < deep.exact:
        yield Because(word(DEEP).format(left, deep.text), "battery.deep", deep.source, _ids(room.charged))


def _ids(one: Counted | None) -> tuple[FactId, ...]:
    return () if one is None else (one.id,)


def _after_a_charge(water: Counted, counting: Counting) -> bool:
    """Whether a charge had ended in the day before; where no charge was ever noted, nobody can say."""
    charges = [one.effective for one in counting if isinstance(one.body, Charged)]
    return not charges or any(water.effective - AFTER_CHARGE <= one <= water.effective for one in charges)

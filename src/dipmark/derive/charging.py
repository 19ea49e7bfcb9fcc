"""The log of the battery room: charges, water, equalising; and what a lead hand should look into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.makeup import Hung
from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FactId, folded, name_of
from dipmark.facts.charging import Charged
from dipmark.facts.measure import ToppedUp
from dipmark.facts.quantity import amount_in, plain
from dipmark.facts.said import Word, says
from dipmark.facts.truck import PlateRead
from dipmark.rules.limits import Subject

CELLS: Final = "cells"
"""What a battery's plate calls its kind: ``lead-acid``, ``lithium``."""

AFTER_CHARGE: Final = timedelta(hours=24)
"""Water belongs to the charge that ended no longer ago. Common practice, no source."""

FEW: Final = 10
"""Of fewer charges between two waterings nobody says what it uses. Common practice, no source."""

EQUALISE: Final = says("Since it was equalised, as far as noted: charges {}, days {}. {}")
WATER: Final = says("Since it was watered, as far as noted: charges {}. {}")
BEFORE: Final = says("Water went in with no charge in the 24 hours before. It goes in after the charge: it boils over.")
DEEP: Final = says("{} % were left when it was charged last. {}")
RAN: Final = says("Truck {} ran {} h or more while it was charged, and it hung on it as far as noted. Ask which is so.")
SEALED: Final = says("A lithium battery gets no water and is not equalised by hand. Ask who noted that.")


class Room(msgspec.Struct, frozen=True):
    """What the battery room's log says of a battery.

    Args:
        charges: noted in all.
        charged: the last charge of any kind; None: none is noted.
        equalised: the last time all cells were made alike; None: nobody has noted it.
        watered: the last time water was topped up; None: nobody has noted it.
        since_equalised: full charges since then, or in all.
        since_watered: full charges since then, or in all.
        per_100: litres of water in 100 full charges, as noted between its first watering after a charge and its last;
            None: too little is noted.
        asks: what a lead hand should look into.
    """

    charges: int = 0
    charged: Counted | None = None
    equalised: Counted | None = None
    watered: Counted | None = None
    since_equalised: int = 0
    since_watered: int = 0
    per_100: Decimal | None = None
    asks: tuple[Because, ...] = ()


def room_now(
    counting: Counting,
    subject: Subject,
    as_of: datetime,
    word: Word = str,
    trucks: Sequence[tuple[Hung, MeterLife]] = (),
) -> Room:
    """What the log of the battery room says of a battery.

    Args:
        counting: the battery's book.
        subject: the rules for lead-acid batteries.
        as_of: the instant.
        word: says a sentence in the reader's language.
        trucks: where the battery has hung, each stay with the first meter of its truck.

    A charge in a break fills a battery in part: the limits count full charges, and water after it would boil over.

    *Edge*: with just so many charges or days as the limits name it is asked. Water that goes in just 24 hours after a
    charge still belongs to it. At 20 % left nothing is said, below it is. A truck that can have stood still during the
    charge, by the rounding of its meter and the readings around it, is not asked about.
    *Source*: makers of traction batteries (seen): limits ``equalise-charges``, ``equalise-days``, ``water-new`` (of an
    old battery half as many: its readings of `battery-water` say so) and ``deep``; 29 CFR 1910.178(g).
    """
    room = Room()
    for one in counting:
        room = _then(room, one)
    lithium = _lithium(counting)
    asks = _sealed(room, word) if lithium else _asks(room, counting, subject, as_of, word)
    ran = _ran_meanwhile(room, trucks, word)
    return msgspec.structs.replace(room, per_100=_per_100(counting), asks=(*asks, *ran))


def _then(room: Room, one: Counted) -> Room:
    """The log with one entry more."""
    replace = msgspec.structs.replace
    if isinstance(one.body, Charged):
        room = replace(room, charges=room.charges + 1, charged=one)
        if not _is_full(one):
            return room
        room = replace(room, since_watered=room.since_watered + 1)
        if one.body.what == "equalise":
            return replace(room, equalised=one, since_equalised=0)
        return replace(room, since_equalised=room.since_equalised + 1)
    return replace(room, watered=one, since_watered=0) if _is_water(one) else room


def _is_full(one: Counted) -> bool:
    return isinstance(one.body, Charged) and one.body.what != "opportunity"


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
    """Whether a full charge had ended in the day before; where none was ever noted, nobody can say."""
    charges = [one.effective for one in counting if _is_full(one)]
    return not charges or any(water.effective - AFTER_CHARGE <= one <= water.effective for one in charges)


def _per_100(counting: Counting) -> Decimal | None:
    """Litres in 100 full charges: what went in after a watering made good the charges since then.

    It counts from the first watering after a charge: before that nobody may have noted charges at all.
    """
    charges = between = 0
    litres: Decimal | None = None
    for one in counting:
        charges += _is_full(one)
        if isinstance(one.body, ToppedUp) and _is_water(one) and charges:
            amount = amount_in(one.body.amount, one.body.unit, "l")
            if amount is None:
                return None
            litres, charges = (Decimal(0), 0) if litres is None else (litres + amount, charges)
            between = charges
    return plain(Fraction(litres) * 100 / between, 1) if litres is not None and between >= FEW else None


def _ran_meanwhile(room: Room, trucks: Sequence[tuple[Hung, MeterLife]], word: Word) -> Iterator[Because]:
    """The trucks that surely ran during the last charge while the battery hung on them by the record."""
    one = room.charged
    begun = one.body.since if one is not None and isinstance(one.body, Charged) else None
    if one is None or begun is None:
        return
    for stay, life in trucks:
        start, end = max(begun, stay.start), min(one.effective, stay.end or one.effective)
        before, after = (life.sure_at(instant) for instant in (start, end))
        if start < end and before is not None and after is not None and after.low > before.high:
            said = word(RAN).format(name_of(stay.truck), f"{after.low - before.high:f}")
            yield Because(said, "battery.ran", "practice", (one.id, stay.fitted))

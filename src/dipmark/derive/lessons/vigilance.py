"""Signs of careless sheets: a reason to go and watch, never proof, never a score."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from datetime import datetime, timedelta, tzinfo
from statistics import median
from typing import Final, Literal, get_args

import msgspec

from dipmark.derive.days import day_start, local_day
from dipmark.derive.lessons.repeats import Missed
from dipmark.derive.lessons.watched import Watched
from dipmark.derive.past import Counted
from dipmark.derive.reliability.evidence import Table, said_aloud, share_above
from dipmark.facts.base import FactId, PersonKey
from dipmark.facts.walk_round import WalkRound

YEARLY: Final = 0.1
"""So many false signs a year in a whole yard at most: one in ten years."""

LOOKS: Final = 12
"""Signs are judged as of the first of each month, so many times a year, and stand until the next."""

BACK: Final = timedelta(days=365)
"""Sheets of so many days count."""

FEWEST: Final = 5
"""A sign needs so many sheets that show it."""

LEAST_SECONDS: Final = 2
"""A check takes so many seconds at least: a sheet made faster was not walked. Common practice, no source."""

THIRD: Final = 3
"""And one in less than a third of what the others take on that truck. Common practice, no source."""

IDLE: Final = timedelta(hours=12)
"""A meter that stands still for less than so long is no wonder."""

Sign = Literal[
    "quick",  # too quick to have walked
    "same-seconds",  # took as many seconds as his sheet before
    "nothing-found",  # found no fault
    "missed",  # called OK what the next service found
    "meter-unread",  # no hours
    "meter-copied",  # the hours of the sheet before
    "letter",  # not the letter that is there
    "values-copied",  # the values of the sheet before
]

SIGNS: Final[tuple[Sign, ...]] = get_args(Sign)


class Shown(msgspec.Struct, frozen=True, kw_only=True):
    """A sign that somebody's sheets show.

    Args:
        by: whose sheets.
        sign: which.
        marked: sheets that show it; of `missed`, faults.
        of: of so many.
        others_marked: the same of the others on the same trucks.
        others_of: of so many.
        chance: of so many where whose sheet it is had nothing to do with it.
        facts: the sheets; of `missed` those that called it OK.
        said: True where it may be said.
    """

    by: PersonKey
    sign: Sign
    marked: int
    of: int
    others_marked: int
    others_of: int
    chance: float
    facts: tuple[FactId, ...]
    said: bool = False


class Seen(msgspec.Struct, frozen=True):
    """One sheet, or one fault, asked for one sign.

    Args:
        sign: which.
        by: whose.
        among: what he is compared within: a truck, a kind of truck, the yard.
        marked: True where it shows.
        fact: the sheet.
    """

    sign: Sign
    by: PersonKey
    among: str
    marked: bool
    fact: FactId


class Sheet(msgspec.Struct, frozen=True):
    """A walk-round made with a device."""

    one: Counted
    walk: WalkRound
    truck: str

    @property
    def values(self) -> dict[str, object]:
        """The values that were asked, by check."""
        return {answer.check: answer.value for answer in self.walk.answers if answer.value is not None}


def judged_at(as_of: datetime, zone: tzinfo) -> datetime:
    """The instant up to which sheets count: the first of the month.

    Args:
        as_of: the instant.
        zone: the yard's.
    """
    return day_start(local_day(as_of, zone).replace(day=1), zone)


def signs(
    trucks: Sequence[Watched],
    missing: Sequence[Missed],
    wrong_letters: Collection[FactId],
    as_of: datetime,
    zone: tzinfo,
) -> tuple[Shown, ...]:
    """Every sign of everybody that has enough sheets, those that may be said first.

    Each is a share of his sheets, held against that of the others on the same trucks. Sheets on paper, at a take-over
    and after the shift are left out.

    Args:
        trucks: all of the yard.
        missing: what services found that walk-rounds had called OK.
        wrong_letters: walk-rounds whose letter was not the one that is there.
        as_of: the instant.
        zone: the yard's.

    *Edge*: a sheet made exactly at the first of the month no longer counts.
    """
    end = judged_at(as_of, zone)
    seen: list[Seen] = []
    sheets = [sheet for truck in trucks for sheet in _sheets(truck, end - BACK, end)]
    for truck in trucks:
        own = [sheet for sheet in sheets if sheet.truck == truck.name]
        seen += _on_truck(own, wrong_letters)
        seen += _found(truck, own, missing)
    return judged([*seen, *_same_seconds(sheets)])


def judged(seen: Sequence[Seen]) -> tuple[Shown, ...]:
    """What sheets show of each person, held against the others; what may be said comes first.

    Args:
        seen: every sheet, asked for every sign.

    *Source*: over all persons and signs Holm's bound, a twelfth of `YEARLY` each month: however they hang together,
    fewer than `YEARLY` false signs a year are to be expected.
    """
    shown = [one for sign in SIGNS for one in _shown(sign, [one for one in seen if one.sign == sign])]
    said = said_aloud([one.chance for one in shown], YEARLY / LOOKS)
    told = [msgspec.structs.replace(one, said=yes) for one, yes in zip(shown, said, strict=True)]
    return tuple(sorted(told, key=lambda one: (not one.said, one.chance, one.by)))


def _sheets(truck: Watched, begin: datetime, end: datetime) -> Iterator[Sheet]:
    for one in truck.truck.counting:
        walk = one.body
        if isinstance(walk, WalkRound) and begin <= one.effective < end and walk.answers and not walk.paper:
            if walk.sheet not in {"take-over", "after-shift"}:
                yield Sheet(one, walk, truck.name)


def _on_truck(sheets: Sequence[Sheet], wrong_letters: Collection[FactId]) -> Iterator[Seen]:
    """What a sheet shows by itself, and beside the one before it on the same truck."""
    usual = _usual(sheets)
    before: Sheet | None = None
    last: dict[str, object] = {}
    for sheet in sheets:
        walk, who = sheet.walk, sheet.one

        def seen(sign: Sign, marked: bool, among: str = sheet.truck, who: Counted = who) -> Seen:
            return Seen(sign, who.by, among, marked, who.id)

        if walk.seconds is not None:
            least = LEAST_SECONDS * len(walk.answers)
            yield seen("quick", walk.seconds < least or walk.seconds * THIRD < usual[who.by], "")
        yield seen("nothing-found", not any(answer.mark == "fault" for answer in walk.answers))
        yield seen("meter-unread", walk.meter is None)
        if walk.letter is not None:
            yield seen("letter", who.id in wrong_letters, "")
        if before is not None and walk.meter is not None and before.walk.meter is not None:
            if who.effective - before.one.effective >= IDLE:
                yield seen("meter-copied", walk.meter.hours == before.walk.meter.hours)
        values = sheet.values
        if values.keys() & last.keys():
            yield seen("values-copied", all(last.get(check, value) == value for check, value in values.items()))
        before, last = sheet, last | values


def _usual(sheets: Sequence[Sheet]) -> dict[PersonKey, float]:
    """For each person the middle of the seconds that the others take on a truck: nobody is his own yardstick."""
    told = [(sheet.one.by, sheet.walk.seconds) for sheet in sheets if sheet.walk.seconds is not None]
    people = {by for by, _ in told}
    return {one: median([seconds for by, seconds in told if by != one] or [0]) for one in people}


def _found(truck: Watched, sheets: Sequence[Sheet], missing: Sequence[Missed]) -> Iterator[Seen]:
    """Faults of a truck that somebody found walking round it, and those that he had called OK."""
    by = {sheet.one.id: sheet.one.by for sheet in sheets}
    for one in truck.struck:
        if one.fault.fact in by:
            yield Seen("missed", by[one.fault.fact], truck.kind, marked=False, fact=one.fault.fact)
    for late in missing:
        if late.truck == truck.name and late.sheet in by:
            yield Seen("missed", late.by, truck.kind, marked=True, fact=late.sheet)


def _same_seconds(sheets: Sequence[Sheet]) -> Iterator[Seen]:
    """Each sheet beside the one before it of the same person, on whatever truck."""
    last: dict[PersonKey, int] = {}
    for sheet in sorted(sheets, key=lambda sheet: sheet.one.order):
        seconds, by = sheet.walk.seconds, sheet.one.by
        if seconds is not None:
            if by in last:
                yield Seen("same-seconds", by, "", last[by] == seconds, sheet.one.id)
            last[by] = seconds


def _shown(sign: Sign, seen: Sequence[Seen]) -> Iterator[Shown]:
    own = Counter((one.by, one.among, one.marked) for one in seen)
    whole = Counter((one.among, one.marked) for one in seen)
    for by in sorted({one.by for one in seen}):
        tables = []
        for among in sorted({one.among for one in seen if one.by == by}):
            marked, clean = own[by, among, True], own[by, among, False]
            others_marked, others_clean = whole[among, True] - marked, whole[among, False] - clean
            tables.append(Table(marked, marked + clean, others_marked, others_marked + others_clean))
        marked, of = sum(one.marked for one in tables), sum(one.of for one in tables)
        told = of >= FEWEST and any(one.others_of for one in tables)
        if told and (sign != "nothing-found" or marked == of):
            yield Shown(
                by=by,
                sign=sign,
                marked=marked,
                of=of,
                others_marked=sum(one.others_marked for one in tables),
                others_of=sum(one.others_of for one in tables),
                chance=share_above(tables) if marked >= FEWEST else 1.0,
                facts=tuple(one.fact for one in seen if one.by == by and one.marked),
            )

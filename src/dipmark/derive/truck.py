"""One truck, derived from its book."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, tzinfo
from decimal import Decimal

from dipmark.derive.alarm import alarms_now
from dipmark.derive.because import Because
from dipmark.derive.due import due_now
from dipmark.derive.duty import DutyNow, duties_now, unfit_by
from dipmark.derive.faults import cards_now, faults_now, locks_now
from dipmark.derive.measures import Measure, measures_now, nearest
from dipmark.derive.meter import MeterLife, meters_of
from dipmark.derive.past import Counting, enrolled_in, past
from dipmark.derive.places import ASKED, against_place, place_named, uses_there
from dipmark.derive.standing import Held, Standing
from dipmark.derive.state import last_walk, options_of, state_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import Accepted, Reading
from dipmark.facts.custody import HeldBy
from dipmark.facts.place import PlaceSet
from dipmark.facts.said import Word
from dipmark.facts.truck import Enrolled, Retired
from dipmark.rules.model import Rules


class TruckNow(Standing, frozen=True, kw_only=True):
    """Everything about one truck at an instant: its standing, and what it rests on.

    Args:
        counting: the facts that count.
        meters: its hour meters.
        measures: all that was measured on it, in order.
        barred: why law, an examiner or the place keeps it out of service, whatever a walk-round finds.
    """

    counting: Counting
    meters: tuple[MeterLife, ...]
    measures: tuple[Measure, ...]
    barred: tuple[Because, ...] = ()

    def reading(self, hours: Decimal | None) -> Reading | None:
        """Hours read off its first meter while something else was noted; None: not read."""
        return None if hours is None else Reading(hours=hours, meter=self.meters[0].name)


def truck_now(
    record: Sequence[Accepted], rules: Rules, yard: YardNow, zone: tzinfo, as_of: datetime, known: int | None = None
) -> TruckNow | None:
    """Derive one truck.

    Args:
        record: its book, whole.
        rules: of today.
        yard: the yard's settings at that instant.
        zone: the yard's time zone.
        as_of: the instant.
        known: judge by facts up to this number only; None: by all.

    Returns:
        The truck, or None where it was not enrolled yet.

    *Edge*: facts effective exactly at as_of count.
    """
    counting = past(record, as_of, known)
    if (enrolled := enrolled_in(counting)) is None:
        return None
    kind, meters, word = rules.kind(enrolled.what), meters_of(counting, zone), rules.word
    measures = measures_now(counting, rules, kind, zone)
    faults, cards = faults_now(counting, kind, zone, measures, word), cards_now(counting, word)
    dues = due_now(counting, kind, meters, as_of, zone, word, _uses(counting, enrolled, yard))
    walk = last_walk(counting, kind, yard, zone, rules.digest, word) if kind else None
    has = {*(options_of(counting, kind) if kind else enrolled.options or ()), *enrolled.uses}
    duties = duties_now(counting, enrolled.what, has, rules, yard.country, as_of, zone)
    barred = tuple(_barred(counting, enrolled, yard, duties, zone, word))
    return TruckNow(
        book=record[0].fact.book,
        enrolled=enrolled,
        counting=counting,
        meters=meters,
        measures=measures,
        barred=barred,
        worst=nearest(measures, rules),
        hours=meters[0].hours,
        doubtful=sum(len(life.doubtful) for life in meters),
        faults=faults,
        cards=cards,
        locks=locks_now(counting),
        held=_held(counting),
        walk=walk,
        dues=dues,
        duties=duties,
        state=state_now(kind, walk, faults, cards, (*dues, *(one.due for one in duties)), as_of, zone, barred, word),
        alarms=alarms_now(meters, walk, faults, cards, as_of, word),
        retired=next((one.body for one in counting if isinstance(one.body, Retired)), None),
    )


def _barred(
    counting: Counting, enrolled: Enrolled, yard: YardNow, duties: Sequence[DutyNow], zone: tzinfo, word: Word
) -> Iterator[Because]:
    """Why place, examiner or law keeps it out of service."""
    yield from _against_place(counting, enrolled, yard, word)
    yield from unfit_by(counting, zone, word)
    yield from (one.stops for one in duties if one.stops is not None)


def _held(counting: Counting) -> Held | None:
    """The last word on who has it."""
    words = [Held(one.body, one.by, one.effective) for one in counting if isinstance(one.body, HeldBy)]
    return words[-1] if words else None


def place_now(truck: Enrolled, held: Held | None, yard: YardNow) -> PlaceSet | None:
    """What is known of the place where a truck is: where it was taken last, else where it works; None: nothing is.

    Args:
        truck: as enrolled.
        held: the last word on who has it.
        yard: with its places.
    """
    return place_named(yard.places, (held.what.place if held else None) or truck.place)


def _uses(counting: Counting, enrolled: Enrolled, yard: YardNow) -> tuple[str, ...]:
    """How it is used where it is now; where nothing is known of the place, no harder than was said."""
    here = place_now(enrolled, _held(counting), yard)
    return () if here is None else uses_there(here)


def _against_place(counting: Counting, enrolled: Enrolled, yard: YardNow, word: Word) -> Iterator[Because]:
    """What stands against a truck where it is now; what is only asked keeps nothing out of service."""
    here = place_now(enrolled, _held(counting), yard)
    if here is not None:
        told = against_place(here, counting, enrolled.capacity_kg, word)
        yield from (one for one in told if one.rule != ASKED)

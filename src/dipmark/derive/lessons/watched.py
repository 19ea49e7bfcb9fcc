"""A truck as the lessons see it: its faults, services and repairs at the hours at which they were seen."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Final

import msgspec

from dipmark.derive.due import DELIVERY
from dipmark.derive.faults import FaultNow
from dipmark.derive.meter import MeterLife, micros
from dipmark.derive.past import Counted
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FactId, FaultRef
from dipmark.facts.fault import Fault
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Service

BACK: Final = 100
"""A fault on a check whose last repair is at most so many hours ago has come back. Common practice, no source."""

OTHER: Final = "other"
"""The part of a fault that belongs to no check."""


class Odometer:
    """True hours at any instant, on straight lines between the readings of a truck's first meter.

    Args:
        life: the meter.
    """

    def __init__(self, life: MeterLife) -> None:
        good = sorted((one.start + one.end, float(one.hours)) for one in life.good)
        self._times = [time for time, _ in good]
        self._hours = [hours for _, hours in good]
        self._of = {one.fact: float(one.hours) for one in life.good}

    def of(self, one: Counted) -> float:
        """Hours of a fact: its own reading where that is good, else as at its time.

        Args:
            one: a fact of the truck.
        """
        own = self._of.get(one.id)
        return self.at(one.effective) if own is None else own

    def at(self, instant: datetime) -> float:
        """Hours at an instant; before the first reading those of the first, after the last those of the last.

        Args:
            instant: any.
        """
        moment = 2 * micros(instant)
        place = bisect_left(self._times, moment)
        if place == 0:
            return self._hours[0]
        if place == len(self._times):
            return self._hours[-1]
        early, late = self._times[place - 1], self._times[place]
        share = (moment - early) / (late - early)
        return self._hours[place - 1] + share * (self._hours[place] - self._hours[place - 1])


class Struck(msgspec.Struct, frozen=True):
    """A fault of a truck.

    Args:
        fault: as it stands.
        hours: true hours when it was seen.
        mended: hours of the repair that mended it; None while it is open, or where it went by itself.
        found_in: the work in the course of which it was found.
        back: the fault of the same check whose repair it came back after.
    """

    fault: FaultNow
    hours: float
    mended: float | None = None
    found_in: FactId | None = None
    back: FaultRef | None = None

    @property
    def part(self) -> str:
        """The part of the truck: the first word of its check."""
        return (self.fault.check or OTHER).partition(".")[0]


class Job(msgspec.Struct, frozen=True):
    """Work done on the truck, at its hours."""

    one: Counted
    work: Worked
    hours: float


class Watched(msgspec.Struct, frozen=True):
    """A truck that was watched over some hours.

    Args:
        truck: as derived.
        odometer: its hours.
        since: when its walk-rounds, faults and work begin to be in the record.
        start: hours at which they do.
        now: hours of its last good reading; over `start`.
        struck: its faults since then, in order; one that was seen again while it was open counts once.
        jobs: work done since then, in order.
    """

    truck: TruckNow
    odometer: Odometer
    since: datetime
    start: float
    now: float
    struck: tuple[Struck, ...]
    jobs: tuple[Job, ...]

    @property
    def name(self) -> str:
        """Its number."""
        return self.truck.name

    @property
    def kind(self) -> str:
        """Its kind."""
        return self.truck.enrolled.what

    @property
    def hours(self) -> float:
        """How many hours it was watched for."""
        return self.now - self.start

    @property
    def in_use(self) -> tuple[Struck, ...]:
        """Faults seen in use; when one that was found in the course of work had come, nobody knows."""
        return tuple(one for one in self.struck if one.found_in is None)

    @property
    def from_new(self) -> bool:
        """True where nothing of its life is missing."""
        return self.start <= DELIVERY

    def spells(self, resets: frozenset[str]) -> Iterator[tuple[float, float, bool]]:
        """The hours between one service and the next: from, to, and whether it ended with a service.

        Args:
            resets: the services that begin it anew.
        """
        marks = sorted({job.hours for job in self.jobs if resets & set(job.work.services)})
        edges = [0.0, *marks] if self.from_new else marks
        for begin, end in pairwise(edges):
            yield begin, end, True
        if edges and self.now > edges[-1]:
            yield edges[-1], self.now, False


def watched(truck: TruckNow) -> Watched | None:
    """A truck as the lessons see it; None where no hours or nothing else is in its record.

    Args:
        truck: as derived; its first meter counts.
    """
    if not truck.meters[0].good:
        return None
    odometer = Odometer(truck.meters[0])
    seen = [one for one in truck.counting if isinstance(one.body, WalkRound | Fault | Worked)]
    if not seen:
        return None
    start, now = odometer.of(seen[0]), float(truck.meters[0].good[-1].hours)
    jobs = tuple(Job(one, one.body, odometer.of(one)) for one in seen if isinstance(one.body, Worked))
    if now <= start:
        return None
    return Watched(truck, odometer, seen[0].effective, start, now, tuple(_struck(truck, odometer)), jobs)


def _struck(truck: TruckNow, odometer: Odometer) -> Iterator[Struck]:
    facts = {one.id: one for one in truck.counting}
    last: dict[str, Struck] = {}
    for fault in truck.faults:
        own, check = facts[fault.fact], fault.check
        before = last.get(check) if check is not None else None
        if before is not None and _still_open(before.fault, own, facts):
            continue
        hours = odometer.of(own)
        mend = facts[fault.mended] if fault.mended is not None else None
        mended = max(odometer.of(mend), hours) if mend is not None and isinstance(mend.body, Worked) else None
        came = before is not None and before.mended is not None and hours - before.mended <= BACK
        found_in = own.body.found_in if isinstance(own.body, Fault) else None
        one = Struck(fault, hours, mended, found_in, before.fault.ref if came and before is not None else None)
        if check is not None:
            last[check] = one
        yield one


def _still_open(before: FaultNow, own: Counted, facts: dict[FactId, Counted]) -> bool:
    """True where an earlier fault of the check was not mended yet when this one was written."""
    return before.mended is None or facts[before.mended].effective > own.effective


def resets_of(service: Service, services: Sequence[Service]) -> frozenset[str]:
    """The services that begin a service anew: itself and those that include it.

    Args:
        service: which.
        services: all of the kind.
    """
    return frozenset(one.id for one in services if one.id == service.id or service.id in one.includes)

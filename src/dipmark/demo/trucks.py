"""The trucks of the invented yard: a table, the hours each has run, and what its meter shows."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Final, Literal

import msgspec

from dipmark.demo.pen import ZONE, Calendar
from dipmark.derive.days import local_day
from dipmark.facts.base import BookId, FaultRef, Reading, truck_book
from dipmark.facts.truck import Meter

LPG: Final = "engine-pneumatic-lpg"
USUAL: Final = (
    "air-tyres", "automatic", "backrest", "brake-bottle", "finger-guards", "inching-pedal", "lights", "mirrors",
    "presence-switch", "reversing-alarm", "seat-belt", "side-shift", "sit-down", "tow-pin",
)  # fmt: skip

Service = Literal["later", "open", "due", "late", "by-hours", "unknown"]


class Spec(msgspec.Struct, frozen=True, kw_only=True):
    """A truck of the table.

    Args:
        name: its number.
        what: its kind.
        place: where it works.
        hours: tenths of an hour on its meter when the record begins.
        runs: tenths of an hour it runs in an early, a late and a Saturday shift; none: it has no meter.
        commissioned: years before the record began; 0: new then.
        new: its delivery hours are known.
        serial: serial number.
        capacity: rated capacity in kg.
        options: what it has.
        meters: its meters.
        here: days since it came; None: since the record began.
        idle: days since it last ran; None: it runs up to now, 0: up to last midnight.
        service: how its next short service stands.
        every: days from one service to the next.
        cycle: the number of the last service in the cycle of twelve.
    """

    name: str
    what: str
    place: str
    hours: int
    runs: tuple[int, int, int]
    commissioned: int = 4
    new: bool = False
    serial: str
    capacity: int
    options: tuple[str, ...] = ()
    meters: tuple[Meter, ...] = ()
    here: int | None = None
    idle: int | None = 0
    service: Service = "later"
    every: int = 27
    cycle: int = 4


SPECS: Final = (
    Spec(name="1", what=LPG, place="Hall A", hours=42, runs=(30, 22, 25), commissioned=0, new=True, serial="LP25-0417",
         capacity=2500, options=USUAL, idle=None, cycle=7),
    Spec(name="2", what=LPG, place="Hall A", hours=83415, runs=(32, 21, 20), serial="LP25-0288", capacity=2500,
         options=(*USUAL, "beacon"), meters=(Meter(counts="engine", digits=4),), idle=None, service="open", cycle=4),
    Spec(name="3", what=LPG, place="Hall B", hours=61207, runs=(29, 23, 22), serial="LP30-1120", capacity=3000,
         options=(*USUAL, "fire-extinguisher"), meters=(Meter(counts="engine", digits=5),), idle=None, service="due",
         cycle=1),
    Spec(name="4", what=LPG, place="Hall B", hours=97330, runs=(27, 19, 15), commissioned=8, serial="LP30-0733",
         capacity=3000, options=USUAL, service="late", cycle=4),
    Spec(name="5", what=LPG, place="Loading bays", hours=54102, runs=(31, 24, 26), serial="LP25-0391", capacity=2500,
         options=(*USUAL, "cab"), cycle=10),
    Spec(name="6", what=LPG, place="Loading bays", hours=70688, runs=(28, 22, 18), serial="LP35-0095", capacity=3500,
         options=(*USUAL, "attachment", "fire-extinguisher"), service="open", cycle=5),
    Spec(name="7", what=LPG, place="Loading bays", hours=48219, runs=(47, 37, 40), serial="LP35-0102", capacity=3500,
         options=(*USUAL, "beacon"), meters=(Meter(counts="engine"),), service="by-hours", every=23, cycle=7),
    Spec(name="8", what=LPG, place="Yard", hours=113054, runs=(34, 25, 30), commissioned=9, serial="LP25-0018",
         capacity=2500, options=USUAL, here=43, idle=None, service="unknown"),
    Spec(name="9", what="electric-counterbalanced", place="Cold store", hours=38861, runs=(36, 26, 20),
         serial="EC18-2210", capacity=1800, meters=(Meter(counts="key"), Meter(name="lift", counts="lift")), every=42),
    Spec(name="10", what="reach", place="Racking", hours=29944, runs=(41, 31, 28), serial="RT16-0650", capacity=1600,
         every=45),
    Spec(name="11", what="tow-tractor", place="Line feed", hours=22516, runs=(26, 20, 0), serial="TT40-0077",
         capacity=4000, every=60),
    Spec(name="12", what="engine-pneumatic-diesel", place="Yard", hours=88190, runs=(18, 0, 12), commissioned=11,
         serial="DP50-0009", capacity=5000, idle=75, every=55),
    Spec(name="13", what="pallet", place="Loading bays", hours=0, runs=(0, 0, 0), serial="PT20-3318",
         capacity=2000, every=80),
    Spec(name="14", what="engine-pneumatic-petrol", place="Yard", hours=151230, runs=(15, 0, 10), commissioned=14,
         serial="GP25-0002", capacity=2500, idle=160, every=50),
)  # fmt: skip


class Truck:
    """A truck while its two years are written.

    Args:
        spec: its line of the table.
        calendar: the yard's days.
        standing: days on which troubles keep it from running.
        rng: how many hours a shift brings.
    """

    def __init__(self, spec: Spec, calendar: Calendar, standing: frozenset[date], rng: Random) -> None:
        self.spec = spec
        self.book: BookId = truck_book(spec.name)
        self.came = calendar.start if spec.here is None else calendar.ago(spec.here)
        self.changed: tuple[datetime, Decimal] | None = None
        self.faults: list[tuple[FaultRef, datetime, datetime | None]] = []
        self.walked: set[date] = set()
        self.last_walk: datetime | None = None
        until = calendar.as_of if spec.idle is None else calendar.midnight - timedelta(days=spec.idle)
        self.spans: list[tuple[datetime, datetime, int]] = []
        for index, begin, end in calendar.shifts():
            day = local_day(begin, ZONE)
            mean = spec.runs[index]
            run = max(2, mean + rng.randint(-9, 9))
            if mean and rng.random() < 0.94 and self.came < day and day not in standing and begin < until:
                self.spans.append((begin, end, run))
        self._begins = [begin for begin, _, _ in self.spans]
        self._before = [spec.hours]
        for _, _, run in self.spans:
            self._before.append(self._before[-1] + run)

    def hours(self, instant: datetime) -> Decimal:
        """True hours at an instant, in tenths; within a shift they rise evenly."""
        index = bisect_right(self._begins, instant) - 1
        if index < 0:
            return Decimal(self.spec.hours).scaleb(-1)
        begin, end, run = self.spans[index]
        part = min(instant, end) - begin
        return Decimal(self._before[index] + run * part // (end - begin)).scaleb(-1)

    def shown(self, instant: datetime) -> Decimal:
        """What its meter shows: since a change the new one's hours, after its last number it starts again at zero."""
        hours = self.hours(instant)
        if self.changed is not None and instant > self.changed[0]:
            hours = hours - self.hours(self.changed[0]) + self.changed[1]
        digits = next((meter.digits for meter in self.spec.meters), None)
        return hours if digits is None else hours % 10**digits

    def read(self, instant: datetime) -> Reading | None:
        """The meter as read along with something else; None where there is none."""
        return Reading(hours=self.shown(instant)) if any(self.spec.runs) else None

    def when(self, hours: Decimal) -> datetime:
        """The instant at which so many true hours are reached; they lie between its first and its last."""
        tenths = int(hours * 10)
        index = bisect_left(self._before, tenths) - 1
        begin, end, run = self.spans[index]
        return (begin + (end - begin) * (tenths - self._before[index]) / run).replace(microsecond=0)

    def open_at(self, instant: datetime) -> list[FaultRef]:
        """Faults open at an instant that an earlier walk-round or mechanic has noted."""
        return [ref for ref, since, until in self.faults if since < instant and (until is None or instant < until)]

"""The calendar of the invented yard, and the pen that writes its facts with ids and receipts made from the seed."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from random import Random
from typing import Final
from zoneinfo import ZoneInfo

import msgspec

from dipmark.adapters.store import Blob
from dipmark.derive.days import add_months, day_start, local_day
from dipmark.facts.base import BookId, Fact, FactId, PersonKey
from dipmark.facts.kinds import AnyBody
from dipmark.facts.people import Shift

ZONE: Final = ZoneInfo("Europe/London")
MONTHS: Final = 24
"""How long the record goes back."""

SECOND: Final = 700
"""Days since a second shift and Saturdays are worked; before, there was the early shift alone."""

SHIFTS: Final = (
    Shift(name="early", days=(1, 2, 3, 4, 5), start=time(6), end=time(14)),
    Shift(name="late", days=(1, 2, 3, 4, 5), start=time(14), end=time(22)),
    Shift(name="Saturday", days=(6,), start=time(6), end=time(14)),
)


class Calendar:
    """The days of the invented yard, seen from `as_of`.

    Args:
        as_of: the instant everything is counted back from.
    """

    def __init__(self, as_of: datetime) -> None:
        self.as_of = as_of.astimezone(UTC).replace(microsecond=0)
        self.today = local_day(self.as_of, ZONE)
        self.start = add_months(self.today, -MONTHS)

    @cached_property
    def closed(self) -> tuple[date, ...]:
        """Days on which nobody works: the first day of the year and the twenty-fifth of December."""
        years = range(self.start.year, self.today.year + 2)
        return tuple(day for year in years for day in (date(year, 1, 1), date(year, 12, 25)))

    @property
    def midnight(self) -> datetime:
        """When today began in the yard."""
        return day_start(self.today, ZONE)

    def ago(self, days: int) -> date:
        """So many days ago."""
        return self.today - timedelta(days=days)

    def worked(self, days: int) -> date:
        """The last full working day that is at least so many days ago."""
        day = self.ago(days)
        while day.isoweekday() > 5 or day in self.closed:
            day -= timedelta(days=1)
        return day

    def at(self, day: date, clock: str) -> datetime:
        """An instant by the clock of the yard."""
        return datetime.combine(day, time.fromisoformat(clock), tzinfo=ZONE).astimezone(UTC)

    def shifts(self) -> Iterator[tuple[int, datetime, datetime]]:
        """Every shift begun since the start: 0 early, 1 late, 2 Saturday; its first and last instant."""
        for offset in range((self.today - self.start).days + 1):
            day = self.start + timedelta(days=offset)
            for index, shift in enumerate(SHIFTS):
                begin = datetime.combine(day, shift.start, tzinfo=ZONE).astimezone(UTC)
                worked = index == 0 or day > self.ago(SECOND)
                if worked and day.isoweekday() in shift.days and day not in self.closed and begin < self.as_of:
                    yield index, begin, datetime.combine(day, shift.end, tzinfo=ZONE).astimezone(UTC)


class Written(msgspec.Struct, frozen=True):
    """A fact and when the yard's store took it."""

    fact: Fact
    received: datetime


class Pen:
    """Writes facts whose ids, people and receipts all come from the seed.

    Args:
        calendar: the yard's days.
        rng: where chance comes from.
        people: everybody by the short name this program uses, with the name for the register.
    """

    def __init__(self, calendar: Calendar, rng: Random, people: dict[str, str]) -> None:
        self.calendar = calendar
        self.rng = rng
        self.keys = {short: PersonKey("p-" + _letters(rng)) for short in people}
        self.names = {self.keys[short]: name for short, name in people.items()}
        self.blobs: list[Blob] = []
        self._written: list[Written] = []

    def write(
        self,
        book: BookId,
        body: AnyBody,
        happened: datetime,
        by: str,
        *,
        received: datetime | None = None,
        whole_day: bool = False,
    ) -> FactId:
        """Write a fact and give back its id.

        Args:
            book: the thing it is about.
            body: what.
            happened: when; for a whole day any instant of it.
            by: short name of the person.
            received: when it was taken; None is a little later.
            whole_day: only the date is known.
        """
        if whole_day:
            happened = day_start(local_day(happened, ZONE), ZONE)
        if received is None:
            received = min(happened + timedelta(seconds=self.rng.randint(2, 95)), max(happened, self.calendar.as_of))
        made = min(happened, received) if not whole_day else received
        fact = Fact(
            id=_uuid7(made, self.rng),
            book=book,
            happened=_fixed(happened),
            by=self.keys[by],
            body=body,
            whole_day=whole_day,
        )
        self._written.append(Written(fact, received.astimezone(UTC)))
        return fact.id

    def in_order(self) -> list[Written]:
        """Everything written, in the order of receipt."""
        return sorted(self._written, key=lambda one: (one.received, one.fact.happened, one.fact.id))


def _uuid7(made: datetime, rng: Random) -> FactId:
    """A UUID of version 7: 48 bits of milliseconds, the rest from the seed."""
    number = (made - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1) << 80
    number |= 7 << 76 | rng.getrandbits(12) << 64 | 2 << 62 | rng.getrandbits(62)
    digits = f"{number:032x}"
    return FactId("-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:])))


def _fixed(instant: datetime) -> datetime:
    """The instant with the offset the yard's clocks had, as a phone writes it."""
    return datetime.fromisoformat(instant.astimezone(ZONE).isoformat())


def _letters(rng: Random) -> str:
    return base64.b32encode(rng.randbytes(10)).decode().lower()

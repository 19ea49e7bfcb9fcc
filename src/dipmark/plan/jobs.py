"""What there is to do: jobs with their windows, and the visits they are done in."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final, Literal

import msgspec

Work = Literal["service", "fault", "examination"]

WEIGHTS: Final = (3, 4, 3)
"""What each of the three days counts, in tenths.

Source: Swanson's rule for the 10th, 50th and 90th percentile, 30-40-30 (from memory).
"""


class Spread(msgspec.Struct, frozen=True):
    """The day something falls due, as far as it is known.

    Args:
        early: one time in ten it is earlier.
        about: as likely before as after.
        late: one time in ten it is later. A date of the calendar is three times the same day: `Spread.on`.
    """

    early: date
    about: date
    late: date

    @classmethod
    def on(cls, day: date) -> Spread:
        """A day that is known."""
        return cls(day, day, day)


class Part(msgspec.Struct, frozen=True):
    """A part that has to be there.

    Args:
        name: as the stores call it.
        ready: the first day it can be fitted; None: nobody knows when it comes.
    """

    name: str
    ready: date | None


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to be done to one truck, at one stop. Money in cents.

    Args:
        id: nobody else's in the plan.
        truck: the truck's book.
        work: a service, a fault or an examination.
        subject: the id of that service, fault or examination.
        minutes: of work, without setting up.
        due: the day it falls due.
        opens: the first day it may be done.
        grace: days after due on which it is still in time; none for what affects safety or the law.
        hard: never late. It goes by the early one of the three days.
        skills: what whoever does it must have learnt.
        permits: what whoever does it must be allowed.
        bay: the kind of bay it needs; None: done where the truck stands.
        firm: the outside firm that does it; None: our own mechanics.
        place: the yard it is done in.
        parts: what has to be there.
        late_a_day: what each day late costs, after the grace.
        early_a_day: what each day before due throws away of the interval.
        standing: the truck is out of service until this is done.
        standing_a_day: what each day costs that the truck stands for it.
        left: what it costs to leave it out though its latest day lies in the plan.
    """

    id: str
    truck: str
    work: Work
    subject: str
    minutes: int
    due: Spread
    opens: date
    grace: int = 0
    hard: bool = False
    skills: frozenset[str] = frozenset()
    permits: frozenset[str] = frozenset()
    bay: str | None = None
    firm: str | None = None
    place: str = ""
    parts: tuple[Part, ...] = ()
    late_a_day: int = 0
    early_a_day: int = 0
    standing: bool = False
    standing_a_day: int = 0
    left: int = 200_000

    @property
    def latest(self) -> date:
        """The last day it is in time.

        *Edge*: the latest day itself is in time. What is hard goes by the early day, the rest by the middle one.
        """
        return (self.due.early if self.hard else self.due.about) + timedelta(days=self.grace)

    @property
    def ready(self) -> date | None:
        """The first day its window is open and its parts are there; None where nobody knows when a part comes."""
        days = [self.opens]
        for part in self.parts:
            if part.ready is None:
                return None
            days.append(part.ready)
        return max(days)


class Visit(msgspec.Struct, frozen=True):
    """Jobs of one truck done in one stop, by one mechanic.

    Args:
        truck: the truck's book.
        jobs: ids, at least one.
    """

    truck: str
    jobs: tuple[str, ...]

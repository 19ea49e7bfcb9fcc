"""The plan itself: which visit is where, what is left out, and what all that costs."""

from __future__ import annotations

from datetime import date
from math import inf

import msgspec

from dipmark.plan.jobs import Visit


class Placed(msgspec.Struct, frozen=True):
    """A visit in its place.

    Args:
        visit: the truck and its jobs.
        day: on which.
        shift: its name.
        mechanic: who does it.
    """

    visit: Visit
    day: date
    shift: str
    mechanic: str


class Cost(msgspec.Struct, frozen=True):
    """What a plan costs, in mills: tenths of a cent, so that the three days of a spread weigh exactly.

    Args:
        late: days after the latest.
        early: days of an interval thrown away.
        standing: days that trucks stand out of service.
        busy: minutes in the workshop while the truck is wanted.
        overtime: minutes beyond a mechanic's own.
        missing: trucks too few in a shift.
        moved: jobs moved from where a published plan had them.
        left: jobs left out that should not be.
    """

    late: int = 0
    early: int = 0
    standing: int = 0
    busy: int = 0
    overtime: int = 0
    missing: int = 0
    moved: int = 0
    left: int = 0

    @property
    def total(self) -> int:
        """All of it, in mills."""
        return sum(getattr(self, name) for name in self.__struct_fields__)

    def __add__(self, other: Cost) -> Cost:
        return Cost(*(getattr(self, name) + getattr(other, name) for name in self.__struct_fields__))


class Fortnight(msgspec.Struct, frozen=True):
    """A plan, however it was made.

    Args:
        placed: by day, shift, mechanic.
        left: ids of the jobs that are not in it, each named.
        cost: in mills; `check` says what for.
        bound: no plan of these visits can cost less, in mills; None: nobody has looked.
    """

    placed: tuple[Placed, ...]
    left: tuple[str, ...] = ()
    cost: int = 0
    bound: int | None = None

    @property
    def gap(self) -> float | None:
        """By what share the plan may be dearer than the best there is: 0 is proven best, None where nobody knows.

        *Edge*: where the best may cost nothing at all, a plan that costs something is dearer without end.
        """
        if self.bound is None:
            return None
        over = max(0, self.cost - self.bound)
        return over / self.bound if self.bound > 0 else (inf if over else 0.0)

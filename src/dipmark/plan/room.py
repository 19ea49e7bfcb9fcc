"""What there is to do it with: mechanics, shifts, bays, and the trucks the yard cannot spare."""

from __future__ import annotations

from datetime import date, timedelta

import msgspec


class Mechanic(msgspec.Struct, frozen=True):
    """Whoever does the work, our own or an outside firm's.

    Args:
        id: the person's key, or the firm's name.
        skills: learnt.
        permits: allowed, such as refrigerant or gas.
        firm: the outside firm; None: our own. A firm's jobs go to the firm alone, ours to our own alone.
        places: the yards where he works.
        overtime: cents a minute.
    """

    id: str
    skills: frozenset[str] = frozenset()
    permits: frozenset[str] = frozenset()
    firm: str | None = None
    places: frozenset[str] = frozenset({""})
    overtime: int = 0


class Stretch(msgspec.Struct, frozen=True):
    """One mechanic's working time in one shift; on closed days and absences there is none.

    Args:
        mechanic: who.
        day: the day the shift begins.
        shift: its name.
        minutes: for planned work.
        overtime: minutes that may be added.
    """

    mechanic: str
    day: date
    shift: str
    minutes: int
    overtime: int = 0


class Bay(msgspec.Struct, frozen=True):
    """Bays of one kind in one shift. A mechanic who needs one has it for the whole shift.

    Args:
        kind: as the jobs name it.
        count: how many there are.
        place: the yard they stand in.
    """

    kind: str
    count: int
    place: str = ""


class Need(msgspec.Struct, frozen=True):
    """How many trucks of a group the yard cannot do without in one shift. Money in cents.

    Args:
        group: whose.
        trucks: so many have to be free to work.
        missing: what each truck too few costs in that shift.
        busy: what a minute costs that one of them is in the workshop.
    """

    group: str
    trucks: int = 0
    missing: int = 0
    busy: int = 0


class Shift(msgspec.Struct, frozen=True):
    """One shift of one day.

    Args:
        day: on which it begins.
        name: early, late, night …
        bays: that are free.
        needs: of the fleet, one for a group at most; one of a group that is not in the room counts for nothing.
    """

    day: date
    name: str
    bays: tuple[Bay, ...] = ()
    needs: tuple[Need, ...] = ()


class Group(msgspec.Struct, frozen=True):
    """Trucks that can stand in for one another: one kind, one capacity, one yard.

    Args:
        id: as the needs name it.
        trucks: all of them.
        standing: those out of service now; each counts again from the shift after the last job it stands for.
    """

    id: str
    trucks: frozenset[str]
    standing: frozenset[str] = frozenset()


class Room(msgspec.Struct, frozen=True, kw_only=True):
    """All a plan has to work with.

    Args:
        first: its first day.
        days: how many.
        shifts: in the order of time.
        stretches: of all mechanics.
        mechanics: each once.
        groups: each truck in one at most.
        set_up: minutes each visit takes besides its jobs: fetching, washing, signing off.
        stop: what each visit costs, in cents, besides minutes: somebody fetches the truck and another is found.
        move: what it costs, in cents, to move one job of a published plan.
    """

    first: date
    days: int = 14
    shifts: tuple[Shift, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    mechanics: tuple[Mechanic, ...] = ()
    groups: tuple[Group, ...] = ()
    set_up: int = 15
    stop: int = 2_500
    move: int = 2_000

    @property
    def last(self) -> date:
        """Its last day, itself part of the plan."""
        return self.first + timedelta(days=self.days - 1)

"""When something is wrong: troubles by system, with causes, first checks and whether to stop; model and reader."""

from __future__ import annotations

from typing import Final, Literal, TypeVar

import msgspec

from dipmark.facts.base import RANK, Seriousness
from dipmark.rules.typed import Table, near
from dipmark.rules.value import MARKS, REFERENCE, SERIOUSNESS, Caution, Trucks, Value, read_caution, read_trucks

Sense = Literal["seen", "heard", "felt", "smelt"]
"""By which sense it is noticed."""

SENSES: Final[tuple[Sense, ...]] = ("seen", "heard", "felt", "smelt")
LONGEST_DAYS: Final = 90

_T = TypeVar("_T")


class Trouble(Value, frozen=True, kw_only=True):
    """Something that is wrong with a truck, as a driver notices it.

    Args:
        id: short, unique within its system.
        text: what is noticed.
        sense: by which sense.
        causes: what is likely behind it, the likeliest first.
        first: what a driver may look at himself, in this order; empty: nothing, it is a mechanic's.
        seriousness: what follows for the truck until it is known and mended.
        affects_safety: whether it can hurt somebody; then it is never `repair-by` or `watch`.
        days: only for `repair-by`: within how many days, 1 to 90.
        cautions: what can hurt while looking.
        trucks: those that can have it.
    """

    id: str
    text: str
    sense: Sense
    causes: tuple[str, ...]
    first: tuple[str, ...]
    seriousness: Seriousness
    affects_safety: bool
    days: int | None = None
    cautions: tuple[Caution, ...] = ()
    trucks: Trucks = Trucks()

    @property
    def stops(self) -> bool:
        """True when the truck may not work with it."""
        return RANK[self.seriousness] >= RANK["stop"]


class System(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part of the truck that has its own troubles, such as the brakes.

    Args:
        id: its name in the files.
        text: its name for people.
        number: its turn in the list, from 0.
        troubles: the most serious first.
        cautions: those that its troubles name.
    """

    id: str
    text: str
    number: int
    troubles: tuple[Trouble, ...]
    cautions: tuple[Caution, ...] = ()

    def trouble(self, id: str) -> Trouble | None:
        """The trouble of that id, or None."""
        return next((trouble for trouble in self.troubles if trouble.id == id), None)


def read_systems(table: Table) -> dict[str, System]:
    """All systems, in the order of their numbers.

    Args:
        table: the table that holds them by their ids.
    """
    table.names()
    systems = [_system(one, id) for id, one in table.each()]
    return {system.id: system for system in sorted(systems, key=lambda system: (system.number, system.id))}


def _system(table: Table, id: str) -> System:
    cautions = {name: read_caution(one, name) for name, one in table.tables("cautions")}
    groups = {name: read_trucks(one) for name, one in table.tables("trucks")}
    troubles = [_trouble(one, name, cautions, groups) for name, one in table.tables("troubles")]
    system = System(
        id=id,
        text=table.text("text"),
        number=table.whole("number", 0, 99),
        troubles=tuple(sorted(troubles, key=lambda trouble: -RANK[trouble.seriousness])),
        cautions=tuple(cautions.values()),
    )
    table.close()
    return system


def _trouble(table: Table, id: str, cautions: dict[str, Caution], groups: dict[str, Trucks]) -> Trouble:
    group = _named(table, "trucks", groups, (table.text("trucks"),) if table.has("trucks") else ())
    trouble = Trouble(
        id=id,
        text=table.text("text"),
        sense=table.choice("sense", SENSES),
        causes=table.words("causes"),
        first=table.words("first"),
        seriousness=table.choice("seriousness", SERIOUSNESS),
        affects_safety=table.flag("affects_safety"),
        days=table.whole("days", 1, LONGEST_DAYS) if table.has("days") else None,
        cautions=_named(table, "cautions", cautions, table.words("cautions")),
        trucks=group[0] if group else Trucks(),
        legal=table.flag("legal", default=False),
        source=table.text("source"),
        mark=table.choice("mark", MARKS),
    )
    table.close()
    return trouble


def _named(table: Table, key: str, known: dict[str, _T], names: tuple[str, ...]) -> tuple[_T, ...]:
    """What a trouble names of its file's cautions or trucks."""
    for name in names:
        if name not in known:
            hint = near(name, tuple(known))
            table.faults.add(REFERENCE, (*table.path, key), ascii(name)[:60], f"a name in {key}", hint)
    return tuple(known[name] for name in names if name in known)

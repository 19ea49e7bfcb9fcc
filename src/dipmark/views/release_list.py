"""Who may give a truck back to its drivers, shift by shift, to hang on the wall."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import msgspec

from dipmark.derive.yard import YardNow
from dipmark.facts.base import WEEKDAYS, PersonKey
from dipmark.facts.people import PersonSet, Shift
from dipmark.views.paper import Head


class MayRelease(msgspec.Struct, frozen=True):
    """Somebody who may release: name, and what he does here."""

    name: str
    roles: tuple[str, ...]


class ShiftRow(msgspec.Struct, frozen=True):
    """A shift with those who may release in it.

    Args:
        name: as the yard calls it; empty: any other time.
        days: the weekdays on which it starts.
        hours: from when to when, by the yard's clock; empty: any other time.
        night: it runs past midnight.
        people: by name; empty: nobody, the truck stays where it is.
        telephone: the number of the shift, else the yard's; empty: none is known.
    """

    name: str
    days: tuple[str, ...]
    hours: str
    night: bool
    people: tuple[MayRelease, ...]
    telephone: str


class ReleaseList(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the list: the head of its page, a row a shift, and last the row of any other time."""

    head: Head
    shifts: tuple[ShiftRow, ...]


def release_list(yard: YardNow, roles: Collection[str], names: Mapping[PersonKey, str], head: Head) -> ReleaseList:
    """Everybody who may release, in each shift.

    Args:
        yard: its shifts and people.
        roles: those that may release.
        names: of people, by key.
        head: of the page.

    *Edge*: who is set to no shift may be called in any of them.
    """
    people = [one for one in yard.people.values() if not one.gone and set(one.roles) & set(roles)]
    people.sort(key=lambda one: names.get(one.person, one.person).casefold())
    rows = [_row(shift, yard, people, roles, names) for shift in sorted(yard.shifts, key=lambda shift: shift.start)]
    everybody = tuple(_one(one, roles, names) for one in people)
    return ReleaseList(
        head=head, shifts=(*rows, ShiftRow("", (), "", night=False, people=everybody, telephone=yard.telephone or ""))
    )


def _row(
    shift: Shift, yard: YardNow, people: list[PersonSet], roles: Collection[str], names: Mapping[PersonKey, str]
) -> ShiftRow:
    held = tuple(_one(one, roles, names) for one in people if not one.shifts or shift.name in one.shifts)
    days = tuple(WEEKDAYS[day - 1] for day in shift.days)
    hours, telephone = f"{shift.start:%H:%M} – {shift.end:%H:%M}", shift.telephone or yard.telephone or ""
    return ShiftRow(shift.name, days, hours, shift.end <= shift.start, held, telephone)


def _one(one: PersonSet, roles: Collection[str], names: Mapping[PersonKey, str]) -> MayRelease:
    return MayRelease(names.get(one.person, one.person), tuple(role for role in one.roles if role in roles))

"""Who may give a truck back: shift by shift, and at any other time."""

from __future__ import annotations

from datetime import UTC, datetime, time

from dipmark.derive.yard import YardNow
from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.people import PersonSet, Shift
from dipmark.views.paper import yard_head
from dipmark.views.release_list import MayRelease, release_list
from views.yards import RULES

NAMES = {PersonKey("ana"): "Ana", PersonKey("bo"): "Bo", PersonKey("cy"): "Cy", PersonKey("di"): "Di"}
HEAD = yard_head(YARD, "1-A", None, RULES, datetime(2026, 11, 20, tzinfo=UTC), UTC)
ROLES = ("mechanic", "lead", "owner")


def person(key: str, *roles: str, shifts: tuple[str, ...] = (), gone: bool = False) -> PersonSet:
    return PersonSet(person=PersonKey(key), roles=roles, shifts=shifts, gone=gone)  # type: ignore[arg-type]


PEOPLE = {
    one.person: one
    for one in (
        person("di", "mechanic", "driver", shifts=("early",)),
        person("ana", "lead"),
        person("bo", "driver"),
        person("cy", "mechanic", gone=True),
    )
}
ANA, DI = MayRelease("Ana", ("lead",)), MayRelease("Di", ("mechanic",))


def test_each_shift_names_those_who_work_it() -> None:
    shifts = (
        Shift(name="night", days=(1, 7), start=time(22), end=time(6), telephone="01632 960002"),
        Shift(name="early", days=(1,), start=time(6), end=time(14)),
    )
    found = release_list(YardNow(people=PEOPLE, shifts=shifts, telephone="+44 1632 960001"), ROLES, NAMES, HEAD)
    assert [(row.name, row.days, row.hours, row.night, row.people) for row in found.shifts] == [
        ("early", ("Mon",), "06:00 – 14:00", False, (ANA, DI)),
        ("night", ("Mon", "Sun"), "22:00 – 06:00", True, (ANA,)),
        ("", (), "", False, (ANA, DI)),
    ]
    assert [row.telephone for row in found.shifts] == ["+44 1632 960001", "01632 960002", "+44 1632 960001"]


def test_where_nobody_may_nobody_is_named() -> None:
    (row,) = release_list(YardNow(), ROLES, NAMES, HEAD).shifts
    assert (row.people, row.telephone) == ((), "")

"""The due list on paper, with the kit of parts that its services ask for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import msgspec

from dipmark.derive.due import WALK_ROUND
from dipmark.derive.standing import Standing
from dipmark.rules.model import Rules
from dipmark.views.due_soon import NOTHING, TODAY, Ahead, DueRow, due_rows, duties_words
from dipmark.views.paper import Head
from dipmark.views.words import DUE, day, hours


class ListRow(msgspec.Struct, frozen=True):
    """One service or examination of one truck.

    Args:
        truck: its number.
        place: where it works.
        what: the service or the examination; empty where none is known.
        state: how it stands, in words.
        pressing: True where it is due or late.
        by_hours: at which hours, and until which it is in time.
        by_date: when it is expected; of what is due on which day it was, and until which it is in time.
        now: hours of the last good reading.
        minutes: one trained person; empty without rules.
        why: what it was counted from.
    """

    truck: str
    place: str
    what: str
    state: str
    pressing: bool
    by_hours: str
    by_date: str
    now: str
    minutes: str
    why: str


class KitRow(msgspec.Struct, frozen=True):
    """A part or fluid with the services that ask for it; how many or how much is read off each truck."""

    part: str
    wanted: tuple[str, ...]


class DueList(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the list.

    Args:
        head: of its pages.
        rows: the most pressing first.
        kit: for what may be done now, is due or late, by name; what a larger service of the truck holds comes with it.
        law: whose law is counted.
    """

    head: Head
    rows: tuple[ListRow, ...]
    kit: tuple[KitRow, ...]
    law: str


def due_list(
    trucks: Sequence[Standing],
    rules: Rules,
    country: str | None,
    head: Head,
    ahead: Ahead = NOTHING,
    today: date = TODAY,
) -> DueList:
    """What is due, late, may be done now or is not known, of these trucks.

    Args:
        trucks: as they stand.
        rules: of today, in the language of the list.
        country: the yard's.
        head: of its pages.
        ahead: when things are expected, by truck.
        today: the yard's day; used with `ahead` only.
    """
    known = {truck.name: truck for truck in trucks}
    shown = [one for one in due_rows(trucks, rules, ahead, today) if one.state != "later"]
    rows = tuple(_row(one, known[one.truck], rules) for one in shown)
    wanted: dict[str, list[str]] = {}
    for one in shown:
        for part in _kit(one, shown, known[one.truck], rules):
            wanted.setdefault(part, []).append(f"{one.truck} ({one.service})")
    kit = tuple(KitRow(part, tuple(wanted[part])) for part in sorted(wanted, key=str.casefold))
    return DueList(head=head, rows=rows, kit=kit, law=duties_words(rules, country))


def _row(one: DueRow, truck: Standing, rules: Rules) -> ListRow:
    return ListRow(
        truck=one.truck,
        place=truck.enrolled.place or "",
        what=(one.service or "").replace("-", " "),
        state=rules.word(DUE[one.state]),
        pressing=one.state in {"due", "late"},
        by_hours=_until(hours(one.due_hours), hours(one.latest_hours)) if one.due_hours is not None else "",
        by_date=one.expected.words
        if one.expected is not None
        else _until(day(one.due_date, rules.word), day(one.latest_date, rules.word))
        if one.due_date is not None
        else "",
        now=hours(one.hours),
        minutes="" if one.minutes is None else f"{one.minutes} min",
        why=one.reason.text,
    )


def _until(wanted: str, latest: str) -> str:
    return wanted if latest in {wanted, "–"} else f"{wanted} – {latest}"


def _kit(one: DueRow, shown: Sequence[DueRow], truck: Standing, rules: Rules) -> tuple[str, ...]:
    """What a service asks for; nothing where it is not known whether it is due, or a larger one brings it along."""
    kind = rules.kind(truck.enrolled.what)
    service = kind.service(one.service) if kind and one.service else None
    if kind is None or service is None or one.state == "unknown" or service.id == WALK_ROUND:
        return ()
    others = [kind.service(row.service or "") for row in shown if row.truck == one.truck and row.state != "unknown"]
    if any(other is not None and service.id in other.includes for other in others):
        return ()
    tasks = kind.all_tasks(service, kind.fitted(truck.enrolled.options, truck.enrolled.fuel))
    return tuple(dict.fromkeys(part for task in tasks for part in (*task.parts, *task.fluids)))

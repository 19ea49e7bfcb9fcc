"""The job sheet: one piece of work on a truck, task by task, for two to sign: who did it, who takes it back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.past import Counted
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey
from dipmark.facts.said import says
from dipmark.facts.work import PartUsed, Worked
from dipmark.rules.model import Rules
from dipmark.views.measures import measure_rows
from dipmark.views.paper import Head
from dipmark.views.words import hours, moment
from dipmark.views.yard import state_words

PASSED: Final = says("held")
FAILED: Final = says("did NOT hold")


class Ticked(msgspec.Struct, frozen=True):
    """A task, and whether it was done."""

    text: str
    done: bool


class JobSheet(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the sheet.

    Args:
        head: of its pages.
        by: who did it.
        firm: the outside firm; empty: nobody has named one.
        when: when it was done.
        hours: read with it; empty: not read.
        minutes: of work; None: not said.
        text: what was done and what was the cause.
        services: names of the services.
        tasks: of those services.
        mends: the faults it mends.
        parts: what went in.
        tests: what was tested, and whether it held.
        values: what was measured with it.
        open: what stays open on the truck.
        state: how the truck stands as this is printed.
        out: True while it is out of service: this sheet releases nothing.
    """

    head: Head
    by: str
    firm: str
    when: str
    hours: str
    minutes: int | None
    text: str
    services: tuple[str, ...]
    tasks: tuple[Ticked, ...]
    mends: tuple[str, ...]
    parts: tuple[str, ...]
    tests: tuple[tuple[str, str], ...]
    values: tuple[str, ...]
    open: tuple[str, ...]
    state: str
    out: bool


def job_sheet(
    truck: TruckNow,
    one: Counted,
    work: Worked,
    rules: Rules,
    names: Mapping[PersonKey, str],
    head: Head,
    zone: tzinfo,
    firm: str | None = None,
) -> JobSheet:
    """The sheet of one piece of work.

    Args:
        truck: as it stands when it is printed.
        one: the fact.
        work: what it says.
        rules: of today, in the language of the sheet.
        names: of people, by key.
        head: of its pages.
        zone: the yard's.
        firm: where the mechanic comes from, where the work itself names no firm.

    *Edge*: a service noted without its tasks one by one counts each as done that was not left out.
    """
    word = rules.word
    by = PersonKey(one.by)
    return JobSheet(
        head=head,
        by=names.get(by, by),
        firm=work.firm or firm or "",
        when=moment(one.effective, zone, word),
        hours=hours(work.meter.hours) if work.meter is not None else "",
        minutes=work.minutes,
        text=work.text or "",
        services=_services(truck, work, rules),
        tasks=_tasks(truck, work, rules),
        mends=tuple(fault.text for fault in truck.faults if fault.ref in work.mends),
        parts=tuple(_part(part) for part in work.parts),
        tests=tuple((test.test.replace("-", " "), word(PASSED if test.passed else FAILED)) for test in work.tests),
        values=tuple(
            f"{row.text}: {row.said}. {row.words}"
            for row in measure_rows(truck, rules, names)
            if any(measure.fact == row.fact and measure.since == one.effective for measure in truck.measures)
        ),
        open=tuple(fault.text for fault in truck.faults if fault.open),
        state=state_words(truck, names, zone, word),
        out=truck.state.code == "out-of-service",
    )


def _services(truck: TruckNow, work: Worked, rules: Rules) -> tuple[str, ...]:
    kind = rules.kind(truck.enrolled.what)
    found = ((name, kind.service(name) if kind else None) for name in work.services)
    return tuple(name if service is None else service.text for name, service in found)


def _tasks(truck: TruckNow, work: Worked, rules: Rules) -> tuple[Ticked, ...]:
    kind = rules.kind(truck.enrolled.what)
    if kind is None:
        return ()
    asked = [service for name in work.services if (service := kind.service(name)) is not None]
    options = options_of(truck.counting, kind)
    tasks = dict.fromkeys(task for service in asked for task in kind.all_tasks(service, options))
    named = set(work.tasks)
    return tuple(Ticked(task.text, task.id in named if named else task.id not in work.left_out) for task in tasks)


def _part(part: PartUsed) -> str:
    amount = f"{part.quantity:f} {part.unit}" if part.unit else f"{part.quantity:f}"
    return f"{part.part} × {amount}" + (f" ({part.serial})" if part.serial else "")

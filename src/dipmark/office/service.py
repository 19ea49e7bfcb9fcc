"""A service sheet filled in: tasks ticked one by one, what was left out, parts, hours, minutes, what was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.facts.base import Body, Reading
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.work import PartUsed, Tested, Worked
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.measure import measured
from dipmark.office.open import Office, told
from dipmark.views.service_sheet import ServiceSheet

NOTHING_DONE: Final = code("nothing-done", "A service sheet came back with no task ticked.")
WHY_LEFT_OUT: Final = code("why-left-out", "Tasks of a service were left out and nobody said why.")
RETEST_MISSING: Final = code("retest-missing", "A task that needs a test before release was ticked without one.")


class Done(msgspec.Struct, frozen=True, kw_only=True):
    """What was written on a service sheet.

    Args:
        ticked: ids of the tasks that were done.
        text: what was found, and why something was left out.
        tests: what was tested, and held.
        parts: what went in, by name.
        measured: texts by measurement and input; where nothing is written, nothing was measured.
        hours: on the hour meter.
        minutes: of work.
    """

    ticked: tuple[str, ...]
    text: str = ""
    tests: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    measured: Mapping[str, Mapping[str, Sequence[str]]] = {}
    hours: Decimal | None = None
    minutes: int | None = None


def record(office: Office, sheet: ServiceSheet, done: Done, when: When) -> Entered:
    """Write a service, and what was measured in it, in one go.

    Raises:
        Refused: no task is ticked, a task is left out without a word, a test is missing, or a value does not fit; all
            of it at once, and nothing was written.
    """
    now = truck(office, sheet.truck, office.clock())
    left_out = tuple(task.id for task in sheet.tasks if task.id not in done.ticked)
    problems = list(_problems(sheet, done, left_out))
    bodies: list[Body] = []
    reading = None if done.hours is None else Reading(hours=done.hours, meter=now.meters[0].name)
    for what, said in done.measured.items():
        if any(text.strip() for texts in said.values() for text in texts):
            try:
                read, _ = measured(office, now, what, said)
                bodies.append(msgspec.structs.replace(read, meter=reading))
            except Refused as refusal:
                problems += [msgspec.structs.replace(one, where=Where(column=what)) for one in refusal.problems]
    if problems:
        raise Refused(told(problems), problems)
    body = Worked(
        services=(sheet.service,),
        tasks=tuple(task.id for task in sheet.tasks if task.id in done.ticked),
        left_out=left_out,
        text=done.text.strip() or None,
        meter=reading,
        parts=tuple(PartUsed(part=part) for part in done.parts),
        tests=tuple(Tested(test=test, passed=True) for test in done.tests),
        minutes=done.minutes,
    )
    facts = [office.fact(now.book, one, when.happened, whole_day=when.whole_day) for one in (body, *bodies)]  # type: ignore[arg-type]
    return enter(office, facts)


def _problems(sheet: ServiceSheet, done: Done, left_out: tuple[str, ...]) -> list[Problem]:
    found: list[Problem] = []
    if len(left_out) == len(sheet.tasks):
        hint = "Tick each task that was done."
        found.append(Problem(NOTHING_DONE, "no task ticked", "at least one", hint, Where(column="task")))
    elif left_out and not done.text.strip():
        what = ", ".join(task.text for task in sheet.tasks if task.id in left_out)
        hint = f"Left out: {what}."
        found.append(
            Problem(WHY_LEFT_OUT, f"{len(left_out)} left out", "why, in a few words", hint, Where(column="text"))
        )
    tested = [task.text for task in sheet.tasks if task.retest and task.id in done.ticked]
    if tested and not done.tests:
        hint = f"It is needed by: {', '.join(tested)}."
        found.append(Problem(RETEST_MISSING, "no test", "what was tested, and held", hint, Where(column="tests")))
    return found

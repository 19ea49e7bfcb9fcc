"""What a yard's own rules make looser than safety or law allows."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Final

from dipmark.facts.base import RANK
from dipmark.facts.problems import Problem, Where, code
from dipmark.rules import limits
from dipmark.rules.duty import Duty
from dipmark.rules.model import Check, Kind, Rules, Service, Symptom, Task
from dipmark.rules.symptoms import Trouble
from dipmark.rules.typed import Faults, Path, by_key
from dipmark.rules.value import Trucks, Value
from dipmark.rules.window import Window

LOOSER: Final = code("rule-looser", "a yard's own rule is looser than safety or law allows")

_HINT: Final = "Take the line out; a yard may be stricter, never looser."


def loosened(ours: Rules, laid: Rules, place: Callable[[Path], Where] = by_key) -> tuple[Problem, ...]:
    """What a yard's rules make looser than safety or law allows.

    Refused: a symptom that affects safety made less serious, or no longer affecting safety; a stop-worthy check taken
    off the shift list or tied to an option that was not asked for; a check or task losing its test before release; a
    task's window made wider; a duty or a trouble taken off a truck; a limit that stops the truck made looser; and on
    whatever is set by law: a longer interval, fewer tasks, a milder outcome, or the mark of law taken away.

    Args:
        ours: the shipped rules.
        laid: the same with the yard's laid over them.
        place: turns a path into a place.

    Returns:
        Every such loosening.

    *Edge*: exactly as strict as ours is allowed.

    *Source*: project rule, after 29 CFR 1910.178(p)(1) and (q)(7): what affects safety is never left running.
    """
    faults = Faults(place)
    for key, kind in ours.kinds.items():
        _kind(faults, ("kinds", key), kind, laid.kinds[key])
    for country, duties in ours.duties.items():
        after = {duty.id: duty for duty in laid.duties[country]}
        for duty in (duty for duty in duties if duty.id in after):
            _duty(faults, ("duties", country, "duties", duty.id), duty, after[duty.id])
    for id, system in ours.systems.items():
        for trouble in system.troubles:
            if (then := laid.systems[id].trouble(trouble.id)) is not None:
                path = ("systems", id, "troubles", trouble.id)
                _symptom(faults, path, trouble, then)
                _fewer(faults, path, trouble.trucks, then.trucks)
    for id, subject in ours.subjects.items():
        for below, found, expected in limits.loosened(subject, laid.subjects[id]):
            faults.add(LOOSER, ("subjects", id, *below), found, expected, _HINT)
    return tuple(faults.all)


def _duty(faults: Faults, path: Path, duty: Duty, now: Duty) -> None:
    """All of it is law: no part may grow milder."""
    _longer(faults, (*path, "every_months"), duty.every_months, now.every_months)
    _fewer(faults, path, duty.trucks, now.trucks)
    later = {one.id: one for one in now.sooner}
    for one in (one for one in duty.sooner if one.id in later):
        below = (*path, "sooner", one.id)
        _longer(faults, (*below, "months"), one.months, later[one.id].months)
        _fewer(faults, below, one.trucks, later[one.id].trucks)
    if duty.when_lapsed not in ("nothing", now.when_lapsed) and now.when_lapsed != "out-of-service":
        faults.add(LOOSER, (*path, "when_lapsed"), now.when_lapsed, duty.when_lapsed, _HINT)
    if duty.about != now.about:
        faults.add(LOOSER, (*path, "about"), now.about, duty.about, _HINT)
    asked = (
        ("written", duty.written, now.written),
        ("each_shift", duty.each_shift, now.each_shift),
        ("after_harm", duty.after_harm, now.after_harm),
    )
    for key, before, then in asked:
        if before and not then:
            faults.add(LOOSER, (*path, key), "false", "true: the law asks for it", _HINT)


def _fewer(faults: Faults, path: Path, before: Trucks, now: Trucks) -> None:
    """A rule may reach more trucks, never fewer; one without a list reaches every truck."""
    for key, was, then in (("kinds", before.kinds, now.kinds), ("where", before.where, now.where)):
        gone = sorted(set(was) - set(then)) if now != Trucks() else []
        if gone or (before == Trucks() and then):
            found = "without " + ", ".join(gone) if gone else "only " + ", ".join(then)
            faults.add(LOOSER, (*path, "trucks", key), found, "no truck fewer", _HINT)


def _kind(faults: Faults, path: Path, kind: Kind, now: Kind) -> None:
    """Laying files over one another never takes an id away; one that cannot be read any more has its own problem."""
    checks = {check.id: check for check in now.checks}
    tasks = {task.id: task for task in now.tasks}
    services = {service.id: service for service in now.services}
    for check in (check for check in kind.checks if check.id in checks):
        _check(faults, (*path, "checks", *check.id.split(".")), check, checks[check.id])
    for task in (task for task in kind.tasks if task.id in tasks):
        _task(faults, (*path, "tasks", *task.id.split(".")), task, tasks[task.id])
    for service in (service for service in kind.services if service.id in services):
        _service(faults, (*path, "services", service.id), service, services[service.id])


def _check(faults: Faults, path: Path, check: Check, now: Check) -> None:
    if check.stop_worthy and check.shift and not now.shift:
        faults.add(LOOSER, (*path, "shift"), "false", "true: it can stop the truck, so it is asked every shift", _HINT)
    if check.stop_worthy:
        _asked_less(faults, path, check, now)
    _retest(faults, path, check, now)
    _legal(faults, path, check, now)
    symptoms = {symptom.id: symptom for symptom in now.symptoms}
    for symptom in (symptom for symptom in check.symptoms if symptom.id in symptoms):
        below, then = (*path, "symptoms", symptom.id), symptoms[symptom.id]
        _symptom(faults, below, symptom, then)
        if symptom.stop_worthy:
            _asked_less(faults, below, symptom, then)


def _symptom(faults: Faults, path: Path, symptom: Symptom | Trouble, now: Symptom | Trouble) -> None:
    if symptom.affects_safety and not now.affects_safety:
        faults.add(LOOSER, (*path, "affects_safety"), "false", "true: it can hurt somebody", _HINT)
    if (symptom.affects_safety or symptom.legal) and RANK[now.seriousness] < RANK[symptom.seriousness]:
        faults.add(LOOSER, (*path, "seriousness"), now.seriousness, f"{symptom.seriousness} or more serious", _HINT)
    _legal(faults, path, symptom, now)


def _task(faults: Faults, path: Path, task: Task, now: Task) -> None:
    _retest(faults, path, task, now)
    _legal(faults, path, task, now)
    if _wider(task.window, now.window):
        found, expected = _edges(now.window), f"no wider than {_edges(task.window)}"
        faults.add(LOOSER, (*path, "window"), found, expected, _HINT)


def _service(faults: Faults, path: Path, service: Service, now: Service) -> None:
    _legal(faults, path, service, now)
    if service.after is not None:
        for key in ("after", "state_when_late"):
            before, then = getattr(service, key), getattr(now, key)
            if before is not None and then != before:
                faults.add(LOOSER, (*path, key), then or "nothing", before, _HINT)
    if service.legal:
        _longer(faults, (*path, "interval_hours"), service.interval_hours, now.interval_hours)
        _longer(faults, (*path, "months"), service.months, now.months)
        if gone := sorted(set(service.tasks) - set(now.tasks)):
            faults.add(LOOSER, (*path, "tasks"), "without " + ", ".join(gone), "all tasks set by law", _HINT)


def _asked_less(faults: Faults, path: Path, before: Check | Symptom, now: Check | Symptom) -> None:
    if more := sorted(set(now.needs) - set(before.needs)):
        faults.add(LOOSER, (*path, "needs"), f"asked only with {', '.join(more)}", "no further condition", _HINT)


def _retest(faults: Faults, path: Path, before: Check | Task, now: Check | Task) -> None:
    if before.retest and not now.retest:
        faults.add(LOOSER, (*path, "retest"), "false", "true: a repair of it is tested before release", _HINT)


def _legal(faults: Faults, path: Path, before: Value, now: Value) -> None:
    if before.legal and not now.legal:
        faults.add(LOOSER, (*path, "legal"), "false", "true: it is set by law", _HINT)


def _longer(faults: Faults, path: Path, before: Decimal | int | None, now: Decimal | int | None) -> None:
    if before is not None and (now is None or now > before):
        found = "no interval" if now is None else f"{now}, {now - before} more than the law allows"
        faults.add(LOOSER, path, found, f"at most {before}", _HINT)


def _wider(before: Window, now: Window) -> bool:
    bound, then = before.late_most_hours, now.late_most_hours
    late = now.late_percent > 0 and bound is not None and (then is None or then > bound)
    return late or now.late_percent > before.late_percent or now.early_percent > before.early_percent


def _edges(window: Window) -> str:
    bound = "" if window.late_most_hours is None else f", at most {window.late_most_hours} h"
    return f"{window.early_percent} % early, {window.late_percent} % late{bound}"

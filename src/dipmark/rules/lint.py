"""Whether rules that can be read also make sense: all faults at once, each with its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator
from decimal import Decimal
from itertools import pairwise
from typing import Final

from dipmark.facts.base import RANK
from dipmark.facts.problems import Problem, Where, code
from dipmark.rules.duty import Duty
from dipmark.rules.items import ITEMS
from dipmark.rules.limits import Subject
from dipmark.rules.model import KIND_KEYS, Check, Kind, Rules, Service, Source, Symptom, Task
from dipmark.rules.symptoms import System, Trouble
from dipmark.rules.typed import Faults, Path, by_key, near
from dipmark.rules.value import LIFTS_PEOPLE, REFERENCE, Trucks, Value

SOURCE: Final = code("rule-source", "a rule names a source that sources.toml does not hold")
SAFETY: Final = code("rule-safety", "a symptom that affects safety may only stop the truck, and does not")
DAYS: Final = code("rule-days", "days and repair-by do not stand together with a symptom")
AFTER: Final = code("rule-after", "a service falls due by months and is called for by something as well")
EMPTY: Final = code(
    "rule-empty",
    "a service without task or interval, a check without symptom, a trouble without cause, a measurement without how",
)
ONCE: Final = code("rule-once", "two rules of one kind of truck carry the same id or number")
UNIT: Final = code("rule-unit", "one quantity in two units, or a service on a meter the kind has not")
OVERLAP: Final = code("rule-overlap", "a service is still in time when the next one may already be done")
INCLUDES: Final = code("rule-includes", "a service includes one that is not shorter")
MULTIPLE: Final = code("rule-multiple", "a service is no whole multiple of one it includes")
LENGTH: Final = code("rule-length", "a text is longer than a phone or a sheet can show")
INVENTED: Final = code("rule-invented", "a text holds a litre, torque, pressure, temperature or count of points")
UNUSED: Final = code("rule-unused", "a task belongs to no service")
SOONER: Final = code("rule-sooner", "a shorter rhythm of a duty is not shorter than its usual one")
FACTOR: Final = code("rule-factor", "a factor for hard use is nought")

LENGTHS: Final = {
    "place": 40,
    "name": 60,
    "check": 110,
    "normal": 110,
    "symptom": 100,
    "put_right": 120,
    "task": 150,
    "part": 50,
    "caution": 170,
    "duty": 240,
    "trouble": 110,
    "measuring": 240,
    "said": 240,
}
"""Characters. A phone 360 px wide shows about 38 on a line: three lines for what is read standing at the truck. A line
of the service sheet on A4 holds about 80: two lines for a task. A translation is held to the same."""

DAY: Final = 24
"""Hours. A service of a day or less follows the shifts, so a longer one need not be a multiple of it."""

_MEASURE = (
    r"[mc]?l|lit(?:re|er)s?|gal(?:lons?)?|qt|quarts?|pints?|n ?m|(?:kgf?|lbf?)[ ·-]?(?:m|ft|in)|(?:ft|in)[ ·-]?lbf?s?"
)
_STATE = r"bar|mbar|k?pa|mpa|psi|°\s?[cf]"
_COUNT = r"(?:grease )?(?:nipples?|fittings?|points?|shots?|strokes?)"
_INVENTED: Final = re.compile(rf"\d\s*(?:{_MEASURE}|{_STATE}|{_COUNT})(?![a-z])", re.IGNORECASE)


def lint(rules: Rules, place: Callable[[Path], Where] = by_key) -> tuple[Problem, ...]:
    """Every fault of meaning in rules that can be read.

    Args:
        rules: ours, or ours with a yard's laid over them.
        place: turns a path into a place.

    Returns:
        The problems; soft ones (`hard` false) are shown and hold nothing up.

    *Edge*: two services overlap when the late edge of the lower one touches the opening of the next.

    *Source*: project rule, common practice; what affects safety never runs on: 29 CFR 1910.178(p)(1), (q)(7).
    """
    faults = Faults(place)
    for key, kind in rules.kinds.items():
        _KindLint(faults, ("kinds", key), kind, rules).run()
    for country, duties in rules.duties.items():
        for duty in duties:
            _duty(faults, ("duties", country, "duties", duty.id), duty, rules)
    for id, system in rules.systems.items():
        _system(faults, ("systems", id), system, rules)
    for id, subject in rules.subjects.items():
        _subject(faults, ("subjects", id), subject, rules)
    return tuple(faults.all)


def _duty(faults: Faults, path: Path, duty: Duty, rules: Rules) -> None:
    _sourced(faults, path, duty, rules)
    for key in ("text", "who", "kept"):
        _text(faults, (*path, key), getattr(duty, key), "duty")
    _trucks(faults, path, duty.trucks, rules)
    for one in duty.sooner:
        _trucks(faults, (*path, "sooner", one.id), one.trucks, rules)
        if duty.every_months is None or one.months >= duty.every_months:
            usual = "no usual rhythm" if duty.every_months is None else f"{duty.every_months} usually"
            found = f"{one.months} months, {usual}"
            faults.add(SOONER, (*path, "sooner", one.id, "months"), found, "fewer months than usual")


def _system(faults: Faults, path: Path, system: System, rules: Rules) -> None:
    _text(faults, (*path, "text"), system.text, "name")
    for caution in system.cautions:
        _sourced(faults, (*path, "cautions", caution.id), caution, rules)
        _text(faults, (*path, "cautions", caution.id, "text"), caution.text, "caution")
    for trouble in system.troubles:
        below = (*path, "troubles", trouble.id)
        _sourced(faults, below, trouble, rules)
        _serious(faults, below, trouble)
        _trucks(faults, below, trouble.trucks, rules)
        _text(faults, (*below, "text"), trouble.text, "symptom")
        for key in ("causes", "first"):
            for line in getattr(trouble, key):
                _text(faults, (*below, key), line, "trouble")
        if not trouble.causes:
            faults.add(EMPTY, (*below, "causes"), "no cause", "at least one")


def _subject(faults: Faults, path: Path, subject: Subject, rules: Rules) -> None:
    _text(faults, (*path, "text"), subject.text, "name")
    if not subject.how:
        faults.add(EMPTY, (*path, "how"), "no word on how it is measured", "at least one line")
    for line in subject.how:
        _length(faults, (*path, "how"), line, "measuring")
    for rows in subject.rows.values():
        _sourced(faults, (*path, "rows", rows.id), rows, rules)
        _length(faults, (*path, "rows", rows.id, "text"), rows.text, "measuring")
    for limit in subject.limits.values():
        _sourced(faults, (*path, "limits", limit.id), limit, rules)
        _length(faults, (*path, "limits", limit.id, "text"), limit.text, "measuring")
        if (limit.days is None) is (limit.verdict == "repair-by"):
            expected = "days with repair-by, and only there"
            found = "no days" if limit.days is None else f"{limit.days} days"
            faults.add(DAYS, (*path, "limits", limit.id, "days"), f"{found} with {limit.verdict}", expected)
    for caution in subject.cautions:
        _sourced(faults, (*path, "cautions", caution.id), caution, rules)
        _text(faults, (*path, "cautions", caution.id, "text"), caution.text, "caution")


def _trucks(faults: Faults, path: Path, trucks: Trucks, rules: Rules) -> None:
    for key in trucks.kinds:
        if key not in (known_kinds := (*KIND_KEYS, *ITEMS)):
            expected, hint = "a kind of truck or item", near(key, known_kinds)
            faults.add(REFERENCE, (*path, "trucks", "kinds"), ascii(key)[:60], expected, hint)
    kinds = rules.kinds.values()
    known = {LIFTS_PEOPLE, *(option for kind in kinds for option in kind.options)}
    known |= {use for kind in kinds for service in kind.services for use in service.severe}
    for word in trucks.where:
        if word not in known:
            expected, hint = "an option or a use of some kind of truck", near(word, sorted(known))
            faults.add(REFERENCE, (*path, "trucks", "where"), ascii(word)[:60], expected, hint)


def _serious(faults: Faults, path: Path, one: Symptom | Trouble) -> None:
    if one.affects_safety and RANK[one.seriousness] < RANK["stop"]:
        hint = "What can hurt somebody is never left running to a date."
        faults.add(SAFETY, (*path, "seriousness"), one.seriousness, "now or stop", hint)
    if (one.days is None) is (one.seriousness == "repair-by"):
        found = "no days" if one.days is None else f"{one.days} days"
        expected = "days with repair-by, and only there"
        faults.add(DAYS, (*path, "days"), f"{found} with {one.seriousness}", expected)


def _sourced(faults: Faults, path: Path, rule: Value, rules: Rules) -> None:
    if rule.source not in rules.sources:
        found, hint = ascii(rule.source)[:60], near(rule.source, tuple(rules.sources))
        faults.add(SOURCE, (*path, "source"), found, "a key of [sources]", hint or "Add the source with its title.")


def _length(faults: Faults, path: Path, text: str, what: str) -> None:
    if len(text) > (most := LENGTHS[what]):
        over = len(text) - most
        faults.add(LENGTH, path, f"{len(text)} characters", f"at most {most}, {over} fewer", "Say it shorter.")


def _text(faults: Faults, path: Path, text: str, what: str, source: Source | None = None) -> None:
    """A text's length, and its numbers: these only where somebody answers for them with name and day."""
    _length(faults, path, text, what)
    if (invented := _INVENTED.search(text)) and not (source and source.has_reader):
        expected = "no litre, torque, pressure, temperature or count of points"
        faults.add(INVENTED, path, ascii(invented[0]), expected, "Write: from the plate or the manual.")


class _KindLint:
    """The lint of one kind of truck."""

    def __init__(self, faults: Faults, path: Path, kind: Kind, rules: Rules) -> None:
        self.faults = faults
        self.path = path
        self.kind = kind
        self.rules = rules

    def run(self) -> None:
        kind = self.kind
        self.once("places", [f"{place.number}" for place in kind.places])
        self.once("checks", [check.id for check in kind.checks])
        self.once("tasks", [task.id for task in kind.tasks])
        self.once("services", [service.id for service in kind.services])
        _text(self.faults, (*self.path, "text"), kind.text, "name")
        for place in kind.places:
            _text(self.faults, (*self.path, "places", place.id, "text"), place.text, "place")
        for caution in kind.cautions:
            path = (*self.path, "cautions", caution.id)
            _text(self.faults, (*path, "text"), caution.text, "caution")
            if caution.source not in self.rules.sources:
                self.faults.add(SOURCE, (*path, "source"), ascii(caution.source)[:60], "a key of [sources]")
        for check in kind.checks:
            self.check(check)
        for task in kind.tasks:
            self.task(task)
        for service in kind.services:
            self.service(service)
        self.units()
        self.overlaps()

    def once(self, what: str, ids: list[str]) -> None:
        for id in sorted({id for id in ids if ids.count(id) > 1}):
            self.faults.add(ONCE, (*self.path, what), f"{id} {ids.count(id)} times", "each once")

    def known(self, path: Path, names: Iterable[str], among: Collection[str], expected: str) -> None:
        for name in names:
            if name not in among:
                self.faults.add(REFERENCE, (*self.path, *path), ascii(name)[:60], expected, near(name, tuple(among)))

    def check(self, check: Check) -> None:
        key = ("checks", *check.id.split("."))
        path = (*self.path, *key)
        self.known((*key, "place"), [check.place], [place.id for place in self.kind.places], "a place of the kind")
        self.known((*key, "needs"), check.needs, self.kind.options, "an option of the kind")
        _sourced(self.faults, path, check, self.rules)
        _text(self.faults, (*path, "text"), check.text, "check", self.rules.sources.get(check.source))
        _text(self.faults, (*path, "normal"), check.normal, "normal", self.rules.sources.get(check.source))
        if not check.symptoms:
            self.faults.add(EMPTY, (*path, "symptoms"), "no symptom", "at least one")
        for symptom in check.symptoms:
            self.symptom(symptom, (*path, "symptoms", symptom.id))

    def symptom(self, symptom: Symptom, path: Path) -> None:
        _sourced(self.faults, path, symptom, self.rules)
        self.known((*path[len(self.path) :], "needs"), symptom.needs, self.kind.options, "an option of the kind")
        _text(self.faults, (*path, "text"), symptom.text, "symptom", self.rules.sources.get(symptom.source))
        _text(
            self.faults,
            (*path, "put_right"),
            symptom.put_right or "",
            "put_right",
            self.rules.sources.get(symptom.source),
        )
        _serious(self.faults, path, symptom)

    def task(self, task: Task) -> None:
        key = ("tasks", *task.id.split("."))
        path = (*self.path, *key)
        self.known((*key, "needs"), task.needs, self.kind.options, "an option of the kind")
        _sourced(self.faults, path, task, self.rules)
        _text(self.faults, (*path, "text"), task.text, "task", self.rules.sources.get(task.source))
        for part in (*task.parts, *task.fluids):
            _text(self.faults, (*path, "parts"), part, "part", self.rules.sources.get(task.source))
        if not any(task.id in service.tasks for service in self.kind.services):
            self.faults.add(UNUSED, path, "a task in no service", "a service that names it", hard=False)

    def service(self, service: Service) -> None:
        key = ("services", service.id)
        path = (*self.path, *key)
        _sourced(self.faults, path, service, self.rules)
        _text(self.faults, (*path, "text"), service.text, "name")
        self.known((*key, "needs"), service.needs, self.kind.options, "an option of the kind")
        self.known((*key, "tasks"), service.tasks, [task.id for task in self.kind.tasks], "a task of the kind")
        if not service.tasks:
            self.faults.add(EMPTY, (*path, "tasks"), "no task", "at least one")
        if service.after is not None and service.months is not None:
            self.faults.add(AFTER, (*path, "after"), f"months, and after = {service.after}", "one of both")
        elif service.after is None and service.interval_hours is None and service.months is None:
            self.faults.add(EMPTY, path, "neither hours nor months", "interval_hours, months or both")
        counted = self.kind.meters if service.meter is None else (service.meter,)
        if service.interval_hours is not None and not (counted and set(counted) <= set(self.kind.meters)):
            expected = "one of " + ", ".join(self.kind.meters)
            self.faults.add(UNIT, (*path, "meter"), ascii(service.meter or "no meter")[:60], expected)
        for use, factor in service.severe.items():
            if not factor:
                self.faults.add(FACTOR, (*path, "severe", use), "0", "over 0, up to 1")
        self.includes(service, (*key, "includes"))

    def includes(self, service: Service, key: Path) -> None:
        self.known(key, service.includes, [one.id for one in self.kind.services], "a service of the kind")
        path = (*self.path, *key)
        for lower in (one for one in self.kind.services if one.id in service.includes):
            hours, held = service.interval_hours, lower.interval_hours
            if lower is service:
                self.faults.add(INCLUDES, path, f"{service.id} in itself", "services shorter than it")
            elif hours is not None and held is not None and held >= hours:
                self.faults.add(INCLUDES, path, f"{lower.id} of {held} h in one of {hours} h", "a shorter service")
            elif hours is not None and held is not None and held > DAY and hours % held:
                found, expected = f"{hours} h over {held} h", f"a whole multiple, it is {hours % held} h more"
                self.faults.add(MULTIPLE, path, found, expected, "They will drift apart.", hard=False)

    def units(self) -> None:
        first: dict[str, tuple[str, str]] = {}
        for check in self.kind.checks:
            if check.asked:
                id, unit = first.setdefault(check.asked.quantity, (check.id, check.asked.unit))
                if unit != check.asked.unit:
                    path = (*self.path, "checks", *check.id.split("."), "asked", "unit")
                    self.faults.add(UNIT, path, ascii(check.asked.unit)[:60], f"{ascii(unit)[:60]} as in {id}")

    def overlaps(self) -> None:
        for (lower, hours), (upper, longer) in self.steps():
            late = hours + self.kind.window(lower).late_hours(hours)
            opens = longer - self.kind.window(upper).early_hours(longer)
            if late >= opens:
                found = f"{lower.id} in time up to {late:f} h while {upper.id} opens at {opens:f} h"
                path = (*self.path, "services", upper.id, "interval_hours")
                self.faults.add(OVERLAP, path, found, f"an opening more than {late - opens:f} h later")

    def steps(self) -> Iterator[tuple[tuple[Service, Decimal], tuple[Service, Decimal]]]:
        """Each service that comes back by hours with the next longer one on the same meter and in the same rhythm."""
        tasks = {task.id for task in self.kind.tasks}
        again = [one for one in self.kind.services if not (one.once or one.after) and tasks & set(one.tasks)]
        for series in sorted({(service.meter or "", service.needs) for service in again}):
            held = [one for one in again if (one.meter or "", one.needs) == series]
            yield from pairwise((one, one.interval_hours) for one in held if one.interval_hours)

"""A yard lays its own rules over ours: same form, id by id, and never looser than safety or law allows.

What several kinds of truck share is written once, as a part. A kind takes parts: under ``[takes]`` their names, each
with the options that a truck must have for it. Parts lie over one another in that order, the kind's own values over
them, and a yard's parts and kinds over all of ours.

What a yard may loosen: intervals in hours and months, which service holds a task, texts, minutes, parts and fluids, and
how serious a symptom is that does not affect safety. What it may not: see `loosened`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.facts.base import RANK
from dipmark.facts.problems import Problem, Where, code
from dipmark.rules import limits
from dipmark.rules.duty import Duty
from dipmark.rules.model import KIND_KEYS, Check, Kind, Rules, Service, Symptom, Task
from dipmark.rules.symptoms import Trouble
from dipmark.rules.typed import MISSING, Faults, Path, by_key, dotted, near
from dipmark.rules.value import Trucks, Value
from dipmark.rules.window import Window

TWICE: Final = code("rule-twice", "two rules files of one set say something about the same key")
LOOSER: Final = code("rule-looser", "a yard's own rule is looser than safety or law allows")
KIND: Final = code("rule-kind", "a rules file is about a kind of truck, a country or a system that is not known")
PART: Final = code("rule-part", "a part of a truck is taken by no kind of truck, taken and not there, or no name")
DEEP: Final = code("rule-deep", "a rules file nests deeper than any rule does")

ABOUT: Final = ("kind", "part", "country", "system", "subject")
"""Keys that say what a file is about."""

NAMED: Final = (("system", "systems"), ("subject", "subjects"))
"""Keys with any name behind them, and where all rules of that sort stand."""

_COUNTRY: Final = re.compile(r"[A-Z]{2}(-[A-Z0-9]{1,3})?")

DEEPEST: Final = 8
"""Tables within tables in one file; the deepest rule needs six."""


def _no_line(_: Path) -> int | None:
    return None


class RuleFile(msgspec.Struct, frozen=True):
    """One parsed rules file.

    Args:
        name: as its owner knows it.
        table: its content.
        own: True for a yard's own file, False for a shipped one.
        line: finds the line of a key in it.
    """

    name: str
    table: dict[str, object]
    own: bool = False
    line: Callable[[Path], int | None] = _no_line

    def root(self, key: str) -> Path:
        """Where a top-level key of this file stands among all rules."""
        if key in ("sources", "version"):
            return (key,)
        if key == "duties":
            return ("duties", str(self.table.get("country")), "duties")
        for about, all_of in NAMED:
            if about in self.table:
                return (all_of, str(self.table[about]), key)
        if "part" in self.table:
            return ("parts", str(self.table["part"]), key)
        return ("kinds", str(self.table.get("kind")), key)

    def place(self, path: Path) -> Where:
        """The place of a key of this file."""
        return Where(file=self.name, line=self.line(path), key=dotted(path) or None)


def _depth_within(value: object, room: int) -> bool:
    if isinstance(value, (dict, list)):
        inner = value.values() if isinstance(value, dict) else value
        return room > 0 and all(_depth_within(one, room - 1) for one in inner)
    return True


class Laid(msgspec.Struct, frozen=True):
    """All files laid over one another.

    Args:
        tree: ``version``, ``sources``, ``kinds`` by key, ``duties`` by country, ``systems`` and ``subjects`` by id.
        files: those it was made of, the lowest first.
        problems: what was wrong with the files as such.
        takes: the parts that each kind takes.
    """

    tree: dict[str, object]
    files: tuple[RuleFile, ...]
    problems: tuple[Problem, ...]
    takes: dict[str, tuple[str, ...]] = {}

    def file_of(self, path: Path) -> tuple[RuleFile, Path] | None:
        """The file that says most about a path (the upper one when two do), with the path as it stands in that file."""
        best: tuple[RuleFile, Path] | None = None
        most = 1
        for file in self.files:
            for key in file.table:
                root = self._root(file, key, path)
                above = len(root) - 1
                length = _agreeing(nested(root, file.table[key]), path)
                if length >= max(above, most):
                    best, most = (file, path[above:]), length
        return best

    def _root(self, file: RuleFile, key: str, path: Path) -> Path:
        """Where a key of a file stands; that of a part stands in the kind that the path is about, if it takes it."""
        root = file.root(key)
        if root[0] == "parts" and path[0] == "kinds" and root[1] in self.takes.get(path[1], ()):
            return ("kinds", path[1], *root[2:])
        return root

    def place(self, path: Path) -> Where:
        """The file and the key of a path."""
        found = self.file_of(path)
        return found[0].place(found[1]) if found else by_key(path)


def nested(path: Path, value: object) -> object:
    """A value under a path of tables."""
    for part in reversed(path):
        value = {part: value}
    return value


def _agreeing(value: object, path: Path) -> int:
    """How many keys of a path are there."""
    length = 0
    while isinstance(value, dict) and length < len(path) and path[length] in value:
        value = value[path[length]]
        length += 1
    return length


def lay(files: Sequence[RuleFile]) -> Laid:
    """Lay rules files over one another, ours below, the yard's above: tables join key by key, all else is replaced.

    Args:
        files: in any order; within one set no key may be said twice.

    Returns:
        The tree, with the problems of the files as such. What a part brings on a condition asks for its options.
    """
    ordered = tuple(sorted(files, key=lambda file: (file.own, "kind" in file.table, file.name)))
    problems: list[Problem] = []
    layers: list[dict[str, object]] = []
    for own in (False, True):
        layer: dict[str, object] = {}
        for file in (file for file in ordered if file.own is own):
            problems += _add(layer, file)
        layers.append(layer)
    parts = [_tables(layer.pop("parts", None)) for layer in layers]
    taken = {key: _takes(layers, key) for layer in layers for key in _tables(layer.get("kinds"))}
    tree: dict[str, object] = {}
    for layer, own_parts in zip(layers, parts, strict=True):
        for key, takes in taken.items():
            for part in (part for part in takes if part in own_parts):
                _over(tree, nested(("kinds", key), _asking(own_parts[part], takes[part])))
        _over(tree, layer)
    names = {name for layer in parts for name in layer}
    laid = Laid(tree, ordered, tuple(problems), {key: tuple(takes) for key, takes in taken.items()})
    return msgspec.structs.replace(laid, problems=(*problems, *_astray(laid, names)))


def _tables(value: object) -> dict[str, object]:
    return dict(value) if isinstance(value, dict) else {}


def _takes(layers: Sequence[dict[str, object]], key: str) -> dict[str, tuple[str, ...]]:
    """The parts of a kind in the order they are named, a yard's last, each with the options it asks for."""
    found: dict[str, object] = {}
    for layer in layers:
        found |= _tables(_tables(_tables(layer.get("kinds")).get(key)).get("takes"))
    lists = {part: needs if isinstance(needs, list) else [] for part, needs in found.items()}
    return {part: tuple(need for need in needs if isinstance(need, str)) for part, needs in lists.items()}


_HOW_SERIOUS: Final = ("seriousness", "verdict")
"""Keys that say how serious a rule is, and with it within how many days."""

_BRINGS: Final = ("checks", "tasks", "services")


def _asking(part: object, needs: tuple[str, ...]) -> object:
    """A part as a kind takes it: all that it brings asks for the options on which it is taken."""
    return {key: _needing(one, needs) if key in _BRINGS else one for key, one in _tables(part).items()}


def _needing(value: object, needs: tuple[str, ...]) -> object:
    """What has a text and a source is brought, and asks once; what has not changes what another part brought."""
    if not isinstance(value, dict):
        return value
    if "text" in value and "source" in value:
        own = value.get("needs", [])
        return (
            {**value, "needs": [*own, *(need for need in needs if need not in own)]} if isinstance(own, list) else value
        )
    return {key: _needing(one, needs) for key, one in value.items()}


def _astray(laid: Laid, names: Collection[str]) -> Iterator[Problem]:
    """Parts that are taken and not there, and parts that are there and not taken."""
    for key, takes in laid.takes.items():
        for part in (part for part in takes if part not in names):
            where, hint = laid.place(("kinds", key, "takes", part)), near(part, tuple(names))
            yield Problem(PART, ascii(part)[:60], "a part that some rules file is about", hint, where)
    taken = {part for takes in laid.takes.values() for part in takes}
    for file in laid.files:
        name = file.table.get("part")
        if isinstance(name, str) and name not in taken and "kind" not in file.table:
            expected, hint = "a part that some kind of truck takes", near(name, tuple(taken))
            yield Problem(PART, ascii(name)[:60], expected, hint, file.place(("part",)))


def _add(layer: dict[str, object], file: RuleFile) -> list[Problem]:
    """Add one file to the others of its set."""
    faults = Faults(file.place)
    if not _depth_within(file.table, DEEPEST):
        faults.add(DEEP, (), f"tables nested deeper than {DEEPEST}", f"at most {DEEPEST}", "Write it flat.")
        return faults.all
    kind, country = file.table.get("kind"), file.table.get("country")
    needs_kind = [key for key in file.table if file.root(key)[0] == "kinds" and key not in ABOUT]
    if needs_kind and kind not in KIND_KEYS:
        found = "nothing" if kind is None else ascii(kind)[:60]
        hint = near(str(kind), KIND_KEYS)
        faults.add(MISSING if kind is None else KIND, ("kind",), found, "one of " + ", ".join(KIND_KEYS), hint)
        return faults.all
    if "duties" in file.table and not (isinstance(country, str) and _COUNTRY.fullmatch(country)):
        expected = "a country as two capital letters, or a part of it as in CA-ON"
        faults.add(KIND, ("country",), ascii(country)[:60], expected, "Such as US.")
        return faults.all
    if "part" in file.table and ("kind" in file.table or not isinstance(file.table["part"], str)):
        found = "a kind of truck and a part" if "kind" in file.table else ascii(file.table["part"])[:60]
        faults.add(PART, ("part",), found, "a part by its name, such as mast, and no kind beside it")
        return faults.all
    for about in (about for about, _ in NAMED if about in file.table):
        if "kind" in file.table or not isinstance(file.table[about], str):
            found = f"a kind of truck and a {about}" if "kind" in file.table else ascii(file.table[about])[:60]
            faults.add(KIND, (about,), found, f"a {about} by its id, such as brakes, and no kind beside it")
            return faults.all
    for key, value in file.table.items():
        if key not in ABOUT:
            rooted = nested(file.root(key), value)
            for twice in _clashes(layer, rooted, ()):
                inside = twice[len(file.root(key)) - 1 :]
                faults.add(TWICE, inside, "a key said in another file of this set too", "each key once")
            _over(layer, rooted)
    return faults.all


def _clashes(below: object, above: object, path: Path) -> Iterator[Path]:
    if isinstance(below, dict) and isinstance(above, dict):
        for key in above:
            if key in below:
                yield from _clashes(below[key], above[key], (*path, key))
    else:
        yield path


def _over(below: dict[str, object], above: object) -> None:
    """Lay one table over another, in place of the lower one; who says how serious says the days with it."""
    if isinstance(above, dict) and not above.keys().isdisjoint(_HOW_SERIOUS):
        below.pop("days", None)
    for key, value in above.items() if isinstance(above, dict) else ():
        lower = below.get(key)
        if isinstance(value, dict):
            joined = dict(lower) if isinstance(lower, dict) else {}
            _over(joined, value)
            below[key] = joined
        else:
            below[key] = value


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
    for key, before, then in (("written", duty.written, now.written), ("each_shift", duty.each_shift, now.each_shift)):
        if before and not then:
            faults.add(LOOSER, (*path, key), "false", "true: the law asks for it", _HINT)


def _fewer(faults: Faults, path: Path, before: Trucks, now: Trucks) -> None:
    """A rule may reach more trucks, never fewer; one without a list reaches every truck."""
    for key, was, then in (("kinds", before.kinds, now.kinds), ("where", before.where, now.where)):
        gone = sorted(set(was) - set(then)) if now != Trucks() else []
        if gone or (before == Trucks() and then):
            found = "without " + ", ".join(gone) if gone else "only " + ", ".join(then)
            faults.add(LOOSER, (*path, "trucks", key), found, "no truck fewer", _HINT)


_HINT: Final = "Take the line out; a yard may be stricter, never looser."


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

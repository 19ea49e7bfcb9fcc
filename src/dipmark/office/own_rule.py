"""The yard's own rules from the desk: one value changed, held to the same lint, shown before it is written."""

from __future__ import annotations

import re
import shutil
import tempfile
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Final, Literal

import msgspec

from dipmark.adapters.rulefiles import read_problems, read_rules
from dipmark.derive.days import local_day
from dipmark.facts.errors import NotFound, Refused, RulesError
from dipmark.facts.problems import Problem, Where, code
from dipmark.office.new_rules_file import rules_text
from dipmark.office.open import Office, told
from dipmark.rules.model import Rules

VALUE_UNFIT: Final = code("value-unfit", "A value for the yard's own rules is no number, or not above zero.")
SOURCE_UNNAMED: Final = code("source-unnamed", "A value for the yard's own rules comes without saying where from.")
NO_OWN_RULES: Final = code("no-own-rules", "No folder for the yard's own rules is set, so none can be written.")

What = Literal["interval", "months", "days", "limit"]

SOURCE: Final = "own-desk"
"""How the keys of sources begin that were named at the desk; each value has its own."""

_WRITTEN: Final = re.compile(r"-?\d{1,9}([.,]\d{1,6})?", re.ASCII)

HEAD: Final = ("The yard's own values, written at the desk. They lie over the shipped ones.",)


class Target(msgspec.Struct, frozen=True, kw_only=True):
    """A value that a yard may change.

    Args:
        what: what it is.
        about: key of the kind of truck, or id of the subject measured.
        name: id of the service, of the limit, or of check and symptom as ``chain.tension/slack``.
        text: for people.
        value: today.
        unit: of it.
    """

    what: What
    about: str
    name: str
    text: str
    value: Decimal
    unit: str

    @property
    def id(self) -> str:
        """Names it in a form."""
        return f"{self.what}:{self.about}:{self.name}"

    @property
    def path(self) -> tuple[str, ...]:
        """Where it stands in its file."""
        if self.what == "limit":
            return ("limits", self.name, "value")
        if self.what == "days":
            check, _, symptom = self.name.partition("/")
            return ("checks", *check.split("."), "symptoms", symptom, "days")
        return ("services", self.name, "interval_hours" if self.what == "interval" else "months")


class Change(msgspec.Struct, frozen=True, kw_only=True):
    """What saving would do.

    Args:
        target: the value.
        new: in its place.
        looser: True where it asks for less than today.
        file: the file that is written.
        text: all of that file.
        problems: what stands against it: hard ones stop it.
    """

    target: Target
    new: Decimal
    looser: bool
    file: str
    text: str
    problems: tuple[Problem, ...]


def targets(rules: Rules) -> Iterator[Target]:
    """Every value that a yard may change at the desk.

    Args:
        rules: of today.
    """
    for kind in rules.kinds.values():
        for service in kind.services:
            if service.interval_hours is not None:
                value = service.interval_hours
                yield Target(what="interval", about=kind.key, name=service.id, text=service.text, value=value, unit="h")
            if service.months is not None:
                value = Decimal(service.months)
                yield Target(
                    what="months", about=kind.key, name=service.id, text=service.text, value=value, unit="months"
                )
        for check in kind.checks:
            for symptom in check.symptoms:
                if symptom.days is not None and not symptom.affects_safety:
                    name, text = f"{check.id}/{symptom.id}", f"{check.text} {symptom.text}"
                    value = Decimal(symptom.days)
                    yield Target(what="days", about=kind.key, name=name, text=text, value=value, unit="days")
    for subject in rules.subjects.values():
        for limit in subject.limits.values():
            yield Target(
                what="limit", about=subject.id, name=limit.id, text=limit.text, value=limit.value, unit=limit.unit
            )


def target_of(rules: Rules, id_: str) -> Target:
    """One of them by its id.

    Raises:
        NotFound: there is no such value.
    """
    for one in targets(rules):
        if one.id == id_:
            return one
    raise NotFound("There is no such value to change.")


def propose(office: Office, own: Path | None, id_: str, value: str, source: str) -> Change:
    """What it would mean to have another value: the file as it would be, and everything that stands against it.

    Args:
        office: the yard.
        own: the folder of its own rules; None: there is none.
        id_: of the value; see `Target`.
        value: as somebody wrote it.
        source: where the new value comes from.

    Raises:
        NotFound: there is no such value.
        Refused: there is no folder, the value is no number, or its source is not named.
    """
    target, problems = target_of(office.rules, id_), list[Problem]()
    if own is None or (own.exists() and not own.is_dir()):
        hint = "Start the server with --rules FOLDER, or set DIPMARK_RULES."
        problems.append(Problem(NO_OWN_RULES, "no folder of own rules", "a folder", hint))
    new = _number(target, value, problems)
    if not source.strip():
        problems.append(
            Problem(SOURCE_UNNAMED, "no source", "manual and page, or who decided", "Name it.", Where(column="source"))
        )
    if problems or own is None or new is None:
        raise Refused(told(problems), problems)
    file = own / f"desk-{target.about}.toml"
    text = _written(office, file, target, new, " ".join(source.split()))
    return Change(
        target=target,
        new=new,
        looser=_looser(office.rules, target, new),
        file=file.name,
        text=text,
        problems=_judged(own, file.name, text),
    )


def _number(target: Target, text: str, problems: list[Problem]) -> Decimal | None:
    whole, limit = target.what in ("months", "days"), target.what == "limit"
    written = _WRITTEN.fullmatch(text.strip())
    value = Decimal(written[0].replace(",", ".")) if written else Decimal(0)
    if written is None or (value <= 0 and not limit) or (whole and value != value.to_integral_value()):
        expected = f"a {'whole ' if whole else ''}number{'' if limit else ' above 0'}, in {target.unit}"
        problems.append(
            Problem(VALUE_UNFIT, f"{text.strip() or 'nothing'}", expected, "Write it in digits.", Where(column="value"))
        )
        return None
    return value


def _written(office: Office, file: Path, target: Target, new: Decimal, source: str) -> str:
    """The whole file with the new value in it, each value with where it comes from, who read it and when."""
    tree: dict[str, object] = {}
    if file.is_file():
        tree = tomllib.loads(file.read_text("utf-8"), parse_float=Decimal)
    tree["subject" if target.what == "limit" else "kind"] = target.about
    number = int(new) if new == new.to_integral_value() else new
    key = "-".join((SOURCE, target.about, *target.path[1:-1]))
    named = office.people.names().get(office.by, office.by)
    table = tree
    for part in target.path[:-1]:
        table = table.setdefault(part, {})  # type: ignore[assignment]
    table[target.path[-1]] = number
    today = local_day(office.clock(), office.zone).isoformat()
    sources: dict[str, object] = tree.setdefault("sources", {})  # type: ignore[assignment]
    sources[key] = {"title": source, "read_by": named, "read_on": today}
    table["source"], table["mark"] = key, "seen"
    return rules_text(tree, {}, list(HEAD))


def _looser(rules: Rules, target: Target, new: Decimal) -> bool:
    if target.what != "limit":
        return new > target.value
    limit = rules.subjects[target.about].limits[target.name]
    return new > target.value if limit.upper else new < target.value


def _judged(own: Path, name: str, text: str) -> tuple[Problem, ...]:
    """What the rules would have against the folder with this file in it; the folder itself is not touched."""
    with tempfile.TemporaryDirectory() as folder:
        trial = _trial(Path(folder), own, name, text)
        found = read_problems(trial)
        return tuple(
            msgspec.structs.replace(
                one, where=msgspec.structs.replace(one.where, file=(one.where.file or "").removeprefix(f"{trial}/"))
            )
            for one in found
        )


def _trial(folder: Path, own: Path, name: str, text: str) -> Path:
    trial = folder / "rules"
    if own.is_dir():
        shutil.copytree(own, trial)
    else:
        trial.mkdir()
    (trial / name).write_text(text, "utf-8")
    return trial


def save(office: Office, own: Path | None, id_: str, value: str, source: str) -> Rules:
    """Write the value into the yard's own rules, and give back the rules as they are from now on, in English.

    Raises:
        NotFound: there is no such value.
        Refused: see `propose`, or the rules would not stand; nothing was written.
    """
    change = propose(office, own, id_, value, source)
    hard = [problem for problem in change.problems if problem.hard]
    if hard or own is None:
        raise Refused(told(hard), hard)
    own.mkdir(parents=True, exist_ok=True)
    target = own / change.file
    before = target.read_text("utf-8") if target.is_file() else None
    fresh = own / f".{change.file}.new"
    fresh.write_text(change.text, "utf-8")
    fresh.replace(target)
    try:
        return read_rules(own)
    except RulesError:
        if before is None:
            target.unlink()
        else:
            target.write_text(before, "utf-8")
        raise

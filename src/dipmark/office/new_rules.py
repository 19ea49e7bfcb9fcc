"""Rules for a new truck by spreadsheet: write the workbook to fill, read it back into the yard's own rules."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import msgspec

from dipmark.adapters.exporting.workbook import write_workbook
from dipmark.adapters.importing.sheet import Sheet
from dipmark.adapters.importing.sheets import read_sheets
from dipmark.adapters.rulefiles import problems_with, read_rules
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem, code
from dipmark.office.new_rules_file import rules_text
from dipmark.office.new_rules_make import Making
from dipmark.office.new_rules_read import Reading, traced
from dipmark.office.new_rules_sheets import pages
from dipmark.rules.loosened import LOOSER
from dipmark.rules.model import Kind, Rules
from dipmark.rules.value import Value

THERE: str = code(
    "new-rules-there", "a folder holds rules for that kind of truck already, or the workbook changes nothing"
)

READ_ME = (
    "1. Have the manual beside you. Fill the sheet truck first: which manual, who reads it, and when.",
    "2. Sheet fitted: yes for what such trucks usually carry here, no for what they have not. Add what is missing.",
    "3. Sheets checks, services, tasks: change what the manual says otherwise, add rows below, and give the page. "
    "Leave the rest: what you do not touch is not written, and a row taken out stays in the rules.",
    "4. What affects safety is Don't start or Out of service. Litres, torques and counts only from the manual, and "
    "only where every truck of this kind in the yard has it; else they are read on the truck itself.",
    "5. Save it as XLSX and read it back: dipmark rules new THIS-FILE.xlsx --into FOLDER. Every slip is named with its "
    "cell, and nothing is written until there is none.",
)


class NewRules(msgspec.Struct, frozen=True):
    """What came of a filled workbook.

    Args:
        path: the file that was written.
        kind: the kind of truck it is about.
        changed: how many checks, tasks and services it says something about.
        odd: what should be looked at all the same.
    """

    path: Path
    kind: str
    changed: int
    odd: tuple[Problem, ...]


def blank_workbook(rules: Rules, key: str) -> bytes:
    """The workbook to fill for a kind of truck, with what holds for it today.

    Raises:
        NotFound: there are no rules to start from.
    """
    kind = rules.kind(key)
    if kind is None:
        raise NotFound(f"There are no rules for {key!r} to start from. There are: {', '.join(rules.kinds)}.")
    return write_workbook(f"New rules, starting from: {kind.text}", READ_ME, [page.form for page in pages(kind)])


def rules_from(file: Path, into: Path) -> NewRules:
    """Read a filled workbook and write the yard's own rules.

    Args:
        file: the workbook.
        into: the folder of the yard's own rules; made where there is none.

    Raises:
        Refused: anything is wrong: every fault with its sheet, row and column, and nothing written.
        ImportError_: it is no workbook.
        RulesError: rules in the folder cannot be used.
    """
    own = into if into.is_dir() and any(into.rglob("*.toml")) else None
    rules = read_rules(own)
    sheets = read_sheets(file, file.read_bytes())
    kind = _kind_of(file, sheets, rules)
    target = into / f"{kind.key}.toml"
    if target.exists():
        hint = "Move it away, or name another folder."
        _refuse([Problem(THERE, f"{target}", "no rules for that kind in the folder", hint)])
    reading = Reading(str(file), sheets)
    making = Making(reading, kind)
    written = making.run()
    if not reading.problems and len(written.tree) == 1:
        _refuse([Problem(THERE, "nothing changed", "at least one cell changed or one row added")])
    manual = making.manual
    head = [
        f"Own rules for {kind.key}, laid over those of dipmark. From: {manual.title}.",
        f"Read by {manual.read_by} on {manual.read_on}. Written by `dipmark rules new` from {file.name}.",
    ]
    text = rules_text(written.tree, written.origin, head)
    meant = () if reading.problems else problems_with(target.name, text, own)
    told = [_with_clause(traced(one, target.name, written.origin), one, kind, rules) for one in meant]
    if faults := [*reading.problems, *(one for one in told if one.hard)]:
        _refuse(faults)
    into.mkdir(parents=True, exist_ok=True)
    with target.open("x", encoding="utf-8", newline="\n") as out:
        out.write(text)
    odd = tuple(one for one in told if not one.hard and one.where.file == str(file))
    return NewRules(target, kind.key, _count(written.tree), odd)


def _count(tree: dict[str, object]) -> int:
    """How many checks, tasks and services a file says something about."""
    checks, tasks, services = (held if isinstance(held := tree.get(key), dict) else {} for key in _COUNTED)
    return sum(len(group) for table in (checks, tasks) for group in table.values()) + len(services)


_COUNTED: Final = ("checks", "tasks", "services")


def _kind_of(file: Path, sheets: list[Sheet], rules: Rules) -> Kind:
    """The kind of truck that the workbook was written for, from its hidden sheet."""
    rows = next((sheet.rows for sheet in sheets if sheet.name == "was truck"), [])
    key = next((f"{row.cells[2]}" for row in rows if len(row.cells) > 2 and row.cells[0] == "kind"), "")
    kind = rules.kind(key)
    if kind is None:
        hint = "dipmark rules new FILE.xlsx --from KIND writes one."
        problem = Problem(THERE, f"{file}", "a workbook that dipmark wrote for new rules", hint)
        raise Refused(str(problem), [problem])
    return kind


def _with_clause(told: Problem, problem: Problem, kind: Kind, rules: Rules) -> Problem:
    """A rule made looser, with the text that asks for it."""
    ours = _ours(kind, (problem.where.key or "").split(".")) if problem.code == LOOSER else None
    if ours is None:
        return told
    source = rules.sources[ours.source]
    return msgspec.structs.replace(told, hint=f"{told.hint} It rests on: {source.full}.".strip())


def _ours(kind: Kind, key: list[str]) -> Value | None:
    """The rule of ours that a key of the file changes."""
    name = ".".join(key[1:3])
    check = kind.check(name) if key[0] == "checks" else None
    if check is not None and len(key) > 4 and key[3] == "symptoms":
        return check.symptom(key[4])
    return check or kind.task(name)


def _refuse(problems: list[Problem]) -> None:
    lines = "\n".join(f"  {problem}" for problem in problems)
    raise Refused(f"No rules were written, {len(problems)} faults:\n{lines}", problems)

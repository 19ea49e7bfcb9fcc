"""Reads rules files: the shipped ones and a yard's own folder; names every fault with file and line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from functools import lru_cache, partial
from importlib import resources
from itertools import accumulate, islice
from pathlib import Path
from typing import TYPE_CHECKING, Final

from dipmark.facts.errors import RulesError
from dipmark.facts.problems import Problem, Where, code
from dipmark.rules.lint import lint
from dipmark.rules.loosened import loosened
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.model import Rules
from dipmark.rules.read import draft
from dipmark.rules.typed import Path as KeyPath

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

UNREADABLE: Final = code("rule-file", "a rules file cannot be opened, is too large, or is not plain UTF-8 text")
SYNTAX: Final = code("rule-syntax", "a rules file is not well-formed TOML")
FOLDER: Final = code("rule-folder", "the folder of a yard's own rules is not there or holds no rules file")

LARGEST: Final = 1_000_000
"""Bytes of one rules file; the largest shipped one is under a tenth of it."""

LONGEST_LINE: Final = 2_000
"""Characters of one line."""

MOST_FILES: Final = 200

TEXTS: Final = "texts"
"""The folder, beside the rules or among them, that holds their words in other languages."""

_HEADER: Final = re.compile(r"\s*\[{1,2}([^\[\]]+)\]{1,2}\s*(?:#.*)?$")
_ONE_KEY: Final = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_ASSIGNED: Final = re.compile(rf"\s*({_ONE_KEY}(?:\s*\.\s*{_ONE_KEY})*)\s*=")
_KEY: Final = re.compile(_ONE_KEY)
_LAST_LINE: Final = re.compile(r"\(at (?:line (\d+), column (\d+)|end of document)\)")


def read_rules(own: Path | None = None) -> Rules:
    """The shipped rules, with a yard's own laid over them.

    Args:
        own: the folder of the yard's own files, or one file; None: the shipped rules alone.

    Raises:
        RulesError: something is wrong; it carries every problem with file and line.
    """
    return _shipped() if own is None else _usable(*_read((*_shipped_files(), *_own_files(own)), _shipped()))


def read_problems(own: Path | None = None) -> tuple[Problem, ...]:
    """Everything that is wrong with the rules, or odd, all at once: empty when nothing is.

    Args:
        own: the folder of the yard's own files, or one file; None: the shipped rules alone.
    """
    if own is None:
        return _read(_shipped_files(), None)[1]
    return _read((*_shipped_files(), *_own_files(own)), _shipped())[1]


def problems_with(name: str, text: str, own: Path | None = None) -> tuple[Problem, ...]:
    """Everything that would be wrong with the rules if a file of this text lay in the yard's own folder.

    Args:
        name: the file's name.
        text: its content.
        own: the folder of the yard's own files, with one at least; None: there is none yet.
    """
    beside = () if own is None else _own_files(own)
    return _read((*_shipped_files(), *beside, _parsed(name, text, own=True)), _shipped())[1]


@lru_cache(maxsize=1)
def _shipped() -> Rules:
    return _usable(*_read(_shipped_files(), None))


def _usable(rules: Rules | None, problems: tuple[Problem, ...]) -> Rules:
    hard = [problem for problem in problems if problem.hard]
    if rules is None or hard:
        lines = "\n".join(f"  {problem}" for problem in hard)
        raise RulesError(f"the rules cannot be used, {len(hard)} faults:\n{lines}", problems)
    return rules


@lru_cache(maxsize=1)
def _shipped_files() -> tuple[RuleFile | Problem, ...]:
    """The files in the package, named by their path within it."""
    root = resources.files("dipmark.rules") / "data"
    return tuple(opened(file, name, own=False) for name, file in _toml_files(root, "rules/data"))


def _toml_files(folder: Traversable, name: str, deeper: int = 1) -> Iterator[tuple[str, Traversable]]:
    """The rules files of a folder and of the folders in it, with their names."""
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        inner = f"{name}/{entry.name}"
        if entry.is_dir() and deeper and entry.name != TEXTS:
            yield from _toml_files(entry, inner, deeper - 1)
        elif entry.name.endswith(".toml"):
            yield inner, entry


def _own_files(own: Path) -> tuple[RuleFile | Problem, ...]:
    """A yard's own files, named as their owner named the folder."""
    name = str(own)
    try:
        found = [(name, own)] if own.is_file() else list(islice(_toml_files(own, name), MOST_FILES + 1))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        return (Problem(FOLDER, reason, "a folder with rules files", where=Where(file=name)),)
    if not found or len(found) > MOST_FILES:
        count = "no rules file" if not found else f"more than {MOST_FILES} rules files"
        return (Problem(FOLDER, count, f"1 to {MOST_FILES} named .toml", where=Where(file=name)),)
    return tuple(opened(file, inner, own=True) for inner, file in found)


def opened(file: Traversable, name: str, *, own: bool) -> RuleFile | Problem:
    """One file as its table, or what is wrong with it as such."""
    try:
        with file.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except OSError as error:
        return Problem(
            UNREADABLE, error.strerror or type(error).__name__, "a file that can be opened", where=Where(file=name)
        )
    return _decoded(data, name, own=own)


def _decoded(data: bytes, name: str, *, own: bool) -> RuleFile | Problem:
    if len(data) > LARGEST:
        where = Where(file=name)
        return Problem(UNREADABLE, f"more than {LARGEST:,} bytes", f"at most {LARGEST:,}", where=where)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"the byte {data[error.start]:#04x}"
        hint = "Save the file as UTF-8."
        return Problem(UNREADABLE, found, "UTF-8 text", hint, Where(file=name, line=line))
    for number, one in enumerate(text.split("\n"), start=1):
        if len(one) > LONGEST_LINE:
            there = Where(file=name, line=number)
            return Problem(UNREADABLE, f"a line of {len(one):,} characters", f"at most {LONGEST_LINE:,}", where=there)
    return _parsed(name, text, own=own)


def _parsed(name: str, text: str, *, own: bool) -> RuleFile | Problem:
    try:
        table = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        place = _LAST_LINE.search(str(error))
        line = int(place[1]) if place and place[1] else text.count("\n") + 1
        column = f" at column {place[2]}" if place and place[2] else ""
        found = f"a slip{column}: {ascii(_LAST_LINE.sub('', str(error)).strip())[1:-1]}"
        return Problem(SYNTAX, found, "well-formed TOML", where=Where(file=name, line=line))
    except RecursionError:
        return Problem(SYNTAX, "lists or tables nested without end", "well-formed TOML", where=Where(file=name))
    except (ValueError, ArithmeticError) as error:
        found = ascii(str(error))[1:-1][:120] or type(error).__name__
        return Problem(SYNTAX, found, "numbers and dates that exist", where=Where(file=name))
    return RuleFile(name, table, own, partial(_line, text))


def _read(files: Sequence[RuleFile | Problem], base: Rules | None) -> tuple[Rules | None, tuple[Problem, ...]]:
    """Rules from files, with all problems; `base` is what a yard's rules may not loosen."""
    laid = lay([file for file in files if isinstance(file, RuleFile)])
    rules, faults = draft(laid)
    out = (*(file for file in files if isinstance(file, Problem)), *laid.problems)
    if out:  # a file is out altogether: what the others mean cannot be judged without it
        return None, _once((*out, *faults))
    meant = (*lint(rules, laid.place), *(loosened(base, rules, laid.place) if base else ()))
    return (None if faults else rules), _once((*faults, *_apart_from(faults, meant)))


def _once(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Each problem once: one in a part is met again in every kind of truck that takes it."""
    return tuple(dict.fromkeys(problems))


def _apart_from(faults: tuple[Problem, ...], meant: tuple[Problem, ...]) -> Iterator[Problem]:
    """Faults of meaning that cannot come from a fault of form: neither within its key nor around it."""
    within = {fault.where.key for fault in faults}
    around = {key for fault in faults for key in _stems(fault)}
    for one in meant:
        if one.where.key not in around and within.isdisjoint(_stems(one)):
            yield one


def _stems(problem: Problem) -> Iterator[str]:
    """The key of a problem and the keys of the tables around it."""
    return accumulate(f"{problem.where.key}".split("."), "{}.{}".format)


def _line(text: str, path: KeyPath) -> int | None:
    """The line that says most about a key: its own, else that of the table it stands or should stand in."""
    lines = _lines_of(text)
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


@lru_cache(maxsize=64)
def _lines_of(text: str) -> dict[KeyPath, int]:
    """Every key path that a file opens or assigns, with the line where it first does."""
    lines: dict[KeyPath, int] = {}
    table: KeyPath = ()
    closing = ""
    for number, line in enumerate(text.split("\n"), start=1):
        if closing:
            closing = "" if closing in line else closing
            continue
        if header := _HEADER.match(line):
            table = _keys(header[1])
            _enter(lines, table, number)
        elif assigned := _ASSIGNED.match(line):
            _enter(lines, table + _keys(assigned[1]), number)
            closing = next((quote for quote in ('"""', "'''") if line.count(quote) == 1), "")
    return lines


def _keys(written: str) -> KeyPath:
    return tuple(key.strip("\"'") for key in _KEY.findall(written))


def _enter(lines: dict[KeyPath, int], path: KeyPath, number: int) -> None:
    for length in range(1, len(path) + 1):
        lines.setdefault(path[:length], number)

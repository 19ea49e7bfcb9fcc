"""Floors 0 to 4 read no clock, draw no number, make no id; the floors above read the clock in one place."""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING, Final

import pytest

from architecture.source import SRC, core_files, python_files, shown, tree

if TYPE_CHECKING:
    from pathlib import Path

CLOCK_METHODS: Final = frozenset({"now", "today", "utcnow"})
CLOCK_MODULES: Final = frozenset({"time"})
CHANCE_MODULES: Final = frozenset({"random", "secrets", "uuid6"})
MADE_BY_CHANCE: Final = frozenset({"uuid1", "uuid4", "uuid6", "uuid7", "uuid8", "urandom", "getrandom"})
CLOCK: Final = SRC / "adapters" / "clock.py"
ABOVE: Final = [path for path in python_files(SRC) if path not in core_files() and path != CLOCK]


def _called(node: ast.Call) -> tuple[str, str]:
    """Owner and name of what a call calls: ``("datetime", "now")``, ``("", "uuid4")``."""
    match node.func:
        case ast.Attribute(value=ast.Name(id=owner), attr=name):
            return owner, name
        case ast.Attribute(value=ast.Attribute(attr=owner), attr=name):
            return owner, name
        case ast.Name(id=name):
            return "", name
    return "", ""


def _imported(node: ast.AST) -> set[str]:
    """Top names of the modules that a statement imports."""
    match node:
        case ast.Import(names=names):
            return {name.name.partition(".")[0] for name in names}
        case ast.ImportFrom(module=str(module), level=0):
            return {module.partition(".")[0]}
    return set()


def clock_reads(source: str) -> list[str]:
    """Every reading of a clock, with its line."""
    found = []
    for node in ast.walk(tree(source)):
        if modules := _imported(node) & CLOCK_MODULES:
            found += [f"{getattr(node, 'lineno', 0)}: import {name}" for name in sorted(modules)]
        elif isinstance(node, ast.Call):
            owner, name = _called(node)
            if name in CLOCK_METHODS and owner in {"datetime", "date", "dt"}:
                found.append(f"{node.lineno}: {owner}.{name}")
    return found


def chances(source: str) -> list[str]:
    """Every number or id drawn by chance, with its line."""
    found = []
    for node in ast.walk(tree(source)):
        if modules := _imported(node) & CHANCE_MODULES:
            found += [f"{getattr(node, 'lineno', 0)}: import {name}" for name in sorted(modules)]
        elif isinstance(node, ast.Call) and _called(node)[1] in MADE_BY_CHANCE:
            found.append(f"{node.lineno}: {_called(node)[1]}")
    return found


@pytest.mark.parametrize("path", core_files(), ids=shown)
def test_the_core_asks_neither_clock_nor_chance(path: Path) -> None:
    source = path.read_text("utf-8")
    assert clock_reads(source) + chances(source) == []


@pytest.mark.parametrize("path", ABOVE, ids=shown)
def test_above_the_core_only_the_clock_adapter_reads_the_clock(path: Path) -> None:
    assert clock_reads(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "bad",
    [
        "import time",
        "from time import monotonic",
        "def f():\n    import time as t",
        "datetime.now(tz=UTC)",
        "datetime.datetime.utcnow()",
        "date.today()",
        "dt.date.today()",
    ],
)
def test_a_reading_of_the_clock_is_found(bad: str) -> None:
    assert len(clock_reads(bad)) == 1


@pytest.mark.parametrize(
    "bad",
    ["import random", "from secrets import token_hex", "uuid.uuid4()", "uuid7()", "os.urandom(8)", "import uuid6"],
)
def test_a_draw_of_chance_is_found(bad: str) -> None:
    assert len(chances(bad)) == 1


def test_what_is_neither_passes() -> None:
    good = "from datetime import datetime\nas_of.now\nuuid.UUID(text)\nas_of.date()\nrng.random()\nyard.today(as_of)\n"
    assert clock_reads(good) + chances(good) == []

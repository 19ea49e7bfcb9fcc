"""No binary float stands near a limit: not in conditions, not where hours and dates fall due."""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING, Final

import pytest

from architecture.source import SRC, python_files, shown, tree

if TYPE_CHECKING:
    from pathlib import Path

EXACT: Final = [
    *python_files(SRC / "facts", SRC / "rules", SRC / "derive" / "condition"),
    *(path for path in sorted((SRC / "derive").glob("*.py")) if path.stem not in {"cost", "vigilance"}),
]
"""All but usage in the long run, trend, reliability and cost, which estimate."""


def floats(source: str) -> list[str]:
    """Every float literal and every call of float, with its line."""
    found = []
    for node in ast.walk(tree(source)):
        match node:
            case ast.Constant(value=float(value), lineno=line):
                found.append(f"{line}: {value}")
            case ast.Call(func=ast.Name(id="float"), lineno=line):
                found.append(f"{line}: float(…)")
    return found


@pytest.mark.parametrize("path", EXACT, ids=shown)
def test_no_float_near_a_limit(path: Path) -> None:
    assert floats(path.read_text("utf-8")) == []


@pytest.mark.parametrize("bad", ["limit = 0.9", "x = -1e-9", "float(value) > limit", "Decimal(0.1)"])
def test_a_float_is_found(bad: str) -> None:
    assert len(floats(bad)) == 1


def test_exact_numbers_pass() -> None:
    assert floats('Decimal("0.9")\nFraction(9, 10)\nx = 90\ntext = "0.9"\ny: float\n') == []

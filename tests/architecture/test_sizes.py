"""A file fits in one sitting and a function on one screen."""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING, Final

import pytest

from architecture.source import ROOT, SRC, python_files, shown, tree

if TYPE_CHECKING:
    from pathlib import Path

FILE_LINES: Final = 450
FUNCTION_LINES: Final = 50
FILES: Final = python_files(SRC, ROOT / "tests", ROOT / "scripts", ROOT / "bench")


def too_long(source: str) -> list[str]:
    """What is longer than its ceiling, each with its length."""
    found = []
    if (lines := len(source.splitlines())) > FILE_LINES:
        found.append(f"file of {lines} lines")
    for node in ast.walk(tree(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            if lines > FUNCTION_LINES:
                found.append(f"{node.name} of {lines} lines")
    return found


@pytest.mark.parametrize("path", FILES, ids=shown)
def test_every_file_keeps_the_ceilings(path: Path) -> None:
    assert too_long(path.read_text("utf-8")) == []


def test_a_file_at_the_ceiling_passes_and_one_above_is_found() -> None:
    assert too_long("x = 1\n" * FILE_LINES) == []
    assert too_long("x = 1\n" * (FILE_LINES + 1)) == ["file of 451 lines"]


@pytest.mark.parametrize("head", ["def f():\n", "async def f():\n"])
def test_a_function_at_the_ceiling_passes_and_one_above_is_found(head: str) -> None:
    assert too_long(head + "    x = 1\n" * (FUNCTION_LINES - 1)) == []
    assert too_long(head + "    x = 1\n" * FUNCTION_LINES) == ["f of 51 lines"]

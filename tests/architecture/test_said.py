"""Whatever the program works out for people is said in their language: no sentence stands in the arithmetic itself."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from architecture.source import SRC, python_files, shown, tree

if TYPE_CHECKING:
    from pathlib import Path

ELSEWHERE = ("lessons", "reliability", "usage")
"""What these find is worded by the views."""

SENTENCE = re.compile(r"[a-z]{2}.* |^ .*[a-z]{2}")
"""Words with a blank between them, or beside what is filled in."""

APART = frozenset({"says", "code", "Problem", "column", "between", "Input"})
"""Calls whose words are entered, belong to a problem, name a column of a table, or are entered with all inputs."""

OF_PROBLEMS = frozenset({"found", "expected", "hint", "told"})
"""Names that hold the words of a problem until it is made."""

NO_SENTENCES = frozenset(
    {
        *("gravity sg", "volts V", "from cSt", "under cSt"),  # columns of tables
        *("more than", "at least", "at most"),  # bounds of what can be true, in problems
        *("engine oil", "one of two"),  # codes
        *(" % of ", " values, rule "),  # the statistician's own note on a limit, shown nowhere
    }
)

FILES = [path for path in python_files(SRC / "derive") if not set(path.parts) & set(ELSEWHERE) and path.stem != "admit"]


def found_in(source: str) -> list[str]:
    """The sentences of functions and classes, and of constants that are one."""
    found: list[str] = []
    for node in tree(source).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found += sentences(node)
        elif isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(node.value, ast.Constant):
            found += sentences(ast.Tuple([node.value]))
    return found


def sentences(above: ast.AST) -> Iterator[str]:
    """Every sentence below a node that is not entered and belongs to no problem."""
    for node in ast.iter_child_nodes(above):
        match node:
            case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)) if name in APART:
                pass
            case ast.Assign(targets=[target]) if OF_PROBLEMS & {
                one.id for one in ast.walk(target) if isinstance(one, ast.Name)
            }:
                pass
            case ast.Raise() | ast.Expr(value=ast.Constant()):
                pass
            case ast.Constant(value=str(text)) if SENTENCE.search(text) and text not in NO_SENTENCES:
                yield text
            case _:
                yield from sentences(node)


@pytest.mark.parametrize("path", FILES, ids=shown)
def test_no_sentence_stands_in_the_arithmetic(path: Path) -> None:
    assert found_in(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "text",
    [
        'def f(x):\n    return Because(f"ran at least {x} h", "rule")',
        'def f(x):\n    text = "not checked yet"\n    return text',
        'TEXT: Final = "Guns differ: weigh ten."',
        'def f(x):\n    return f"{x} over"',
    ],
)
def test_a_sentence_is_seen(text: str) -> None:
    assert len(found_in(text)) == 1


@pytest.mark.parametrize(
    "text",
    [
        'def f(x):\n    """Says the rule."""\n    return word(TEXT).format(x)',
        'TEXT: Final = says("Guns differ: weigh ten.")',
        'def f(x):\n    hint = "Measure again."\n    return Problem(CODE, f"{x} of it", "at most that", hint)',
        'def f(table):\n    return table.column("gravity sg")',
        'def f(x):\n    return f"{x} h"',
    ],
)
def test_what_is_no_sentence_or_is_entered_is_let_be(text: str) -> None:
    assert found_in(text) == []

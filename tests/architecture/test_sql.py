"""SQL stands in adapters/store and nowhere else."""

from __future__ import annotations

import ast
import re
from typing import TYPE_CHECKING, Final

import pytest

from architecture.source import SRC, python_files, shown, tree

if TYPE_CHECKING:
    from pathlib import Path

STORE: Final = SRC / "adapters" / "store"
OTHERS: Final = [path for path in python_files(SRC) if STORE not in path.parents]
STATEMENT: Final = re.compile(
    r"\A\s*(SELECT\s.+\sFROM\s|INSERT\s+(OR\s+\w+\s+)?INTO\s|UPDATE\s+\w+\s+SET\s|DELETE\s+FROM\s"
    r"|(CREATE|DROP|ALTER)\s+(TABLE|INDEX|TRIGGER|ROLE)\s|PRAGMA\s+\w|BEGIN\s+IMMEDIATE)",
    re.IGNORECASE | re.DOTALL,
)
DRIVERS: Final = frozenset({"sqlalchemy", "sqlite3", "psycopg"})


def sql(source: str) -> list[str]:
    """Every SQL statement and every database library, with its line."""
    found = []
    for node in ast.walk(tree(source)):
        match node:
            case ast.Constant(value=str(text), lineno=line) if STATEMENT.match(text):
                found.append(f"{line}: {text.strip()[:40]}")
            case ast.Import(names=names, lineno=line):
                found += [f"{line}: import {n.name}" for n in names if n.name.partition(".")[0] in DRIVERS]
            case ast.ImportFrom(module=str(module), lineno=line) if module.partition(".")[0] in DRIVERS:
                found.append(f"{line}: import {module}")
    return found


@pytest.mark.parametrize("path", OTHERS, ids=shown)
def test_no_sql_outside_the_store(path: Path) -> None:
    assert sql(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "bad",
    [
        'q = "select * from facts"',
        'q = "INSERT OR REPLACE INTO facts VALUES (1)"',
        'q = "\\n  UPDATE facts SET id = 1"',
        'q = "DELETE FROM facts"',
        'q = "PRAGMA journal_mode = WAL"',
        "import sqlite3",
        "from sqlalchemy import text",
    ],
)
def test_sql_is_found(bad: str) -> None:
    assert len(sql(bad)) == 1


def test_plain_words_pass() -> None:
    assert sql('a = "Select a truck"\nb = "update the yard"\nc = "Delete nothing; withdraw it."\n') == []

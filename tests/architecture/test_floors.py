"""The floors stand, and the contracts that hold them bite."""

from __future__ import annotations

import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from architecture.source import ROOT

if TYPE_CHECKING:
    from pathlib import Path

LINT = """
import sys
from importlinter.cli import lint_imports_command
sys.argv[1:] = ["--no-cache"]
lint_imports_command()
"""


def lint(root: Path) -> tuple[bool, str]:
    """Whether the contracts are kept by the tree under `root`, and what was said."""
    # The copy is found before any installed dipmark, because its src comes first on the path.
    code = f"import sys; sys.path.insert(0, {str(root / 'src')!r})\n{LINT}"
    done = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=False)
    return done.returncode == 0, done.stdout + done.stderr


def broken(root: Path) -> set[str]:
    """The first word of each contract that the tree under `root` breaks."""
    kept, said = lint(root)
    words = {line.split()[0] for line in said.splitlines() if " BROKEN" in line}
    assert kept == (not words), said
    return words


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package in a folder of its own, for planting."""
    root = tmp_path_factory.mktemp("floors")
    shutil.copytree(ROOT / "src", root / "src", ignore=shutil.ignore_patterns("__pycache__", "data"))
    shutil.copy(ROOT / "pyproject.toml", root)
    return root


def test_the_floors_stand() -> None:
    kept, said = lint(ROOT)
    assert kept, said


@pytest.mark.parametrize(
    ("where", "line", "contract"),
    [
        ("facts/planted.py", "import dipmark.derive.past", "Floors:"),
        ("derive/planted.py", "import dipmark.office", "Floors:"),
        ("common/__init__.py", "X = 1", "Floors:"),
        ("rules/planted.py", "import pathlib", "Pure:"),
        ("views/planted.py", "import sqlalchemy", "Pure:"),
        ("derive/planted.py", "import time", "Pure:"),
        ("adapters/planted.py", "import dipmark.derive.past", "Adapters:"),
        ("office/planted.py", "import numpy", "Numbers:"),
        ("faces/planted.py", "import dipmark.faces.cli", "Faces:"),
        ("derive/condition/planted.py", "import dipmark.derive.condition.chain", "Conditions:"),
    ],
)
def test_a_planted_import_breaks_its_contract(copied: Path, where: str, line: str, contract: str) -> None:
    planted = copied / "src" / "dipmark" / where
    planted.parent.mkdir(exist_ok=True)
    planted.write_text(f'"""Planted."""\n\n{line}\n', "utf-8")
    try:
        assert contract in broken(copied)
    finally:
        planted.unlink()
        if where.endswith("__init__.py"):
            planted.parent.rmdir()


def test_a_circle_breaks_its_contract(copied: Path) -> None:
    one, two = (copied / "src" / "dipmark" / "derive" / name for name in ("planted_one.py", "planted_two.py"))
    one.write_text('"""Planted."""\n\nimport dipmark.derive.planted_two\n', "utf-8")
    two.write_text('"""Planted."""\n\nimport dipmark.derive.planted_one\n', "utf-8")
    try:
        assert broken(copied) == {"Circles:"}
    finally:
        one.unlink()
        two.unlink()

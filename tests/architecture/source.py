"""What the architecture tests read: the tree, its files and their syntax."""

from __future__ import annotations

import ast
import subprocess
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
SRC: Final = ROOT / "src" / "dipmark"
CORE: Final = ("facts", "rules", "derive", "plan", "views")
"""Floors 0 to 4."""


def python_files(*tops: Path) -> list[Path]:
    """Every Python file under these folders, in order."""
    return sorted(path for top in tops for path in top.rglob("*.py"))


def core_files() -> list[Path]:
    """Every Python file of floors 0 to 4."""
    return python_files(*(SRC / floor for floor in CORE))


def tree(source: str) -> ast.Module:
    """The syntax of a source text."""
    return ast.parse(source)


def shown(path: Path) -> str:
    """A path as people write it, from the top of the checkout."""
    return path.relative_to(ROOT).as_posix()


def checked_in() -> list[Path]:
    """Every file that is in git or would be with the next `git add`."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
        text=True,
    ).stdout
    return [path for name in sorted(set(listed.split("\0"))) if name and (path := ROOT / name).is_file()]

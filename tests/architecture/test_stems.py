"""One word a subject: every file about it has that stem, and a missing twin is named."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest

from architecture.source import CORE, ROOT, tree

if TYPE_CHECKING:
    from collections.abc import Callable

SUBJECT: Final = (
    "src/dipmark/rules/data/limits/{}.toml",
    "src/dipmark/derive/condition/{}.py",
    "tests/published/test_{}.py",
    "docs/reference/limits/{}.md",
)
"""The files of a subject that has limits; the first two make it one."""


def _stems(root: Path, pattern: str) -> set[str]:
    folder, _, name = pattern.rpartition("/")
    before, after = name.split("{}")
    return {
        path.name[len(before) : len(path.name) - len(after)]
        for path in (root / folder).glob(name.format("*"))
        if path.name != "__init__.py"
    }


def missing_twins(root: Path) -> list[str]:
    """Files that a subject with a limit or an arithmetic ought to have and has not."""
    subjects = _stems(root, SUBJECT[0]) | _stems(root, SUBJECT[1])
    wanted = [pattern.format(subject) for subject in sorted(subjects) for pattern in SUBJECT]
    return [name for name in wanted if not (root / name).is_file()]


def missing_tests(root: Path) -> list[str]:
    """Test files that modules of floors 0 to 4 ought to have; a module that only declares has nothing to test."""
    wanted = []
    for floor in CORE:
        for path in sorted((root / "src" / "dipmark" / floor).rglob("*.py")):
            nodes = ast.walk(tree(path.read_text("utf-8")))
            if any(isinstance(node, ast.FunctionDef) for node in nodes):
                inside = path.relative_to(root / "src" / "dipmark")
                stem = inside.stem if inside.stem != "__init__" else inside.parent.name
                wanted.append(Path("tests", inside.parent, f"test_{stem}.py"))
    return [path.as_posix() for path in wanted if not (root / path).is_file()]


def test_every_subject_has_all_its_files() -> None:
    assert missing_twins(ROOT) == []


def test_every_module_of_the_core_has_its_test() -> None:
    assert missing_tests(ROOT) == []


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str, str], None]:
    def put(name: str, text: str) -> None:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")

    return put


def test_a_missing_twin_is_named(tmp_path: Path, write: Callable[[str, str], None]) -> None:
    write(SUBJECT[0].format("chain"), "")
    write("src/dipmark/derive/condition/__init__.py", "")
    assert missing_twins(tmp_path) == [pattern.format("chain") for pattern in SUBJECT[1:]]
    for pattern in SUBJECT:
        write(pattern.format("chain"), "")
    assert missing_twins(tmp_path) == []
    write(SUBJECT[1].format("forks"), "")
    assert len(missing_twins(tmp_path)) == 3


def test_a_missing_test_is_named(tmp_path: Path, write: Callable[[str, str], None]) -> None:
    write("src/dipmark/facts/plain.py", "X = 1\n")
    write("src/dipmark/derive/condition/chain.py", "def f():\n    pass\n")
    assert missing_tests(tmp_path) == ["tests/derive/condition/test_chain.py"]
    write("tests/derive/condition/test_chain.py", "")
    assert missing_tests(tmp_path) == []

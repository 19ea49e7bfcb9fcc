"""What a page shows at a prompt is what comes back, and every link leads on."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).resolve().parents[2]
PAGES: Final = [
    ROOT / "README.md",
    *sorted(path for path in (ROOT / "docs").rglob("*.md") if path.parent.name != "reference"),
]
EXAMPLE: Final = re.compile(r"^```(console|csv|toml|text) ?(?:title=(\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINK: Final = re.compile(r"\]\(([^)#:]+)(?:#[^)]*)?\)")


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def examples(page: str) -> list[tuple[str, str, str]]:
    """The fenced examples of a page: language, name of the file it shows, text."""
    return [(language, title or "", text) for language, title, text in EXAMPLE.findall(page)]


def commands(text: str) -> list[tuple[str, list[str]]]:
    """What is typed after each ``$`` and the words that are shown to come back."""
    found: list[tuple[str, list[str]]] = []
    for line in text.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        elif line.strip() and line.strip() != "…" and found:
            found[-1][1].append(line)
    return found


def run(command: str, folder: Path) -> str:
    """Type one command in a folder; a comment `# refused` says that it must."""
    words = shlex.split(command, comments=True)
    bin_ = Path(sys.executable).parent
    env = {**os.environ, "PATH": f"{bin_}{os.pathsep}{os.environ['PATH']}", "COLUMNS": "120", "NO_COLOR": "1"}
    done = subprocess.run(
        words, cwd=folder, env=env, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL
    )
    assert (done.returncode != 0) == command.endswith("# refused"), f"$ {command}\n{done.stdout}{done.stderr}"
    assert "Traceback" not in done.stderr, f"$ {command}\n{done.stderr}"
    return done.stdout + done.stderr


def squeezed(text: str) -> str:
    """A text with its blanks made single, so that a table's width does not matter."""
    return " ".join(text.split())


@pytest.mark.parametrize("path", PAGES, ids=shown)
def test_what_a_page_shows_is_what_comes_back(path: Path, tmp_path: Path) -> None:
    for language, title, text in examples(path.read_text("utf-8")):
        if title:
            (tmp_path / title).write_text(text, "utf-8")
        elif language == "console":
            for command, wanted in commands(text):
                if command.startswith("make "):
                    continue
                said = squeezed(run(command, tmp_path))
                for line in wanted:
                    parts = [squeezed(part) for part in line.split("…")]
                    assert all(part in said for part in parts), f"$ {command}\n{line!r} is not in\n{said}"


@pytest.mark.parametrize("path", PAGES, ids=shown)
def test_every_link_leads_to_a_file(path: Path) -> None:
    links = LINK.findall(path.read_text("utf-8"))
    assert [link for link in links if not (path.parent / link).exists()] == []


def test_an_example_that_says_something_else_is_found(tmp_path: Path) -> None:
    assert commands("$ echo one\none\n\n…\n$ true\n") == [("echo one", ["one"]), ("true", [])]
    assert "one" in run("echo one", tmp_path)
    assert run("false # refused", tmp_path) == ""
    with pytest.raises(AssertionError, match="false"):
        run("false", tmp_path)
    assert examples("```csv title=a.csv\nx\n```\n") == [("csv", "a.csv", "x\n")]

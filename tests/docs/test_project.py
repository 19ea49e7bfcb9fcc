"""The files of the project agree with one another."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Final

import pytest

from release import section
from rules_changed import changes

ROOT: Final = Path(__file__).resolve().parents[2]
PROJECT: Final = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def pinned(purpose: str) -> dict[str, str]:
    """Name to version in requirements/PURPOSE.txt."""
    text = (ROOT / "requirements" / f"{purpose}.txt").read_text("utf-8")
    return dict(re.findall(r"^([a-z0-9-]+)==(\S+)", text, re.MULTILINE))


def test_every_dependency_is_pinned_for_running_and_testing() -> None:
    needed = {re.split(r"[\[>=<]", line)[0].strip() for line in PROJECT["project"]["dependencies"]}
    assert needed <= pinned("run").keys()
    assert pinned("run").items() <= pinned("test").items()


@pytest.mark.parametrize("purpose", ["run", "test"])
def test_every_pin_has_a_hash(purpose: str) -> None:
    text = (ROOT / "requirements" / f"{purpose}.txt").read_text("utf-8")
    pins = re.split(r"\n(?=\S)", text.strip())
    assert [pin.splitlines()[0] for pin in pins if "--hash=sha256:" not in pin] == []


def test_make_test_leaves_no_folder_out() -> None:
    words = set(re.findall(r"\w+", (ROOT / "scripts" / "test").read_text("utf-8")))
    folders = {path.parent.relative_to(ROOT / "tests").parts[0] for path in (ROOT / "tests").glob("*/**/test_*.py")}
    assert folders - words == set()


def test_the_changelog_opens_with_this_version() -> None:
    versions = re.findall(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.MULTILINE)
    assert versions[0] == PROJECT["project"]["version"]


def test_a_release_puts_what_bears_on_safety_first_and_names_changed_rules() -> None:
    fragments = {"a.new.md": "A gauge.\n", "b.safety.md": "A card stays.\n", "c.fixed.md": "A date.\n"}
    made = section("1.2.3", fragments, ["limits/chain.toml: stop.value: 3 → 2.9 (letter)"])
    assert made.startswith("## 1.2.3\n\n### Bears on safety\n\n- A card stays.\n- Rule changed: limits/chain.toml")
    assert made.index("A card") < made.index("A gauge") < made.index("A date")


def test_a_changed_rule_is_named_with_old_value_new_value_and_source() -> None:
    old = 'source = "letter"\n[[limits]]\nid = "stop"\nvalue = 3.00\n'
    new = old.replace("3.00", "2.90")
    assert changes(old, new) == ["limits[stop].value: 3.00 → 2.90 (letter)"]
    assert changes(old, old) == []
    assert changes("", 'a = "x"\n') == ["a: nothing → x (no source)"]

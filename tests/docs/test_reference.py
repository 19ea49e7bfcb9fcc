"""The reference pages say what the program says; whoever adds a command, a code or a kind of fact finds it here."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest

import docs_limits
import docs_writing
import generate_docs
from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.measured import MEASUREMENTS
from dipmark.facts.kinds import KINDS
from dipmark.facts.problems import CODES

ROOT: Final = Path(__file__).resolve().parents[2]
REFERENCE: Final = ROOT / "docs" / "reference"


@pytest.fixture(scope="module")
def wanted() -> dict[str, str]:
    return generate_docs.pages()


def test_no_page_is_out_of_date(wanted: dict[str, str]) -> None:
    assert generate_docs.stale(wanted, REFERENCE) == [], "run make docs"


def test_a_changed_a_missing_and_a_needless_page_are_found(tmp_path: Path) -> None:
    (tmp_path / "same.md").write_text("same", "utf-8")
    (tmp_path / "old.md").write_text("before", "utf-8")
    (tmp_path / "needless.md").write_text("", "utf-8")
    wanted = {"same.md": "same", "old.md": "after", "missing.md": ""}
    assert generate_docs.stale(wanted, tmp_path) == ["missing.md", "needless.md", "old.md"]


def headings(page: str) -> set[str]:
    return set(re.findall(r"^## (.+)$", page, re.MULTILINE))


def test_every_command_has_its_entry_and_says_what_it_does(wanted: dict[str, str]) -> None:
    commands = dict(generate_docs.walk(generate_docs.commands()))
    assert {" ".join(path) for path in commands} == headings(wanted["commands.md"])
    assert [path for path, command in commands.items() if not command.help] == []


def test_every_option_and_argument_says_what_it_is() -> None:
    silent = [
        f"{' '.join(path)} {param.name}"
        for path, command in generate_docs.walk(generate_docs.commands())
        for param in command.params
        if not generate_docs.help_of(param)
    ]
    assert silent == []


def test_every_problem_code_has_its_entry(wanted: dict[str, str]) -> None:
    assert CODES
    assert set(re.findall(r"^\| `([^`]+)` \|", wanted["problems.md"], re.MULTILINE)) == set(CODES)
    assert [code for code, meaning in CODES.items() if not meaning.strip()] == []


def test_every_kind_of_fact_has_its_entry_and_every_field_its_meaning(wanted: dict[str, str]) -> None:
    assert set(KINDS) <= headings(wanted["facts.md"])
    for kind in KINDS.values():
        assert docs_writing.opening(kind), kind


def test_every_subject_has_its_page_with_every_limit_table_caution_and_measurement(wanted: dict[str, str]) -> None:
    subjects = read_rules().subjects
    assert subjects
    for id, subject in subjects.items():
        page = wanted[f"limits/{id}.md"]
        names = [*subject.limits, *subject.rows, *(one.name for one in MEASUREMENTS.values() if one.subject == id)]
        assert [name for name in names if f"(`{name}`)" not in page] == []
        assert [one.text for one in subject.cautions if one.text not in page] == []
        assert f"({id}.md)" in wanted["limits/README.md"]
    assert {name for name in wanted if name.startswith("limits/")} == {
        "limits/README.md",
        *(f"limits/{id}.md" for id in subjects),
    }


def test_a_docstring_is_taken_apart() -> None:
    def wear(now: int, new: int) -> int:
        """How far it has worn.

        Args:
            now: thickness now,
                in mm.
            new: when new.

        *Edge*: the limit
        itself is out.

        Example:
            >>> wear(1, 3)
            2
        """
        return new - now

    assert docs_writing.opening(wear) == "How far it has worn."
    assert docs_writing.arguments(wear) == {"now": "thickness now, in mm.", "new": "when new."}
    assert docs_writing.sections(wear)["Example"] == ">>> wear(1, 3)\n2"
    assert list(docs_limits.told(wear))[2:] == [
        "*Edge*: the limit itself is out.",
        "```python\nreturn new - now\n```",
        "```python\n>>> wear(1, 3)\n2\n```",
    ]


def test_every_setting_has_its_entry(wanted: dict[str, str]) -> None:
    for name in ("`zone`", "`country`", "`--store ", "`--as-of ", "`--by ", "`DIPMARK_STORE`"):
        assert name in wanted["settings.md"], name


def test_a_bar_in_a_cell_does_not_end_the_cell() -> None:
    assert docs_writing.table(["a"], [["x | y\nz"]]) == "| a |\n| --- |\n| x \\| y z |"

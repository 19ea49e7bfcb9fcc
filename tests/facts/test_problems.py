from __future__ import annotations

import pytest

from dipmark.facts.problems import CODES, NOWHERE, Problem, Where, code


def test_a_problem_says_its_place_then_itself() -> None:
    where = Where(file="yard.xlsx", sheet="May", line=0, column="Hours", key="checks.chain", fact="01", book="truck:7")
    problem = Problem("x", "1,204 h", "at least 1,240 h", "Note the change of meter first.", where)
    assert str(problem) == (
        "yard.xlsx, sheet May, line 0, column Hours, checks.chain, truck:7, fact 01: "
        "Found 1,204 h; expected at least 1,240 h. Note the change of meter first."
    )
    assert problem.hard


def test_a_problem_without_place_or_hint() -> None:
    problem = Problem("x", "nothing", "a number")
    assert str(problem) == problem.message == "Found nothing; expected a number."
    assert str(NOWHERE) == ""


def test_a_code_is_entered_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(CODES, "only-here", raising=False)
    assert code("only-here", "A line for the manual.") == "only-here"
    assert CODES["only-here"] == "A line for the manual."
    with pytest.raises(ValueError, match="only-here is entered twice"):
        code("only-here", "Another.")
    del CODES["only-here"]

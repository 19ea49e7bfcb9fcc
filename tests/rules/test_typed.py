from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.rules.typed import LONGEST, Faults, Table, by_key, dotted, near, shown


def table(**content: object) -> tuple[Table, Faults]:
    faults = Faults()
    return Table(content, ("checks",), faults), faults


def first(faults: Faults) -> tuple[str, str | None, str, str]:
    (problem,) = faults.all
    return problem.code, problem.where.key, problem.found, problem.expected


def test_values_of_the_promised_type_come_back() -> None:
    read, faults = table(text="tight", flag=True, whole=7, number=Decimal("3.50"), hours=100, words=["a", "b"])
    assert read.text("text") == "tight"
    assert read.flag("flag") is True
    assert read.whole("whole", 1, 7) == 7
    assert str(read.number("number", 0, 5)) == "3.5"
    assert str(read.number("hours", 0, 100)) == "100"
    assert read.words("words") == ("a", "b")
    assert read.choice("text", ("slack", "tight")) == "tight"
    read.close()
    assert faults.all == []


def test_what_may_be_left_out_has_its_default() -> None:
    read, faults = table(clause="")
    assert read.text("clause", "") == ""
    assert read.text("meter", "engine") == "engine"
    assert read.flag("legal", default=False) is False
    assert read.words("needs") == ()
    assert list(read.table("severe").each()) == []
    assert not read.has("months")
    assert faults.all == []


@pytest.mark.parametrize(
    ("value", "found"),
    [(3, "3"), (True, "true"), (Decimal("2.5"), "2.5"), ([1], "a list"), ({}, "a table"), (date(2026, 1, 2), "a date")],
)
def test_text_of_another_type(value: object, found: str) -> None:
    read, faults = table(text=value)
    assert read.text("text") == ""
    assert first(faults) == ("rule-type", "checks.text", found, "a text")


def test_missing_key_is_named_with_its_type() -> None:
    read, faults = table()
    assert (read.text("text"), read.flag("shift"), read.whole("days", 1, 9)) == ("", False, 1)
    assert (read.number("hours", 2, 9), read.choice("when", ("now", "later"))) == (None, "now")
    expected = ["a text", "true or false", "a whole number", "a number", "a text"]
    assert [problem.expected for problem in faults.all] == expected
    assert {problem.code for problem in faults.all} == {"rule-missing"}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (" ", "an empty text"),
        ("x" * (LONGEST + 1), "601 characters"),
        ("a\x00b", "'a\\x00b'"),
        ("two\nlines", "'two\\nlines'"),
    ],
)
def test_text_that_cannot_be_shown(text: str, found: str) -> None:
    read, faults = table(text=text)
    read.text("text")
    assert first(faults)[:3] == ("rule-text", "checks.text", found)


def test_longest_text_is_still_allowed() -> None:
    read, faults = table(text="x" * LONGEST)
    assert len(read.text("text")) == LONGEST
    assert faults.all == []


@pytest.mark.parametrize("value", [0, 10, Decimal("1.5"), True, "3"])
def test_whole_outside_its_range_or_type(value: object) -> None:
    read, faults = table(days=value)
    read.whole("days", 1, 9)
    (problem,) = faults.all
    assert problem.code in ("rule-range", "rule-type")


@pytest.mark.parametrize(
    ("value", "found", "expected"),
    [
        (Decimal("-0.1"), "-0.1", "0 to 100"),
        (Decimal("100.1"), "100.1", "0 to 100"),
        (Decimal("NaN"), "NaN", "0 to 100"),
        (Decimal("Infinity"), "Infinity", "0 to 100"),
        (Decimal("1E+999999"), "1E+999999", "0 to 100"),
        (Decimal("1E-9"), "1E-9", "at most 6 decimal places"),
    ],
)
def test_number_outside_its_range(value: Decimal, found: str, expected: str) -> None:
    read, faults = table(hours=value)
    assert read.number("hours", 0, 100) is None
    (problem,) = faults.all
    assert (problem.code, problem.expected) == ("rule-range", expected)
    assert problem.found.upper() == found.upper()


def test_edges_of_a_range_belong_to_it() -> None:
    read, faults = table(low=0, high=100, places=Decimal("0.000001"))
    assert [read.number("low", 0, 100), read.number("high", 0, 100)] == [Decimal(0), Decimal(100)]
    assert read.number("places", 0, 1) == Decimal("0.000001")
    assert faults.all == []


def test_word_not_allowed_is_met_with_a_suggestion() -> None:
    read, faults = table(seriousness="stopp")
    assert read.choice("seriousness", ("now", "stop")) == "now"
    (problem,) = faults.all
    assert (problem.code, problem.hint) == ("rule-choice", "Did you mean stop?")


def test_lists() -> None:
    read, faults = table(a="x", b=["x", "x", 3])
    assert read.words("a") == ()
    assert read.words("b") == ("x", "x", "")
    keys = [(problem.code, problem.where.key) for problem in faults.all]
    assert keys == [("rule-type", "checks.a"), ("rule-type", "checks.b.2"), ("rule-choice", "checks.b")]


def test_rows_of_numbers() -> None:
    read, faults = table(rows=[[1, Decimal("2.50")], [-3, 0]])
    assert list(read.rows("rows", 2, 3)) == [(Decimal(1), Decimal("2.5")), (Decimal(-3), Decimal(0))]
    read.close()
    assert faults.all == []


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        (3, [("rule-type", "checks.rows")]),
        ([], [("rule-type", "checks.rows")]),
        ([1, 2], [("rule-type", "checks.rows")]),
        ([[1, 2], [1]], [("rule-type", "checks.rows")]),
        ([[1, "2"], [4, 1]], [("rule-type", "checks.rows.0.1"), ("rule-range", "checks.rows.1.0")]),
        ([[Decimal("NaN"), -4]], [("rule-range", "checks.rows.0.0"), ("rule-range", "checks.rows.0.1")]),
    ],
)
def test_rows_that_are_none(rows: object, found: list[tuple[str, str]]) -> None:
    read, faults = table(rows=rows)
    assert all(len(row) == 2 for row in read.rows("rows", 2, 3))
    assert [(problem.code, problem.where.key) for problem in faults.all] == found


def test_tables_by_id() -> None:
    read, faults = table(chain={"oil": {}, "Bad Id": {}, "x" * 61: {}, "flat": 3})
    assert [name for name, _ in read.tables("chain")] == ["oil", "Bad Id", "x" * 61, "flat"]
    codes = [problem.code for problem in faults.all]
    assert codes == ["rule-name", "rule-name", "rule-type"]
    assert faults.all[0].where.key == "checks.chain.'Bad Id'"


def test_unknown_key_is_refused_with_a_suggestion() -> None:
    read, faults = table(text="x", seriousnes="stop", zzz=1)
    read.text("text")
    read.has("seriousness")
    read.close()
    assert [problem.hint for problem in faults.all] == ["Did you mean seriousness?", ""]
    assert {problem.code for problem in faults.all} == {"rule-unknown-key"}
    assert faults.all[0].expected == "one of seriousness, text"


def test_words_of_a_path() -> None:
    assert dotted(("checks", "chain", "a b", "x" * 70)) == "checks.chain.'a b'." + ascii("x" * 57 + "...")
    assert str(by_key(("a", "b"))) == "a.b"
    assert near("zzz", ("now",)) == ""
    assert shown("x" * 80).endswith("...")

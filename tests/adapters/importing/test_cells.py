"""Numbers and text as people write them."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal

import pytest

from dipmark.adapters.importing.cells import DecimalMark, as_text, parse_number, parse_text, unit_of
from dipmark.adapters.importing.sheets import Cell
from dipmark.facts.problems import Problem

ASKED, BAD = "number-ambiguous", "number-unreadable"


def said(cell: Cell, decimal: DecimalMark | None = None) -> str:
    found = parse_number(cell, decimal)
    if isinstance(found, Problem):
        return found.code
    return f"{found.value} {found.unit}" if found.unit else str(found.value)


@pytest.mark.parametrize(
    ("text", "asked", "comma", "point"),
    [
        ("1,250", ASKED, "1.250", "1250"),
        ("1.250", ASKED, "1250", "1.250"),
        ("12,250 h", ASKED, "12.250 h", "12250 h"),
        ("-1.250", ASKED, "-1250", "-1.250"),
        ("999.999", ASKED, "999999", "999.999"),
        ("1,250.5", "1250.5", BAD, "1250.5"),
        ("1.250,5", "1250.5", "1250.5", BAD),
        ("1 250,5", "1250.5", "1250.5", BAD),
        ("1\u00a0250,5", "1250.5", "1250.5", BAD),
        ("1\u202f250", "1250", "1250", "1250"),
        ("1'250.5", "1250.5", BAD, "1250.5"),
        ("1’250,50", "1250.50", "1250.50", BAD),
        ("1250,5", "1250.5", "1250.5", BAD),
        ("1250.5", "1250.5", BAD, "1250.5"),
        ("0,250", "0.250", "0.250", BAD),
        ("0.250", "0.250", BAD, "0.250"),
        ("1250,500", "1250.500", "1250.500", BAD),
        ("1,25", "1.25", "1.25", BAD),
        ("1,250,000", "1250000", BAD, "1250000"),
        ("1.234.567,89", "1234567.89", "1234567.89", BAD),
        ("1 250,500", "1250.500", "1250.500", BAD),
        (",5", "0.5", "0.5", BAD),
        ("1250", "1250", "1250", "1250"),
        ("12,34,567", BAD, BAD, BAD),
        ("1,2.3,4", BAD, BAD, BAD),
        ("1,2 5", BAD, BAD, BAD),
        ("1.250 000,5", BAD, BAD, BAD),
    ],
)
def test_reads_one_way_or_is_asked(text: str, asked: str, comma: str, point: str) -> None:
    assert (said(text), said(text, "comma"), said(text, "point")) == (asked, comma, point)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        *((f"1250.5{tail}", "1250.5 h") for tail in ("h", " h", " hr", " hrs.", " Hours", " Std", " Std.", " horas")),
        ("1250.5 Stunden", "1250.5 h"),
        ("1250 km", "1250 km"), ("1250 Meilen", "1250 mi"), ("75000 min", "75000 min"), ("1250 xyz", "1250 xyz"),
        ("1500 kg", "1500 kg"), ("3000 lbs", "3000 lb"), ("1234:30", "1234.50 h"), ("1234:20 h", "1234.33 h"),
        ("1234:30:36", "1234.51 h"), ("1234:75", BAD), ("1234:30 kg", BAD), ("−5", "-5"), ("+5", "5"),
        ("１２５０", "1250"),
        ("１，５", "1.5"), ("NaN", BAD), ("inf", BAD), ("1e5", BAD), ("1.25E+03", BAD), ("", BAD), ("h", BAD),
        ("1250.", BAD),
        ("1250 ?", BAD), ("ca. 1250", BAD), ("12²", BAD), ("½", BAD), ("1 25", BAD), ("1--2", BAD), ("9" * 70, BAD),
        ("12\x0050", BAD), ("#N/A", BAD), ("١٢٥", BAD),
    ],
)  # fmt: skip
def test_units_signs_and_rubbish(text: str, expected: str) -> None:
    assert said(text) == expected


@pytest.mark.parametrize(
    ("cell", "expected", "places"),
    [(Decimal("1234.5"), "1234.5", 1), (Decimal(1234), "1234", 0), (timedelta(hours=1234, minutes=30), "1234.50 h", 2),
     (time(6, 30), "6.50 h", 2)],
)  # fmt: skip
def test_cells_of_a_workbook(cell: Cell, expected: str, places: int) -> None:
    found = parse_number(cell)
    assert not isinstance(found, Problem)
    assert (said(cell), found.places) == (expected, places)


@pytest.mark.parametrize("cell", [True, None, date(2026, 4, 3), datetime(2026, 4, 3, 6)])
def test_no_number_in_a_workbook(cell: Cell) -> None:
    assert said(cell) == BAD


def test_question_names_both_readings() -> None:
    found = parse_number("1,250")
    assert isinstance(found, Problem)
    assert "1250 or 1.250" in found.found
    assert "--decimal comma or --decimal point" in found.hint


@pytest.mark.parametrize(
    ("cell", "text"),
    [(None, ""), ("  two\u00a0 words ", "two words"), ("a \r\n b\rc", "a\nb\nc"), (Decimal(12), "12"), (True, "TRUE"),
     (False, "FALSE"), (Decimal("1E+3"), "1000"), (date(2026, 4, 3), "2026-04-03"),
     (datetime(2026, 4, 3, 6, 30), "2026-04-03 06:30:00"), (time(6, 30), "06:30:00"),
     (timedelta(hours=1234, minutes=5), "1234:05"), (timedelta(hours=1, seconds=7), "1:00:07")],
)  # fmt: skip
def test_text(cell: Cell, text: str) -> None:
    assert parse_text(cell) == text


def test_written_with_the_file_s_decimal_mark() -> None:
    assert as_text(Decimal("1250.5"), "comma") == "1250,5"
    assert as_text(Decimal("1250.5")) == "1250.5"


def test_unit_words() -> None:
    assert [unit_of(word) for word in ("Std.", "HRS", "furlongs", "", None)] == ["h", "h", "furlongs", None, None]

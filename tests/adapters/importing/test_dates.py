"""Dates as people write them.

Sources: day before month where dots stand, Unicode CLDR; year first where a year of four digits leads, ISO 8601.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, timezone
from decimal import Decimal

import pytest

from dipmark.adapters.importing.dates import DateOrder, When, parse_date, parse_time, stated_order
from dipmark.adapters.importing.sheets import Cell
from dipmark.facts.problems import Problem


def said(cell: Cell, order: DateOrder | None = None) -> str:
    found = parse_date(cell, order)
    if isinstance(found, Problem):
        return found.code
    return " ".join(str(part) for part in (found.day, found.time, found.offset) if part is not None)


@pytest.mark.parametrize(
    "text",
    ["2026-04-03", "2026/4/3", "2026. 04. 03.", "20260403", "03.04.2026", "3.4.2026", "3. 4. 2026", "3.4.26",
     "3 Apr 2026", "3 April 2026", "3rd of April, 2026", "April 3, 2026", "Apr 3rd 2026", "3-Apr-26", "2026-Apr-03",
     "3 de abril de 2026", "3º de abril de 2026", "3 abr. 2026", "3. April 2026", "Fri 3 Apr 2026",
     "Freitag, 3. April 2026", "Fr. 3.4.2026", "viernes, 3 de abril de 2026", "2026‑04‑03", "２０２６-04-03",
     "\u00a03.4.2026 "],
)  # fmt: skip
def test_third_of_april(text: str) -> None:
    assert said(text) == "2026-04-03"


@pytest.mark.parametrize(
    "text", ["3. März 2026", "3. Maerz 2026", "3 mar 2026", "3 de marzo de 2026", "March 3, 2026", "3 Mrz 26"]
)
def test_third_of_march(text: str) -> None:
    assert said(text) == "2026-03-03"


@pytest.mark.parametrize(
    ("text", "asked", "dmy", "mdy"),
    [
        ("03/04/2026", "date-ambiguous", "2026-04-03", "2026-03-04"),
        ("03-04-2026", "date-ambiguous", "2026-04-03", "2026-03-04"),
        ("3 4 2026", "date-ambiguous", "2026-04-03", "2026-03-04"),
        ("05/05/2026", "2026-05-05", "2026-05-05", "2026-05-05"),
        ("13/04/2026", "2026-04-13", "2026-04-13", "date-impossible"),
        ("04/13/2026", "2026-04-13", "date-impossible", "2026-04-13"),
        ("12/12/2026", "2026-12-12", "2026-12-12", "2026-12-12"),
        ("12/11/2026", "date-ambiguous", "2026-11-12", "2026-12-11"),
        ("31/02/2026", "date-impossible", "date-impossible", "date-impossible"),
        ("05/04/26", "date-ambiguous", "2026-04-05", "2026-05-04"),
        ("31/12/99", "1999-12-31", "1999-12-31", "date-impossible"),
        ("03.04.2026", "2026-04-03", "2026-04-03", "2026-04-03"),
        ("2026-04-03", "2026-04-03", "2026-04-03", "2026-04-03"),
    ],
)
def test_asked_or_set_never_guessed(text: str, asked: str, dmy: str, mdy: str) -> None:
    assert (said(text), said(text, "dmy"), said(text, "mdy")) == (asked, dmy, mdy)


def test_year_first_counts_for_two_digit_years_only() -> None:
    assert said("05/04/26", "ymd") == "2005-04-26"
    assert said("05/04/2026", "ymd") == "date-ambiguous"


def test_question_names_both_readings_and_the_way_out() -> None:
    found = parse_date("03/04/2026")
    assert isinstance(found, Problem)
    assert "2026-04-03 (day first) or 2026-03-04 (month first)" in found.found
    assert "--dates dmy or --dates mdy" in found.hint


@pytest.mark.parametrize(("text", "year"), [("1.1.69", 2069), ("1.1.70", 1970), ("1.1.00", 2000), ("1.1.99", 1999)])
def test_two_digit_years_are_1970_to_2069(text: str, year: int) -> None:
    assert said(text) == f"{year}-01-01"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-11-20 06:30", "2026-11-20 06:30:00"),
        ("2026-11-20T06:30:15.25Z", "2026-11-20 06:30:15 UTC"),
        ("2026-11-20T06:30+01:00", "2026-11-20 06:30:00 UTC+01:00"),
        ("2026-11-20 06:30 -0530", "2026-11-20 06:30:00 UTC-05:30"),
        ("20.11.2026, 6:30 Uhr", "2026-11-20 06:30:00"),
        ("20.11.2026 um 6.30 Uhr", "2026-11-20 06:30:00"),
        ("20/11/2026 6:30 h", "2026-11-20 06:30:00"),
        ("11/20/2026 06:30 PM", "2026-11-20 18:30:00"),
        ("11/20/2026 12:05 a.m.", "2026-11-20 00:05:00"),
        ("20 Nov 2026 6 pm", "2026-11-20 18:00:00"),
        ("2026-11-20 24:00", "time-unreadable"),
        ("2026-11-20 13:00 PM", "time-unreadable"),
        ("2026-11-20 06:61", "time-unreadable"),
        ("2026-11-20 06:30 +15:00", "time-unreadable"),
        ("2026-11-20 06:30 +01:75", "time-unreadable"),
        ("03/04/2026 06:30", "date-ambiguous"),
    ],
)
def test_with_a_time(text: str, expected: str) -> None:
    assert said(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("31.02.2026", "date-impossible"), ("29.02.2025", "date-impossible"), ("29.02.2024", "2024-02-29"),
        ("2026-13-01", "date-impossible"), ("2026-00-10", "date-impossible"), ("0000-00-00", "date-impossible"),
        ("1876-01-01", "date-unlikely"), ("01.01.2101", "date-unlikely"), ("1949-12-31", "date-unlikely"),
        ("1950-01-01", "1950-01-01"), ("04/2026", "date-unreadable"), ("April 2026", "date-unreadable"),
        ("yesterday", "date-unreadable"), ("3 Xyz 2026", "date-unreadable"), ("1²/05/2026", "date-unreadable"),
        ("Xyz 3, 2026", "date-unreadable"), ("2026-Xyz-03", "date-unreadable"), ("", "date-unreadable"),
        ("46147", "date-unreadable"), ("x" * 500, "date-unreadable"),
    ],
)  # fmt: skip
def test_no_such_date(text: str, expected: str) -> None:
    assert said(text) == expected


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        (date(2026, 4, 3), "2026-04-03"),
        (datetime(2026, 4, 3, 6, 30), "2026-04-03 06:30:00"),
        (datetime(2026, 4, 3), "2026-04-03"),
        (datetime(2026, 4, 3, 6, 29, 59, 999_900), "2026-04-03 06:30:00"),
        (Decimal(46115), "2026-04-03"),
        (Decimal("46115.25"), "2026-04-03 06:00:00"),
        (Decimal(20260403), "2026-04-03"),
        (Decimal(2026), "date-unlikely"),
        (Decimal(0), "date-unreadable"),
        (Decimal(123456), "date-unreadable"),
        (True, "date-unreadable"),
        (timedelta(hours=3), "date-unreadable"),
        (None, "date-unreadable"),
    ],
)
def test_cells_of_a_workbook(cell: Cell, expected: str) -> None:
    assert said(cell) == expected


def test_workbook_that_counts_from_1904() -> None:
    assert parse_date(Decimal(46115 - 1462), epoch=date(1904, 1, 1)) == When(date(2026, 4, 3))


def test_offset_is_kept() -> None:
    found = parse_date("2026-11-20T06:30-03:00")
    assert found == When(date(2026, 11, 20), time(6, 30), timezone(timedelta(hours=-3)))
    assert parse_date("2026-11-20T06:30 UTC") == When(date(2026, 11, 20), time(6, 30), UTC)


@pytest.mark.parametrize(
    ("cell", "expected"),
    [("06:30", time(6, 30)), ("6:30 PM", time(18, 30)), ("6.30 Uhr", time(6, 30)), ("6 am", time(6)),
     (time(6, 30), time(6, 30)), (datetime(2026, 1, 1, 6, 30), time(6, 30))],
)  # fmt: skip
def test_time_of_day(cell: Cell, expected: time) -> None:
    assert parse_time(cell) == expected


@pytest.mark.parametrize("cell", ["", "0630", "25:00", "6", "early", "06:30Z", Decimal("0.25"), True])
def test_no_time_of_day(cell: Cell) -> None:
    found = parse_time(cell)
    assert isinstance(found, Problem)
    assert found.code == "time-unreadable"


@pytest.mark.parametrize(
    ("unit", "order"),
    [("dd/mm/yyyy", "dmy"), ("TT.MM.JJJJ", "dmy"), ("mm/dd/yy", "mdy"), ("dd-mm-aaaa", "dmy"), ("yyyy-mm-dd", "ymd"),
     ("h", None), (None, None), ("dd/dd/yyyy", None), ("mm/yyyy", None)],
)  # fmt: skip
def test_order_stated_by_a_header(unit: str | None, order: str | None) -> None:
    assert stated_order(unit) == order

"""Where a table begins, its columns, and what it is for."""

from __future__ import annotations

from pathlib import Path

import pytest

from dipmark.adapters.importing.sheets import Row, Sheet, read_sheets
from dipmark.adapters.importing.table import REASON_HEADER, Table, find_table
from dipmark.facts.problems import Problem


def sheet_of(text: str) -> Sheet:
    return read_sheets(Path("yard.csv"), text.encode())[0]


def table_of(text: str, **mapping: str) -> Table:
    table = find_table(sheet_of(text), mapping)
    assert isinstance(table, Table), table
    return table


def problem_of(sheet: Sheet, mapping: dict[str, str] | None = None) -> Problem:
    problem = find_table(sheet, mapping or {})
    assert isinstance(problem, Problem)
    return problem


@pytest.mark.parametrize(
    ("headers", "purposes"),
    [
        ("Truck,Kind", ("trucks",)),
        ("Truck,Date,Hours", ("readings",)),
        ("Truck,Service,Date", ("services",)),
        ("Truck,Fault", ("faults",)),
        ("Truck,Fault,Date,Seriousness,Mended", ("faults",)),
        ("Truck,Date,Hours,Service,By,Note", ("services", "readings")),
        ("Truck,Type,Fuel,Date,Hours", ("trucks", "readings")),
        ("Stapler-Nr.,Datum,Betriebsstunden (h)", ("readings",)),
        ("Stapler,Wartung,Datum,Monteur", ("services",)),
        ("Carretilla,Fecha,Horómetro", ("readings",)),
        ("Nº de carretilla,Tipo de carretilla,Puesta en marcha", ("trucks",)),
        ("Carretilla,Mantenimiento,Fecha,Horas,Realizado por", ("services", "readings")),
    ],
)
def test_purposes(headers: str, purposes: tuple[str, ...]) -> None:
    assert table_of(headers + "\nx\n").purposes == purposes


def test_below_title_rows() -> None:
    table = table_of(
        "Readings of trucks\n\nTruck,north yard\nas of,2026-05-05\nTruck,Date,Hours,Colour\nA,2026-05-05,1,red\n"
    )
    assert table.header_line == 5
    assert [column.field for column in table.columns] == ["truck", "date", "hours", None]
    assert table.left_out == ("Colour",)


def test_units_in_headers() -> None:
    table = table_of("Truck;Date (dd/mm/yyyy);Hours [h]\nA;1;2\n")
    assert [column.unit for column in table.columns] == [None, "dd/mm/yyyy", "h"]


def test_unknown_columns_are_named_and_left_out() -> None:
    table = table_of("Truck,Kind,Day,,Hours\nA,LPG,1,x,2\n")
    assert table.left_out == ("Day", "column 4", "Hours")  # hours without a date say nothing


def test_mapping() -> None:
    table = table_of("Truck,Day,Hours,Date\nA,2026-05-05,1,x\n", DAY="date", Shift="note")
    assert table.purposes == ("readings",)
    assert table.left_out == ("Date",)
    assert table.not_found == ("Shift",)
    assert table_of("Truck,Date,Hours,Day\nA,2026-05-05,1,x\n", Day="date").left_out == ("Date",)


def test_mapping_to_nothing_known() -> None:
    problem = problem_of(sheet_of("Truck,Day\n"), {"Day": "when"})
    assert (problem.code, problem.found) == ("column-mapping", "Day=when")
    assert "date" in problem.expected


def test_two_columns_for_one_thing() -> None:
    problem = problem_of(sheet_of("Truck,Date,Service date,Hours\n"))
    assert problem.code == "column-twice"
    assert problem.hint == "Say which one counts: --column 'Service date=date'."
    assert table_of("Truck,Date,Service date,Hours\nx\n", **{"Service date": "date"}).left_out == ("Date",)
    assert table_of("Truck,Date,Hours,Note,Remark\nx\n").left_out == ("Remark",)


def test_reason_column_is_no_column() -> None:
    table = table_of(f"{REASON_HEADER},Truck,Date,Hours\nbad,A,2026-05-05,1\n")
    assert [column.header for column in table.columns] == ["Truck", "Date", "Hours"]
    assert table.left_out == ()


def test_unknown_table_lists_what_was_found_and_what_would_do() -> None:
    problem = problem_of(sheet_of("Truck,Hours,Colour\nA,1,red\n"), {"Day": "date"})
    assert problem.code == "table-unknown"
    assert problem.found == "the headers Truck (truck), Hours (hours), Colour"
    assert "truck + hours + date for readings" in problem.expected
    assert "Not found here: Day." in problem.hint
    assert problem.where.line == 1


def test_sheets_nobody_meant_are_a_notice_only() -> None:
    rows = [Row(1, ("Alpha", "Beta"))]
    assert problem_of(Sheet("y.xlsx", "Notes", rows, count=2)).hard is False
    assert problem_of(Sheet("y.xlsx", "Notes", rows)).hard is True
    assert problem_of(Sheet("y.xlsx", "R", [Row(1, ("Truck", "Hours"))], count=2)).hard is True
    assert problem_of(Sheet("y.xlsx", "Empty", [], count=2)).hard is False
    assert problem_of(Sheet("y.xlsx", "Empty", [])).code == "table-empty"
    hidden = problem_of(Sheet("y.xlsx", "Old", rows, hidden=True, count=2))
    assert (hidden.code, hidden.hard) == ("sheet-hidden", False)


def test_value_beside_a_workbook_s_table_is_a_column_of_its_own() -> None:
    rows = [Row(1, ("Truck", "Kind", None, None)), Row(2, ("A", "LPG", None, "see note")), Row(3, ("B",))]
    table = find_table(Sheet("y.xlsx", "Trucks", rows), {})
    assert isinstance(table, Table)
    assert table.left_out == ("column 4",)

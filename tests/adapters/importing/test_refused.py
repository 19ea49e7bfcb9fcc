"""Refused rows are handed back, mended and taken again."""

from __future__ import annotations

import io
import os
from pathlib import Path

import openpyxl
import pytest

from dipmark.adapters.importing.refused import write_refused
from dipmark.adapters.importing.rows import ReadRow, read_rows
from dipmark.adapters.importing.sheets import read_sheets
from dipmark.adapters.importing.table import REASON_HEADER, Table, find_table
from dipmark.facts.problems import Problem


def taken(path: Path, at: int = 0) -> tuple[Table, list[ReadRow]]:
    table = find_table(read_sheets(path, path.read_bytes())[at], {})
    assert isinstance(table, Table), table
    return table, list(read_rows(table))


def handed_back(path: Path, at: int = 0) -> Path:
    table, rows = taken(path, at)
    return write_refused(path, table, [(row, row.problems) for row in rows if row.problems])


TABLE = (
    "Yard of the mill;;;\r\n\r\nStapler;Datum;Stunden;Bemerkung;Farbe\r\nA;05.05.2026;1250,5;gut;rot\r\n"
    'B;5/4/2026;1250,5 h;"Öl; ""viel""\nund =1+1";=blau\r\n;05.05.2026;12;;\r\n'
)


def test_round_trip(tmp_path: Path) -> None:
    source = tmp_path / "readings.csv"
    source.write_bytes(TABLE.encode("cp1252"))
    path = handed_back(source)
    assert path == tmp_path / "readings.refused.csv"
    assert source.read_bytes() == TABLE.encode("cp1252")
    assert path.read_bytes().startswith(
        b"\xef\xbb\xbf" + REASON_HEADER.encode() + b";Stapler;Datum;Stunden;Bemerkung;Farbe\r\n"
    )
    _, before = taken(source)
    table, again = taken(path)
    assert [row.raw for row in again] == [row.raw for row in before if row.problems]
    assert [[p.code for p in row.problems] for row in again] == [
        [p.code for p in row.problems] for row in before if row.problems
    ]
    assert table.left_out == ("Farbe",)

    text = path.read_text("utf-8-sig").replace("5/4/2026", "05.04.2026").replace(";;05.05.2026", ";C;05.05.2026")
    path.write_text(text.replace('";;05', '";C;05'), "utf-8")
    _, mended = taken(path)
    assert [(row.text("truck"), row.problems) for row in mended] == [("B", ()), ("C", ())]
    assert mended[0].text("note") == 'Öl; "viel"\nund =1+1'
    assert [item.name for item in tmp_path.iterdir() if item.suffix == ".part"] == []


def test_reason_says_column_and_what_to_do(tmp_path: Path) -> None:
    source = tmp_path / "readings.csv"
    source.write_text("Truck,Date,Hours\nA,2026-02-31,5 km\n")
    reason = handed_back(source).read_text("utf-8-sig").splitlines()[1]
    assert reason.startswith("\"Date: Found '2026-02-31'; expected a day from 1 to 28")
    assert " · Hours: Found '5 km'; expected hours in h." in reason


def test_reason_without_a_column(tmp_path: Path) -> None:
    source = tmp_path / "readings.csv"
    source.write_text("Truck,Date,Hours\nA,2026-02-31,5\n")
    table, (row,) = taken(source)
    path = write_refused(source, table, [(row, [Problem("x", "one", "two")])])
    assert path.read_text("utf-8-sig").splitlines()[1] == "Found one; expected two.,A,2026-02-31,5"


def test_taking_what_was_refused_writes_the_same_file_again(tmp_path: Path) -> None:
    source = tmp_path / "readings.csv"
    source.write_text("Truck,Date,Hours\nA,bad,5\nB,bad,6\n")
    path = handed_back(source)
    path.write_text(path.read_text("utf-8-sig").replace("A,bad", "A,2026-05-05"), "utf-8")
    assert handed_back(path) == path
    assert [row.text("truck") for row in taken(path)[1]] == ["B"]
    assert sorted(item.name for item in tmp_path.iterdir()) == ["readings.csv", "readings.refused.csv"]


def test_another_file_of_the_name_is_never_lost(tmp_path: Path) -> None:
    source = tmp_path / "readings.csv"
    source.write_text("Truck,Date,Hours\nA,bad,5\n")
    first = handed_back(source)
    assert handed_back(source) == first  # the same content needs no second file
    first.write_text("half mended")
    second = handed_back(source)
    assert second.name == "readings.refused-2.csv"
    assert first.read_text() == "half mended"
    assert handed_back(second) == second


def test_workbook_with_several_sheets(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Readings"
    book.active.append(["Truck", "Date", "Hours"])
    book.active.append(["A", "03/04/2026", 12.125])
    other = book.create_sheet("Services <old>")
    other.append(["Truck", "Date", "Service"])
    other.append([7, 46115.25, "yearly"])
    out = io.BytesIO()
    book.save(out)
    source = tmp_path / "yard.xlsx"
    source.write_bytes(out.getvalue())
    assert handed_back(source).name == "yard.Readings.refused.csv"
    path = handed_back(source, 1)
    assert path.name == "yard.Services _old_.refused.csv"
    assert path.read_text("utf-8-sig").splitlines()[1].endswith(",7,2026-04-03 06:00:00,yearly")
    _, (row,) = taken(tmp_path / "yard.Readings.refused.csv")
    number = row.number("hours")
    assert number is not None
    assert number.value == number.value.__class__("12.125")


def test_wide_and_torn_rows_stay_refused_until_mended(tmp_path: Path) -> None:
    source = tmp_path / "readings.csv"
    source.write_text('Truck,Date,Hours,Note\nA,2026-05-05,1250,5,x\nB,2026-05-05,6,"open\n')
    path = handed_back(source)
    assert [[p.code for p in row.problems] for row in taken(path)[1]] == [["row-wide"], ["row-torn"]]


def test_a_write_that_fails_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = tmp_path / "readings.csv"
    source.write_text("Truck,Date,Hours\nA,bad,5\n")

    def full(_: int) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="no space left"):
        handed_back(source)
    assert [item.name for item in tmp_path.iterdir()] == ["readings.csv"]

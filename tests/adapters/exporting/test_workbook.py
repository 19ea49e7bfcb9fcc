"""A workbook to fill: what stands where, what may be chosen, what is locked, and that it reads back as it was."""

from __future__ import annotations

import io
from decimal import Decimal
from pathlib import Path

import openpyxl

from dipmark.adapters.exporting.workbook import Column, Form, write_workbook
from dipmark.adapters.importing.sheets import read_sheets

WORDS = tuple(f"place number {number} of the walk" for number in range(30))

FORM = Form(
    name="checks",
    columns=(
        Column(header="id", width=12, locked=True),
        Column(header="place", width=20, choices=WORDS, note="Choose."),
        Column(header="what", width=30, note="Anything."),
        Column(header="free", width=10),
    ),
    rows=(("a.b", WORDS[0], "=1+1", Decimal("1.5")), ("a.c", None, "", 7)),
    spare=5,
)


def test_it_reads_back_as_it_was_written() -> None:
    sheets = read_sheets(Path("x.xlsx"), write_workbook("Title", ["one", "two"], [FORM]))
    assert [sheet.name for sheet in sheets] == ["read me", "checks", "was checks", "lists"]
    assert [sheet.hidden for sheet in sheets] == [False, False, True, True]
    filled, was = sheets[1], sheets[2]
    assert filled.rows == was.rows
    assert [row.cells for row in filled.rows[1:]] == [
        ("a.b", WORDS[0], "=1+1", Decimal("1.5")),
        ("a.c", None, None, Decimal(7)),
    ]


def test_a_person_sees_what_to_choose_and_where_not_to_write() -> None:
    book = openpyxl.load_workbook(io.BytesIO(write_workbook("Title", ["one"], [FORM])))
    sheet = book["checks"]
    assert book.active is not None
    assert (book.active.title, book["read me"]["A1"].value, book["read me"]["A2"].value) == ("read me", "Title", "one")
    assert sheet.freeze_panes == "B2"
    assert sheet.protection.sheet is True
    assert [sheet.cell(2, at).protection.locked for at in (1, 2, 3)] == [True, False, False]
    assert [sheet.column_dimensions[letter].width > 9 for letter in "ABCD"] == [True] * 4
    assert sheet["C2"].alignment.wrap_text is True
    rules = {f"{rule.sqref}": rule for rule in sheet.data_validations.dataValidation}
    assert rules["B2:B8"].formula1 == "lists!$A$1:$A$30"
    assert (rules["C2:C8"].prompt, len(rules)) == ("Anything.", 2)
    assert [book["lists"].cell(row, 1).value for row in (1, 30)] == [WORDS[0], WORDS[29]]

"""Text tables: encodings, delimiters, quotes, lines."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from dipmark.adapters.importing.sheets import MAX_BYTES, Sheet, read_sheets
from dipmark.facts.errors import ImportError_

TABLE = "Stapler-Nr.;Datum;Betriebsstunden\nFL-1;05.05.2026;1250,5\nFL-Ü;06.05.2026;1260\n"


def sheet_of(data: bytes | str, known: tuple[str, ...] = ()) -> Sheet:
    (sheet,) = read_sheets(Path("yard.csv"), data.encode() if isinstance(data, str) else data, known)
    return sheet


def refused(data: bytes, name: str = "yard.csv") -> str:
    with pytest.raises(ImportError_) as caught:
        read_sheets(Path(name), data)
    (problem,) = caught.value.problems
    assert problem.where.file == name
    assert str(problem) == str(caught.value)
    return problem.code


@pytest.mark.parametrize(
    "data",
    [
        TABLE.encode(),
        codecs.BOM_UTF8 + TABLE.encode(),
        TABLE.encode("cp1252"),
        codecs.BOM_UTF16_LE + TABLE.encode("utf-16-le"),
        codecs.BOM_UTF16_BE + TABLE.encode("utf-16-be"),
        codecs.BOM_UTF32_LE + TABLE.encode("utf-32-le"),
        codecs.BOM_UTF32_BE + TABLE.encode("utf-32-be"),
        TABLE.replace("\n", "\r\n").encode(),
        TABLE.replace("\n", "\r").encode(),
    ],
)
def test_encodings_and_line_ends(data: bytes) -> None:
    sheet = sheet_of(data)
    assert sheet.delimiter == ";"
    assert [row.line for row in sheet.rows] == [1, 2, 3]
    assert sheet.rows[2].cells == ("FL-Ü", "06.05.2026", "1260")


def test_damaged_byte_does_not_turn_the_other_umlauts_into_rubbish() -> None:
    sheet = sheet_of("truck,hours,note\nFL-Ü,1,Öl\nFL-2,2,".encode() + b"\xc3\nFL-\xc3\x96,3,\n")
    assert sheet.rows[1].cells[2] == "Öl"
    assert sheet.rows[2].cells[2] == "\ufffd"


def test_byte_that_fits_no_encoding_is_marked() -> None:
    assert sheet_of(b"truck,hours\nFL-\x81,1\n").rows[1].cells[0] == "FL-\ufffd"


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("truck,date,hours\nA,x,1\n", ","),
        ("truck;date;hours\nA;1,5;1,5\n", ";"),
        ("truck\tdate\thours\nA\t1\t2\n", "\t"),
        ("truck|date|hours\nA|1|2\n", "|"),
        ("Yard, north, of the mill, 2026\n\nStapler;Datum;Stunden\nA;1;2\n", ";"),
        ("sep=;\ntruck;a,b;c,d,e\n", ";"),
        ("truck\nA\n", ","),
        ("Alpha;Beta\nA,B,C;1\n", ","),
    ],
)
def test_delimiter_with_the_most_headers_that_are_recognised(text: str, delimiter: str) -> None:
    assert sheet_of(text).delimiter == delimiter


def test_mapped_headers_count_as_recognised() -> None:
    assert sheet_of("Alpha;Beta\nA,B,C;1\n", known=("alpha", "beta")).delimiter == ";"


def test_line_is_where_the_row_starts() -> None:
    sheet = sheet_of('Title\n\ntruck,date,note\nA,1,"first\nsecond, with ""quotes"""\n\n ,,\nB,2,\n')
    assert [(row.line, row.cells[-1]) for row in sheet.rows] == [
        (1, "Title"), (3, "note"), (4, 'first\nsecond, with "quotes"'), (8, ""),
    ]  # fmt: skip


def test_quote_never_closed_costs_its_own_row_only() -> None:
    sheet = sheet_of('truck,date,hours\nA,1,"2\nB,1,2\nC,1,"3"x\nD,1,"""4"\nE,1,"5"\n')
    assert [(row.line, row.torn) for row in sheet.rows] == [
        (1, False),
        (2, True),
        (3, False),
        (4, True),
        (5, True),
        (6, False),
    ]
    assert sheet.rows[1].cells == ("A", "1", '"2')


def test_quote_does_not_swallow_hundreds_of_rows() -> None:
    sheet = sheet_of('truck,date,note\nA,1,"open\n' + "B,1,x\n" * 500 + 'C,1,shut"\n')
    assert sheet.rows[1].torn
    assert len(sheet.rows) == 503


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "file-empty"),
        (b" \r\n\t\n", "file-empty"),
        (codecs.BOM_UTF8, "file-empty"),
        (b"\x00" * 50, "file-empty"),
        (bytes(range(256)) * 4, "file-not-a-table"),
        (b"%PDF-1.7 something", "file-not-a-table"),
        (b"<html><table><tr><td>truck</td></tr></table></html>", "file-not-a-table"),
        (b"<?xml version='1.0'?><a/>", "file-not-a-table"),
        ("truck,hours\n".encode("utf-16-le"), "file-not-a-table"),
        (b"truck,hours\n" + b"x" * 100_001, "file-not-a-table"),
        (b"x" * (MAX_BYTES + 1), "file-too-large"),
    ],
)
def test_not_a_table(data: bytes, code: str) -> None:
    assert refused(data) == code


def test_text_under_a_workbook_s_name_is_read_as_text() -> None:
    (sheet,) = read_sheets(Path("yard.xls"), TABLE.encode())
    assert sheet.delimiter == ";"

"""Workbooks, told by their content; broken, locked and hostile ones end in a named problem."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.styles import Font
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from python_calamine import PasswordError

from dipmark.adapters.importing import workbook
from dipmark.adapters.importing.sheets import Sheet, read_sheets
from dipmark.facts.errors import ImportError_


def saved(book: Any) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def made(rows: list[list[object]], title: str = "Readings") -> Any:
    book = openpyxl.Workbook()
    book.active.title = title
    for row in rows:
        book.active.append(row)
    return book


def sheets_of(data: bytes, name: str = "yard.xlsx") -> list[Sheet]:
    return read_sheets(Path(name), data)


def refused(data: bytes) -> str:
    with pytest.raises(ImportError_) as caught:
        sheets_of(data)
    return caught.value.problems[0].code


def repacked(data: bytes, change: dict[str, tuple[bytes, bytes]]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            before, after = change.get(name, (b"", b""))
            new.writestr(name, old.read(name).replace(before, after) if before else old.read(name))
    return out.getvalue()


def test_cells_keep_their_kind_and_rows_their_number() -> None:
    book = made([[], [], ["truck", "hours"]])
    book.active["B5"], book.active["C5"] = 1234.0, 0.1 + 0.2
    book.active["D5"], book.active["E5"] = datetime(2026, 5, 5), datetime(2026, 5, 5, 6, 30)
    book.active["F5"], book.active["G5"], book.active["H5"] = time(6, 30), timedelta(hours=1234, minutes=30), True
    book.active["I5"], book.active["J5"] = "=1/0", "1,250"
    (sheet,) = sheets_of(saved(book))
    assert (sheet.name, sheet.delimiter, sheet.count, sheet.hidden) == ("Readings", None, 1, False)
    assert [row.line for row in sheet.rows] == [3, 5]
    assert sheet.rows[1].cells == (
        None, Decimal(1234), Decimal("0.3"), date(2026, 5, 5), datetime(2026, 5, 5, 6, 30), time(6, 30),
        timedelta(hours=1234, minutes=30), True, None, "1,250",
    )  # fmt: skip


def test_several_sheets_hidden_and_empty_ones() -> None:
    book = made([["truck", "hours"]])
    book.create_sheet("Empty")
    book.create_sheet("Old").sheet_state = "hidden"
    sheets = sheets_of(saved(book), name="yard.csv")
    assert [(sheet.name, sheet.hidden, len(sheet.rows), sheet.count) for sheet in sheets] == [
        ("Readings", False, 1, 3), ("Empty", False, 0, 3), ("Old", True, 0, 3),
    ]  # fmt: skip


def test_formats_far_below_the_table_are_no_cells() -> None:
    book = made([["truck", "hours"]])
    book.active["XFD1048576"].font = Font(bold=True)
    (sheet,) = sheets_of(saved(book))
    assert len(sheet.rows) == 1


def test_value_far_below_the_table_is_refused_before_it_fills_the_memory() -> None:
    book = made([["truck", "hours"]])
    book.active["XFD1048576"] = 1
    assert refused(saved(book)) == "file-too-large"


def test_days_from_1904() -> None:
    book = made([["truck", "date"], ["A", 44653]])
    book.epoch = CALENDAR_MAC_1904
    (sheet,) = sheets_of(saved(book))
    assert sheet.epoch == date(1904, 1, 1)


def test_cut_off_and_flipped() -> None:
    data = saved(made([["truck", "hours"], ["A", 1]]))
    assert refused(data[: len(data) // 2]) == "file-damaged"
    at = data.index(b"xl/worksheets/sheet1.xml") + 60
    assert refused(data[:at] + bytes([data[at] ^ 0xFF]) + data[at + 1 :]) == "file-damaged"


def test_broken_inside() -> None:
    data = saved(made([["truck", "hours"], ["A", 1]]))
    assert refused(repacked(data, {"xl/worksheets/sheet1.xml": (b"<v>1</v>", b"<v>x</v>")})) == "file-damaged"
    assert refused(repacked(data, {"xl/workbook.xml": (b"<sheets>", b"<sheets")})) == "file-damaged"
    sheet = "xl/worksheets/sheet1.xml"
    assert refused(repacked(data, {sheet: (b"</row>", b"</rox>")})) == "file-damaged"
    assert refused(repacked(data, {sheet: (b'r="B2"', b'r="BTotal2"')})) == "file-damaged"
    assert (
        refused(repacked(data, {sheet: (b"<worksheet", b'<!DOCTYPE x [<!ENTITY e "e">]><worksheet')})) == "file-damaged"
    )


def test_cells_and_rows_that_name_no_place_count_on() -> None:
    data = saved(made([["truck", "hours"], ["A", 1]]))
    sheet = "xl/worksheets/sheet1.xml"
    plain = repacked(repacked(data, {sheet: (b' r="B2"', b"")}), {sheet: (b' r="A2"', b"")})
    assert sheets_of(plain)[0].rows[1].cells == ("A", Decimal(1))
    assert sheets_of(repacked(data, {sheet: (b'<row r="2"', b"<row")}))[0].rows[1].line == 2
    far = repacked(plain, {sheet: (b'<row r="2"', b'<row r="9000000"')})
    assert refused(far) == "file-too-large"


SPREADSHEET = (
    '<?xml version="1.0"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.2"><office:body><office:spreadsheet>'
    '<table:table table:name="Readings"><table:table-row><table:table-cell office:value-type="string"><text:p>truck'
    '</text:p></table:table-cell><table:table-cell office:value-type="float" office:value="1250.5"><text:p>1250.5'
    '</text:p></table:table-cell></table:table-row><table:table-row table:number-rows-repeated="{rows}">'
    "<table:table-cell "
    'table:number-columns-repeated="16384"/></table:table-row>{more}</table:table></office:spreadsheet></office:body>'
    "</office:document-content>"
)


def open_document(rows: int, more: str = "") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", SPREADSHEET.format(rows=rows, more=more))
        packed.writestr(
            "META-INF/manifest.xml",
            '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>',
        )
    return out.getvalue()


def test_open_document() -> None:
    """The form: OASIS OpenDocument 1.2, repeated rows and cells."""
    (sheet,) = sheets_of(open_document(1_048_574), "yard.ods")
    assert [(row.line, row.cells[:2]) for row in sheet.rows] == [(1, ("truck", Decimal("1250.5")))]
    blank = '<table:table-cell table:number-columns-repeated="9"/>'
    far = f'<table:table-row>{blank}<table:table-cell office:value-type="float" office:value="1"/></table:table-row>'
    assert refused(open_document(1_048_574, far)) == "file-too-large"


def test_locked() -> None:
    assert (
        refused(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504) + "EncryptedPackage".encode("utf-16-le"))
        == "file-encrypted"
    )
    data = bytearray(saved(made([["truck"]])))
    for found in re.finditer(rb"PK\x01\x02", bytes(data)):
        data[found.start() + 8] |= 1
    assert refused(bytes(data)) == "file-encrypted"


def test_other_archives_and_old_files() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("readings.csv", "truck,hours\n")
    assert refused(out.getvalue()) == "file-not-a-table"
    assert refused(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2000)) == "file-damaged"


def test_bomb_is_refused_unopened(monkeypatch: pytest.MonkeyPatch) -> None:
    data = saved(made([["truck", "hours"]]))
    monkeypatch.setattr(workbook, "MAX_UNPACKED", 1000)
    assert refused(data) == "file-too-large"
    monkeypatch.setattr(workbook, "MAX_UNPACKED", 10**9)
    monkeypatch.setattr(workbook, "MAX_PARTS", 2)
    assert refused(data) == "file-too-large"


def test_size_that_lies_is_found_out() -> None:
    data = bytearray(saved(made([["truck", "hours"], *([["A", 1]] * 500)])))
    at = bytes(data).rindex(b"xl/worksheets/sheet1.xml") - 46
    assert data[at : at + 4] == b"PK\x01\x02"
    data[at + 24 : at + 28] = (10).to_bytes(4, "little")
    assert refused(bytes(data)) == "file-damaged"


class PanicException(BaseException):
    """Stands for the fault of the native reader, which is no Exception."""


def test_fault_of_the_native_reader_is_named_and_no_other_is_hidden(monkeypatch: pytest.MonkeyPatch) -> None:
    data = saved(made([["truck"]]))

    def fail(error: BaseException) -> None:
        def raises(*_: object) -> None:
            raise error

        monkeypatch.setattr(workbook, "_sheets", raises)

    fail(PanicException("index out of bounds"))
    assert refused(data) == "file-damaged"
    fail(PasswordError("locked"))
    assert refused(data) == "file-encrypted"
    fail(KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt):
        sheets_of(data)

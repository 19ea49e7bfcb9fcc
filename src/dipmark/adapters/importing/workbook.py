"""Workbooks: looked over before they are opened, so that a broken or hostile one ends in a named problem."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from datetime import date, time, timedelta
from decimal import Decimal
from typing import Final
from xml.parsers.expat import ExpatError, ParserCreate

from python_calamine import CalamineError, CalamineWorkbook, PasswordError, SheetTypeEnum, SheetVisibleEnum

from dipmark.adapters.importing.dates import EPOCH
from dipmark.adapters.importing.sheet import DAMAGED, LOCKED, NO_TABLE, TOO_LARGE, Cell, Row, Sheet, refuse

MAX_UNPACKED: Final = 256 * 1024 * 1024
"""Bytes a workbook may unpack to."""
MAX_PARTS: Final = 2_000
"""Parts a workbook may be packed from."""
MAX_CELLS: Final = 5_000_000
"""Cells from A1 to the last one filled, in one sheet."""
MAX_COLUMNS: Final = 1_000
"""Columns of one sheet."""

_ENCRYPTED: Final = "EncryptedPackage".encode("utf-16-le")
_PLACE = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_SAVE: Final = "Open it in a spreadsheet program and save it again as XLSX, or as CSV."


def read_workbook(file: str, data: bytes) -> list[Sheet]:
    """Every sheet of a workbook with its rows that are not blank.

    Raises:
        ImportError_: it needs a password, is damaged, is no workbook or too large.
    """
    epoch = EPOCH
    if zipfile.is_zipfile(io.BytesIO(data)):
        epoch = _looked_over(file, data)
    elif data.startswith(b"PK"):
        refuse(file, DAMAGED, "a workbook that is cut off", "a whole one", "Copy or export it again.")
    elif _ENCRYPTED in data:
        refuse(file, LOCKED, "a workbook with a password", "one that opens freely", "Save it without the password.")
    try:
        return _sheets(file, data, epoch)
    except PasswordError:
        refuse(file, LOCKED, "a workbook with a password", "one that opens freely", "Save it without the password.")
    except CalamineError as error:
        refuse(file, DAMAGED, f"a workbook that cannot be read ({_brief(error)})", "a whole workbook", _SAVE)
    except BaseException as error:  # the reader is native code; its faults are no Exception
        if type(error).__name__ != "PanicException" and not isinstance(error, (ValueError, OverflowError)):
            raise
        refuse(file, DAMAGED, f"a workbook that cannot be read ({_brief(error)})", "a whole workbook", _SAVE)


def _brief(error: BaseException) -> str:
    return " ".join(str(error).split())[:120]


def _looked_over(file: str, data: bytes) -> date:
    """Unpack every part once within the limits, check its sum, and return day 0 of the workbook's dates."""
    epoch = EPOCH
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            parts = packed.infolist()
            names = {part.filename for part in parts}
            if not names & {"[Content_Types].xml", "mimetype", "content.xml"}:
                refuse(file, NO_TABLE, "a packed archive that is no workbook", "a workbook", "Unpack it first.")
            if any(part.flag_bits & 1 for part in parts):
                refuse(file, LOCKED, "a packed file with a password", "one that opens freely", "Save it without one.")
            unpacked = sum(part.file_size for part in parts)
            if unpacked > MAX_UNPACKED or len(parts) > MAX_PARTS:
                refuse(file, TOO_LARGE, f"{unpacked:,} bytes in {len(parts):,} parts when unpacked",
                       f"at most {MAX_UNPACKED:,} in {MAX_PARTS:,}", "Split it into several files.")  # fmt: skip
            for part in parts:
                content = packed.read(part)
                if part.filename.endswith((".xml", ".rels")) or b"sheetData" in content:
                    extent = _Extent()
                    extent.read(content)
                    _check_extent(file, part.filename, extent)
                    epoch = date(1904, 1, 1) if extent.since_1904 else epoch
    except (zipfile.BadZipFile, zlib.error, ExpatError, EOFError, OSError, ValueError, RuntimeError) as error:
        refuse(file, DAMAGED, f"a damaged workbook ({_brief(error)})", "a whole one", "Copy or export it again.")
    return epoch


def _check_extent(file: str, part: str, extent: _Extent) -> None:
    if extent.column * extent.row > MAX_CELLS or extent.column > MAX_COLUMNS:
        refuse(file, TOO_LARGE, f"{part} filled to row {extent.row:,} and column {extent.column:,}",
               f"at most {MAX_COLUMNS:,} columns and {MAX_CELLS:,} cells from the first to the last filled",
               "Clear the stray cell far from the table, or split the sheet.")  # fmt: skip


class _Extent:
    """How far the filled cells of a part reach; the reader sets memory aside for every cell up to there."""

    def __init__(self) -> None:
        self.row = self.column = 0
        self.since_1904 = False
        self._row = self._column = self._cell_row = 0
        self._inside = False

    def read(self, content: bytes) -> None:
        """Read one part.

        Raises:
            ExpatError: it is no well-formed XML.
            ValueError: a cell stands nowhere, or the part declares entities.
        """
        parser = ParserCreate()
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.StartDoctypeDeclHandler = self._doctype
        parser.Parse(content, True)  # noqa: FBT003  the C parser takes it by place only

    def _doctype(self, *_: object) -> None:
        raise ValueError("it declares a document type")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        tag = name.rpartition(":")[2]
        if tag == "workbookPr":
            self.since_1904 = attributes.get("date1904") in {"1", "true"}
        elif tag in {"sheetData", "table"}:
            self._row = self._column = 0
            self._inside = tag == "sheetData"
        elif tag == "table-row":
            self._row += int(attributes.get("table:number-rows-repeated", "1"))
            self._column = 0
        elif tag in {"table-cell", "covered-table-cell"}:
            self._column += int(attributes.get("table:number-columns-repeated", "1"))
            if "office:value-type" in attributes:
                self._fill(self._row)
        elif self._inside:
            self._start_in_sheet(tag, attributes.get("r"))

    def _start_in_sheet(self, tag: str, place: str | None) -> None:
        if tag == "row":
            self._row = self._cell_row = int(place) if place else self._row + 1
            self._column = 0
        elif tag == "c" and place is None:
            self._column += 1
        elif tag == "c":
            found = _PLACE.fullmatch(place or "")
            if not found:
                raise ValueError(f"a cell stands at {place!r}")
            self._column, self._cell_row = _column_number(found[1]), int(found[2])
        elif tag in {"v", "is", "f"}:
            self._fill(self._cell_row)

    def _end(self, name: str) -> None:
        if name.rpartition(":")[2] == "sheetData":
            self._inside = False

    def _fill(self, row: int) -> None:
        self.row, self.column = max(self.row, row), max(self.column, self._column)


def _column_number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def _sheets(file: str, data: bytes, epoch: date) -> list[Sheet]:
    book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    tables = [sheet for sheet in book.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet]
    sheets = []
    for meta in tables:
        grid = book.get_sheet_by_name(meta.name).to_python(skip_empty_area=False)
        rows = [
            Row(number, tuple(map(_cell, cells))) for number, cells in enumerate(grid, 1) if any(map(_filled, cells))
        ]
        hidden = meta.visible != SheetVisibleEnum.Visible
        sheets.append(Sheet(file, meta.name, rows, hidden=hidden, count=len(tables), epoch=epoch))
    return sheets


def _filled(value: object) -> bool:
    return not (value is None or (isinstance(value, str) and not value.strip()))


def _cell(value: float | str | time | date | timedelta) -> Cell:
    """A number to the fifteen digits a workbook shows: 0.1 + 0.2 is 0.3, 1234.0 is 1234."""
    if isinstance(value, str):
        return value or None
    if isinstance(value, bool | time | date | timedelta):
        return value
    number = Decimal(format(value, ".15g"))
    return Decimal(format(number, "f")) if number.is_finite() else str(value)

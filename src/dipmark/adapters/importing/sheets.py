"""From a file's bytes to rows of cells, whatever a spreadsheet program or an export made of them."""

from __future__ import annotations

import codecs
import csv
import io
import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

from dipmark.adapters.importing.sheet import EMPTY, NO_TABLE, TOO_LARGE, Cell, Row, Sheet, refuse
from dipmark.adapters.importing.words import Field, field_of, squeeze

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

__all__ = ["Cell", "Row", "Sheet", "read_sheets"]

MAX_BYTES: Final = 64 * 1024 * 1024
"""The largest file taken."""
MAX_LINE: Final = 100_000
"""The longest line of text, in characters."""
MAX_ROW_LINES: Final = 200
"""Lines one row may run over inside quotes; a quote never closed would else swallow the rows after it."""
HEAD: Final = 30
"""Rows among which the header is looked for."""

_DELIMITERS: Final = (",", ";", "\t", "|")
_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF32_LE, "utf-32-le"), (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"),
)  # fmt: skip
_ZIP: Final = b"PK\x03\x04"
_COMPOUND: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_UNTEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")


def read_sheets(path: Path, data: bytes, known: Collection[str] = ()) -> list[Sheet]:
    """The sheets of a file, told by its content and not by its name.

    Args:
        path: the file's name.
        data: its bytes.
        known: headers that a person has mapped, which count as recognised when the delimiter is chosen.

    Raises:
        ImportError_: it is no table, needs a password, is damaged, empty or too large.
    """
    file = str(path)
    if len(data) > MAX_BYTES:
        refuse(file, TOO_LARGE, f"{len(data):,} bytes", f"at most {MAX_BYTES:,}", "Split it into several files.")
    if data.startswith((_ZIP, _COMPOUND)):
        from dipmark.adapters.importing.workbook import read_workbook

        return read_workbook(file, data)
    return [read_text(file, data, known)]


def read_text(file: str, data: bytes, known: Collection[str] = ()) -> Sheet:
    """The rows of delimited text."""
    text = _decoded(data)
    if not text.strip("\x00 \t\r\n"):
        refuse(file, EMPTY, "nothing in the file", "a table with a row of headers", "Save it again and look inside.")
    _must_be_text(file, text)
    lines = list(io.StringIO(text, newline=""))
    longest = max(map(len, lines))
    if longest > MAX_LINE:
        refuse(file, NO_TABLE, f"a line of {longest:,} characters", f"lines of at most {MAX_LINE:,}",
               "Export the table as CSV and take that.")  # fmt: skip
    stated = re.match(r'^"?sep=(.)"?[\r\n]*$', lines[0], re.IGNORECASE)
    if stated:
        delimiter = stated[1]
        lines[0] = "\n"
    else:
        delimiter = _delimiter(lines, {squeeze(header) for header in known})
    return Sheet(file, None, list(_rows(lines, delimiter)), delimiter)


def _decoded(data: bytes) -> str:
    """Text by its byte order mark, else UTF-8, else CP-1252; a byte that fits nothing becomes the mark �."""
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return data[len(mark) :].decode(encoding, "replace")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        damaged = data.decode("utf-8", "replace")
    broken = damaged.count("\ufffd")
    whole = sum(1 for c in damaged if ord(c) > 127) - broken
    return damaged if whole > broken else data.decode("cp1252", "replace")


def _must_be_text(file: str, text: str) -> None:
    strange = len(_UNTEXT.findall(text))
    if strange > 8 and strange * 200 > len(text):
        refuse(file, NO_TABLE, f"{strange} bytes that no text has", "delimited text or a workbook",
               "Open it where it was made and save it as XLSX or CSV.")  # fmt: skip
    if re.match(r"\s*(<!doctype|<html|<table|<\?xml|%pdf-|\{\\rtf)", text, re.IGNORECASE):
        refuse(file, NO_TABLE, f"a document that begins {text.strip()[:12]!r}", "delimited text or a workbook",
               "Open it in a spreadsheet program and save it as XLSX or CSV.")  # fmt: skip


def _delimiter(lines: list[str], known: set[str]) -> str:
    """The one under which a row near the top has the most headers that are recognised; then the most cells."""

    def score(delimiter: str) -> tuple[int, int]:
        rows = [row.cells for row, _ in zip(_rows(lines, delimiter), range(HEAD), strict=False)]
        return max(((len(_recognised(cells, known)), len(cells)) for cells in rows), default=(0, 0))

    return max(_DELIMITERS, key=score)


def _recognised(cells: tuple[Cell, ...], known: set[str]) -> set[Field | str]:
    texts = [cell for cell in cells if isinstance(cell, str)]
    found: set[Field | str] = {field for text in texts if (field := field_of(text))}
    return found | ({squeeze(text) for text in texts} & known)


def _rows(lines: list[str], delimiter: str) -> Iterator[Row]:
    at = 0
    while at < len(lines):
        torn = False
        span = lines[at : at + MAX_ROW_LINES] if '"' in lines[at] else lines[at : at + 1]
        reader = csv.reader(span, delimiter=delimiter, strict=True)
        try:
            cells = next(reader)
            used = reader.line_num
        except csv.Error:
            cells = next(csv.reader(span[:1], delimiter=delimiter, quoting=csv.QUOTE_NONE))
            used, torn = 1, True
        if any(not cell.isspace() for cell in cells if cell):
            torn = torn or any(cell.startswith('"') and cell.count('"') % 2 for cell in cells)
            yield Row(at + 1, tuple(cells), torn)
        at += used

"""What a file holds before anybody knows what it means: sheets of rows of cells; and how a file is refused."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Final, NoReturn

import msgspec

from dipmark.facts.errors import ImportError_
from dipmark.facts.problems import Problem, Where, code

EMPTY: Final = code("file-empty", "A file to be taken holds nothing.")
NO_TABLE: Final = code("file-not-a-table", "A file to be taken is no table: neither delimited text nor a workbook.")
DAMAGED: Final = code("file-damaged", "A file to be taken is cut off or damaged.")
LOCKED: Final = code("file-encrypted", "A file to be taken needs a password.")
TOO_LARGE: Final = code("file-too-large", "A file to be taken is larger than the limits for tables.")

Cell = str | Decimal | datetime | date | time | timedelta | bool | None


class Row(msgspec.Struct, frozen=True):
    """One row that is not blank.

    Args:
        line: the editor's line where it starts, from 1; in a workbook the row.
        cells: its cells; in text every one a str.
        torn: a quote in it is never closed or closes in the wrong place; its cells are split without regard to quotes.
    """

    line: int
    cells: tuple[Cell, ...]
    torn: bool = False


class Sheet(msgspec.Struct, frozen=True):
    """The rows of a text file or of one sheet of a workbook.

    Args:
        file: the file as its owner named it.
        name: the sheet's name; None for text.
        rows: the rows that are not blank.
        delimiter: what separates the cells of text; None for a workbook.
        hidden: the workbook hides it from its reader.
        count: how many sheets the file has.
        epoch: day 0 of a number that is a date.
    """

    file: str
    name: str | None
    rows: list[Row]
    delimiter: str | None = None
    hidden: bool = False
    count: int = 1
    epoch: date = date(1899, 12, 30)


def refuse(file: str, kind: str, found: str, expected: str, hint: str) -> NoReturn:
    """Refuse a file as a whole.

    Raises:
        ImportError_: always, with the problem.
    """
    problem = Problem(kind, found, expected, hint, Where(file=file))
    raise ImportError_(str(problem), (problem,))

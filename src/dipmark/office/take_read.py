"""The files of one call, read into rows; what reads two ways is asked once a column, or stays refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, Literal, cast

import msgspec

from dipmark.adapters.importing import cells, dates
from dipmark.adapters.importing.cells import DecimalMark
from dipmark.adapters.importing.dates import DateOrder
from dipmark.adapters.importing.rows import ReadRow, read_rows
from dipmark.adapters.importing.sheets import read_sheets
from dipmark.adapters.importing.table import Table, find_table
from dipmark.adapters.importing.words import Field
from dipmark.facts.errors import ImportError_
from dipmark.facts.problems import Problem, Where, code

FILE_UNREADABLE: Final = code("file-unreadable", "A file to be taken is not there or may not be read.")
COLUMN_NOT_FOUND: Final = code("column-not-found", "A column was mapped that no table has.")

CHOICES: Final[dict[str, tuple[str, ...]]] = {
    dates.AMBIGUOUS: ("dmy", "mdy", "ymd"),
    cells.AMBIGUOUS: ("comma", "point"),
}
"""What can be answered, by the code of the problem."""


class Question(msgspec.Struct, frozen=True):
    """Something that reads two ways, asked once for its column.

    Args:
        file: the file.
        sheet: the sheet of a workbook.
        column: header of the column.
        about: the order of day and month, or the mark before decimals.
        example: the first cell of the column that reads two ways, and what was expected of it.
        choices: the answers there are; anything else leaves the rows refused.
    """

    file: str
    sheet: str | None
    column: str
    about: Literal["dates", "decimal"]
    example: str
    choices: tuple[str, ...]


class ReadTable(msgspec.Struct, frozen=True):
    """A table with its rows.

    Args:
        path: its file.
        table: where it stands and what its columns hold.
        columns: header by field.
        rows: its rows.
    """

    path: Path
    table: Table
    columns: dict[Field, str]
    rows: list[ReadRow]


class Files(msgspec.Struct, frozen=True):
    """All files of one call.

    Args:
        tables: in the order given.
        refused: files and sheets that are no table to be taken.
        notes: sheets that were left out, mapped columns that were not found.
    """

    tables: list[ReadTable]
    refused: list[Problem]
    notes: list[Problem]


def read_files(
    files: Sequence[Path],
    columns: dict[str, str],
    order: DateOrder | None,
    decimal: DecimalMark | None,
    ask: Callable[[Question], str | None] | None,
) -> Files:
    """Read every file; what is wrong with a file as a whole is named and does not stop the others."""
    read = Files([], [], [])
    missing: list[set[str]] = []
    for path in files:
        for found in _tables(path, columns):
            if isinstance(found, Problem):
                (read.refused if found.hard else read.notes).append(found)
                continue
            missing.append(set(found.not_found))
            headers = {column.field: column.header for column in found.columns if column.field is not None}
            rows = list(read_rows(found, order, decimal))
            if ask is not None:
                rows = _asked(found, headers, rows, order, decimal, ask)
            read.tables.append(ReadTable(path, found, headers, rows))
    for header in sorted(set.intersection(*missing) if missing else ()):
        read.notes.append(
            Problem(
                COLUMN_NOT_FOUND, f"--column '{header}=…'", "a header that one of the tables has", "Mind its spelling."
            )
        )
    return read


def _tables(path: Path, columns: dict[str, str]) -> list[Table | Problem]:
    try:
        sheets = read_sheets(path, path.read_bytes(), tuple(columns))
    except (OSError, ValueError) as fault:
        why = fault.strerror if isinstance(fault, OSError) and fault.strerror else str(fault)
        where = Where(file=str(path))
        return [Problem(FILE_UNREADABLE, why, "a file that can be read", "Mind the path and who may read it.", where)]
    except ImportError_ as fault:
        return list(fault.problems) or [Problem(FILE_UNREADABLE, str(fault), "a table", where=Where(file=str(path)))]
    return [find_table(sheet, columns) for sheet in sheets]


def _asked(
    table: Table,
    headers: dict[Field, str],
    rows: list[ReadRow],
    order: DateOrder | None,
    decimal: DecimalMark | None,
    ask: Callable[[Question], str | None],
) -> list[ReadRow]:
    """The rows, with the columns that read two ways read as somebody has answered."""
    for header, problem in _open_questions(rows).items():
        choices = CHOICES[problem.code]
        about: Literal["dates", "decimal"] = "dates" if problem.code == dates.AMBIGUOUS else "decimal"
        answer = ask(Question(table.sheet.file, table.sheet.name, header, about, problem.message, choices))
        if answer not in choices:
            continue
        if about == "dates":
            again = read_rows(table, cast("DateOrder", answer), decimal)
        else:
            again = read_rows(table, order, cast("DecimalMark", answer))
        fields = [field for field, other in headers.items() if other == header]
        rows = [_column_from(row, other, header, fields) for row, other in zip(rows, again, strict=True)]
    return rows


def _open_questions(rows: list[ReadRow]) -> dict[str, Problem]:
    """The first problem of each column that an answer would settle."""
    first: dict[str, Problem] = {}
    for row in rows:
        for problem in row.problems:
            if problem.code in CHOICES and problem.where.column is not None:
                first.setdefault(problem.where.column, problem)
    return first


def _column_from(row: ReadRow, other: ReadRow, header: str, fields: list[Field]) -> ReadRow:
    """A row with one column as another reading of the same row has it."""
    values = {field: value for field, value in row.values.items() if field not in fields}
    values |= {field: other.values[field] for field in fields if field in other.values}
    problems = [problem for problem in row.problems if problem.where.column != header]
    problems += [problem for problem in other.problems if problem.where.column == header]
    return msgspec.structs.replace(row, values=values, problems=tuple(problems))

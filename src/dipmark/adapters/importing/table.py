"""Where a table begins under its titles, what its columns hold and what the table is for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import msgspec

from dipmark.adapters.importing.cells import as_text
from dipmark.adapters.importing.sheet import Cell, Row, Sheet
from dipmark.adapters.importing.sheets import HEAD
from dipmark.adapters.importing.words import FIELDS, Field, field_of, split_header, squeeze
from dipmark.facts.problems import Problem, Where, code

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

UNKNOWN: Final = code("table-unknown", "A table whose headers do not say what it is.")
EMPTY: Final = code("table-empty", "A table or sheet without rows.")
HIDDEN: Final = code("sheet-hidden", "A hidden sheet of a workbook, left out.")
TWICE: Final = code("column-twice", "Two columns of a table hold the same thing.")
MAPPING: Final = code("column-mapping", "A column was mapped to something a table cannot hold.")

REASON_HEADER: Final = "refused because"
"""The header of the column that says why a row was refused; it is ignored when the file is taken again."""

Purpose = Literal["trucks", "services", "faults", "readings"]

NEEDS: Final[dict[Purpose, tuple[Field, ...]]] = {
    "trucks": ("truck", "kind"),
    "services": ("truck", "service", "date"),
    "faults": ("truck", "fault"),
    "readings": ("truck", "hours", "date"),
}
"""The columns that make a table one of trucks, services, faults or readings; it can be several at once."""

_DECIDING: Final = {"truck", "kind", "date", "hours", "service", "fault", "commissioned"}


class Column(msgspec.Struct, frozen=True):
    """One column.

    Args:
        index: its place in the row, from 0.
        header: as written; one without header that holds something is called after its place.
        field: what it holds; None when it is left out.
        unit: the unit its header states.
    """

    index: int
    header: str
    field: Field | None
    unit: str | None = None


class Table(msgspec.Struct, frozen=True):
    """A table found in a sheet.

    Args:
        sheet: where.
        header_line: the line of its headers.
        columns: its columns in order, without the one that says why a row was refused.
        purposes: what it is for.
        left_out: headers of the columns nobody knows.
        not_found: mapped headers this sheet does not have.
    """

    sheet: Sheet
    header_line: int
    columns: tuple[Column, ...]
    purposes: tuple[Purpose, ...]
    left_out: tuple[str, ...]
    not_found: tuple[str, ...] = ()

    def column(self, field: Field) -> Column | None:
        """The column that holds a field, or None."""
        return next((column for column in self.columns if column.field == field), None)


def purposes_of(fields: Iterable[Field | None]) -> tuple[Purpose, ...]:
    """What a table with these fields is for."""
    have = set(fields)
    return tuple(purpose for purpose, needs in NEEDS.items() if have.issuperset(needs))


def find_table(sheet: Sheet, mapping: Mapping[str, str]) -> Table | Problem:
    """The table of a sheet; a problem that is not hard is a notice: nothing there was meant to be taken.

    Args:
        sheet: the rows.
        mapping: header → field, as a person has said; it goes before what the words say.
    """
    where = Where(file=sheet.file, sheet=sheet.name)
    if wrong := _wrong_mapping(mapping, where):
        return wrong
    if sheet.hidden:
        return Problem(HIDDEN, f"the hidden sheet {sheet.name}", "sheets that can be seen",
                       "It is left out; show it in the spreadsheet program to have it taken.", where,
                       hard=False)  # fmt: skip
    if not sheet.rows:
        return Problem(EMPTY, "no rows", "a row of headers and rows below it", "", where, hard=sheet.count == 1)
    said = {squeeze(header): field for header, field in mapping.items()}
    head = sheet.rows[:HEAD]
    row = max(head, key=lambda row: _score(row, said))
    columns = _columns(sheet, row, said)
    if isinstance(columns, Problem):
        return columns
    headers = {squeeze(column.header) for column in columns}
    missing = tuple(header for header in mapping if squeeze(header) not in headers)
    purposes = purposes_of(column.field for column in columns)
    if not purposes:
        return _unknown(sheet, row, columns, missing)
    if "date" not in {column.field for column in columns} and "hours" in {column.field for column in columns}:
        columns = tuple(_dropped(column) if column.field == "hours" else column for column in columns)
    left_out = tuple(column.header for column in columns if column.field is None and column.header)
    return Table(sheet, row.line, columns, purposes, left_out, missing)


def _dropped(column: Column) -> Column:
    """Hours without a date say nothing about when they stood on the meter."""
    return Column(column.index, column.header, None, column.unit)


def _wrong_mapping(mapping: Mapping[str, str], where: Where) -> Problem | None:
    for header, field in mapping.items():
        if field not in FIELDS:
            return Problem(MAPPING, f"{header}={field}", f"one of {', '.join(FIELDS)}",
                           "Write it as --column 'Header=field'.", where)  # fmt: skip
    return None


def _field(cell: Cell, said: Mapping[str, str]) -> Field | None:
    if not isinstance(cell, str):
        return None
    named = said.get(squeeze(cell))
    return next((field for field in FIELDS if field == named), None) or field_of(cell)


def _score(row: Row, said: Mapping[str, str]) -> tuple[bool, int]:
    fields = {field for cell in row.cells if (field := _field(cell, said))}
    return bool(purposes_of(fields)), len(fields)


def _columns(sheet: Sheet, row: Row, said: Mapping[str, str]) -> tuple[Column, ...] | Problem:
    columns: list[Column] = []
    taken: dict[Field, Column] = {}
    headed = {index for index, cell in enumerate(row.cells) if as_text(cell).strip()}
    holding = {
        index for other in sheet.rows if other.line > row.line
        for index, cell in enumerate(other.cells) if index not in headed and as_text(cell).strip()
    }  # fmt: skip
    if sheet.delimiter is not None:
        holding = {index for index in holding if index < max(headed)}  # beyond the headers a row of text is too wide
    for index in sorted(headed | holding):
        cell = row.cells[index] if index in headed else None
        header = as_text(cell) or f"column {index + 1}"
        if squeeze(header) == squeeze(REASON_HEADER):
            continue
        column = Column(index, header, _field(cell, said), split_header(header)[1])
        earlier = taken.get(column.field) if column.field else None
        if column.field and earlier:
            both = [squeeze(one.header) in said for one in (earlier, column)]
            if both[0] == both[1] and column.field in _DECIDING:
                return _two(sheet, row, column.field, (earlier.header, header))
            if both[1] and not both[0]:
                columns[columns.index(earlier)] = _dropped(earlier)
            else:
                column = _dropped(column)
        if column.field:
            taken[column.field] = column
        columns.append(column)
    return tuple(columns)


def _two(sheet: Sheet, row: Row, field: Field, headers: tuple[str, str]) -> Problem:
    where = Where(file=sheet.file, sheet=sheet.name, line=row.line, column=headers[1])
    return Problem(TWICE, f"the columns {headers[0]!r} and {headers[1]!r}, both for {field}", f"one column for {field}",
                   f"Say which one counts: --column '{headers[1]}={field}'.", where)  # fmt: skip


def _unknown(sheet: Sheet, row: Row, columns: tuple[Column, ...], missing: tuple[str, ...]) -> Problem:
    where = Where(file=sheet.file, sheet=sheet.name, line=row.line)
    headers = ", ".join(
        f"{column.header.strip()} ({column.field})" if column.field else column.header.strip()
        for column in columns[:20] if column.header.strip()
    )  # fmt: skip
    needs = "; ".join(f"{' + '.join(fields)} for {purpose}" for purpose, fields in NEEDS.items())
    hint = "Name a column with --column 'Header=field'."
    if missing:
        hint += f" Not found here: {', '.join(missing)}."
    known = sum(column.field is not None for column in columns)
    return Problem(UNKNOWN, f"the headers {headers}", f"columns for {needs}", hint, where,
                   hard=sheet.count == 1 or known > 1)  # fmt: skip

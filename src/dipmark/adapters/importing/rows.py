"""Rows with typed values and every problem of each, with its place."""

from __future__ import annotations

import re
from datetime import time
from decimal import Decimal
from typing import TYPE_CHECKING, Final

import msgspec

from dipmark.adapters.importing.cells import (
    DateOrder,
    DecimalMark,
    Number,
    When,
    as_text,
    parse_date,
    parse_number,
    parse_text,
    parse_time,
    unit_of,
)  # fmt: skip
from dipmark.adapters.importing.dates import YEARS, stated_order
from dipmark.adapters.importing.sheet import Cell, Row
from dipmark.adapters.importing.table import NEEDS, Column, Purpose, Table
from dipmark.adapters.importing.words import (
    KINDS,
    Field,
    kind_of,
    says_nothing,
    seriousness_of,
    services_of,
    squeeze,
)  # fmt: skip
from dipmark.facts.problems import Problem, Where, code

if TYPE_CHECKING:
    from collections.abc import Iterator

MISSING: Final = code("cell-missing", "A row of a table lacks a value it needs.")
BROKEN: Final = code("text-broken", "A cell holds characters that no text has, or bytes of a damaged encoding.")
LONG: Final = code("text-long", "A cell holds more text than the record keeps.")
KIND: Final = code("kind-unknown", "A kind of truck in a table that nobody knows.")
SERVICE: Final = code("service-unknown", "A service in a table that cannot be told by its hours.")
SERIOUS: Final = code("seriousness-unknown", "A table says how serious a fault is in words nobody knows.")
UNIT: Final = code("unit-wrong", "A number in a table has another unit than its column holds.")
RANGE: Final = code("number-range", "A number in a table is outside what it can be.")
TIME_TWICE: Final = code("time-twice", "A row gives two different times of day.")
TORN: Final = code("row-torn", "A quote in a row is never closed or closes in the wrong place.")
WIDE: Final = code("row-wide", "A row has more cells than the table has columns.")
TOTAL: Final = code("row-total", "A row of sums inside a table.")

Value = str | Number | When | time

_DEFINING: Final[dict[Purpose, Field]] = {
    "trucks": "kind", "services": "service", "faults": "fault", "readings": "hours",
}  # fmt: skip
_LONGEST: Final[dict[Field, int]] = {
    "truck": 120, "by": 120, "serial": 120, "place": 120, "fuel": 120, "tyres": 120, "meter": 120, "name": 120,
    "note": 4000, "fault": 4000,
}  # fmt: skip
_DATES: Final[frozenset[Field]] = frozenset({"date", "commissioned", "mended"})
_NUMBERS: Final[dict[Field, tuple[Decimal, Decimal, tuple[str, ...], str]]] = {
    "hours": (Decimal(0), Decimal(999_999), ("h",), "hours"),
    "start_hours": (Decimal(0), Decimal(999_999), ("h",), "hours"),
    "capacity": (Decimal(1), Decimal(200_000), ("kg", "lb", "t"), "a weight"),
    "built": (Decimal(YEARS[0]), Decimal(YEARS[-1]), (), "a year"),
    "digits": (Decimal(1), Decimal(9), (), "a count of digits"),
}
"""Least, greatest, units and what it is; 999,999 h is more than a hundred years of running without a stop."""
_PLACES: Final = 3
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffd]")
_TOTALS: Final = {
    "total", "totals", "grandtotal", "subtotal", "sum", "sums", "summe", "gesamt", "gesamtsumme", "zwischensumme",
    "insgesamt", "suma", "totalgeneral", "totales",
}  # fmt: skip


class ReadRow(msgspec.Struct, frozen=True):
    """One row of a table. Without problems it can be used for every one of its purposes.

    Args:
        file: the file as its owner named it.
        sheet: the sheet of a workbook.
        line: the editor's line where the row starts; in a workbook the row.
        raw: its cells as written, one for each column of the table, then what stands beyond them.
        purposes: what it is for: a service, a reading, or both.
        values: what could be read. Numbers are `Number`, dates `When`, a time without a date a time, all else text:
            the kind as a key, the service as "150h" or "150h + 450h", the seriousness as its code.
        problems: everything wrong with it.
    """

    file: str
    sheet: str | None
    line: int
    raw: tuple[str, ...]
    purposes: tuple[Purpose, ...]
    values: dict[Field, Value]
    problems: tuple[Problem, ...]

    def text(self, field: Field) -> str | None:
        """The text of a field, or None."""
        value = self.values.get(field)
        return value if isinstance(value, str) else None

    def number(self, field: Field) -> Number | None:
        """The number of a field, or None."""
        value = self.values.get(field)
        return value if isinstance(value, Number) else None

    def when(self, field: Field) -> When | None:
        """The date of a field, or None."""
        value = self.values.get(field)
        return value if isinstance(value, When) else None


def read_rows(table: Table, dates: DateOrder | None = None, decimal: DecimalMark | None = None) -> Iterator[ReadRow]:
    """Every row below the headers; rows that repeat the headers are passed over.

    Args:
        table: the table.
        dates: the order in which the file writes day, month and year; None asks where it matters.
        decimal: the decimal mark of the file; None asks where it matters.
    """
    headers = [squeeze(column.header) for column in table.columns]
    below = [row for row in table.sheet.rows if row.line > table.header_line]
    width = 1 + max(column.index for column in table.columns)
    usual = max(width, min((len(row.cells) for row in below), default=0))
    for row in below:
        texts = [squeeze(as_text(_cell(row, column))) for column in table.columns]
        if texts != headers:
            yield _Reading(table, row, dates, decimal, usual).done()


def _cell(row: Row, column: Column) -> Cell:
    return row.cells[column.index] if column.index < len(row.cells) else None


def _said(cell: Cell) -> bool:
    return cell is not None and not (isinstance(cell, str) and says_nothing(cell))


class _Reading:
    """One row being read; the problems gather here."""

    def __init__(
        self, table: Table, row: Row, dates: DateOrder | None, decimal: DecimalMark | None, usual: int
    ) -> None:
        self.table, self.row, self.dates, self.decimal, self.usual = table, row, dates, decimal, usual
        self.where = Where(file=table.sheet.file, sheet=table.sheet.name, line=row.line)
        self.values: dict[Field, Value] = {}
        self.problems: list[Problem] = []

    def done(self) -> ReadRow:
        purposes: tuple[Purpose, ...] = ()
        if not self._shape_is_wrong():
            for column in self.table.columns:
                if column.field and _said(cell := _cell(self.row, column)):
                    self._read(column, column.field, cell)
            self._join_time()
            purposes = self._purposes()
        return ReadRow(
            self.table.sheet.file, self.table.sheet.name, self.row.line, self._raw(), purposes, self.values,
            tuple(self.problems),
        )  # fmt: skip

    def _say(self, problem: Problem, column: Column | None = None) -> None:
        where = msgspec.structs.replace(self.where, column=column.header if column else None)
        self.problems.append(msgspec.structs.replace(problem, where=where))

    def _shape_is_wrong(self) -> bool:
        """A row that cannot be told apart into its cells, or is no row at all, is not read any further."""
        columns = self.table.columns
        first = next((column for column in columns if _said(_cell(self.row, column))), columns[0])
        truck = self.table.column("truck") or first
        width = 1 + max(column.index for column in columns)
        beyond = [as_text(cell) for cell in self.row.cells[width:]]
        if self.row.torn:
            self._say(Problem(TORN, "a quote that is never closed, or closes in the middle of a cell",
                              "quotes around whole cells",
                              'Close it; write a quote inside a cell twice: "".'), first)  # fmt: skip
        elif any(text.strip() for text in beyond) or (
            self.table.sheet.delimiter == "," and len(self.row.cells) > self.usual
        ):
            self._say(Problem(WIDE, f"{len(self.row.cells)} cells", f"{width}, one for each header",
                              'Put quotes around a value with a comma inside, such as "1250,5".'),
                      columns[-1])  # fmt: skip
        elif any(squeeze(as_text(_cell(self.row, column))) in _TOTALS for column in {truck, first}):
            self._say(Problem(TOTAL, f"a row of sums ({as_text(_cell(self.row, first)).strip()})",
                              "a row for one truck", "Delete this row; nothing is lost."), first)  # fmt: skip
        return bool(self.problems)

    def _read(self, column: Column, field: Field, cell: Cell) -> None:
        value: Value | Problem
        if field in _DATES:
            value = parse_date(cell, self.dates or stated_order(column.unit), self.table.sheet.epoch)
        elif field == "time":
            value = parse_time(cell)
        elif field in _NUMBERS:
            value = self._number(column, field, cell)
        else:
            value = self._text(field, cell)
        if isinstance(value, Problem):
            self._say(value, column)
        else:
            self.values[field] = value

    def _number(self, column: Column, field: Field, cell: Cell) -> Number | Problem:
        number = parse_number(cell, self.decimal)
        if isinstance(number, Problem):
            return number
        least, most, units, what = _NUMBERS[field]
        shown = f"{as_text(cell).strip()!r}"
        unit = number.unit or unit_of(column.unit)
        if unit and unit not in units:
            expected = f"{what} in {' or '.join(units)}" if units else f"{what} without a unit"
            from_header = "" if number.unit else f" in a column of {column.unit}"
            return Problem(UNIT, shown + from_header, expected, "Convert it, or map the right column with --column.")
        if not least <= number.value <= most:
            limits = f"{least:,} to {most:,}" if units else f"{least} to {most}"
            return Problem(RANGE, shown, f"{what} from {limits}",
                           "Look at the meter or the plate again.")  # fmt: skip
        places = _PLACES if units else 0
        if number.places > places:
            return Problem(RANGE, shown, f"{what} with at most {places} decimals", "Write it as it was read.")
        return Number(number.value, unit, number.places)

    def _text(self, field: Field, cell: Cell) -> str | Problem:
        text = parse_text(cell)
        if found := _CONTROL.search(text):
            return Problem(BROKEN, f"{text[:40]!r} with the character U+{ord(found[0]):04X}", "plain text",
                           "Type it again, and save the file as UTF-8.")  # fmt: skip
        if field == "kind":
            fuel, tyres = (self._other("fuel"), self._other("tyres"))
            return kind_of(text, fuel, tyres) or Problem(
                KIND, repr(text[:60]), f"one of {', '.join(KINDS)}, or words that say which",
                "Write the kind, or add a column for fuel (petrol, LPG, diesel, electric).")  # fmt: skip
        if field == "service":
            return " + ".join(services_of(text)) or Problem(
                SERVICE, repr(text[:60]),
                "a service by its hours, such as 8h, 150h, 450h, 900h or 1800h, or 150h + 450h",
                "Write the hours of its interval.")  # fmt: skip
        if field == "seriousness":
            return seriousness_of(text) or Problem(
                SERIOUS, repr(text[:60]), "now (don't start), stop (out of service), repair by, or watch",
                "Choose one of the four.")  # fmt: skip
        longest = _LONGEST[field]
        if len(text) > longest:
            return Problem(LONG, f"{len(text):,} characters", f"at most {longest:,}", "Shorten it.")
        return text

    def _other(self, field: Field) -> str:
        column = self.table.column(field)
        return as_text(_cell(self.row, column)) if column else ""

    def _join_time(self) -> None:
        clock, date, column = self.values.get("time"), self.values.get("date"), self.table.column("time")
        if not isinstance(clock, time) or not isinstance(date, When):
            return
        if date.time not in {None, clock}:
            self._say(
                Problem(TIME_TWICE, f"{date.time} in the date and {clock} beside it", "one time", "Keep one."), column
            )
            return
        self.values["date"] = When(date.day, clock, date.offset)
        del self.values["time"]

    def _purposes(self) -> tuple[Purpose, ...]:
        """What the row is for, by what is filled in; what it lacks for that is a problem."""
        filled = {column.field for column in self.table.columns if column.field and _said(_cell(self.row, column))}
        purposes = tuple(purpose for purpose in self.table.purposes if _DEFINING[purpose] in filled)
        needs: list[Field] = [field for purpose in purposes for field in NEEDS[purpose]]
        if "faults" in purposes and self.table.column("date"):
            needs.append("date")
        if not purposes:
            needs = ["truck", *(_DEFINING[purpose] for purpose in self.table.purposes)]
        for field in dict.fromkeys(needs):
            column = self.table.column(field)
            if field not in filled and column:
                self._say(
                    Problem(MISSING, "an empty cell", _EXPECTED.get(field, f"the {field}"), "Fill it in."), column
                )
        return purposes

    def _raw(self) -> tuple[str, ...]:
        columns = self.table.columns
        width = 1 + max(column.index for column in columns)
        return (
            *(self._as_written(column) for column in columns),
            *(as_text(cell) for cell in self.row.cells[width:]),
        )

    def _as_written(self, column: Column) -> str:
        """As written; a workbook's number so that it reads back to the same value out of a text file."""
        cell = _cell(self.row, column)
        if not isinstance(cell, Decimal) or column.field is None:
            return as_text(cell)
        if column.field in _DATES:
            value = parse_date(cell, epoch=self.table.sheet.epoch)
            if isinstance(value, When):
                return f"{value.day} {value.time}" if value.time else value.day.isoformat()
        text = as_text(cell, self.decimal if column.field in _NUMBERS else None)
        two_ways = column.field in _NUMBERS and isinstance(parse_number(text, self.decimal), Problem)
        return re.sub(r"(?=\d)", "0", text, count=1) if two_ways else text


_EXPECTED: Final[dict[Field, str]] = {
    "truck": "the truck's number", "kind": "the kind of truck", "date": "the date it happened",
    "hours": "the hours on the meter", "service": "the service done, such as 150 h", "fault": "what is wrong",
}  # fmt: skip

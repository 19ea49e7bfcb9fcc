"""A table whose columns are named beforehand, read into lines of values; everything wrong with it is said at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final, NoReturn

import msgspec

from dipmark.adapters.importing.cells import AMBIGUOUS, DecimalMark, as_text, parse_number, parse_text, unit_of
from dipmark.adapters.importing.rows import MISSING, RANGE, TORN, UNIT, WIDE
from dipmark.adapters.importing.sheet import Cell, Row, Sheet
from dipmark.adapters.importing.sheets import HEAD, read_sheets
from dipmark.adapters.importing.table import TWICE, UNKNOWN
from dipmark.adapters.importing.words import says_nothing, split_header, squeeze
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where, code

WORD: Final = code("word-unknown", "A cell of a table for lessons holds another word than its column may hold.")


class Asked(msgspec.Struct, frozen=True):
    """A column that is asked for.

    Args:
        name: its header.
        words: what it may hold; empty: a number, or any text where `text`.
        text: True for any text.
        least: the least number.
        above: True where the least itself is too little.
        whole: True where only whole numbers make sense.
        hours: True where its numbers are hours.
        optional: True where the table may do without it.
    """

    name: str
    words: tuple[str, ...] = ()
    text: bool = False
    least: float = 0.0
    above: bool = False
    whole: bool = False
    hours: bool = False
    optional: bool = False

    @property
    def number(self) -> bool:
        return not self.words and not self.text


class Line(msgspec.Struct, frozen=True):
    """A row that could be read.

    Args:
        where: its place.
        numbers: by column.
        texts: by column.
    """

    where: Where
    numbers: dict[str, float]
    texts: dict[str, str]


MOST: Final = 1e9
"""More than any number of hours, parts or money that a truck has seen."""


def read_columns(path: Path, asked: Sequence[Asked], decimal: DecimalMark | None) -> tuple[Line, ...]:
    """The lines of a table.

    Args:
        path: the file: delimited text or a workbook.
        asked: its columns; others are passed over.
        decimal: the decimal mark; None: as the numbers of the file show it, or it is asked.

    Raises:
        Refused: anything is wrong: every fault with its line and column.
        ImportError_: it is no table at all.
    """
    sheets = read_sheets(path, path.read_bytes(), tuple(one.name for one in asked))
    found = [(sheet, row) for sheet in sheets if not sheet.hidden if (row := _header(sheet, asked)) is not None]
    names = ", ".join(one.name for one in asked if not one.optional)
    if len(found) != 1:
        sheet = sheets[0]
        first = sheet.rows[0].cells if sheet.rows else ()
        had = ", ".join(filter(None, (as_text(cell).strip() for cell in first))) or "nothing"
        what = f"the headers {had[:120]}" if not found else f"{len(found)} sheets with these headers"
        refuse([Problem(UNKNOWN, what, f"one table with the columns {names}", "Name the columns so.",
                        Where(file=sheet.file, sheet=sheet.name))])  # fmt: skip
    reading = _Reading(*found[0], asked)
    lines = tuple(reading.lines(decimal or reading.shown()))
    if not reading.problems and not lines:
        reading.problems.append(Problem(MISSING, "no rows below the headers", "at least one row", "", reading.where))
    if reading.problems:
        refuse(reading.problems)
    return lines


def refuse(problems: Sequence[Problem]) -> NoReturn:
    """Refuse a table with everything that is wrong with it.

    Raises:
        Refused: always.
    """
    count = len(problems)
    lines = "\n".join(f"  {problem}" for problem in problems)
    raise Refused(f"Nothing was computed, {count} fault{'' if count == 1 else 's'}:\n{lines}", problems)


def _names(row: Row) -> list[str]:
    return [squeeze(split_header(as_text(cell))[0]) for cell in row.cells]


def _header(sheet: Sheet, asked: Sequence[Asked]) -> Row | None:
    """The first row near the top that has all columns that are needed."""
    needed = {squeeze(one.name) for one in asked if not one.optional}
    return next((row for row in sheet.rows[:HEAD] if needed.issubset(_names(row))), None)


class _Reading:
    """A table being read; the problems gather here."""

    def __init__(self, sheet: Sheet, header: Row, asked: Sequence[Asked]) -> None:
        self.where = Where(file=sheet.file, sheet=sheet.name, line=header.line)
        self.header = header
        self.below = [row for row in sheet.rows if row.line > header.line and row.cells != header.cells]
        self.problems: list[Problem] = []
        self.columns: list[tuple[Asked, int]] = []
        names = _names(header)
        for one in asked:
            places = [at for at, name in enumerate(names) if name == squeeze(one.name)]
            self.columns += [(one, at) for at in places[:1]]
            if len(places) > 1:
                self._say(Problem(TWICE, f"{len(places)} columns {one.name}", "one", "Rename the others."), header)

    def shown(self) -> DecimalMark | None:
        """The mark under which more of the numbers can be read; None where both do as well, or as badly."""
        cells = [_cell(row, at) for row in self.below for one, at in self.columns if one.number]
        unread: dict[DecimalMark, int] = {
            mark: sum(isinstance(parse_number(cell, mark), Problem) for cell in cells if isinstance(cell, str))
            for mark in ("comma", "point")
        }
        if unread["comma"] == unread["point"]:
            return None
        return "comma" if unread["comma"] < unread["point"] else "point"

    def lines(self, decimal: DecimalMark | None) -> Iterator[Line]:
        """Every row that can be read; what is wrong with the others gathers."""
        for row in self.below:
            width = len(self.header.cells)
            if row.torn:
                self._say(Problem(TORN, "a quote that is never closed", "quotes around whole cells", "Close it."), row)
            elif any(not says_nothing(as_text(cell)) for cell in row.cells[width:]):
                self._say(Problem(WIDE, f"{len(row.cells)} cells", f"{width}, one for each header",
                                  'Put quotes around a value with a comma inside, such as "1250,5".'), row)  # fmt: skip
            else:
                yield from self._line(row, decimal)

    def _line(self, row: Row, decimal: DecimalMark | None) -> Iterator[Line]:
        numbers: dict[str, float] = {}
        texts: dict[str, str] = {}
        before = len(self.problems)
        for one, at in self.columns:
            cell = _cell(row, at)
            if says_nothing(as_text(cell)):
                if not one.optional:
                    self._say(Problem(MISSING, "an empty cell", _expected(one), "Fill it in."), row, at)
                continue
            value = self._number(one, cell, at, decimal) if one.number else _text(one, cell)
            if isinstance(value, Problem):
                self._say(value, row, at)
            elif isinstance(value, str):
                texts[one.name] = value
            else:
                numbers[one.name] = value
        if len(self.problems) == before:
            yield Line(msgspec.structs.replace(self.where, line=row.line), numbers, texts)

    def _number(self, one: Asked, cell: Cell, at: int, decimal: DecimalMark | None) -> float | Problem:
        number = parse_number(cell, decimal)
        if isinstance(number, Problem):
            if number.code == AMBIGUOUS:
                return number
            return msgspec.structs.replace(number, expected=_expected(one))
        unit = number.unit or unit_of(split_header(as_text(self.header.cells[at]))[1])
        if one.hours and unit not in {None, "h"}:
            return Problem(UNIT, f"{as_text(cell).strip()!r} in {unit}", "hours", "Convert it.")
        value = float(number.value)
        fits = one.least < value if one.above else one.least <= value
        if not fits or value > MOST or (one.whole and not value.is_integer()):
            return Problem(RANGE, repr(as_text(cell).strip()), _expected(one), "Look at it again.")
        return value

    def _say(self, problem: Problem, row: Row, at: int | None = None) -> None:
        column = as_text(self.header.cells[at]).strip() if at is not None else None
        where = msgspec.structs.replace(self.where, line=row.line, column=column)
        self.problems.append(msgspec.structs.replace(problem, where=where))


def _cell(row: Row, at: int) -> Cell:
    return row.cells[at] if at < len(row.cells) else None


def _text(one: Asked, cell: Cell) -> str | Problem:
    text = parse_text(cell)
    if not one.words:
        return text
    said = next((word for word in one.words if squeeze(word) == squeeze(text)), None)
    return said or Problem(WORD, repr(text[:60]), _expected(one), "Write one of these.")


def _expected(one: Asked) -> str:
    if one.words:
        return " or ".join(one.words)
    if one.text:
        return f"the {one.name}"
    what = "hours" if one.hours else "a whole number" if one.whole else "a number"
    return f"{what} {'over' if one.above else 'of at least'} {one.least:g}"

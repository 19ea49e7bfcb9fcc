"""Reads a filled workbook back: each row as it stands and as it was, and every slip named with its cell."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.adapters.exporting.workbook import WAS
from dipmark.adapters.importing.sheet import Sheet
from dipmark.facts.problems import Problem, Where, code
from dipmark.office.new_rules_sheets import YES_NO, Field, Page, What
from dipmark.rules.typed import Path, dotted, near

CELL: Final = code(
    "new-rules-cell", "a cell of a workbook of new rules holds what it must not, or nothing where it must"
)
ROW: Final = code("new-rules-row", "a row of a workbook of new rules has an id that is not ours, or stands twice")
SHEET: Final = code("new-rules-sheet", "a workbook of new rules lacks a sheet or a column that dipmark wrote")

_WHOLE: Final = re.compile(r"[0-9]{1,6}")
_NUMBER: Final = re.compile(r"[0-9]{1,6}([.,][0-9]{1,3})?")


class Row(msgspec.Struct, frozen=True):
    """One filled row.

    Args:
        sheet: its sheet.
        line: its row in the sheet.
        cells: its texts by the key of the field.
    """

    sheet: str
    line: int
    cells: dict[str, str]

    @property
    def id(self) -> str:
        """Its id; empty for a new row."""
        return self.cells["id"]


class Written(msgspec.Struct):
    """Rules on their way into a file.

    Args:
        tree: the tables.
        origin: by key in the file, the cell it comes from.
    """

    tree: dict[str, object]
    origin: dict[str, Where]

    def put(self, path: Path, value: object, where: Where) -> None:
        """Enter one value and remember its cell."""
        table = self.tree
        for key in path[:-1]:
            inner = table.setdefault(key, {})
            table = inner if isinstance(inner, dict) else {}
        table[path[-1]] = value
        self.origin[dotted(path)] = where
        for length in range(1, len(path)):
            self.origin.setdefault(dotted(path[:length]), msgspec.structs.replace(where, column=None))


class Reading:
    """The rows of a workbook, with everything wrong in its cells."""

    def __init__(self, file: str, sheets: Sequence[Sheet]) -> None:
        self.file = file
        self.sheets = {sheet.name or "": sheet for sheet in sheets}
        self.problems: list[Problem] = []

    def rows(self, page: Page) -> tuple[list[Row], dict[str, Row]]:
        """The rows of a sheet as they stand, and by id as dipmark wrote them."""
        was = {row.id: row for row in self._rows(page, WAS + page.name)}
        now: list[Row] = []
        seen: set[str] = set()
        for row in self._rows(page, page.name):
            if row.id and row.id not in was:
                hint = near(row.id, tuple(was)) or "Leave the id of a new row blank."
                self.fault(ROW, row, page.field("id"), f"the id {row.id!a}", "an id that dipmark wrote", hint)
            elif row.id in seen:
                self.fault(ROW, row, page.field("id"), f"{row.id} again", "each id once", "Blank it in the copied row.")
            else:
                now.append(row)
            seen |= {row.id} - {""}
        return now, was

    def _rows(self, page: Page, name: str) -> Iterator[Row]:
        sheet = self.sheets.get(name)
        if sheet is None or not sheet.rows:
            where, hint = (
                Where(file=self.file, sheet=name),
                "Take the workbook that dipmark wrote, with all its sheets.",
            )
            self.problems.append(Problem(SHEET, "no such sheet", f"the sheet {page.name!r}", hint, where))
            return
        heads = [_plain(cell) for cell in sheet.rows[0].cells]
        places = {field.key: heads.index(field.header) for field in page.fields if field.header in heads}
        for field in page.fields:
            if field.key not in places:
                where = Where(file=self.file, sheet=name, line=sheet.rows[0].line, column=field.header)
                hint = "Put the header back as it was, in the first row."
                self.problems.append(Problem(SHEET, "no such header", f"the header {field.header!r}", hint, where))
        if len(places) < len(page.fields):
            return
        for row in sheet.rows[1:]:
            held = {key: row.cells[at] if at < len(row.cells) else None for key, at in places.items()}
            cells = {key: _plain(cell, page.field(key).what) for key, cell in held.items()}
            if any(cells.values()):
                yield Row(name, row.line, cells)

    def where(self, row: Row, field: Field) -> Where:
        """The place of a cell."""
        return Where(file=self.file, sheet=row.sheet, line=row.line, column=field.header)

    def fault(self, code: str, row: Row, field: Field, found: str, expected: str, hint: str = "") -> None:
        """Keep one fault with its cell."""
        self.problems.append(Problem(code, found, expected, hint, self.where(row, field)))

    def value(self, row: Row, field: Field) -> object:
        """What a cell means; None, with a fault, where it means nothing."""
        text = row.cells[field.key]
        if field.what in ("many", "ids"):
            return items(text)
        if not text:
            self.fault(CELL, row, field, "nothing", _expected(field), "Ours cannot be emptied, only replaced.")
            return None
        if field.what == "whole" and _WHOLE.fullmatch(text):
            return int(text)
        if field.what == "number" and _NUMBER.fullmatch(text):
            return Decimal(text.replace(",", "."))
        if field.what == "yes" and text.casefold() in YES_NO:
            return YES_NO[text.casefold()]
        if field.what == "choice":
            found = {word.casefold(): meant for word, meant in field.words.items()}
            if text.casefold() in found:
                return found[text.casefold()]
        if field.what == "text":
            return text
        if field.what == "day":
            try:
                return date.fromisoformat(text).isoformat()
            except ValueError:
                pass
        self.fault(CELL, row, field, ascii(text)[:60], _expected(field), near(text, tuple(field.words)))
        return None


def _expected(field: Field) -> str:
    if field.words:
        return "one of " + ", ".join(field.words)
    return {
        "yes": "yes or no",
        "whole": "a whole number",
        "number": "a number",
        "day": "a date such as 2026-11-20",
    }.get(field.what, "some words")


def _plain(value: object, what: What = "text") -> str:
    """A cell as text: a number without needless noughts, a date as in 2026-11-20, yes and no, blanks closed up."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, date):
        return value.isoformat()[:10]
    text = str(value)
    if what == "ids":
        return "; ".join(items(re.sub(r"[,\s]", ";", text)))
    return "; ".join(items(text)) if what == "many" else " ".join(text.split())


def items(text: str) -> list[str]:
    """The texts of a cell that holds several, set apart by semicolons or lines, each once."""
    parts = (" ".join(part.split()) for part in re.split(r"[;\n]", text))
    return list(dict.fromkeys(part for part in parts if part))


def name_of(text: str, taken: Collection[str]) -> str:
    """An id from the first words of a text, unlike any that is taken.

    Example:
        >>> name_of("Work lamp: glass and bracket", ["work-lamp-glass-and"])
        'work-lamp-glass-and-2'
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    stem = "-".join(re.findall(r"[a-z0-9]+", plain)[:4])[:40].strip("-") or "own"
    name, number = stem, 2
    while name in taken:
        name, number = f"{stem}-{number}", number + 1
    return name


def traced(problem: Problem, name: str, origin: dict[str, Where]) -> Problem:
    """A problem of the rules at the cell it comes from: also one of ours that shows beside what was changed.

    Args:
        problem: as the rules tell it.
        name: of the file that would be written.
        origin: by key in it, the cell.
    """
    key = problem.where.key or ""
    least = 1 if problem.where.file == name else 2 if key.startswith("services.") else 3
    while key not in origin and key:
        key = key.rpartition(".")[0]
    return msgspec.structs.replace(problem, where=origin[key]) if key and key.count(".") + 1 >= least else problem

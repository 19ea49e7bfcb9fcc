"""What is wrong in facts, rules or tables, said as values: all at once, each with its place."""

from __future__ import annotations

from typing import Final

import msgspec

CODES: Final[dict[str, str]] = {}
"""Every code with the one line that the manual prints; `docs/reference/problems.md` is made from it."""


class Where(msgspec.Struct, frozen=True, omit_defaults=True):
    """The place of a problem. What does not apply stays None.

    Args:
        file: the file as its owner named it.
        sheet: the sheet of a workbook.
        line: the editor's line, from 1, header counted; in a workbook the row.
        column: the table's column header as written.
        key: the path of a key in a rules file, such as ``checks.chain.symptoms[2].seriousness``.
        fact: the id of a recorded fact.
        book: the book the fact belongs to.
    """

    file: str | None = None
    sheet: str | None = None
    line: int | None = None
    column: str | None = None
    key: str | None = None
    fact: str | None = None
    book: str | None = None

    def __str__(self) -> str:
        parts = [
            self.file,
            self.sheet and f"sheet {self.sheet}",
            None if self.line is None else f"line {self.line}",
            self.column and f"column {self.column}",
            self.key,
            self.book,
            self.fact and f"fact {self.fact}",
        ]
        return ", ".join(part for part in parts if part)


NOWHERE: Final = Where()


class Problem(msgspec.Struct, frozen=True):
    """One thing wrong: what was found, what was expected, by how much, what to do.

    Args:
        code: a key of `CODES`.
        found: what stands there, with its unit.
        expected: what should stand there and by how much it is missed.
        hint: what to do about it.
        where: the place.
        hard: True stops an entry at a desk (from a phone it is set aside); False is asked or shown.
    """

    code: str
    found: str
    expected: str
    hint: str = ""
    where: Where = NOWHERE
    hard: bool = True

    @property
    def message(self) -> str:
        """One sentence for a person, without the place.

        Example:
            >>> Problem("x", "hour meter 1,204 h", "at least 1,240 h").message
            'Found hour meter 1,204 h; expected at least 1,240 h.'
        """
        text = f"Found {self.found}; expected {self.expected}."
        return f"{text} {self.hint}" if self.hint else text

    def __str__(self) -> str:
        place = str(self.where)
        return f"{place}: {self.message}" if place else self.message


def code(name: str, meaning: str) -> str:
    """Enter a problem code in `CODES` and return it; the same code twice is a fault of the program.

    Args:
        name: words with hyphens, such as ``time-unfit``.
        meaning: one line for the manual.

    Raises:
        ValueError: the code exists.
    """
    if name in CODES:
        raise ValueError(f"problem code {name} is entered twice")
    CODES[name] = meaning
    return name

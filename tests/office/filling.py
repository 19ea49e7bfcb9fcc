"""Fill a workbook of new rules as a person would, cell by cell."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl

LPG = "engine-pneumatic-lpg"

Cells = dict[str, Any]


class Workbook:
    """A workbook opened in a spreadsheet program."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.book = openpyxl.load_workbook(path)

    def column(self, sheet: str, header: str) -> int:
        """The column of a header, from 1."""
        heads = [cell.value for cell in self.book[sheet][1]]
        return heads.index(header) + 1

    def row(self, sheet: str, id: str) -> int:
        """The row of an id."""
        return next(row for row, cell in enumerate(self.book[sheet]["A"], start=1) if cell.value == id)

    def change(self, sheet: str, id: str, **cells: Any) -> int:
        """Write into the row of an id; headers with underscores for blanks."""
        row = self.row(sheet, id)
        for header, value in cells.items():
            self.book[sheet].cell(row, self.column(sheet, header.replace("_", " ")), value)
        return row

    def add(self, sheet: str, cells: Cells) -> int:
        """Write a new row below the last."""
        row = max(number for number, cell in enumerate(self.book[sheet], start=1) if any(one.value for one in cell)) + 1
        for header, value in cells.items():
            self.book[sheet].cell(row, self.column(sheet, header), value)
        return row

    def manual(self, every: str = "yes") -> None:
        """Fill the first sheet."""
        for id, answer in (
            ("manual", "Hollowdale 25 G, operator's and service manual, third edition"),
            ("read-by", "A. Ruiz"),
            ("read-on", "2026-11-20"),
            ("every", every),
        ):
            self.change("truck", id, answer=answer)

    def save(self) -> Path:
        """Save it under its name."""
        self.book.save(self.path)
        return self.path


def check(**cells: Any) -> Cells:
    """A new check that is in order."""
    return {
        "place": "The operator's place",
        "what to look at": "Work lamp: glass and bracket",
        "normal": "whole and tight",
        "when": "key off",
        "before every shift": "yes",
        "what may be found": "the glass is broken",
        "how serious": "Repair by",
        "affects safety": "no",
        "days": 7,
        "page of the manual": 1,
    } | {key.replace("_", " "): value for key, value in cells.items()}


def task(**cells: Any) -> Cells:
    """A new task that is in order."""
    return {
        "service": "600h",
        "what to do": "Drain the sump of the lift tank: 0.4 l, plug 35 Nm",
        "minutes": 6,
        "parts": "sump plug washer",
        "fluids": "hydraulic oil",
        "cautions": "hot-oil; Never with the forks raised: they come down when it runs empty.",
        "how early and late": "10 % early, 0 % late",
        "page of the manual": "2",
    } | {key.replace("_", " "): value for key, value in cells.items()}

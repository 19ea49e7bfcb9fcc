"""Writes a workbook for people to fill in: lists to choose from, a fixed head, and what was written kept beside it."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any, Final

import msgspec
import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

WAS: Final = "was "
"""The name of a hidden sheet begins so; the rest names the sheet whose first content it holds."""

LISTS: Final = "lists"
SPARE: Final = 200
"""Blank rows below the filled ones that are ready to be filled."""

Filling = str | int | Decimal | None


class Column(msgspec.Struct, frozen=True, kw_only=True):
    """One column of a form.

    Args:
        header: as it stands in the first row.
        width: in characters.
        note: what to write, shown while a cell is chosen; at most 250 characters.
        choices: the words to choose from; empty: anything.
        locked: nobody writes here.
    """

    header: str
    width: int
    note: str = ""
    choices: tuple[str, ...] = ()
    locked: bool = False


class Form(msgspec.Struct, frozen=True, kw_only=True):
    """One sheet to fill in.

    Args:
        name: of the sheet.
        columns: from the left.
        rows: what stands there already.
        spare: blank rows to fill.
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Filling, ...], ...]
    spare: int = SPARE


def write_workbook(title: str, lines: Sequence[str], forms: Sequence[Form]) -> bytes:
    """A workbook with a sheet to read, the forms, and hidden what they held at first.

    Args:
        title: of the sheet to read.
        lines: what stands on it.
        forms: the sheets to fill in.
    """
    out = io.BytesIO()
    plain = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(out, plain)
    looks = {
        "head": book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1, "bg_color": "#E8E6E0"}),
        "fill": book.add_format({"text_wrap": True, "valign": "top", "locked": False}),
        "kept": book.add_format({"text_wrap": True, "valign": "top", "font_color": "#666666", "bg_color": "#F4F3F0"}),
        "title": book.add_format({"bold": True, "font_size": 14}),
        "text": book.add_format({"text_wrap": True, "valign": "top"}),
    }
    read = book.add_worksheet("read me")
    read.set_column(0, 0, 100)
    read.write_string(0, 0, title, looks["title"])
    for number, line in enumerate(lines, start=1):
        read.write_string(number, 0, line, looks["text"])
    sheets = [(form, book.add_worksheet(form.name)) for form in forms]
    hidden = [(form, book.add_worksheet(WAS + form.name)) for form in forms]
    lists = book.add_worksheet(LISTS)
    ranges = _write_lists(lists, forms)
    for form, sheet in sheets:
        _write_form(sheet, form, looks, ranges)
    for form, sheet in hidden:
        _write_rows(sheet, form, [looks["text"]] * len(form.columns))
        sheet.very_hidden()
    lists.very_hidden()
    read.activate()
    book.close()
    return out.getvalue()


def _write_lists(sheet: Worksheet, forms: Iterable[Form]) -> dict[tuple[str, ...], str]:
    """Every list of words once, with the range it stands in: a list in a rule may hold 255 characters only."""
    ranges: dict[tuple[str, ...], str] = {}
    for choices in (column.choices for form in forms for column in form.columns):
        if choices and choices not in ranges:
            at = len(ranges)
            for row, word in enumerate(choices):
                sheet.write_string(row, at, word)
            letter = xlsxwriter.utility.xl_col_to_name(at, col_abs=True)
            ranges[choices] = f"={LISTS}!{letter}$1:{letter}${len(choices)}"
    return ranges


def _write_form(sheet: Worksheet, form: Form, looks: dict[str, Format], ranges: dict[tuple[str, ...], str]) -> None:
    last = len(form.rows) + form.spare
    for at, column in enumerate(form.columns):
        sheet.set_column(at, at, column.width, looks["kept" if column.locked else "fill"])
        if rule := dict(_rule(column, ranges)):
            sheet.data_validation(1, at, last, at, rule)
    _write_rows(sheet, form, [looks["kept" if column.locked else "fill"] for column in form.columns])
    for at, column in enumerate(form.columns):
        sheet.write_string(0, at, column.header, looks["head"])
    sheet.freeze_panes(1, 1)
    sheet.protect("", {"format_columns": True, "format_rows": True, "format_cells": True})
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _rule(column: Column, ranges: dict[tuple[str, ...], str]) -> Iterator[tuple[str, Any]]:
    if column.choices:
        yield "validate", "list"
        yield "source", ranges[column.choices]
        yield "error_title", column.header[:32]
        yield "error_message", "Choose one of the list."
    elif column.note:
        yield "validate", "any"
    if column.note:
        yield "input_title", column.header[:32]
        yield "input_message", column.note[:250]


def _write_rows(sheet: Worksheet, form: Form, looks: Sequence[Format]) -> None:
    for at, column in enumerate(form.columns):
        sheet.write_string(0, at, column.header)
    for number, row in enumerate(form.rows, start=1):
        for at, (value, look) in enumerate(zip(row, looks, strict=True)):
            if isinstance(value, str) and value:
                sheet.write_string(number, at, value, look)
            elif isinstance(value, (int, Decimal)):
                sheet.write_number(number, at, value, look)

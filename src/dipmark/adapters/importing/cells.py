"""Cells as people fill them in, made into numbers and text; dates are in `dates`, whose words are passed on here."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Final, Literal

import msgspec

from dipmark.adapters.importing.dates import DateOrder, When, parse_date, parse_time
from dipmark.adapters.importing.words import squeeze
from dipmark.facts.problems import Problem, code

if TYPE_CHECKING:
    from dipmark.adapters.importing.sheet import Cell

__all__ = [
    "DateOrder", "DecimalMark", "Number", "When", "as_text", "parse_date", "parse_number", "parse_text", "parse_time",
    "unit_of",
]  # fmt: skip

AMBIGUOUS: Final = code("number-ambiguous", "A number in a table reads two ways and nobody has said which.")
UNREADABLE: Final = code("number-unreadable", "A cell that should hold a number holds something else.")

DecimalMark = Literal["comma", "point"]
_MARK: Final[dict[DecimalMark, str]] = {"comma": ",", "point": "."}

_UNITS: Final[dict[str, str]] = {
    "h": "h hr hrs hour hours std stdn stunde stunden bh bstd betriebsstunden hora horas hs",
    "min": "min mins minute minutes minuto minutos minuten",
    "km": "km kms kilometer kilometers kilometre kilometres kilometros",
    "mi": "mi mile miles milla millas meile meilen",
    "kg": "kg kgs kilo kilos kilogram kilograms kilogramm kilogramos",
    "lb": "lb lbs pound pounds libra libras pfund",
    "t": "t to ton tons tonne tonnes tonnen tonelada toneladas",
}
_UNIT: Final = {word: unit for unit, words in _UNITS.items() for word in words.split()}

_NUMBER = re.compile(r"^(?P<sign>[+-]?)\s*(?P<body>(?:\d[\d., ']*)?\d|[.,]\d+)\s*(?P<unit>[^\W\d_][^\W\d]{0,24}\.?)?$")
_CLOCKED = re.compile(r"^(?P<h>\d{1,7}):(?P<m>[0-5]\d)(?::(?P<s>[0-5]\d))?\s*(?P<unit>[^\W\d_]{1,15}\.?)?$")
_GROUPED = re.compile(r"^\d{1,3}(?P<mark>[., '])\d{3}(?:(?P=mark)\d{3})*$")
_SPACES: Final = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f\u200a\t"), " ")
_WIDE: Final = {0xFF01 + i: chr(0x21 + i) for i in range(94)} | {0x3000: " "}
_SIGNS: Final = {0x2212: "-", 0x2019: "'", 0x2018: "'", 0x02BC: "'", 0x066C: "'"}


class Number(msgspec.Struct, frozen=True):
    """A number as written.

    Args:
        value: exactly what stands there; hours and minutes as hours to two places.
        unit: its unit as one word (h, min, km, mi, kg, lb, t, or as written when unknown); None when none stands there.
        places: digits after the decimal mark as written.
    """

    value: Decimal
    unit: str | None
    places: int


def unit_of(word: str | None) -> str | None:
    """One word for a unit: Std. → h; an unknown one stays as written."""
    if not word:
        return None
    return _UNIT.get(squeeze(word), word.strip())


def parse_number(cell: Cell, decimal: DecimalMark | None = None) -> Number | Problem:
    """A number with its unit; `decimal` says how 1,250 and 1.250 are meant, without it they are asked about."""
    if isinstance(cell, Decimal):
        return Number(cell, None, _places(cell))
    if isinstance(cell, timedelta):
        return _hours(int(cell.total_seconds()))
    if isinstance(cell, time):
        return _hours(cell.hour * 3600 + cell.minute * 60 + cell.second)
    if not isinstance(cell, str):
        return _unreadable(cell)
    text = " ".join(cell.translate(_WIDE | _SPACES | _SIGNS).split(" ")).strip()
    if len(text) > 60 or not text.isprintable() or any(c.isnumeric() and not c.isascii() for c in text):
        return _unreadable(cell)
    if found := _CLOCKED.match(text):
        if unit_of(found["unit"]) not in {None, "h"}:
            return _unreadable(cell)
        return _hours(int(found["h"]) * 3600 + int(found["m"]) * 60 + int(found["s"] or 0))
    found = _NUMBER.match(text)
    if not found:
        return _unreadable(cell)
    digits = _digits(found["body"], cell, decimal)
    if isinstance(digits, Problem):
        return digits
    value = Decimal(f"{found['sign']}{digits}")
    return Number(value, unit_of(found["unit"]), _places(value))


def parse_text(cell: Cell) -> str:
    """Text as written, without the spaces around it and with runs of spaces in a line made one."""
    lines = as_text(cell).translate(_SPACES).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return "\n".join(" ".join(line.split()) for line in lines).strip()


def as_text(cell: Cell, decimal: DecimalMark | None = None) -> str:
    """The cell as text that reads back to the same value."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, Decimal):
        return format(cell, "f").replace(".", _MARK[decimal or "point"])
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ", timespec="seconds")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return cell.isoformat(timespec="seconds")
    if isinstance(cell, timedelta):
        minutes, seconds = divmod(int(cell.total_seconds()), 60)
        return f"{minutes // 60}:{minutes % 60:02}" + (f":{seconds:02}" if seconds else "")
    return cell


def _places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _hours(seconds: int) -> Number:
    value = (Decimal(seconds) / 3600).quantize(Decimal("0.01"))
    return Number(value, "h", 2)


def _unreadable(cell: Cell, expected: str = "a number") -> Problem:
    text = as_text(cell)
    return Problem(UNREADABLE, repr(text if len(text) <= 60 else text[:59] + "…"), expected, "Write it as 1250.5.")


def _digits(body: str, cell: str, decimal: DecimalMark | None) -> str | Problem:
    """The digits with a point as decimal mark; where one mark could be either, `decimal` decides or it is asked."""
    marks = [c for c in body if c in ".,"]
    mark = _MARK[decimal] if decimal else None
    if not marks:
        whole, fraction = body, ""
    elif len(marks) == 1 and not re.search("[ ']", body):
        before, _, after = body.partition(marks[0])
        two_ways = len(after) == 3 and 1 <= len(before) <= 3 and before[0] != "0"
        if two_ways and mark is None:
            return Problem(AMBIGUOUS, f"{cell.strip()!r}, which is {before}{after} or {before}.{after}",
                           "a number that reads one way",
                           "Say which with --decimal comma or --decimal point, or write it "
                           "without the mark.")  # fmt: skip
        if mark == marks[0] or (mark is None and not two_ways):
            whole, fraction = before, after
        elif two_ways:
            whole, fraction = before + after, ""
        else:
            return _unreadable(cell, f"a number with a decimal {decimal}")
    elif marks.count(marks[-1]) == 1:
        whole, _, fraction = body.partition(marks[-1])
    else:
        whole, fraction = body, ""
    if mark and fraction and mark not in marks:
        return _unreadable(cell, f"a number with a decimal {decimal}")
    if mark and mark in whole:
        return _unreadable(cell, f"a number with a decimal {decimal}")
    if not fraction.isdigit() and fraction:
        return _unreadable(cell)
    if whole and not whole.isdigit():
        if not _GROUPED.match(whole):
            return _unreadable(cell, "a number whose thousands are in threes")
        whole = re.sub(r"\D", "", whole)
    return f"{whole or '0'}.{fraction}" if fraction else whole

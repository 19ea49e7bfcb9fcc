"""Dates and times of day as people write them; what reads two ways is a problem, never a guess."""

from __future__ import annotations

import calendar
import re
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from decimal import Decimal
from typing import TYPE_CHECKING, Final, Literal

import msgspec

from dipmark.adapters.importing.words import fold
from dipmark.facts.problems import Problem, code

if TYPE_CHECKING:
    from dipmark.adapters.importing.sheet import Cell

AMBIGUOUS: Final = code("date-ambiguous", "A date in a table reads two ways and nobody has said which.")
IMPOSSIBLE: Final = code("date-impossible", "A date in a table does not exist, or not in the order that was given.")
UNREADABLE: Final = code("date-unreadable", "A cell that should hold a date holds something else.")
UNLIKELY: Final = code("date-unlikely", "A date in a table lies outside the years a lift truck can have.")
TIME_UNREADABLE: Final = code("time-unreadable", "A cell that should hold a time of day holds something else.")

DateOrder = Literal["dmy", "mdy", "ymd"]
EPOCH: Final = date(1899, 12, 30)
"""Day 0 of a workbook; serial numbers after February 1900 count from it."""
YEARS: Final = range(1950, 2101)

_ORDER_WORDS: Final[dict[DateOrder, str]] = {"dmy": "day first", "mdy": "month first", "ymd": "year first"}
_WRITE: Final = "Write it as year-month-day, such as 2026-04-03."
_MONTHS: Final = (
    "january jan enero ene januar janner jaenner", "february feb febrero februar feber",
    "march mar marzo marz maerz mrz maer", "april apr abril abr", "may mayo mai", "june jun junio juni",
    "july jul julio juli", "august aug agosto ago", "september sep sept septiembre setiembre set",
    "october oct octubre oktober okt", "november nov noviembre", "december dec diciembre dic dezember dez",
)  # fmt: skip
_MONTH: Final = {word: number for number, words in enumerate(_MONTHS, 1) for word in words.split()}
_WEEKDAY = re.compile(
    r"^(?:mon(?:day|tag)?|tue(?:s|sday)?|wed(?:nesday)?|thu(?:r|rs|rsday)?|fri(?:day)?|sat(?:urday)?|sun(?:day)?|"
    r"mo|di|mi|do|fr|sa|so|dienstag|mittwoch|donnerstag|freitag|samstag|sonnabend|sonntag|"
    r"lunes|martes|miercoles|jueves|viernes|sabado|domingo|lun|mie|jue|vie|sab|dom)\b[.,]*\s*(?=\d|[a-z])"
)
_ZONE: Final = r"(?P<zone>z|utc|gmt|[+-]\d{2}:?\d{2})?"
_CLOCK: Final = (
    r"(?P<hour>\d{1,2})(?:[:](?P<minute>\d{2})(?::(?P<second>\d{2})(?:[.,]\d{1,9})?)?)?(?:\.(?P<dotted>\d{2})(?=\s*uhr))?"
    r"\s*(?P<tail>[ap]\.?\s?m\.?|uhr|h|hrs)?\s*" + _ZONE
)
_TIME = re.compile(rf"^{_CLOCK}$")
_STAMP = re.compile(rf"^(?P<date>.*?\d\.?)(?:t|,?\s+(?:at |um |a las )?)(?P<clock>{_CLOCK})$")
_YEAR_FIRST = re.compile(r"^(\d{4})(?:-|/|\.\s?| )(\d{1,2})(?:-|/|\.\s?| )(\d{1,2})\.?$")
_COMPACT = re.compile(r"^((?:19|20)\d{2})(\d{2})(\d{2})$")
_DOTTED = re.compile(r"^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4}|\d{2})$")
_SPLIT = re.compile(r"^(\d{1,2})([/\- ])(\d{1,2})\2(\d{4}|\d{2})$")
_DAY_MONTH = re.compile(
    r"^(\d{1,2})(?:st|nd|rd|th|o|a)?\.?[\s/-]*(?:of |de |del )?\s*([a-z]{3,})"
    r"\.?[\s,/-]*(?:de |del )?\s*'?(\d{4}|\d{2})$"
)
_MONTH_DAY = re.compile(r"^([a-z]{3,})\.?\s*(\d{1,2})(?:st|nd|rd|th)?(?:,\s*|\s+)(\d{4})$")
_YEAR_MONTH_DAY = re.compile(r"^(\d{4})[\s/-]([a-z]{3,})\.?[\s/-](\d{1,2})$")
_STATED = re.compile(r"^(?P<a>[dt]+|m+|[yja]+)[\W_]*(?P<b>[dt]+|m+)[\W_]*(?P<c>[dt]+|m+|[yja]+)$")


class When(msgspec.Struct, frozen=True):
    """A date as written, with its time of day if one was written.

    Args:
        day: the day.
        time: the time of day; None means the whole local day.
        offset: the zone as written; None means the yard's.
    """

    day: date
    time: time | None = None
    offset: tzinfo | None = None


def parse_date(cell: Cell, order: DateOrder | None = None, epoch: date = EPOCH) -> When | Problem:
    """A date, with or without time; `order` says how 04/03/2026 is meant. A number is a date only in a workbook."""
    if isinstance(cell, datetime):
        rounded = (cell + timedelta(microseconds=500_000)).replace(microsecond=0)
        return _likely(rounded.date(), str(cell), None if rounded.time() == time() else rounded.time(), cell.tzinfo)
    if isinstance(cell, date):
        return _likely(cell, cell.isoformat())
    if isinstance(cell, Decimal):
        return _from_serial(cell, epoch)
    if not isinstance(cell, str):
        return _unreadable(str(cell))
    text = _plain(cell)
    stamp = _STAMP.match(text)
    if stamp and (stamp["minute"] or stamp["tail"]):
        clock = _clock(stamp, cell)
        day = _day(stamp["date"], cell, order)
        if isinstance(day, Problem):
            return day
        return clock if isinstance(clock, Problem) else _likely(day, cell, clock[0], clock[1])
    day = _day(text, cell, order)
    return day if isinstance(day, Problem) else _likely(day, cell)


def parse_time(cell: Cell) -> time | Problem:
    """A time of day: 06:30, 6:30 PM, 6.30 Uhr."""
    if isinstance(cell, datetime):
        return cell.time()
    if isinstance(cell, time):
        return cell.replace(microsecond=0)
    found = _TIME.match(_plain(cell)) if isinstance(cell, str) else None
    if not found or not (found["minute"] or found["tail"]) or found["zone"]:
        return Problem(TIME_UNREADABLE, _shown(cell), "a time of day", "Write it as 06:30, from 00:00 to 23:59.")
    clock = _clock(found, str(cell))
    return clock if isinstance(clock, Problem) else clock[0]


def stated_order(unit: str | None) -> DateOrder | None:
    """The order a header states: "dd/mm/yyyy", "TT.MM.JJJJ", "mm/dd/aaaa"; None when it states none."""
    found = _STATED.match(fold(unit or ""))
    if not found:
        return None
    first = {"d": "d", "t": "d", "m": "m"}
    letters = "".join(first.get(part[0], "y") for part in found.groups())
    orders: dict[str, DateOrder] = {"dmy": "dmy", "mdy": "mdy", "ymd": "ymd"}
    return orders.get(letters)


def _plain(text: str) -> str:
    """Folded, with plain spaces, hyphens and digits; characters such as ² keep the text from reading as a number."""
    if any(c.isnumeric() and not c.isdecimal() for c in text):
        return ""
    return " ".join(re.sub("[‐-―−]", "-", fold(text)).split()).replace("’", "'")


def _shown(cell: Cell) -> str:
    text = str(cell)
    return repr(text if len(text) <= 60 else text[:59] + "…")


def _unreadable(text: str) -> Problem:
    return Problem(UNREADABLE, _shown(text), "a date with day, month and year", _WRITE)


def _likely(day: date, text: str, clock: time | None = None, offset: tzinfo | None = None) -> When | Problem:
    if day.year not in YEARS:
        return Problem(UNLIKELY, f"{_shown(text)} (the year {day.year})", "a year from 1950 to 2100", _WRITE)
    return When(day, clock, offset)


def _from_serial(number: Decimal, epoch: date) -> When | Problem:
    if number == number.to_integral_value() and 19_000_000 <= number <= 21_009_999:
        return parse_date(format(number, ".0f"))
    if not 1 <= number < 100_000:
        return _unreadable(format(number, "f"))
    stamp = datetime(epoch.year, epoch.month, epoch.day) + timedelta(seconds=round(number * 86_400))  # noqa: DTZ001
    return _likely(stamp.date(), format(number, "f"), None if stamp.time() == time() else stamp.time())


def _clock(found: re.Match[str], text: str) -> tuple[time, tzinfo | None] | Problem:
    hour, minute, second = int(found["hour"]), int(found["minute"] or found["dotted"] or 0), int(found["second"] or 0)
    tail = (found["tail"] or "")[:1]
    good = 1 <= hour <= 12 if tail in {"a", "p"} else hour <= 23
    if not good or minute > 59 or second > 59:
        return Problem(TIME_UNREADABLE, _shown(text), "a time from 00:00 to 23:59", "Write it as 06:30.")
    if tail in {"a", "p"}:
        hour = hour % 12 + (12 if tail == "p" else 0)
    zone = found["zone"]
    if not zone:
        return time(hour, minute, second), None
    if zone[0] not in "+-":
        return time(hour, minute, second), UTC
    minutes = int(zone[1:3]) * 60 + int(zone[-2:])
    if minutes > 14 * 60 or int(zone[-2:]) > 59:
        return Problem(TIME_UNREADABLE, _shown(text), "a zone from -14:00 to +14:00", "Write it as +01:00.")
    return time(hour, minute, second), timezone(timedelta(minutes=minutes if zone[0] == "+" else -minutes))


def _day(text: str, cell: str, order: DateOrder | None) -> date | Problem:
    text = _WEEKDAY.sub("", text, count=1)
    if found := _YEAR_FIRST.match(text) or _COMPACT.match(text):
        return _made(cell, *map(int, found.groups()))
    if found := _DOTTED.match(text):
        return _made(cell, _year(found[3]), int(found[2]), int(found[1]))
    if found := _SPLIT.match(text):
        return _split(cell, (found[1], found[3], found[4]), order)
    if (found := _DAY_MONTH.match(text)) and found[2] in _MONTH:
        return _made(cell, _year(found[3]), _MONTH[found[2]], int(found[1]))
    if (found := _MONTH_DAY.match(text)) and found[1] in _MONTH:
        return _made(cell, int(found[3]), _MONTH[found[1]], int(found[2]))
    if (found := _YEAR_MONTH_DAY.match(text)) and found[2] in _MONTH:
        return _made(cell, int(found[1]), _MONTH[found[2]], int(found[3]))
    return _unreadable(cell)


def _year(text: str) -> int:
    """Two digits are the years 1970 to 2069."""
    if len(text) == 4:
        return int(text)
    return int(text) + (2000 if int(text) < 70 else 1900)


def _exists(year: int, month: int, day: int) -> bool:
    return year >= 1 and 1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]


def _made(cell: str, year: int, month: int, day: int) -> date | Problem:
    if _exists(year, month, day):
        return date(year, month, day)
    if year >= 1 and 1 <= month <= 12:
        last = calendar.monthrange(year, month)[1]
        return Problem(IMPOSSIBLE, _shown(cell), f"a day from 1 to {last} in month {month} of {year}", _WRITE)
    return Problem(IMPOSSIBLE, _shown(cell), f"a month from 1 to 12, not {month}", _WRITE)


def _split(cell: str, parts: tuple[str, str, str], order: DateOrder | None) -> date | Problem:
    """Slashes, hyphens and spaces tell nothing about the order: every order that gives a date that exists counts."""
    a, b, c = parts
    orders: tuple[DateOrder, ...] = ("dmy", "mdy") if len(c) == 4 else ("dmy", "mdy", "ymd")
    if order in orders:
        orders = (order,)
    numbers: dict[DateOrder, tuple[int, int, int]] = {
        "dmy": (_year(c), int(b), int(a)),
        "mdy": (_year(c), int(a), int(b)),
        "ymd": (_year(a.zfill(2)), int(b), int(c)),
    }
    readings: dict[date, DateOrder] = {}
    for one in orders:
        if _exists(*numbers[one]):
            readings.setdefault(date(*numbers[one]), one)
    if len(readings) == 1:
        return next(iter(readings))
    if not readings:
        if order in orders:
            return Problem(IMPOSSIBLE, _shown(cell), f"a date that exists, read {_ORDER_WORDS[orders[0]]}", _WRITE)
        return Problem(IMPOSSIBLE, _shown(cell), "a date that exists", _WRITE)
    ways = " or ".join(f"{day.isoformat()} ({_ORDER_WORDS[one]})" for day, one in readings.items())
    options = " or ".join(f"--dates {one}" for one in readings.values())
    return Problem(AMBIGUOUS, f"{_shown(cell)}, which is {ways}", "a date that reads one way",
                   f"Say which with {options}, or write it as year-month-day.")  # fmt: skip

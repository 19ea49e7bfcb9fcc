"""Lessons from a table that somebody kept elsewhere: faults that came back, lives of parts, upkeep by the year."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from dipmark.adapters.importing.cells import DecimalMark
from dipmark.adapters.importing.rows import RANGE
from dipmark.derive.cost import Year, economic_life
from dipmark.derive.reliability.histories import History, histories
from dipmark.derive.reliability.life import Law, lives
from dipmark.derive.reliability.renewal import age
from dipmark.facts.problems import Problem, code
from dipmark.office.lessons_columns import Asked, Line, read_columns, refuse
from dipmark.views.lessons_table import (
    LivesLesson,
    RecurrenceLesson,
    ReplaceLesson,
    UpkeepLesson,
    lives_lesson,
    recurrence_lesson,
    replace_lesson,
    upkeep_lesson,
)

ENDED: Final = code("watch-ended", "A table for lessons ends a unit's watch twice, or before one of its faults.")
YEARS: Final = code("years-unfit", "The years of a table for lessons do not follow one another.")

RECURRENCE: Final = (
    Asked("unit", text=True),
    Asked("hours", hours=True),
    Asked("event", words=("fault", "end")),
    Asked("cost", optional=True),
)
LIVES: Final = (
    Asked("hours", above=True, hours=True),
    Asked("event", words=("failed", "running")),
    Asked("count", least=1, whole=True, optional=True),
)
UPKEEP: Final = (Asked("year", whole=True), Asked("value"), Asked("upkeep"))

CALENDAR: Final = 1900
"""A first year of at least this is one of the calendar."""


def recurrence_of(path: Path, level: float, decimal: DecimalMark | None = None) -> RecurrenceLesson:
    """What a table of faults teaches: unit, hours, event (fault, end), cost where there is one.

    A unit without an `end` was watched until its last fault.

    Raises:
        Refused: anything is wrong with the table: every fault with its line and column.
    """
    lines = read_columns(path, RECURRENCE, decimal)
    costs = any("cost" in line.numbers for line in lines)
    units: dict[str, list[Line]] = {}
    for line in lines:
        units.setdefault(line.texts["unit"], []).append(line)
    problems: list[Problem] = []
    read = [_history(unit, rows, problems, costs=costs) for unit, rows in units.items()]
    if problems:
        refuse(sorted(problems, key=lambda one: one.where.line or 0))
    return recurrence_lesson(histories(read), level, costs=costs)


def _history(unit: str, rows: list[Line], problems: list[Problem], *, costs: bool) -> History:
    """What happened to one unit; a cost that is not told is none."""
    faults = sorted((row for row in rows if row.texts["event"] == "fault"), key=lambda row: row.numbers["hours"])
    ends = [row for row in rows if row.texts["event"] == "end"]
    end = ends[0].numbers["hours"] if ends else faults[-1].numbers["hours"]
    problems += [
        Problem(ENDED, f"another end of {unit}", "one end for each unit", "Keep one.", row.where) for row in ends[1:]
    ]
    expected = f"at most {end:g} h, where its watch ended"
    problems += [
        Problem(ENDED, f"a fault of {unit} at {row.numbers['hours']:g} h", expected, "Mind both hours.", row.where)
        for row in faults
        if row.numbers["hours"] > end
    ]
    problems += [
        Problem(RANGE, f"a fault of {unit} at 0 h", "hours over 0", "It was there when the watch began.", row.where)
        for row in faults
        if row.numbers["hours"] == 0
    ]
    hours = tuple(row.numbers["hours"] for row in faults)
    money = tuple(row.numbers.get("cost", 0.0) for row in faults) if costs else ()
    return History(hours, end, costs=money, until_fault=not ends)


def lives_of(path: Path, level: float, decimal: DecimalMark | None = None) -> LivesLesson:
    """What a table of lives teaches: hours, event (failed, running), count where a line stands for several parts.

    Raises:
        Refused: anything is wrong with the table: every fault with its line and column.
    """
    lines = read_columns(path, LIVES, decimal)
    hours = [line.numbers["hours"] for line in lines]
    failed = [line.texts["event"] == "failed" for line in lines]
    return lives_lesson(lives(hours, failed, [line.numbers.get("count", 1.0) for line in lines]), level)


def upkeep_of(path: Path, price: float, rate: float, decimal: DecimalMark | None = None) -> UpkeepLesson:
    """How many years to keep a truck, from a table of year, value at its end, and upkeep.

    Args:
        path: the table.
        price: of the truck, new.
        rate: interest a year, 0.10 for 10 %.
        decimal: the decimal mark.

    Raises:
        Refused: anything is wrong with the table: every fault with its line and column.
    """
    lines = read_columns(path, UPKEEP, decimal)
    first = lines[0].numbers["year"]
    problems = [] if first == 1 or first >= CALENDAR else [
        Problem(RANGE, f"year {first:g}", "year 1 first, or a year of the calendar", "The price stands for year 0.",
                lines[0].where)
    ]  # fmt: skip
    for at, line in enumerate(lines):
        if line.numbers["year"] != first + at:
            found, expected = f"year {line.numbers['year']:g}", f"year {first + at:g}, each once and in order"
            problems.append(Problem(YEARS, found, expected, "Put the years in order, none left out.", line.where))
    if problems:
        refuse(problems)
    years = [Year(line.numbers["value"], line.numbers["upkeep"]) for line in lines]
    return upkeep_lesson(economic_life(price, years, rate))


def replacement_of(shape: float, scale: float, planned: float, failure: float) -> ReplaceLesson:
    """When to replace a part of a Weibull life so that it costs least; see `derive.reliability.renewal.age`."""
    return replace_lesson(age(Law("weibull", shape, scale), planned, failure))

"""A column of a filled sheet: what one shift ticked on all its pages, what is sure of it and what a person must see."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime, tzinfo
from decimal import Decimal
from typing import Final, Literal
from uuid import UUID

import msgspec

from dipmark.adapters.vision.read import Digit, Ink, Reading
from dipmark.derive.days import day_start
from dipmark.facts.base import FactId, FaultRef
from dipmark.facts.base import Reading as Hours
from dipmark.facts.walk_round import Answer, OpenFault, WalkRound
from dipmark.views.sheet_geometry import DIGITS, Area, Page, Printed, Shift, digest_of, pages, ticks, written

HOURS: Final = "hours"
"""Names the hour meter among the lines of a column."""

Tick = Literal["good", "nothing", "ask"]

NONE: Final = Ink("none", 0.0)


class Column(msgspec.Struct, frozen=True, kw_only=True):
    """What was read of one shift.

    Args:
        shift: number of its column.
        lines: of every line that was printed, what is sure; a line that is not is to be asked.
        hours: read off the rings; None where nobody filled them, or where a person must look.
        inked: somebody wrote into it.
    """

    shift: int
    lines: dict[str, Tick]
    hours: Decimal | None
    ask_hours: bool
    inked: bool

    @property
    def asks(self) -> tuple[str, ...]:
        """The lines a person must look at, the hour meter last."""
        found = tuple(line for line, tick in self.lines.items() if tick == "ask")
        return (*found, HOURS) if self.ask_hours else found


def column_id(printed: Printed, shift: int, zone: tzinfo) -> FactId:
    """The id of the walk-round that a column is, the same however often the sheet is read: a UUID of version 7.

    Its time is the shift's; the rest is of the digest of the sheet and the number of the column.
    """
    when, _ = moment_of(printed.shifts[shift], zone)
    more = int.from_bytes(hashlib.sha256(f"{digest_of(printed)} {shift}".encode()).digest()[:10], "big")
    told = int(when.timestamp() * 1000) << 80 | more
    told = told & ~(0xF << 76) | 7 << 76
    told = told & ~(0x3 << 62) | 2 << 62
    return FactId(str(UUID(int=told)))


def moment_of(shift: Shift, zone: tzinfo) -> tuple[datetime, bool]:
    """When a shift begins; and whether only its day is known."""
    if shift.start is None:
        return datetime.fromisoformat(day_start(shift.day, zone).astimezone(zone).isoformat()), True
    begins = datetime.combine(shift.day, shift.start, tzinfo=zone)
    return datetime.fromisoformat(begins.isoformat()), False


def pages_of(printed: Printed, shift: int) -> tuple[int, ...]:
    """The pages, from 1, on which a shift has a column or an hour meter."""
    return tuple(
        page.number
        for page in pages(printed)
        if shift in {*(one.shift for one in page.columns), *(one.shift for one in page.meters)}
    )


def column_of(printed: Printed, shift: int, read: Mapping[int, Reading]) -> Column:
    """What one shift ticked.

    Args:
        printed: the sheet.
        shift: number of the column.
        read: pages by their number; those of the shift that are missing count as untouched.
    """
    lines: dict[str, Tick] = {}
    digits: list[Digit] = []
    inked = False
    for page in pages(printed):
        if page.number not in read:
            continue
        found = _inks(page, read[page.number], shift)
        for line, (good, fault) in found.items():
            lines[printed.lines[line]] = _tick(good, fault)
            inked |= good.seen != "none" or fault.seen != "none"
        digits += _digits(page, read[page.number], shift)
    hours, ask = _hours(digits)
    return Column(shift=shift, lines=lines, hours=hours, ask_hours=ask, inked=inked)


def _inks(page: Page, reading: Reading, shift: int) -> dict[int, tuple[Ink, Ink]]:
    """By line the two boxes of a shift."""
    boxes = [one for one in ticks(page) if one.what != "digit"]
    held: dict[int, dict[str, Ink]] = {}
    for tick, ink in zip(boxes, reading.boxes, strict=True):
        if tick.shift == shift:
            held.setdefault(tick.at, {})[tick.what] = ink
    return {line: (both["ok"], both["fault"]) for line, both in held.items()}


def _tick(good: Ink, fault: Ink) -> Tick:
    """Any ink in the fault column is for a person; so is what is not surely nothing or surely a mark."""
    if fault.seen != "none" or good.seen == "unsure":
        return "ask"
    return "good" if good.seen == "mark" else "nothing"


def _digits(page: Page, reading: Reading, shift: int) -> list[Digit]:
    at = next((turn for turn, meter in enumerate(page.meters) if meter.shift == shift), None)
    return [] if at is None else list(reading.digits[at * DIGITS : (at + 1) * DIGITS])


def _hours(digits: list[Digit]) -> tuple[Decimal | None, bool]:
    """The hours where every ring is sure; and whether a person must look. The last digit is behind the point."""
    if all(one.seen == "none" for one in digits):
        return None, False
    if any(one.value is None for one in digits):
        return None, True
    return Decimal("".join(str(one.value) for one in digits)).scaleb(-1), False


def walk_of(printed: Printed, column: Column, answers: Mapping[str, Answer | OpenFault], meter: str) -> WalkRound:
    """The walk-round of a column.

    Args:
        printed: the sheet.
        column: as it was read.
        answers: what a person made of the lines that were asked.
        meter: name of the truck's first hour meter.
    """
    told: dict[str, Answer | OpenFault] = {}
    for line, tick in column.lines.items():
        if line in answers:
            told[line] = answers[line]
        elif tick == "good":
            known = line in printed.faults
            told[line] = OpenFault(fault=FaultRef(line), now="same") if known else Answer(check=line)
    return WalkRound(
        answers=tuple(one for one in told.values() if isinstance(one, Answer)),
        rules=printed.rules,
        open_faults=tuple(one for one in told.values() if isinstance(one, OpenFault)),
        meter=None if column.hours is None else Hours(hours=column.hours, meter=meter),
        paper=True,
    )


def area_of(printed: Printed, shift: int, line: str) -> tuple[int, Area] | None:
    """On which page, and where, a line of a column lies; None where it is not on the sheet.

    Args:
        printed: the sheet.
        shift: number of the column.
        line: one of `Printed.lines`, or `HOURS`.
    """
    for page in pages(printed):
        if line == HOURS:
            found = [written(meter)[0] for meter in page.meters if meter.shift == shift]
            found += [one.area for one in ticks(page) if one.what == "digit" and one.shift == shift]
        else:
            found = [
                one.area
                for one in ticks(page)
                if one.what != "digit" and one.shift == shift and printed.lines[one.at] == line
            ]
        if found:
            x, y = min(one.x for one in found), min(one.y for one in found)
            right, low = max(one.x + one.w for one in found), max(one.y + one.h for one in found)
            return page.number, Area(x, y, right - x, low - y)
    return None

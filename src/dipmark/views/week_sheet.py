"""The sheet on which a truck's walk-rounds are ticked by hand: of a week, a column a shift, or of a single shift."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

import msgspec

from dipmark.derive.faults import FaultNow
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.derive.yard import YardNow
from dipmark.facts.base import WEEKDAYS
from dipmark.facts.said import Word
from dipmark.rules.model import Check, Kind, Place, Rules
from dipmark.views.drawing.draw import drawing
from dipmark.views.drawing.svg import svg
from dipmark.views.paper import Head, shortened
from dipmark.views.sheet_code import sheet_code
from dipmark.views.sheet_geometry import (
    Area,
    Page,
    Paper,
    Printed,
    Shift,
    Tick,
    groups,
    initials,
    pages,
    text_width,
    ticks,
    written,
)
from dipmark.views.words import SERIOUSNESS, STATE, day

LOW, HIGH = 54, 76
"""Heights of a line with two and with three lines of print, in tenths of a millimetre."""

LETTER: Final = 12
"""Width of a letter of the words of a line, in tenths of a millimetre; an estimate on the wide side."""

FAULT: Final = 120
"""Characters of an open fault that are printed; the whole of it stands in the truck file."""

NAME: Final = 12
"""Characters of a shift's name that are printed."""


class Line(msgspec.Struct, frozen=True):
    """A line of the sheet.

    Args:
        text: what to look at, or the open fault.
        normal: what it looks like when nothing is wrong; of a fault how serious it is.
        stop: any tick in its right box: key out.
        cautions: what can hurt while looking: numbers in `WeekSheet.cautions`.
    """

    text: str
    normal: str
    stop: bool
    cautions: tuple[int, ...] = ()


class SheetPage(msgspec.Struct, frozen=True):
    """A page ready to print: its layout, what is drawn on it, the text of its code.

    Args:
        layout: where everything lies.
        boxes: of its lines.
        rings: of the first of its meters; the others are the same, further on.
        initials: boxes, one a column.
        written: boxes for the digits of each meter.
        code: text of the printed code.
    """

    layout: Page
    boxes: tuple[Tick, ...]
    rings: tuple[Tick, ...]
    initials: tuple[Area, ...]
    written: tuple[tuple[Area, ...], ...]
    code: str


class WeekSheet(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the sheet.

    Args:
        head: of its pages.
        printed: the sheet as it is kept, to read it back.
        pages: ready to print.
        lines: in the order of `Printed.lines`.
        places: those of `Printed.places`.
        shifts: heads of the columns: day, name, start.
        state: how the truck stood when it was printed.
        meters: names of its meters, the first is the one that is written.
        cautions: what can hurt while looking, each once.
        drawing: the truck as SVG, with its places.
    """

    head: Head
    printed: Printed
    pages: tuple[SheetPage, ...]
    lines: tuple[Line, ...]
    places: tuple[Place, ...]
    shifts: tuple[tuple[str, str, str], ...]
    state: str
    meters: tuple[str, ...]
    cautions: tuple[str, ...]
    drawing: str


def shifts_of_week(yard: YardNow, any_day: date) -> tuple[Shift, ...]:
    """The shifts of the week a day lies in, from Monday; without a pattern one a day. Closed days are left out.

    Args:
        yard: as it is.
        any_day: of that week.
    """
    monday = any_day - timedelta(days=any_day.weekday())
    days = [monday + timedelta(days=turn) for turn in range(7)]
    found = [
        Shift(one, shift.name, shift.start)
        for one in days
        if one not in yard.closed
        for shift in sorted(yard.shifts, key=lambda shift: shift.start)
        if one.isoweekday() in shift.days
    ]
    return tuple(found or (Shift(one) for one in days))


def one_shift(day: date) -> tuple[Shift, ...]:
    """A single shift of a day, whose name is written by hand.

    Args:
        day: on which it starts.
    """
    return (Shift(day),)


def week_sheet(
    truck: TruckNow,
    kind: Kind,
    rules: Rules,
    head: Head,
    paper: Paper,
    shifts: Sequence[Shift],
    *,
    single: bool = False,
) -> WeekSheet:
    """The sheet of one truck.

    Args:
        truck: as it stands.
        kind: its rules.
        rules: of today, in the language of the sheet.
        head: of its pages.
        paper: size of the paper.
        shifts: its columns, one at least.
        single: True for the sheet of a single shift.
    """
    walk, live = _walk(truck, kind), [fault for fault in truck.faults if fault.open]
    checks = [check for held in walk.values() for check in held]
    cautions = tuple(dict.fromkeys(caution for check in checks for caution in check.cautions))
    lines = (*(_fault(one, rules.word) for one in live), *(_line(check, cautions) for check in checks))
    printed = Printed(
        sheet="shift" if single else "week",
        book=truck.book,
        paper=paper,
        rules=rules.digest,
        code=head.code,
        shifts=tuple(shifts),
        faults=tuple(one.ref for one in live),
        places=tuple(tuple(check.id for check in held) for held in walk.values()),
        row=_row(checks, paper, max(map(len, groups(shifts)))),
    )
    layout = pages(printed)
    return WeekSheet(
        head=head,
        printed=printed,
        pages=tuple(_page(printed, page, truck.name, len(layout)) for page in layout),
        lines=lines,
        places=tuple(walk),
        shifts=tuple(_named(shift, rules.word) for shift in shifts),
        state=rules.word(STATE[truck.state.code]),
        meters=tuple(life.name for life in truck.meters),
        cautions=cautions,
        drawing=svg(drawing(kind.key, tuple(walk)), kind.text),
    )


def _walk(truck: TruckNow, kind: Kind) -> dict[Place, list[Check]]:
    """The checks of every shift, place by place in walking order; a place without one is left out."""
    asked = [check for check in kind.checks_for(options_of(truck.counting, kind)) if check.shift]
    held = {place: [one for one in asked if one.place == place.id] for place in kind.places}
    return {place: held[place] for place in sorted(held, key=lambda place: place.number) if held[place]}


def _line(check: Check, cautions: Sequence[str]) -> Line:
    return Line(check.text, check.normal, check.stop_worthy, tuple(cautions.index(one) for one in check.cautions))


def _fault(fault: FaultNow, word: Word) -> Line:
    """An open fault; where it is worse than it was, nobody drives."""
    said = word(SERIOUSNESS[fault.seriousness])
    until = "" if fault.deadline is None else f" {day(fault.deadline, word)}"
    return Line(shortened(fault.text, FAULT), said + until, stop=True)


def _row(checks: Sequence[Check], paper: Paper, columns: int) -> int:
    """Two lines of print where the words of the longest check fit, else three."""
    letters = 2 * (text_width(paper, columns) - 30) // LETTER
    return LOW if max(len(one.text) + len(one.normal) for one in checks) <= letters else HIGH


def _page(printed: Printed, page: Page, truck: str, of: int) -> SheetPage:
    drawn = tuple(ticks(page))
    first = page.meters[0].shift if page.meters else None
    return SheetPage(
        layout=page,
        boxes=tuple(one for one in drawn if one.what != "digit"),
        rings=tuple(one for one in drawn if one.what == "digit" and one.shift == first),
        initials=initials(page),
        written=tuple(written(meter) for meter in page.meters),
        code=sheet_code(printed, truck, page.number, of).text(),
    )


def _named(shift: Shift, word: Word) -> tuple[str, str, str]:
    weekday, number = word(WEEKDAYS[shift.day.weekday()]), str(shift.day.day)
    return f"{weekday} {number}", shortened(shift.name, NAME), "" if shift.start is None else f"{shift.start:%H:%M}"

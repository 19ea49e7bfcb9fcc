"""Where everything lies on a sheet that is read back from a photo: one layout, used to print it and to read it.

All lengths are whole tenths of a millimetre from the upper left corner of the paper.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from datetime import date, time
from itertools import groupby
from typing import Final, Literal

import msgspec

from dipmark.facts.base import BookId, Digest, FaultRef

Paper = Literal["a4", "letter"]

PAPERS: Final[dict[Paper, tuple[int, int]]] = {"a4": (2100, 2970), "letter": (2159, 2794)}
"""Width and height of the paper. ISO 216; ANSI/ASME Y14.1 size A."""

EDGE: Final = 70
"""From the edge of the paper to a corner mark; no printer reaches further out. Common practice, no source."""

CORNER: Final = 50
"""Side of a corner mark."""

SIDE: Final = 90
"""From the side of the paper to the lines of the sheet."""

CODE: Final = 300
"""Side of the printed code."""

TOP: Final = 450
"""Where the lines begin, under the heading."""

HEAD: Final = 110
"""Height of the heads of the columns: day and shift."""

SIGN: Final = 80
"""Height of the boxes for initials."""

BAND: Final = 38
"""Height of the line that names a place."""

FOOT: Final = 150
"""From the foot of the paper to the last line."""

NOTES: Final = 200
"""Room for cautions between the last line and the foot."""

PITCH: Final = 46
"""From a box to the next; a column of a shift has two."""

BOX: Final = 34
"""Side of a box."""

COLUMNS: Final = 12
"""So many columns a page has at most."""

DIGITS: Final = 6
"""Digits of the hour meter: five before the point, one after it."""

DIGIT: Final = 42
"""From a digit to the next."""

BUBBLE: Final = (30, 24)
"""Width and height of the ring that stands for a number."""

RING: Final = 34
"""From a ring to the next one below."""

LABEL, WRITTEN, METER = 40, 60, 470
"""Heights of a meter's heading, of its written boxes, and of all of it with the air below."""

ACROSS: Final = 7
"""Meters side by side: a week's."""

SLIP: Final = 640
"""Height of the fault slips that are torn off."""

DRAWN: Final = 700
"""A drawing is at least so high, or left out."""


class Area(msgspec.Struct, frozen=True):
    """A rectangle: where it begins, how wide and how high it is."""

    x: int
    y: int
    w: int
    h: int


class Shift(msgspec.Struct, frozen=True):
    """A column of the sheet.

    Args:
        day: on which it starts.
        name: as the yard calls it; empty: the whole day.
        start: by the yard's clock; None: none is known.
    """

    day: date
    name: str = ""
    start: time | None = None


class Printed(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A sheet as it was printed: all that is needed to read it. It is kept, and its digest stands in the printed code.

    Args:
        sheet: a week's, or a single shift's.
        book: the truck's.
        paper: size of the paper.
        rules: digest of the rules it was made from.
        code: code of the book as it stood.
        shifts: a column each.
        faults: open faults, a line each.
        places: in walking order, the ids of their checks, a line each.
        row: height of a line.
    """

    sheet: Literal["week", "shift"]
    book: BookId
    paper: Paper
    rules: Digest
    code: str
    shifts: tuple[Shift, ...]
    faults: tuple[FaultRef, ...]
    places: tuple[tuple[str, ...], ...]
    row: int

    @property
    def lines(self) -> tuple[str, ...]:
        """What each line asks, from the top: faults first, then checks."""
        return (*self.faults, *(check for place in self.places for check in place))


class Column(msgspec.Struct, frozen=True):
    """A column: the number of its shift from 0, and where it begins."""

    shift: int
    x: int


class Band(msgspec.Struct, frozen=True):
    """A line that names a place: its number in `Printed.places`, -1 for the open faults; where it begins."""

    place: int
    y: int


class Row(msgspec.Struct, frozen=True):
    """A line: its number in `Printed.lines`, and where it begins."""

    line: int
    y: int


class Meter(msgspec.Struct, frozen=True):
    """The hour meter of one shift: where its heading, its written boxes and its rings begin."""

    shift: int
    x: int
    y: int


class Page(msgspec.Struct, frozen=True, kw_only=True):
    """One page.

    Args:
        number: from 1.
        width: of the paper.
        height: of the paper.
        corners: its marks: upper left, upper right, lower right, lower left.
        code: where the printed code lies.
        text: where the words of a line lie across; None on a page of meters.
        columns: the shifts on it.
        bands: the places named on it.
        rows: the lines on it.
        notes: where the cautions of its lines stand; None on a page of meters.
        meters: the hour meters on it.
        slips: what is torn off, below the marks.
        drawing: where the truck is drawn.
    """

    number: int
    width: int
    height: int
    corners: tuple[Area, Area, Area, Area]
    code: Area
    text: Area | None = None
    columns: tuple[Column, ...] = ()
    bands: tuple[Band, ...] = ()
    rows: tuple[Row, ...] = ()
    notes: Area | None = None
    meters: tuple[Meter, ...] = ()
    slips: tuple[Area, ...] = ()
    drawing: Area | None = None


class Tick(msgspec.Struct, frozen=True):
    """A box to tick, or a ring to fill.

    Args:
        what: left box of a line, right box of a line, or a digit of the meter.
        shift: number of the shift from 0.
        at: the number of the line; of a digit its place from the left.
        value: what a ring stands for, 0 to 9; 0 for a box.
        area: where it is printed.
    """

    what: Literal["ok", "fault", "digit"]
    shift: int
    at: int
    value: int
    area: Area


def digest_of(printed: Printed) -> Digest:
    """SHA-256 of a printed sheet, in hexadecimal: the key it is kept by."""
    return hashlib.sha256(bytes_of(printed)).hexdigest()


def bytes_of(printed: Printed) -> bytes:
    """A printed sheet as it is kept."""
    return msgspec.json.encode(printed, order="deterministic")


def printed_of(data: bytes) -> Printed:
    """A printed sheet from what was kept.

    Args:
        data: as `bytes_of` gives it.

    Raises:
        ValueError: it is none.
    """
    return msgspec.json.decode(data, type=Printed)


def groups(shifts: Sequence[Shift]) -> tuple[tuple[int, ...], ...]:
    """The shifts of each page: whole days, as evenly as they go, `COLUMNS` a page at most.

    Args:
        shifts: in their order.

    *Edge*: a day with more shifts than a page has columns is parted.

    Example:
        >>> [len(page) for page in groups([Shift(date(2026, 11, 23 + turn // 3)) for turn in range(21)])]
        [12, 9]
    """
    days = [tuple(number for number, _ in day) for _, day in groupby(enumerate(shifts), key=lambda one: one[1].day)]
    wanted = -(-len(shifts) // COLUMNS)
    fair = -(-len(days) // max(wanted, 1))
    found: list[tuple[int, ...]] = []
    for turn, day in enumerate(days):
        if turn % fair == 0 or len(found[-1]) + len(day) > COLUMNS:
            found.append(())
        found[-1] += day
    return tuple(page[first : first + COLUMNS] for page in found for first in range(0, len(page), COLUMNS))


def pages(printed: Printed) -> tuple[Page, ...]:
    """The layout of every page of a sheet: lines with their columns first, then the meters, slips on the last.

    Args:
        printed: the sheet.

    Returns:
        The pages in order; the same for the same sheet.
    """
    found = [
        _lined(printed, columns, bands, rows) for columns in groups(printed.shifts) for bands, rows in _flowing(printed)
    ]
    found += _metered(printed)
    return tuple(msgspec.structs.replace(page, number=turn) for turn, page in enumerate(found, 1))


def ticks(page: Page) -> Iterator[Tick]:
    """Every box and ring of a page: the boxes line by line, then the rings meter by meter.

    Args:
        page: as `pages` gives it.
    """
    if page.rows:
        height = row_height(page)
        air = (PITCH - BOX) // 2
        for row in page.rows:
            for column in page.columns:
                top = row.y + (height - BOX) // 2
                yield Tick("ok", column.shift, row.line, 0, Area(column.x + air, top, BOX, BOX))
                yield Tick("fault", column.shift, row.line, 0, Area(column.x + PITCH + air, top, BOX, BOX))
    width, height = BUBBLE
    for meter in page.meters:
        for digit in range(DIGITS):
            for value in range(10):
                x = meter.x + digit * DIGIT + (DIGIT - width) // 2
                y = meter.y + LABEL + WRITTEN + value * RING + (RING - height) // 2
                yield Tick("digit", meter.shift, digit, value, Area(x, y, width, height))


def row_height(page: Page) -> int:
    """The height of every line of a page with lines."""
    assert page.text is not None  # noqa: S101  a page with lines has room for their words
    return page.text.h


def written(meter: Meter) -> tuple[Area, ...]:
    """The boxes in which the digits of a meter are written by hand, from the left.

    Args:
        meter: of a page.
    """
    return tuple(Area(meter.x + turn * DIGIT + 2, meter.y + LABEL, DIGIT - 4, WRITTEN - 8) for turn in range(DIGITS))


def initials(page: Page) -> tuple[Area, ...]:
    """The boxes for the initials of whoever walked round, one a column.

    Args:
        page: with columns.
    """
    return tuple(Area(column.x + 4, TOP + HEAD + 4, 2 * PITCH - 8, SIGN - 12) for column in page.columns)


def text_width(paper: Paper, columns: int) -> int:
    """How wide the words of a line may be beside so many columns.

    Args:
        paper: size of the paper.
        columns: on the page, 1 to `COLUMNS`.
    """
    return PAPERS[paper][0] - 2 * SIDE - columns * 2 * PITCH


def _corners(width: int, foot: int) -> tuple[Area, Area, Area, Area]:
    right = width - EDGE - CORNER
    return (
        Area(EDGE, EDGE, CORNER, CORNER),
        Area(right, EDGE, CORNER, CORNER),
        Area(right, foot - CORNER, CORNER, CORNER),
        Area(EDGE, foot - CORNER, CORNER, CORNER),
    )


def _blank(paper: Paper, foot: int | None = None) -> Page:
    """A page with its marks and its code; `foot`: the lower edge of the lower marks, where something is torn off."""
    width, height = PAPERS[paper]
    code = Area(width - EDGE - CORNER - 20 - CODE, EDGE + 20, CODE, CODE)
    return Page(number=0, width=width, height=height, corners=_corners(width, foot or height - EDGE), code=code)


def _flowing(printed: Printed) -> Iterator[tuple[tuple[Band, ...], tuple[Row, ...]]]:
    """Bands and rows of each page, whatever its columns; a band stays with the row under it."""
    room = PAPERS[printed.paper][1] - FOOT - NOTES
    first = y = TOP + HEAD + SIGN + 10
    bands: list[Band] = []
    rows: list[Row] = []
    line = 0
    for place, held in enumerate((printed.faults, *printed.places), -1):
        for turn in range(len(held)):
            named = turn == 0 or not rows
            if rows and y + (BAND if named else 0) + printed.row > room:
                yield tuple(bands), tuple(rows)
                bands, rows, y, named = [], [], first, True
            if named:
                bands.append(Band(place, y))
                y += BAND
            rows.append(Row(line, y))
            y += printed.row
            line += 1
    yield tuple(bands), tuple(rows)


def _lined(printed: Printed, shifts: Sequence[int], bands: tuple[Band, ...], rows: tuple[Row, ...]) -> Page:
    wide = text_width(printed.paper, len(shifts))
    columns = tuple(Column(shift, SIDE + wide + turn * 2 * PITCH) for turn, shift in enumerate(shifts))
    text = Area(SIDE, TOP, wide, printed.row)
    page, end = _blank(printed.paper), rows[-1].y + printed.row + 10
    notes = Area(SIDE, end, page.width - 2 * SIDE, page.height - FOOT - end)
    return msgspec.structs.replace(page, text=text, columns=columns, bands=bands, rows=rows, notes=notes)


def _metered(printed: Printed) -> Iterator[Page]:
    """The pages of meters; the slips hang at the foot of the last, below its marks: torn off, the marks stay."""
    width, height = PAPERS[printed.paper]
    cut = height - EDGE - SLIP
    step = (width - 2 * SIDE) // ACROSS
    shifts = list(range(len(printed.shifts)))
    rows = [shifts[first : first + ACROSS] for first in range(0, len(shifts), ACROSS)]
    whole, short = (height - FOOT - TOP) // METER, (cut - FOOT + EDGE - TOP) // METER
    while rows:
        last = len(rows) <= short
        held, rows = (rows, []) if last else (rows[: min(whole, len(rows) - 1)], rows[min(whole, len(rows) - 1) :])
        meters = tuple(
            Meter(shift, SIDE + turn * step + (step - DIGITS * DIGIT) // 2, TOP + across * METER)
            for across, row in enumerate(held)
            for turn, shift in enumerate(row)
        )
        page = _blank(printed.paper, cut - 20 if last else None)
        end = TOP + len(held) * METER
        room = cut - FOOT + EDGE - end if last else 0
        yield msgspec.structs.replace(
            page,
            meters=meters,
            slips=_slips(width, cut) if last else (),
            drawing=Area(SIDE, end, width - 2 * SIDE, room) if room >= DRAWN else None,
        )


def _slips(width: int, cut: int) -> tuple[Area, Area]:
    half = width // 2
    return Area(SIDE, cut + 20, half - SIDE - 20, SLIP - 40), Area(half + 20, cut + 20, half - SIDE - 20, SLIP - 40)

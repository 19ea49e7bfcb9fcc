"""Where everything lies on a sheet that is read back: on the paper, apart, the same for the same sheet."""

from __future__ import annotations

from datetime import date, time, timedelta
from itertools import combinations, pairwise

import msgspec
import pytest

from dipmark.facts.base import BookId, FaultRef
from dipmark.views.sheet_geometry import (
    BOX,
    COLUMNS,
    DIGITS,
    PAPERS,
    Area,
    Page,
    Paper,
    Printed,
    Shift,
    bytes_of,
    digest_of,
    groups,
    initials,
    pages,
    printed_of,
    row_height,
    ticks,
    written,
)

MONDAY = date(2026, 11, 23)


def shifts(days: int, each: int) -> tuple[Shift, ...]:
    hours = [time(turn) for turn in range(each)]
    return tuple(Shift(MONDAY + timedelta(days=day), f"s{hour.hour}", hour) for day in range(days) for hour in hours)


def sheet(days: int = 7, each: int = 3, rows: int = 25, faults: int = 2, paper: Paper = "a4", row: int = 54) -> Printed:
    checks = [f"part.{turn}" for turn in range(rows)]
    return Printed(
        sheet="week",
        book=BookId("truck:7"),
        paper=paper,
        rules="ab" * 32,
        code="12-AAAA-AAAA-AAAA-AAAA",
        shifts=shifts(days, each),
        faults=tuple(FaultRef(f"f{turn}") for turn in range(faults)),
        places=tuple(tuple(checks[first : first + 4]) for first in range(0, rows, 4)),
        row=row,
    )


SHEETS = [
    sheet(days, each, rows, faults, paper, row)
    for days, each in ((7, 3), (7, 1), (1, 1), (5, 2), (7, 5), (1, 14))
    for rows, faults in ((19, 0), (36, 9))
    for paper in PAPERS
    for row in (54, 76)
]


def inside(area: Area, page: Page) -> bool:
    return area.x > 0 and area.y > 0 and area.x + area.w < page.width and area.y + area.h < page.height


def meet(one: Area, other: Area) -> bool:
    return (
        one.x < other.x + other.w and other.x < one.x + one.w and one.y < other.y + other.h and other.y < one.y + one.h
    )


def test_paper_is_as_large_as_it_is() -> None:
    """ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1: size A is 8.5 x 11 in, 215.9 x 279.4 mm."""
    assert PAPERS == {"a4": (2100, 2970), "letter": (2159, 2794)}


@pytest.mark.parametrize("printed", SHEETS)
def test_every_box_is_printed_once_on_the_paper_and_apart(printed: Printed) -> None:
    seen: list[tuple[str, int, int, int]] = []
    for page in pages(printed):
        areas = [one.area for one in ticks(page)]
        seen += [(one.what, one.shift, one.at, one.value) for one in ticks(page)]
        taken = [*page.corners, page.code, *page.slips, *initials(page)]
        taken += [area for meter in page.meters for area in written(meter)]
        taken += [area for area in (page.notes, page.drawing) if area is not None]
        assert all(inside(area, page) for area in (*areas, *taken))
        assert not [pair for pair in combinations(taken, 2) if meet(*pair)]
        assert not [(area, other) for area in areas for other in taken if meet(area, other)]
        by_place = sorted(areas, key=lambda area: (area.y, area.x))
        assert not [pair for pair in pairwise(by_place) if meet(*pair)]
    columns, lines = range(len(printed.shifts)), range(len(printed.lines))
    boxes = {(what, shift, line, 0) for what in ("ok", "fault") for shift in columns for line in lines}
    rings = {("digit", shift, at, value) for shift in columns for at in range(DIGITS) for value in range(10)}
    assert sorted(seen) == sorted(boxes | rings)


@pytest.mark.parametrize("printed", SHEETS)
def test_marks_stand_outside_of_all_that_is_read(printed: Printed) -> None:
    """What is looked for lies within the frame that the marks make, slips excepted: those are torn off."""
    for page in pages(printed):
        left, top = page.corners[0].x, page.corners[0].y
        right, foot = page.corners[2].x + page.corners[2].w, page.corners[2].y + page.corners[2].h
        for area in (page.code, *(one.area for one in ticks(page))):
            assert left <= area.x
            assert area.x + area.w <= right
            assert top <= area.y
            assert area.y + area.h <= foot
        assert all(area.y > foot for area in page.slips)
    assert pages(printed)[-1].slips
    assert all(not page.slips for page in pages(printed)[:-1])


@pytest.mark.parametrize("printed", SHEETS)
def test_lines_keep_their_order_under_the_name_of_their_place(printed: Printed) -> None:
    for page in pages(printed):
        if page.rows:
            assert [row.line for row in page.rows] == sorted(row.line for row in page.rows)
            assert page.bands[0].y < page.rows[0].y
            assert row_height(page) == printed.row
            assert page.notes is not None
            assert page.rows[-1].y + printed.row < page.notes.y
            assert page.notes.h >= 190
    numbers = [page.number for page in pages(printed)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_a_week_of_three_shifts_of_a_usual_truck_takes_two_fronts_and_a_back() -> None:
    assert [(len(page.columns), len(page.rows), len(page.meters)) for page in pages(sheet())] == [
        (12, 27, 0),
        (9, 27, 0),
        (0, 0, 21),
    ]


def test_a_drawing_stands_where_meters_leave_room() -> None:
    assert pages(sheet())[-1].drawing is None
    assert pages(sheet(7, 1))[-1].drawing is not None


def test_days_are_parted_only_where_one_is_wider_than_a_page() -> None:
    assert groups(()) == ()
    assert [len(page) for page in groups(shifts(7, 2))] == [8, 6]
    assert [len(page) for page in groups(shifts(1, 14))] == [COLUMNS, 2]
    assert [len(page) for page in groups(shifts(3, 7))] == [7, 7, 7]


def test_a_printed_sheet_is_kept_and_read_again() -> None:
    printed = sheet()
    assert printed_of(bytes_of(printed)) == printed
    other = msgspec.structs.replace(printed, faults=())
    assert digest_of(printed) != digest_of(other)
    assert len(digest_of(printed)) == 64
    with pytest.raises(ValueError, match="unknown"):
        printed_of(bytes_of(printed).replace(b'"book"', b'"unknown":1,"book"'))


def test_a_box_is_large_enough_for_a_pen() -> None:
    """3 mm at least: common practice, no source."""
    assert BOX >= 30

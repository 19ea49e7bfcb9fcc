"""Marks, empty boxes and rings on a page without damage; and what makes a mark unsure."""

from __future__ import annotations

import cv2
import numpy as np

from dipmark.adapters.vision.find import sheets_in
from dipmark.adapters.vision.pictures import Grey, Picture, shades
from dipmark.adapters.vision.read import BLURRED, Ink, Reading, read
from reading.filling import UNIT, Hand, ticked
from reading.sheets import Sheet, printed


def reading(page: Grey, sheet: Sheet) -> Reading | str:
    return read(sheets_in(Picture(page))[0], sheet.form)


def of_line(sheet: Sheet, found: Reading, shift: int, line: int) -> tuple[Ink, Ink]:
    at = [turn for turn, tick in enumerate(sheet.marks) if (tick.shift, tick.at) == (shift, line)]
    return found.boxes[at[0]], found.boxes[at[1]]


def test_an_empty_page_is_empty() -> None:
    sheet = printed(0)[0]
    found = reading(sheet.clean, sheet)
    assert isinstance(found, Reading)
    assert {ink.seen for ink in found.boxes} == {"none"}
    assert len(found.boxes) == len(sheet.form.boxes)


def test_ticks_are_marks_where_they_are_and_nowhere_else() -> None:
    sheet = printed(0)[0]
    good, bad = [(0, 3), (2, 5)], [(1, 4)]
    found = reading(ticked(sheet, good, bad, ""), sheet)
    assert isinstance(found, Reading)
    assert sum(ink.seen != "none" for ink in found.boxes) == 3
    assert [of_line(sheet, found, *one)[0].seen for one in good] == ["mark", "mark"]
    assert of_line(sheet, found, 1, 4)[1].seen == "mark"


def test_a_box_that_was_blackened_is_unsure() -> None:
    sheet = printed(0)[0]
    hand = Hand(sheet.clean, np.random.default_rng(1), "ballpoint", "tick")
    tick = next(one for one in sheet.marks if (one.shift, one.at, one.what) == (0, 2, "ok"))
    hand.mark(tick)
    hand.strike(tick)
    found = reading(hand.done(), sheet)
    assert isinstance(found, Reading)
    assert of_line(sheet, found, 0, 2)[0].seen == "unsure"


def test_what_reaches_in_from_a_neighbour_is_no_mark() -> None:
    sheet = printed(0)[0]
    page = sheet.clean.copy()
    tick = next(one for one in sheet.marks if (one.shift, one.at, one.what) == (0, 2, "ok"))
    area = tick.area
    ends = [(round(x * UNIT), round(y * UNIT)) for x, y in ((area.x - 20, area.y + 8), (area.x + 9, area.y + 8))]
    cv2.line(page, ends[0], ends[1], 60, 5)
    found = reading(page, sheet)
    assert isinstance(found, Reading)
    assert of_line(sheet, found, 0, 2)[0].seen == "unsure"


def test_one_ring_a_digit_is_sure_and_two_are_not() -> None:
    sheet = printed(0)[-1]
    hand = Hand(sheet.clean, np.random.default_rng(1), "ballpoint", "tick")
    hand.lean = np.zeros(2)
    first, second = ([one for one in sheet.marks if (one.shift, one.at) == (0, digit)] for digit in (0, 1))
    hand.fill(first[4])
    hand.fill(second[1])
    hand.fill(second[8])
    found = reading(hand.done(), sheet)
    assert isinstance(found, Reading)
    assert [(one.seen, one.value) for one in found.digits[:3]] == [("mark", 4), ("unsure", None), ("none", None)]
    assert max(one.dark for one in found.digits[2:]) < 0.05


def test_a_page_that_cannot_be_made_out_says_so() -> None:
    sheet = printed(0)[0]
    page = sheet.clean.copy()
    below = round(550 * UNIT)
    page[below : round(2700 * UNIT), round(150 * UNIT) : round(1990 * UNIT)] = 235
    assert reading(page, sheet) == BLURRED
    rings = printed(0)[-1]
    page = rings.clean.copy()
    page[below : round(1500 * UNIT), round(150 * UNIT) : round(1990 * UNIT)] = 235
    assert reading(shades(page), rings) == BLURRED

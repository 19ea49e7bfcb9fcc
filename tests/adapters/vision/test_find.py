"""Sheets are found by their codes, however they lie."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from dipmark.adapters.vision.find import sheets_in
from dipmark.adapters.vision.pictures import Grey, Picture, shades
from reading.sheets import printed


@pytest.fixture(scope="module")
def page() -> Grey:
    return shades(cv2.resize(printed(0)[0].clean, None, fx=0.6, fy=0.6, interpolation=cv2.INTER_AREA))


@pytest.mark.parametrize(
    ("turn", "degrees"),
    [(None, 0), (cv2.ROTATE_90_CLOCKWISE, 90), (cv2.ROTATE_180, 180), (cv2.ROTATE_90_COUNTERCLOCKWISE, 270)],
)
def test_a_sheet_lies_any_way_up(page: Grey, turn: int | None, degrees: int) -> None:
    (one,) = sheets_in(Picture(page if turn is None else shades(cv2.rotate(page, turn))))
    assert (one.code, one.turned % 360) == (printed(0)[0].code, degrees)


def test_two_sheets_in_one_picture_come_from_the_top(page: Grey) -> None:
    other = shades(cv2.resize(printed(4)[0].clean, page.shape[::-1], interpolation=cv2.INTER_AREA))
    found = sheets_in(Picture(np.vstack([page, other])))
    assert [one.code for one in found] == [printed(0)[0].code, printed(4)[0].code]


@pytest.mark.parametrize("blur", [2.2, 3.0])
def test_a_blurred_code_is_read_in_a_smaller_or_sharper_picture(page: Grey, blur: float) -> None:
    soft = shades(cv2.GaussianBlur(cv2.resize(page, None, fx=1.6, fy=1.6), (0, 0), blur))
    assert [one.code for one in sheets_in(Picture(soft))] == [printed(0)[0].code]


def test_no_sheet_is_no_sheet() -> None:
    assert sheets_in(Picture(np.full((400, 300), 200, np.uint8))) == ()

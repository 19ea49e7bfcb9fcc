"""A sheet is laid flat by its marks; where it cannot be, the reason says what to do."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from dipmark.adapters.vision.find import sheets_in
from dipmark.adapters.vision.flat import CUT_OFF, SCALE, TOO_SMALL, Flat, flat
from dipmark.adapters.vision.form import Area
from dipmark.adapters.vision.pictures import Grey, Picture, shades
from reading.sheets import printed


def seen(grey: Grey) -> Flat | str:
    return flat(sheets_in(Picture(grey))[0], printed(0)[0].form)


def resized(scale: float) -> Grey:
    return shades(cv2.resize(printed(0)[0].clean, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))


def test_a_clean_page_lies_as_it_was_printed() -> None:
    laid = seen(resized(0.7))
    assert isinstance(laid, Flat)
    wanted = cv2.resize(printed(0)[0].clean, laid.grey.shape[::-1], interpolation=cv2.INTER_AREA)
    soft = [cv2.GaussianBlur(one, (0, 0), 4).astype(int)[20:-20, 20:-20] for one in (laid.grey, wanted)]
    assert np.abs(soft[0] - soft[1]).max() < 40


def test_a_clip_has_a_little_of_what_is_around() -> None:
    laid = seen(resized(0.7))
    assert isinstance(laid, Flat)
    assert laid.clip(Area(300, 700, 50, 50), around=25).shape == (80, 80)
    assert laid.clip(Area(0, 0, 50, 50), around=25).shape == (60, 60)
    assert round(100 * SCALE) == 80


def test_shade_is_the_paper_and_ink_is_not() -> None:
    page = resized(0.7)
    shaded = page.astype(float)
    shaded[:, : page.shape[1] // 2] *= 0.5
    laid, plain = seen(shades(shaded)), seen(page)
    assert isinstance(laid, Flat)
    assert isinstance(plain, Flat)
    soft = [cv2.GaussianBlur(one.dark, (0, 0), 4).astype(int)[20:-20, 20:-20] for one in (laid, plain)]
    assert np.mean(np.abs(soft[0] - soft[1]) > 30) < 0.002


@pytest.mark.parametrize("corner", range(4))
def test_a_mark_that_is_covered_is_named(corner: int) -> None:
    page = resized(0.7)
    area = printed(0)[0].form.corners[corner]
    unit = 300 / 254 * 0.7
    page[round((area.y - 4) * unit) : round((area.y + area.h + 4) * unit), round((area.x - 4) * unit) :][
        :, : round((area.w + 8) * unit)
    ] = 255
    assert seen(page) == CUT_OFF


def test_a_sheet_far_away_is_too_small() -> None:
    assert seen(resized(0.27)) == TOO_SMALL

"""Finds each printed box where it really lies: paper curls and folds, so no box is quite where the marks put it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from dipmark.adapters.vision.flat import SCALE, Flat
from dipmark.adapters.vision.form import Area
from dipmark.adapters.vision.pictures import Grey, shades

Floats = NDArray[np.float64]

FINE: Final = 0.5
"""Boxes are looked for in the sheet made so much smaller."""

AWAY: Final = 16
"""So far from its place a box is looked for, in tenths of a millimetre."""

AROUND: Final = 110.0
"""Boxes in a square of so many tenths of a millimetre, and in those beside it, tell where one lies that is covered."""

SURE: Final = 0.55
"""From this likeness on, of 1, an outline has been made out."""

APART: Final = 6.0
"""A box lies at most so many tenths of a millimetre off from what its neighbours tell."""


def places(flat: Flat, areas: Sequence[Area], *, ring: bool = False) -> tuple[Floats, Floats]:
    """Where the middles of printed boxes or rings lie on the sheet laid flat.

    Args:
        flat: the sheet.
        areas: where they were printed.
        ring: they are rings.

    Returns:
        The middles in pixels, shape (n, 2), and how well each outline was made out, up to 1, shape (n,).
    """
    scale = SCALE * FINE
    dark = shades(cv2.resize(flat.dark, None, fx=FINE, fy=FINE, interpolation=cv2.INTER_AREA))
    middles = np.array([(area.x + area.w / 2, area.y + area.h / 2) for area in areas])
    found = np.array([_look(dark, area, scale, ring=ring) for area in areas])
    off, likeness = found[:, :2] / scale, found[:, 2]
    told = _told(middles, off, likeness >= SURE)
    strays = (likeness < SURE) | (np.abs(off - told).max(1) > APART)
    off[strays] = told[strays]
    return (middles + off) * SCALE, np.where(strays, 0.0, likeness)


def _told(middles: Floats, off: Floats, sure: NDArray[np.bool_]) -> Floats:
    """How far off its place each box lies by what its neighbours tell: the middle of theirs."""
    told = np.zeros_like(off)
    cells = np.floor(middles / AROUND).astype(int)
    for cell in np.unique(cells, axis=0):
        near = (np.abs(cells - cell).max(1) <= 1) & sure
        if near.any():
            told[(cells == cell).all(1)] = np.median(off[near], axis=0)
    return told


def _look(dark: Grey, area: Area, scale: float, *, ring: bool) -> tuple[float, float, float]:
    """How far from its place an outline lies, in pixels, and how like it is; nought where it lies off the paper."""
    wanted = _outline(area.w, area.h, scale, ring)
    high, wide = wanted.shape
    reach = round(AWAY * scale)
    middle_x, middle_y = (area.x + area.w / 2) * scale, (area.y + area.h / 2) * scale
    left, top = round(middle_x - wide / 2) - reach, round(middle_y - high / 2) - reach
    part = dark[max(top, 0) : top + high + 2 * reach, max(left, 0) : left + wide + 2 * reach]
    if left < 0 or top < 0 or part.shape != (high + 2 * reach, wide + 2 * reach):
        return 0.0, 0.0, 0.0
    likeness = np.asarray(cv2.matchTemplate(part, wanted, cv2.TM_CCOEFF_NORMED), np.float32)
    _, best, _, (x, y) = cv2.minMaxLoc(likeness)
    fine_x = x + _between(likeness[y, :], x)
    fine_y = y + _between(likeness[:, x], y)
    return left + fine_x + wide / 2 - middle_x, top + fine_y + high / 2 - middle_y, best


def _between(row: NDArray[np.float32], at: int) -> float:
    """The top of the parabola through the best point and its neighbours."""
    if not 0 < at < len(row) - 1:
        return 0.0
    before, here, after = (float(one) for one in row[at - 1 : at + 2])
    bend = before - 2 * here + after
    return 0.0 if bend >= 0 else max(min((before - after) / (2 * bend), 0.5), -0.5)


@cache
def _outline(w: int, h: int, scale: float, ring: bool) -> Grey:
    """A box or a ring as it is printed, with white around it and in it."""
    fine, rim = 8, 6
    size = round((h + 2 * rim) * scale) * fine, round((w + 2 * rim) * scale) * fine
    drawn = np.zeros(size, np.uint8)
    middle = size[1] // 2, size[0] // 2
    half = round(w * scale * fine / 2), round(h * scale * fine / 2)
    if ring:
        cv2.ellipse(drawn, middle, half, 0, 0, 360, 255, round(2 * scale * fine))
    else:
        ends = [(middle[0] + sign * half[0], middle[1] + sign * half[1]) for sign in (-1, 1)]
        cv2.rectangle(drawn, ends[0], ends[1], 255, round(2.5 * scale * fine))
    small = cv2.resize(drawn, None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA)
    return shades(cv2.GaussianBlur(small, (0, 0), 0.6))

"""Lays a photographed sheet flat by its corner marks, and its paper to one white."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any, Final

import cv2
import msgspec
import numpy as np
from numpy.typing import NDArray

from dipmark.adapters.vision.find import Found, Points
from dipmark.adapters.vision.form import Area, Form
from dipmark.adapters.vision.pictures import Grey, shades

Darkness = NDArray[np.uint8]
"""0 where the paper is white, 255 where nothing comes back."""

SCALE: Final = 0.8
"""Pixels to a tenth of a millimetre of the sheet laid flat: 203 to the inch."""

Squares = NDArray[np.float32]
"""Dark squares of a picture: x and y of their middles, and their areas, in pixels; shape (n, 3)."""

NEAR: Final = 250
"""So far from where the code lets it be expected a mark is looked for, in tenths of a millimetre; four times as far
where it is far from the code."""

CLOSE: Final = 18.0
"""The marks must place the code within so many tenths of a millimetre of where it was read."""

CONTRASTS: Final = (20, 40, 10)
"""A mark is so many grey levels darker than what is around; the first at which all four are found will do."""

MARK: Final = 11.0
"""A corner mark is looked for in the picture made smaller by a whole number, at least so many pixels across."""

ALIKE: Final = 1.0
"""A mark is at most so much larger or smaller than the others say, as a natural logarithm."""

LEAST: Final = 3.4
"""Fewer pixels to a millimetre than this tell no tick from dirt: 86 dots to the inch."""

PRINT: Final = 65
"""What is dark over fewer tenths of a millimetre is print or ink; what is wider is the paper, in light or in shade."""

CUT_OFF: Final = "a black corner mark is cut off or covered: all four must be in the picture"
TOO_SMALL: Final = "the sheet is too small in the picture: go nearer, one sheet at a time"


class Flat(msgspec.Struct, frozen=True, eq=False):
    """A sheet laid flat.

    Args:
        form: the page it is.
        grey: as photographed, `SCALE` pixels to a tenth of a millimetre.
        dark: how dark against the paper around.
    """

    form: Form
    grey: Grey
    dark: Darkness

    def clip(self, area: Area, around: int = 20) -> Grey:
        """A part of the sheet as it was photographed, with a little of what is around, in tenths of a millimetre."""
        left, top = max(round((area.x - around) * SCALE), 0), max(round((area.y - around) * SCALE), 0)
        right, low = round((area.x + area.w + around) * SCALE), round((area.y + area.h + around) * SCALE)
        return self.grey[top:low, left:right]


def flat(found: Found, form: Form) -> Flat | str:
    """The sheet laid flat; or why it cannot be.

    Args:
        found: in a picture.
        form: the page that its code names.
    """
    grey = found.picture.grey
    if _dots(found, form) * 10 < LEAST:
        return TOO_SMALL
    marks = marks_of(found, form)
    if marks is None:
        return CUT_OFF
    size = round(form.width * SCALE), round(form.height * SCALE)
    shape = cv2.getPerspectiveTransform(np.array(_centres(form), np.float32) * SCALE, marks)
    laid = shades(cv2.warpPerspective(grey, shape, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP))
    return Flat(form, laid, _darkness(laid))


def _centres(form: Form) -> list[tuple[float, float]]:
    return [(area.x + area.w / 2, area.y + area.h / 2) for area in form.corners]


def _of(area: Area) -> Points:
    """The four corners of an area."""
    right, low = area.x + area.w, area.y + area.h
    return np.array([(area.x, area.y), (right, area.y), (right, low), (area.x, low)], np.float32)


def _dots(found: Found, form: Form) -> float:
    """Pixels of the picture to a tenth of a millimetre, at the code."""
    sides = np.linalg.norm(found.corners - np.roll(found.corners, 1, axis=0), axis=1)
    return float(sides.mean()) / form.code.w


def marks_of(found: Found, form: Form) -> Points | None:
    """The centres of the four corner marks, in the order of the form: those that place the code best; None without.

    Args:
        found: in a picture.
        form: the page that its code names.
    """
    dots = _dots(found, form)
    code = _of(form.code)
    rough = cv2.getPerspectiveTransform(code, found.corners)
    expected = cv2.perspectiveTransform(np.array([_centres(form)], np.float32), rough)[0]
    for contrast in CONTRASTS:
        squares = _squares(found.picture.grey, dots * form.corners[0].w, contrast)
        if (marks := _best(found, form, squares, expected, dots)) is not None:
            return marks
    return None


def _best(found: Found, form: Form, squares: Squares, expected: Points, dots: float) -> Points | None:
    """Of all squares the four that place the code best and are as large as marks are where they lie."""
    if len(squares) < len(form.corners):
        return None
    code, centres = _of(form.code), np.array(_centres(form), np.float32)
    marks = np.concatenate([_of(area) for area in form.corners])
    choices = []
    for centre, place in zip(centres, expected, strict=True):
        far = max(NEAR, float(np.linalg.norm(centre - code.mean(0))) * 0.45) * dots
        away = np.linalg.norm(squares[:, :2] - place, axis=1)
        near = np.argsort(away)[:8]
        choices.append([squares[one] for one in near if away[one] < far])
    best, worst = None, 1.0
    for chosen in product(*choices):
        four = np.array(chosen, np.float32)
        if not _round_trip(four[:, :2]):
            continue
        shape = cv2.getPerspectiveTransform(centres, np.ascontiguousarray(four[:, :2]))
        placed = cv2.perspectiveTransform(np.concatenate([code, marks])[None], shape)[0]
        off = float(np.abs(placed[:4] - found.corners).max()) / (CLOSE * dots)
        if off >= worst:
            continue
        larger = [
            float(two) / max(cv2.contourArea(placed[4 + 4 * turn : 8 + 4 * turn]), 1.0)
            for turn, two in enumerate(four[:, 2])
        ]
        off += float(np.abs(np.log(larger)).max()) / ALIKE
        if off < worst:
            best, worst = np.ascontiguousarray(four[:, :2]), off
    return best


def _round_trip(marks: Points) -> bool:
    """True where four points go round clockwise, none inside the others."""
    sides = np.roll(marks, -1, axis=0) - marks
    after = np.roll(sides, -1, axis=0)
    return bool((sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0] > 1).all())


def _squares(grey: Grey, side: float, contrast: int) -> Squares:
    """The centres of dark squares of about that side, in pixels, and how large each is."""
    every = max(int(side / MARK), 1)
    high, wide = grey.shape[0] // every, grey.shape[1] // every
    small = cv2.resize(grey[: high * every, : wide * every], (wide, high), interpolation=cv2.INTER_AREA)
    side /= every
    window = int(side * 3) | 1
    inked = cv2.adaptiveThreshold(
        cv2.GaussianBlur(small, (0, 0), 0.8), 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, window, contrast
    )
    outlines, _ = cv2.findContours(inked, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
    inked = shades(inked)
    found = np.array([one for outline in outlines for one in _square(inked, outline, side)], np.float32).reshape(-1, 3)
    return found * (every, every, every**2) + ((every - 1) / 2, (every - 1) / 2, 0)


def _square(
    inked: Grey, outline: NDArray[np.integer[Any] | np.floating[Any]], side: float
) -> Iterator[NDArray[np.float64]]:
    """The centre and the area of an outline where it is that of a square."""
    area = cv2.contourArea(outline)
    if not 0.2 * side**2 < area < 2.4 * side**2:
        return
    _, (w, h), _ = cv2.minAreaRect(outline)
    if area < 0.72 * w * h or max(w, h) > 2.2 * min(w, h):
        return
    moments = cv2.moments(outline)
    x, y = moments["m10"] / moments["m00"], moments["m01"] / moments["m00"]
    reach = max(int(side / 4), 1)
    if inked[int(y) - reach : int(y) + reach + 1, int(x) - reach : int(x) + reach + 1].all():
        yield np.array([x, y, area + cv2.arcLength(outline, closed=True) / 2])


def _darkness(laid: Grey) -> Darkness:
    """How dark against the paper around: shadow and stain are taken out as far as they are wider than print and ink."""
    quarter = cv2.resize(laid, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA)
    side = round(PRINT * SCALE / 4)
    paper = cv2.medianBlur(cv2.morphologyEx(quarter, cv2.MORPH_CLOSE, np.ones((side, side), np.uint8)), 5)
    white = cv2.resize(paper, laid.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return shades(255 - cv2.divide(laid, np.maximum(white, 12), scale=255))

"""Finds the sheets in a picture by their printed codes, however they lie, also several."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import cv2
import msgspec
import numpy as np
import zxingcpp
from numpy.typing import NDArray

from dipmark.adapters.vision.pictures import Grey, Picture, shades

Points = NDArray[np.float32]
"""Points of a picture, x and y in pixels; shape (n, 2)."""

CODES: Final = zxingcpp.barcode_formats_from_str("QRCodeModel2")

SIDES: Final = (1400, 2400)
"""Where the whole picture shows no code it is made so large: noise goes, and blur with it."""


class Found(msgspec.Struct, frozen=True, eq=False):
    """A sheet in a picture.

    Args:
        picture: in which it lies.
        code: what its printed code says.
        corners: of the code: upper left, upper right, lower right, lower left, as the sheet is read.
    """

    picture: Picture
    code: str
    corners: Points

    @property
    def turned(self) -> int:
        """By how many degrees the sheet lies turned clockwise in the picture, 0 to 359."""
        across = self.corners[1] - self.corners[0]
        return round(float(np.degrees(np.arctan2(across[1], across[0])))) % 360


def sheets_in(picture: Picture) -> tuple[Found, ...]:
    """Every sheet whose code can be read, from the top of the picture; empty where none can.

    Args:
        picture: as it was opened.
    """
    found: list[Found] = []
    for grey, scale in _looks(picture.grey):
        for code in zxingcpp.read_barcodes(grey, formats=CODES, try_downscale=False, try_invert=False):
            corners = _corners(code.position) / scale
            if not any(_same(corners, one.corners) for one in found):
                found.append(Found(picture, code.text, corners))
        if found:
            break
    return tuple(sorted(found, key=lambda one: (float(one.corners[0][1]), float(one.corners[0][0]))))


def _looks(grey: Grey) -> Iterator[tuple[Grey, float]]:
    """The picture whole, smaller, with its edges drawn sharper, and larger: the first that shows a code is enough."""
    most = max(grey.shape)
    yield grey, 1.0
    for side in SIDES:
        if side < most * 0.8:
            scale = side / most
            yield shades(cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)), scale
    soft = cv2.GaussianBlur(grey, (0, 0), 2.5)
    yield shades(cv2.addWeighted(grey, 2.5, soft, -1.5, 0)), 1.0
    if most <= 3000:
        yield shades(cv2.resize(grey, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)), 2.0


def _corners(at: zxingcpp.Position) -> Points:
    points = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
    return np.array([(point.x, point.y) for point in points], np.float32)


def _same(one: Points, other: Points) -> bool:
    """True for two findings of one code."""
    return bool(np.linalg.norm(one.mean(0) - other.mean(0)) < np.linalg.norm(one[0] - one[2]) / 2)

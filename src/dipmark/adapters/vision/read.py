"""Reads what was ticked on a sheet: each box and each digit, and whether that is sure.

Ink is judged by how dark it is against the paper around its box; what is neither clearly nothing nor clearly a mark is
unsure. All bounds are project rules, set on made-up photographs of other seeds than those they are proved on.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from dipmark.adapters.vision.find import Found
from dipmark.adapters.vision.flat import SCALE, Darkness, Flat, flat
from dipmark.adapters.vision.form import Area, Form
from dipmark.adapters.vision.settle import SURE, places

Floats = NDArray[np.float64]

Seen = Literal["none", "mark", "unsure"]

EMPTY: Final = 0.10
"""The darkest tenth of an empty box is less dark than this."""

INKED: Final = 0.20
"""That of a marked box at least so dark."""

LIKE: Final = 0.5
"""And at least so much of what is usual on the page, rings too: a crease beside strong ink is no pale mark."""

RIM: Final = 10
"""Tenths of a millimetre of a box, left and right together, that its printed outline may take."""

CORE: Final = 18
"""The same for its middle, through which every mark goes."""

THROUGH: Final = 0.6
"""A mark is at least so much as dark in the middle as in the whole box; what reaches in from a neighbour is not."""

THIN: Final = 0.10
"""A mark covers at least so much of its box."""

FULL: Final = 0.78
"""And at most so much: more is a box blackened to take a mark back."""

RING_EMPTY: Final = 0.05
"""A ring that nobody filled is less dark than this, beyond its printed number."""

RING_FULL: Final = 0.12
"""A filled ring is at least so much darker than its printed number."""

SECOND: Final = 0.35
"""Any other ring of the digit is at most so much of it as dark."""

SEEN: Final = 0.2
"""Of so much of the boxes at least the printed outline must be made out."""

BLURRED: Final = "the picture is too blurred or too much is covered: hold still, more light, flat on the ground"


class Ink(msgspec.Struct, frozen=True):
    """What is in a box.

    Args:
        seen: nothing, a mark, or what a person must look at.
        dark: how dark its darkest tenth is against the paper around, 0 to 1.
    """

    seen: Seen
    dark: float


class Digit(msgspec.Struct, frozen=True):
    """A digit of a meter.

    Args:
        seen: no ring is filled, exactly one is, or a person must look.
        value: of the filled ring; None without exactly one.
        dark: of the darkest ring, beyond its printed number.
    """

    seen: Seen
    value: int | None
    dark: float


class Reading(msgspec.Struct, frozen=True, eq=False):
    """What was read on one page.

    Args:
        flat: the sheet it was read on.
        boxes: in the order of the form.
        digits: in the order of the form.
    """

    flat: Flat
    boxes: tuple[Ink, ...]
    digits: tuple[Digit, ...]


def read(found: Found, form: Form) -> Reading | str:
    """What was ticked on a sheet; or why it cannot be read.

    Args:
        found: a sheet in a picture.
        form: the page that its code names.
    """
    laid = flat(found, form)
    if isinstance(laid, str):
        return laid
    boxes = _boxes(laid, form.boxes) if form.boxes else ()
    digits = _digits(laid, form.digits) if form.digits else ()
    return BLURRED if boxes is None or digits is None else Reading(laid, boxes, digits)


def _boxes(laid: Flat, areas: Sequence[Area]) -> tuple[Ink, ...] | None:
    middles, likeness = places(laid, areas)
    if np.mean(likeness >= SURE) < SEEN:
        return None
    looks = [_look(laid.dark, middle, area) for middle, area in zip(middles, areas, strict=True)]
    inked = [top for top, *_ in looks if top >= INKED]
    least = max(INKED, LIKE * float(np.median(inked))) if inked else INKED
    return tuple(_ink(*look, least) for look in looks)


def _look(dark: Darkness, middle: Floats, area: Area) -> tuple[float, float, float]:
    """How dark a box is, how dark in its middle, and how much of it is inked."""
    inside = _around(dark, middle, area.w - RIM, area.h - RIM)
    if not inside.size:
        return EMPTY, 0.0, 0.0
    top = _top(inside)
    return top, _top(_around(dark, middle, area.w - CORE, area.h - CORE)), float(np.mean(inside > top / 2))


def _ink(top: float, core: float, share: float, least: float) -> Ink:
    if top < EMPTY:
        return Ink("none", top)
    sure = top >= least and core >= THROUGH * top and THIN <= share <= FULL
    return Ink("mark" if sure else "unsure", top)


def _digits(laid: Flat, rings: Sequence[Sequence[Area]]) -> tuple[Digit, ...] | None:
    areas = [area for digit in rings for area in digit]
    middles, likeness = places(laid, areas, ring=True)
    if np.mean(likeness >= SURE) < SEEN:
        return None
    dark = np.array([_ring(laid.dark, middle, area) for middle, area in zip(middles, areas, strict=True)])
    beyond = dark.reshape(len(rings), -1)
    beyond = beyond - np.median(beyond, axis=0)
    filled = beyond.max(axis=1)
    clear = filled[filled >= RING_FULL]
    least = max(RING_FULL, LIKE * float(np.median(clear))) if clear.size else RING_FULL
    return tuple(_digit(digit, least) for digit in beyond)


def _ring(dark: Darkness, middle: Floats, area: Area) -> float:
    inside = _around(dark, middle, area.w * 0.62, area.h * 0.62)
    return float(inside.mean()) if inside.size else 1.0


def _digit(dark: Floats, least: float) -> Digit:
    second, best = np.partition(dark, -2)[-2:]
    if best < RING_EMPTY:
        return Digit("none", None, float(best))
    if best >= least and second <= SECOND * best:
        return Digit("mark", int(dark.argmax()), float(best))
    return Digit("unsure", None, float(best))


def _around(dark: Darkness, middle: Floats, width: float, height: float) -> Darkness:
    """A part of the sheet around a point; empty where it does not lie on it."""
    half_w, half_h = width * SCALE / 2, height * SCALE / 2
    left, top = round(middle[0] - half_w), round(middle[1] - half_h)
    if left < 0 or top < 0:
        return dark[:0]
    return dark[top : round(middle[1] + half_h), left : round(middle[0] + half_w)]


def _top(part: Darkness) -> float:
    """The mean of the darkest tenth."""
    flat_part = np.sort(part, axis=None)
    return float(flat_part[-max(flat_part.size // 10, 1) :].mean())

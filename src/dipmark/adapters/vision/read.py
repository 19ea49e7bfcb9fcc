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

LIKE: Final = 0.6
"""And at least so much of what is usual on the page, rings too: a crease beside strong ink is no pale mark."""

RIM: Final = 10
"""Tenths of a millimetre of a box, left and right together, that its printed outline may take."""

CORE: Final = 18
"""The same for its middle, through which every mark goes."""

THROUGH: Final = 0.6
"""A mark is at least so much as dark in the middle as in the whole box; what reaches in from a neighbour is not."""

THIN: Final = 0.10
"""A mark covers at least so much of its box."""

FULL: Final = 0.85
"""And at most so much: more is a box blackened to take a mark back."""

RING_EMPTY: Final = 0.05
"""A ring that nobody filled is less dark than this, beyond its printed number."""

RING_FULL: Final = 0.12
"""A filled ring is at least so much darker than its printed number."""

RING: Final = 0.62
"""So much of a ring, across and down, lies well inside it."""

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
    inside, inmost = (_parts(laid.dark, middles, areas[0].w - less, areas[0].h - less) for less in (RIM, CORE))
    top, middle = _top(inside), _top(inmost)
    share = (inside > top[:, None] / 2).mean(axis=1)
    usual = top[top >= INKED]
    least = max(INKED, LIKE * float(np.median(usual))) if usual.size else INKED
    looks = zip(top.tolist(), middle.tolist(), share.tolist(), strict=True)
    return tuple(_ink(dark, core, inked, least) for dark, core, inked in looks)


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
    dark = _parts(laid.dark, middles, areas[0].w * RING, areas[0].h * RING).mean(axis=1)
    beyond = dark.reshape(len(rings), -1)
    beyond = beyond - np.median(beyond, axis=0)
    filled = beyond.max(axis=1)
    clear = filled[filled >= RING_FULL]
    least = max(RING_FULL, LIKE * float(np.median(clear))) if clear.size else RING_FULL
    return tuple(_digit(digit, least) for digit in beyond)


def _digit(dark: Floats, least: float) -> Digit:
    second, best = np.partition(dark, -2)[-2:]
    if best < RING_EMPTY:
        return Digit("none", None, float(best))
    if best >= least and second <= SECOND * best:
        return Digit("mark", int(dark.argmax()), float(best))
    return Digit("unsure", None, float(best))


def _parts(dark: Darkness, middles: Floats, width: float, height: float) -> Floats:
    """Of each place the pixels around its middle, 0 to 1; what lies off the sheet is half dark, and so unsure."""
    w, h = round(width * SCALE), round(height * SCALE)
    left = np.rint(middles[:, 0] - w / 2).astype(int)
    top = np.rint(middles[:, 1] - h / 2).astype(int)
    rows = top[:, None, None] + np.arange(h)[:, None]
    columns = left[:, None, None] + np.arange(w)
    off = (rows < 0) | (rows >= dark.shape[0]) | (columns < 0) | (columns >= dark.shape[1])
    pixels = dark[rows.clip(0, dark.shape[0] - 1), columns.clip(0, dark.shape[1] - 1)] / 255
    return np.where(off, 0.5, pixels).reshape(len(middles), -1)


def _top(parts: Floats) -> Floats:
    """The mean of the darkest tenth of each."""
    count = max(parts.shape[1] // 10, 1)
    return np.asarray(np.partition(parts, -count, axis=1)[:, -count:].mean(axis=1))

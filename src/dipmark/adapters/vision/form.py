"""What a sheet looks like to whoever reads it: lengths in tenths of a millimetre from the upper left of the paper."""

from __future__ import annotations

import msgspec


class Area(msgspec.Struct, frozen=True):
    """A rectangle: where it begins, how wide and how high it is."""

    x: int
    y: int
    w: int
    h: int


class Form(msgspec.Struct, frozen=True, kw_only=True):
    """One page of a sheet that can be read back.

    Args:
        width: of the paper.
        height: of the paper.
        corners: its black marks: upper left, upper right, lower right, lower left.
        code: where the printed code lies, without the white around it.
        boxes: to be ticked.
        digits: the rings of each digit of a meter, the one for nought first.
    """

    width: int
    height: int
    corners: tuple[Area, Area, Area, Area]
    code: Area
    boxes: tuple[Area, ...] = ()
    digits: tuple[tuple[Area, ...], ...] = ()

"""The walking line round a truck and where on it one stops."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate, pairwise
from math import dist
from typing import Final

from dipmark.views.drawing.shapes import Point, Side

CORNER: Final = 14
"""The line cuts its corners by this much, in units of the drawing."""

RADIUS: Final = 9.5
"""Of a mark, in units of the drawing."""

APART: Final = 3 * RADIUS
"""What lies between two marks along the line, so that they keep clear of each other round a corner too."""

SIDES: Final[tuple[Side, ...]] = ("left", "left", "above", "above", "right", "right", "below")
"""On which side of the truck each stretch of the line runs; the odd ones cut a corner."""

LEFT, ABOVE, RIGHT, BELOW = 0, 2, 4, 6
EDGE: Final = {"front": LEFT, "sides": ABOVE, "rear": RIGHT}
"""The stretch from which a place is looked at; every other place from the truck's left, where one gets on."""

ENDS: Final = ("approach", "shift-end")
"""The line begins at the first and ends at the second."""


def round_truck(left: float, top: float, right: float, bottom: float) -> tuple[Point, ...]:
    """The walking line: from before the left fork tip past the front, the right side, the rear and back along the left.

    Args:
        left: where it passes the front, in units of the drawing.
        top: where it passes the truck's right.
        right: where it passes the rear.
        bottom: where it passes the truck's left.
    """
    return (
        (left, bottom - CORNER), (left, top + CORNER), (left + CORNER, top), (right - CORNER, top), (right, top + CORNER),
        (right, bottom - CORNER), (right - CORNER, bottom), (left + 2 * CORNER, bottom),
    )  # fmt: skip


def stops(walk: Sequence[Point], places: Sequence[str], spots: dict[str, Point]) -> list[float]:
    """How far along the walking line one stops for each place.

    A place with a spot is looked at straight from the line. A place without one, or whose spot would mean walking
    back, comes evenly between its neighbours. Where stops crowd they make room for one another.

    Args:
        walk: the walking line as `round_truck` gives it.
        places: ids in walking order.
        spots: what is looked at, by place, in units of the drawing.

    Returns:
        Distances from the beginning, rising by `APART` at least, or by equal steps if there are too many for that.
    """
    starts = [0, *accumulate(dist(*ends) for ends in pairwise(walk))]
    wanted: list[float | None] = []
    last = 0.0
    for place in places:
        far = _straight(walk, starts, place, spots)
        wanted.append(far if far is not None and far >= last else None)
        last = wanted[-1] or last
    return _spread(_filled(wanted, starts[-1]), starts[-1])


def _straight(walk: Sequence[Point], starts: Sequence[float], place: str, spots: dict[str, Point]) -> float | None:
    """The stop from which a spot is looked at straight, if the place has one."""
    if place in ENDS:
        return starts[-1] if ENDS.index(place) else 0
    if place not in spots:
        return None
    stretch = EDGE.get(place, BELOW)
    axis = 0 if stretch in {ABOVE, BELOW} else 1
    begin, end = walk[stretch][axis], walk[stretch + 1][axis]
    spot = min(max(spots[place][axis], min(begin, end)), max(begin, end))
    return starts[stretch] + abs(spot - begin)


def _filled(wanted: Sequence[float | None], length: float) -> list[float]:
    """Stops for all: those without one are spaced evenly between those that have one."""
    known = [(-1, 0.0), *((turn, far) for turn, far in enumerate(wanted) if far is not None), (len(wanted), length)]
    found: list[float] = []
    for (first, low), (last, high) in pairwise(known):
        step = (high - low) / (last - first)
        found += [low + step * turn for turn in range(1, last - first)]
        found.append(high)
    return found[:-1]


def _spread(wanted: Iterable[float], length: float) -> list[float]:
    """The same stops moved apart as little as need be, none off the line."""
    found = list(wanted)
    apart = min(APART, length / max(1, len(found) - 1))
    for turn in range(1, len(found)):
        found[turn] = max(found[turn], found[turn - 1] + apart)
    for turn in range(len(found)):
        back = len(found) - 1 - turn
        found[back] = min(found[back], length - turn * apart, *found[back + 1 : back + 2] and [found[back + 1] - apart])
    return found


def stop_at(walk: Sequence[Point], far: float) -> tuple[Point, Side]:
    """The point so far along the line, 0 to its length, and the side of the truck it is on."""
    for stretch, (begin, end) in enumerate(pairwise(walk)):
        length = dist(begin, end)
        if far <= length or stretch == len(walk) - 2:
            part = far / length
            return (begin[0] + part * (end[0] - begin[0]), begin[1] + part * (end[1] - begin[1])), SIDES[stretch]
        far -= length
    raise AssertionError(far)

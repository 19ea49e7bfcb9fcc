"""The walking line round a truck and where on it one stops."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import dist
from typing import Final

from dipmark.views.drawing.shapes import Point, Side

CORNER: Final = 14
"""The line cuts its corners by this much, in units of the drawing."""

RADIUS: Final = 9.5
"""Of a mark, in units of the drawing."""

APART: Final = 2.6 * RADIUS
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
        (left, bottom - CORNER), (left, top + CORNER), (left + CORNER, top), (right - CORNER, top),
        (right, top + CORNER), (right, bottom - CORNER), (right - CORNER, bottom), (left + CORNER + 6, bottom),
    )  # fmt: skip


def stops(walk: Sequence[Point], places: Sequence[str], spots: dict[str, Point]) -> list[float]:
    """How far along the walking line one stops for each place.

    A place with a spot is looked at straight from the line; a place without one comes evenly between its neighbours.
    Where stops crowd, or a spot would mean walking back, they make room for one another.

    Args:
        walk: the walking line as `round_truck` gives it.
        places: ids in walking order.
        spots: what is looked at, by place, in units of the drawing.

    Returns:
        Distances from the beginning, rising by `APART` at least, or by equal steps if there are too many for that.
    """
    starts = _starts(walk)
    wanted = [_straight(walk, starts, place, spots) for place in places]
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


def apart(length: float, number: int) -> float:
    """What lies between so many marks along a line of a length: `APART`, or less where they would not fit."""
    return min(APART, length / max(1, number - 1))


def _spread(wanted: Sequence[float], length: float) -> list[float]:
    """The same stops moved as little as need be to stand apart in their order, none off the line.

    With the room each needs taken off, the stops have only to rise: those that do not are drawn together to their mean.
    """
    room = apart(length, len(wanted))
    flocks: list[tuple[float, int]] = []
    for turn, far in enumerate(wanted):
        mean, number = far - turn * room, 1
        while flocks and flocks[-1][0] > mean:
            before, many = flocks.pop()
            mean, number = (before * many + mean * number) / (many + number), many + number
        flocks.append((mean, number))
    most = length - room * (len(wanted) - 1)
    rising = [min(max(mean, 0), max(most, 0)) for mean, number in flocks for _ in range(number)]
    return [far + turn * room for turn, far in enumerate(rising)]


def stop_at(walk: Sequence[Point], far: float) -> tuple[Point, Side]:
    """The point so far along the line, from 0 to its length, and the side of the truck it is on."""
    starts = _starts(walk)
    stretch = bisect_right(starts, far, hi=len(walk) - 1) - 1
    (x, y), (to_x, to_y) = walk[stretch : stretch + 2]
    part = (far - starts[stretch]) / (starts[stretch + 1] - starts[stretch])
    return (x + part * (to_x - x), y + part * (to_y - y)), SIDES[stretch]


def length_of(walk: Sequence[Point]) -> float:
    """How long the walking line is."""
    return _starts(walk)[-1]


def _starts(walk: Sequence[Point]) -> list[float]:
    """How far along the line each of its points is."""
    return [0, *accumulate(dist(*ends) for ends in pairwise(walk))]

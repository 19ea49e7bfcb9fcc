"""What a drawing consists of: lines, discs and numbered marks, each with the part of the truck it stands for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

Role = Literal[
    "ground", "body", "weight", "hood", "battery", "detail", "mast", "chain", "fork", "tyre", "rim", "guard", "roof",
    "glass", "seat", "wheel", "gas", "exhaust", "tiller", "boom", "leg", "coupler", "rail",
    "walk", "arrow", "pointer", "dot",
]  # fmt: skip
"""Which part of a truck, or which help to the reader, a stroke draws; a page may give each its own look."""

Point = tuple[float, float]
"""Across and along. Of a truck: centimetres, side view upwards from the ground, plan towards the truck's left; of a
drawing: units to the right and downwards."""

Side = Literal["left", "above", "right", "below"]
"""On which side of the truck a mark stands, so where words beside it have room."""


class Line(msgspec.Struct, frozen=True, tag="line"):
    """A line through points.

    Args:
        role: which part it draws.
        points: where it bends, at least two.
        closed: True where it ends where it began, and is filled if its role is.
        bend: how far from each bend the line leaves its straight way, same unit as the points; 0 is a sharp corner.
    """

    role: Role
    points: tuple[Point, ...]
    closed: bool = False
    bend: float = 0


class Disc(msgspec.Struct, frozen=True, tag="disc"):
    """A round thing.

    Args:
        role: which part it draws.
        x: its middle, across.
        y: its middle, along.
        r: its radius, above 0.
    """

    role: Role
    x: float
    y: float
    r: float


Stroke = Line | Disc
"""One stroke of the pen; later strokes cover earlier ones."""


class Mark(msgspec.Struct, frozen=True, kw_only=True):
    """The number of a place on the walking line.

    Args:
        number: the place's number, from 0.
        place: the place's id in the rules.
        text: the place's name for people.
        x: its middle, in units of the drawing.
        y: its middle, in units of the drawing.
        side: on which side of the truck it stands.
    """

    number: int
    place: str
    text: str
    x: float
    y: float
    side: Side


class Drawing(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of truck, its side above its plan, with the places of the walk-round.

    Args:
        kind: the key of the kind.
        width: of the view box, in units; at 320 pixels a unit is a pixel.
        height: of the view box, in units.
        strokes: what to draw, in this order.
        marks: the places, in walking order; drawn last.
        radius: of every mark, in units.
        walk: the walking line, from the first place to the last.
    """

    kind: str
    width: float
    height: float
    strokes: tuple[Stroke, ...]
    marks: tuple[Mark, ...]
    radius: float
    walk: tuple[Point, ...]


class Outline(msgspec.Struct, frozen=True, kw_only=True):
    """A kind of truck before it is laid on a page, all in centimetres.

    Args:
        side: its left side, front to the left, heights upwards.
        plan: from above, front to the left, the truck's left downwards.
        spots: for each place that has one, the point of the plan that is looked at there.
    """

    side: tuple[Stroke, ...]
    plan: tuple[Stroke, ...]
    spots: dict[str, Point]


def line(role: Role, *points: Point) -> Line:
    """An open line through these points."""
    return Line(role, points)


def shape(role: Role, *points: Point, bend: float = 0) -> Line:
    """A closed line round these points, its corners rounded by `bend`."""
    return Line(role, points, closed=True, bend=bend)


def box(role: Role, x: tuple[float, float], y: tuple[float, float], bend: float = 0) -> Line:
    """A box from one x to the other and from one y to the other, its corners rounded by `bend`."""
    return shape(role, (x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]), bend=bend)


def bar(role: Role, start: Point, end: Point, width: float) -> Line:
    """A straight bar of a width, from the middle of one end to the middle of the other; the ends must differ.

    Example:
        >>> bar("guard", (0, 0), (10, 0), 4).points
        ((0.0, 2.0), (10.0, 2.0), (10.0, -2.0), (0.0, -2.0))
    """
    along, up = end[0] - start[0], end[1] - start[1]
    length = (along * along + up * up) ** 0.5
    x, y = -up / length * width / 2, along / length * width / 2
    return shape(
        role,
        (start[0] + x, start[1] + y),
        (end[0] + x, end[1] + y),
        (end[0] - x, end[1] - y),
        (start[0] - x, start[1] - y),
    )


def both(*strokes: Stroke) -> tuple[Stroke, ...]:
    """The strokes of a plan on the truck's left and the same on its right."""
    return (*strokes, *placed(strokes, 1, -1, (0, 0)))


def placed(strokes: Iterable[Stroke], scale: float, flip: Literal[1, -1], origin: Point) -> tuple[Stroke, ...]:
    """The strokes enlarged by `scale`, upside down where `flip` is -1, moved so that (0, 0) is at `origin`."""
    return tuple(_placed(stroke, scale, flip, origin) for stroke in strokes)


def _placed(stroke: Stroke, scale: float, flip: int, origin: Point) -> Stroke:
    if isinstance(stroke, Disc):
        return Disc(stroke.role, origin[0] + scale * stroke.x, origin[1] + flip * scale * stroke.y, scale * stroke.r)
    points = tuple((origin[0] + scale * x, origin[1] + flip * scale * y) for x, y in stroke.points)
    return Line(stroke.role, points, stroke.closed, stroke.bend * scale)


def bounds(strokes: Iterable[Stroke]) -> tuple[float, float, float, float]:
    """The least x, least y, greatest x and greatest y that any stroke reaches; at least one stroke.

    Example:
        >>> bounds([Disc("rim", 10, 0, 4), line("chain", (0, 0), (1, 9))])
        (0, -4, 14, 9)
    """
    corners: list[Point] = []
    for stroke in strokes:
        if isinstance(stroke, Disc):
            corners += [(stroke.x - stroke.r, stroke.y - stroke.r), (stroke.x + stroke.r, stroke.y + stroke.r)]
        else:
            corners += stroke.points
    return (
        min(x for x, _ in corners), min(y for _, y in corners), max(x for x, _ in corners), max(y for _, y in corners)
    )  # fmt: skip

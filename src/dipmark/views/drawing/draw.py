"""A kind of truck laid on a page: its side above, its plan below, and the walk-round about the plan."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from dipmark.rules.model import Place
from dipmark.views.drawing import walk
from dipmark.views.drawing.kinds import OUTLINES
from dipmark.views.drawing.shapes import Disc, Drawing, Line, Mark, Point, Stroke, bounds, line, placed, shape

WIDTH: Final = 320
"""Of every drawing, in units: the narrowest phone at a unit a pixel."""

TALLEST: Final = 190
"""A side view is never higher, in units."""

EDGE: Final = 12.5
"""From the edge of the box to the walking line: a mark and a little air."""

CLEAR: Final = 18
"""Between the walking line and the truck."""


def drawing(kind_key: str, places: Sequence[Place]) -> Drawing:
    """Draw a kind of truck with these places on its walking line.

    Args:
        kind_key: a key of `KIND_KEYS`.
        places: of its walk-round, in any order; a place that no drawing knows comes between its neighbours.

    Returns:
        The drawing, the same for the same arguments.

    Raises:
        KeyError: there is no drawing of such a kind.
    """
    outline = OUTLINES[kind_key]
    left, _, right, height = bounds((*outline.side, *outline.plan))
    _, right_hand, _, left_hand = bounds(outline.plan)
    scale = min((WIDTH - 2 * (EDGE + CLEAR)) / (right - left), TALLEST / height)
    x = (WIDTH - scale * (right + left)) / 2
    ground = EDGE + scale * height
    top = ground + 2 * EDGE
    y = top + CLEAR - scale * right_hand
    bottom = y + scale * left_hand + CLEAR
    line_round = walk.round_truck(x + scale * left - CLEAR, top, x + scale * right + CLEAR, bottom)
    spots = {place: (x + scale * across, y + scale * along) for place, (across, along) in outline.spots.items()}
    in_order = sorted(places, key=lambda place: place.number)
    stops = walk.stops(line_round, [place.id for place in in_order], spots)
    marks = tuple(_mark(line_round, place, far) for place, far in zip(in_order, stops, strict=True))
    return Drawing(
        kind=kind_key,
        width=WIDTH,
        height=bottom + EDGE,
        strokes=(
            line("ground", (line_round[0][0], ground), (line_round[4][0], ground)),
            *placed(outline.side, scale, -1, (x, ground)),
            Line("walk", line_round, bend=walk.CORNER / 2),
            *_arrows(line_round, stops),
            *placed(outline.plan, scale, 1, (x, y)),
            *_pointers(marks, spots),
        ),
        marks=marks,
        radius=walk.RADIUS * walk.apart(walk.length_of(line_round), len(marks)) / walk.APART,
        walk=line_round,
    )


def _mark(line_round: Sequence[Point], place: Place, far: float) -> Mark:
    (x, y), side = walk.stop_at(line_round, far)
    return Mark(number=place.number, place=place.id, text=place.text, x=x, y=y, side=side)


def _pointers(marks: Sequence[Mark], spots: dict[str, Point]) -> list[Stroke]:
    """From each mark a thin line to the spot that is looked at there."""
    found: list[Stroke] = []
    for mark in marks:
        if mark.place in spots:
            found += [line("pointer", (mark.x, mark.y), spots[mark.place]), Disc("dot", *spots[mark.place], 2)]
    return found


def _arrows(line_round: Sequence[Point], stops: Sequence[float]) -> list[Stroke]:
    """Which way the line is walked: a tip behind each mark that has the next well away."""
    found: list[Stroke] = []
    for here, there in pairwise(stops):
        if there - here > 2 * walk.APART:
            (x, y), _ = walk.stop_at(line_round, here + walk.APART - 8)
            (to_x, to_y), _ = walk.stop_at(line_round, here + walk.APART)
            wide, high = (y - to_y) * 0.45, (to_x - x) * 0.45
            found.append(shape("arrow", (to_x, to_y), (x + wide, y + high), (x - wide, y - high)))
    return found

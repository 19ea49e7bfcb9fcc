"""Every kind is drawn whole, inside its box, with every place marked once and the walk clear of the truck."""

from __future__ import annotations

import hashlib
from itertools import combinations, pairwise
from math import dist
from typing import Final

import pytest

from dipmark.rules.model import KIND_KEYS
from dipmark.views.drawing.draw import CLEAR, drawing
from dipmark.views.drawing.kinds import OUTLINES
from dipmark.views.drawing.shapes import Disc, Drawing, Line, Point, bounds
from dipmark.views.drawing.svg import svg
from views.drawing.rounds import IDS, places, round_of

HELPS: Final = {"walk", "arrow", "pointer", "dot"}
"""What is drawn to help the reader and is no part of the truck."""

DIGESTS: Final = {
    "electric-counterbalanced": "dd8cdcec55ddf885f4a9d403d792b7a6",
    "reach": "c895458e9d970572e077f6428f514176",
    "order-picker": "04c93e597009f5e51bd46abf5f0b19a7",
    "pallet": "69fbb00848f4262b2d8ab7b7270343f8",
    "engine-cushion": "abd81fefd4e102f947f591c2b6c01c8b",
    "engine-pneumatic-petrol": "bedc954b6f946aae5d0496b56d3196fa",
    "engine-pneumatic-lpg": "7b1acb5dff7a710f443078ad33ca6047",
    "engine-pneumatic-diesel": "0d4d9b9a7c7f18749616699f4bd6956e",
    "tow-tractor": "7b2c32a154e14c50156b0878bb9a9e89",
    "rough-terrain": "11ba1088fd24df260215ab0d81f63d43",
    "telescopic": "16f5b9525955dd9c563bec9c6a4842df",
}
"""The first half of the SHA-256 of each drawing as text: look at it before you accept another."""


def of(kind: str) -> Drawing:
    return drawing(kind, round_of(kind))


def from_line(point: Point, start: Point, end: Point) -> float:
    """How far a point is from a stretch of a line."""
    (x, y), (to_x, to_y) = start, end
    along = ((point[0] - x) * (to_x - x) + (point[1] - y) * (to_y - y)) / dist(start, end) ** 2
    part = min(1.0, max(0.0, along))
    return dist(point, (x + part * (to_x - x), y + part * (to_y - y)))


def plan_of(drawn: Drawing) -> list[Line | Disc]:
    """The strokes of the truck from above: all after the walking line that are no help to the reader."""
    turn = next(turn for turn, stroke in enumerate(drawn.strokes) if stroke.role == "walk")
    return [stroke for stroke in drawn.strokes[turn:] if stroke.role not in HELPS]


def test_every_kind_known_by_name_is_drawn_and_no_other() -> None:
    assert tuple(OUTLINES) == KIND_KEYS
    with pytest.raises(KeyError):
        drawing("wheelbarrow", [])


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_no_stroke_leaves_the_box(kind: str) -> None:
    drawn = of(kind)
    left, top, right, bottom = bounds(drawn.strokes)
    assert min(left, top, drawn.width - right, drawn.height - bottom) >= 2


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_every_place_has_one_mark_inside_the_box_with_its_own_number(kind: str) -> None:
    drawn = of(kind)
    assert [(mark.place, mark.number, mark.text) for mark in drawn.marks] == [
        (place.id, place.number, place.text) for place in round_of(kind)
    ]
    for mark in drawn.marks:
        assert drawn.radius + 1 <= mark.x <= drawn.width - drawn.radius - 1
        assert drawn.radius + 1 <= mark.y <= drawn.height - drawn.radius - 1


@pytest.mark.parametrize("kind", KIND_KEYS)
@pytest.mark.parametrize("ids", [IDS, (*IDS[:4], "trailer", *IDS[4:], "wash", "charge"), IDS[::-1], ("wash",), ()])
def test_marks_never_overlap_and_never_lie_on_the_truck(kind: str, ids: tuple[str, ...]) -> None:
    drawn = drawing(kind, places(*ids))
    assert [mark.place for mark in drawn.marks] == list(ids)
    for one, other in combinations(drawn.marks, 2):
        assert dist((one.x, one.y), (other.x, other.y)) >= 2 * drawn.radius + 1
    left, top, right, bottom = bounds(plan_of(drawn))
    for mark in drawn.marks:
        outside = max(left - mark.x, mark.x - right, top - mark.y, mark.y - bottom)
        assert outside >= drawn.radius - 2


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_the_walk_passes_the_places_in_order_and_never_crosses_the_truck(kind: str) -> None:
    drawn = of(kind)
    far, passed = 0.0, []
    for start, end in pairwise(drawn.walk):
        on = [mark for mark in drawn.marks if from_line((mark.x, mark.y), start, end) < 0.01]
        passed += [(far + dist(start, (mark.x, mark.y)), mark.number) for mark in on]
        far += dist(start, end)
    numbers = [number for _, number in sorted(passed)]
    assert sorted(set(numbers), key=numbers.index) == [place.number for place in round_of(kind)]
    for stroke in plan_of(drawn):
        points, reach = ([(stroke.x, stroke.y)], stroke.r) if isinstance(stroke, Disc) else (stroke.points, 0.0)
        for point in points:
            assert min(from_line(point, *stretch) for stretch in pairwise(drawn.walk)) >= reach + CLEAR / 2
    left, top, right, bottom = bounds([Line("walk", drawn.walk)])
    plan = bounds(plan_of(drawn))
    assert left < plan[0] < plan[2] < right
    assert top < plan[1] < plan[3] < bottom


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_the_side_stands_on_the_ground_above_the_plan(kind: str) -> None:
    drawn = of(kind)
    turn = next(turn for turn, stroke in enumerate(drawn.strokes) if stroke.role == "walk")
    ground = drawn.strokes[0]
    assert isinstance(ground, Line)
    assert ground.role == "ground"
    side = bounds(drawn.strokes[1:turn])
    assert side[3] == pytest.approx(ground.points[0][1], abs=1)
    assert side[3] + 10 < min(y for _, y in drawn.walk)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_a_pointer_goes_from_a_mark_to_what_is_looked_at(kind: str) -> None:
    drawn = of(kind)
    pointers = [stroke for stroke in drawn.strokes if isinstance(stroke, Line) and stroke.role == "pointer"]
    seen = [mark for mark in drawn.marks if mark.place in OUTLINES[kind].spots]
    assert [stroke.points[0] for stroke in pointers] == [(mark.x, mark.y) for mark in seen]
    assert len(seen) >= 4
    left, top, right, bottom = bounds(plan_of(drawn))
    for pointer in pointers:
        x, y = pointer.points[1]
        assert left <= x <= right
        assert top <= y <= bottom


def test_places_are_walked_by_their_numbers_in_whatever_order_they_come() -> None:
    assert drawing("reach", round_of("reach")[::-1]) == of("reach")


def test_more_places_than_there_is_room_for_make_smaller_marks() -> None:
    many = drawing("pallet", places(*(f"place-{turn}" for turn in range(60))))
    assert many.radius < of("pallet").radius == 9.5
    assert len({(mark.x, mark.y) for mark in many.marks}) == 60


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_the_drawing_is_the_one_that_was_looked_at(kind: str) -> None:
    text = svg(of(kind), kind)
    assert text == svg(of(kind), kind)
    assert hashlib.sha256(text.encode()).hexdigest()[:32] == DIGESTS[kind]

"""The walk-rounds that the drawings are tried with, and what is asked of an outline."""

from __future__ import annotations

from typing import Final

from dipmark.rules.model import Place
from dipmark.views.drawing.kinds import OUTLINES
from dipmark.views.drawing.shapes import Outline, Role, Stroke, bounds

ELECTRIC: Final = frozenset({"electric-counterbalanced", "reach", "order-picker", "pallet", "tow-tractor"})
IDS: Final = (
    "approach", "front", "sides", "rear", "engine-bay", "battery", "operator", "running", "hydraulics", "drive",
    "by-kind", "shift-end",
)  # fmt: skip


def places(*ids: str) -> list[Place]:
    """These places in this order, numbered from 0."""
    return [Place(id=name, text=f"Place {name}", number=number) for number, name in enumerate(ids)]


def round_of(kind: str) -> list[Place]:
    """Every place that such a truck can have, numbered as in the rules."""
    without = "engine-bay" if kind in ELECTRIC else "battery"
    return [place for place in places(*IDS) if place.id != without]


def drawn(strokes: tuple[Stroke, ...], role: Role) -> list[Stroke]:
    """The strokes of one role."""
    return [stroke for stroke in strokes if stroke.role == role]


def is_one_truck(outline: Outline) -> None:
    """The side and the plan show one truck: it stands on the ground, is as long in both, and its spots lie on it."""
    left, low, right, _ = bounds(outline.side)
    plan_left, top, plan_right, bottom = bounds(outline.plan)
    assert -2 < low <= 0
    assert abs(left - plan_left) <= 10
    assert abs(right - plan_right) <= 10
    assert -top == bottom or abs(top + bottom) <= 0.1 * (bottom - top)
    for place, (x, y) in outline.spots.items():
        assert place in IDS
        assert plan_left <= x <= plan_right, place
        assert top <= y <= bottom, place


def of(kind: str) -> Outline:
    """The outline of a kind."""
    return OUTLINES[kind]

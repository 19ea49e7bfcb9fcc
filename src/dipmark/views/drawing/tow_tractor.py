"""The tow tractor: no mast; a low bonnet, a seat, a flat deck and the coupler behind."""

from __future__ import annotations

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Stroke, bar, both, box, line, shape

HALF = 58
"""Half the width of the body."""

SHELVES = (26, 37, 48)
"""Heights of the jaws of the coupler."""


def outline() -> Outline:
    """A tow tractor; x is 0 at the front bumper."""
    return Outline(
        side=(*_driver_side(), *_body_side(), *_coupler_side()),
        plan=_plan(),
        spots={
            "front": (6, 0),
            "sides": (42, -HALF + 6),
            "rear": (252, 0),
            "engine-bay": (212, 24),
            "battery": (154, 42),
            "operator": (134, 8),
            "running": (92, 10),
        },
    )


def _driver_side() -> tuple[Stroke, ...]:
    return (
        *parts.steering_side((78, 82)),
        *parts.seat_side(124, 66),
    )


def _body_side() -> tuple[Stroke, ...]:
    return (
        shape(
            "body", (2, 18), (2, 72), (8, 80), (58, 86), (82, 86), (92, 34), (116, 34), (120, 66), (178, 66), (182, 78),
            (232, 78), (236, 70), (236, 18), bend=6,
        ),
        box("weight", (-4, 10), (16, 38), bend=4),
        box("hood", (178, 234), (44, 78), bend=5),
        *parts.louvres((8, 24), (46, 58), 4),
        Disc("rim", 15, 69, 6),
        box("detail", (96, 112), (20, 30), bend=2),
        *parts.battery_side((122, 172), (28, 60), 5),
        *parts.wheel_side(42, 22, rim=0.5),
        *parts.wheel_side(196, 29, rim=0.5),
    )  # fmt: skip


def _coupler_side() -> tuple[Stroke, ...]:
    return (
        box("body", (234, 242), (SHELVES[0] - 6, SHELVES[-1] + 10), bend=1),
        *(box("coupler", (242, 258), (height - 2, height + 2)) for height in SHELVES),
        bar("coupler", (252, SHELVES[0] - 5), (252, SHELVES[-1] + 12), 4),
        Disc("rim", 252, SHELVES[-1] + 14, 4),
    )


def _plan() -> tuple[Stroke, ...]:
    return (
        *parts.wheels_plan(42, 22, HALF, 16),
        *parts.wheels_plan(196, 29, HALF + 4, 20),
        shape("weight", (-4, -38), (-4, 38), (12, 46), (12, -46), bend=4),
        shape(
            "body", (6, -40), (16, -46), (66, -44), (72, -HALF + 2), (162, -HALF + 2), (164, -40), (236, -40),
            (236, 40), (164, 40), (162, HALF - 2), (72, HALF - 2), (66, 44), (16, 46), (6, 40), bend=6,
        ),
        *both(line("detail", (18, 20), (64, 24))),
        *both(Disc("rim", 12, 34, 5)),
        line("detail", (72, -50), (72, 50)),
        *parts.steering_plan(94),
        *parts.seat_plan(124),
        box("hood", (184, 232), (-34, 34), bend=5),
        *parts.louvres((194, 222), (-22, 22), 6),
        box("body", (234, 242), (-16, 16), bend=1),
        *both(shape("coupler", (242, 13), (258, 9), (258, 5), (242, 7))),
        Disc("coupler", 252, 0, 5),
    )  # fmt: skip

"""The rough-terrain truck: a mast before a high frame on big lugged tyres, the engine behind the driver."""

from __future__ import annotations

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Stroke, bar, both, box, line, shape

HALF = 96
"""Half the width over the front tyres."""


def outline() -> Outline:
    """A rough-terrain truck; x is 0 at the rear face of the mast."""
    return Outline(
        side=(*_driver_side(), *_body_side(), *_wheels_and_mast_side()),
        plan=(*_body_plan(), *_driver_plan()),
        spots={
            "front": (-24, 0),
            "sides": (58, -HALF + 16),
            "rear": (332, 0),
            "engine-bay": (262, 36),
            "operator": (160, 14),
            "running": (110, 14),
            "hydraulics": (-6, 46),
        },
    )


def _driver_side() -> tuple[Stroke, ...]:
    return (
        bar("detail", (-6, 78), (40, 92), 6),
        *parts.guard_side((74, 134), (212, 140), (82, 216), 258),
        *parts.steering_side((92, 136)),
        *parts.seat_side(136, 110),
    )


def _body_side() -> tuple[Stroke, ...]:
    return (
        shape(
            "body", (8, 46), (8, 84), (58, 128), (76, 142), (98, 142), (112, 92), (132, 92), (138, 112), (206, 112),
            (212, 46), bend=5,
        ),
        box("detail", (124, 156), (52, 82), bend=3),
        shape("hood", (204, 60), (204, 142), (214, 148), (300, 138), (312, 126), (312, 60), bend=6),
        *parts.louvres((226, 262), (112, 132), 5),
        box("exhaust", (268, 280), (140, 192), bend=4),
        bar("exhaust", (274, 190), (282, 206), 4),
        shape("weight", (296, 40), (296, 134), (318, 134), (338, 118), (340, 58), (326, 40), bend=9),
        bar("coupler", (332, 66), (352, 66), 6),
    )  # fmt: skip


def _wheels_and_mast_side() -> tuple[Stroke, ...]:
    return (
        *parts.wheel_side(254, 46, rim=0.42, lugs=True),
        *parts.wheel_side(60, 62, rim=0.42, lugs=True),
        *parts.mast_side(-8, 262, 26),
        *parts.forks_side(-26, 116, 4, 132),
    )


def _body_plan() -> tuple[Stroke, ...]:
    front = ((line("rim", (x, HALF - 4), (x + 6, HALF - 30))) for x in range(4, 116, 14))
    return (
        *parts.wheels_plan(60, 62, HALF, 36),
        *parts.wheels_plan(254, 46, HALF - 10, 30),
        *both(*front),
        *both(bar("detail", (60, 20), (60, 64), 8), bar("detail", (254, 20), (254, 60), 8)),
        *both(bar("detail", (-6, 34), (40, 34), 6)),
        shape("body", (8, -54), (212, -54), (212, 54), (8, 54), bend=6),
        shape("hood", (204, -46), (306, -42), (306, 42), (204, 46), bend=6),
        *parts.louvres((226, 262), (-24, 24), 7),
        Disc("exhaust", 274, -26, 7),
        Disc("exhaust", 274, -26, 3.5),
        shape("weight", (296, -58), (322, -58), (340, -38), (340, 38), (322, 58), (296, 58), bend=10),
        bar("coupler", (338, 0), (352, 0), 8),
        *parts.mast_plan(-8, 62),
        *parts.forks_plan(-26, 116, 40, 66),
    )


def _driver_plan() -> tuple[Stroke, ...]:
    return (
        *parts.seat_plan(140),
        *parts.steering_plan(112),
        *parts.guard_plan((82, 216), 48),
    )

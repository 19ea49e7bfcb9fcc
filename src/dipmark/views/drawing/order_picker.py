"""The order picker: the driver goes up with the forks, on a platform behind them, under his own roof."""

from __future__ import annotations

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Stroke, bar, both, box, line, shape

HALF = 50
"""Half the width of the chassis."""

UP = 58
"""How far the platform is lifted in the side view."""


def outline() -> Outline:
    """An order picker; x is 0 at the front edge of the platform, forks before it."""
    return Outline(
        side=(*_chassis_side(), *_platform_side()),
        plan=(*_chassis_plan(), *_platform_plan()),
        spots={
            "front": (-4, 0),
            "sides": (26, -HALF + 6),
            "rear": (172, 0),
            "battery": (134, 24),
            "operator": (48, 20),
            "hydraulics": (-16, 22),
        },
    )


def _chassis_side() -> tuple[Stroke, ...]:
    return (
        box("mast", (82, 92), (20, 262), bend=1),
        box("mast", (88, 102), (16, 226), bend=1),
        line("chain", (94, 60), (94, 218)),
        line("chain", (97, 40), (97, 218)),
        shape("leg", (4, 8), (4, 22), (12, 28), (104, 28), (104, 8), bend=3),
        *parts.wheel_side(160, 16, rim=0.4),
        shape("body", (100, 8), (100, 92), (106, 98), (168, 98), (178, 88), (182, 24), (176, 8), bend=6),
        *parts.battery_side((108, 156), (30, 88), 4),
        line("detail", (160, 20), (160, 90)),
        *parts.wheel_side(20, 12, rim=0.55),
    )


def _platform_side() -> tuple[Stroke, ...]:
    return (
        bar("guard", (80, UP + 4), (80, UP + 206), 6),
        box("guard", (-4, 86), (UP + 204, UP + 212), bend=3),
        bar("rail", (2, UP + 8), (2, UP + 100), 4),
        bar("rail", (44, UP + 8), (44, UP + 100), 4),
        bar("rail", (0, UP + 100), (46, UP + 100), 5),
        bar("rail", (2, UP + 54), (44, UP + 54), 4),
        shape(
            "hood", (60, UP + 6), (60, UP + 96), (52, UP + 106), (56, UP + 112), (80, UP + 106), (80, UP + 6), bend=4,
        ),
        bar("wheel", (48, UP + 108), (58, UP + 118), 4),
        shape("body", (-4, UP), (-4, UP + 8), (84, UP + 8), (84, UP - 4), (30, UP - 4), bend=2),
        shape(
            "fork", (-4, UP + 7), (-10, UP + 7), (-12, UP), (-118, UP - 3), (-118, UP - 6), (-12, UP - 8), (-4, UP - 8),
        ),
    )  # fmt: skip


def _chassis_plan() -> tuple[Stroke, ...]:
    return (
        *both(box("tyre", (8, 32), (HALF - 12, HALF - 2), bend=2)),
        *both(
            shape(
                "leg", (2, HALF), (2, HALF - 4), (36, HALF - 4), (36, HALF - 14), (106, HALF - 14), (106, HALF), bend=2
            )
        ),
        shape(
            "body", (100, -HALF), (166, -HALF), (182, -HALF + 18), (182, HALF - 18), (166, HALF), (100, HALF), bend=8
        ),
        *parts.battery_side((110, 150), (-HALF + 6, HALF - 6), 5),
        Disc("detail", 164, 0, 10),
        *parts.mast_plan(102, 44),
    )


def _platform_plan() -> tuple[Stroke, ...]:
    return (
        *both(
            shape("fork", (0, 16), (-106, 16), (-118, 19), (-118, 25), (-106, 28), (0, 28)),
        ),
        box("body", (-4, 84), (-36, 36), bend=4),
        *(line("detail", (8, y), (52, y)) for y in range(-24, 28, 8)),
        *both(bar("rail", (2, 34), (58, 34), 4)),
        box("hood", (58, 82), (-32, 32), bend=4),
        Disc("wheel", 66, 18, 9),
        Disc("wheel", 66, 18, 2),
        bar("detail", (60, -18), (74, -18), 5),
        *parts.guard_plan((-6, 86), 40),
    )

"""The reach truck: legs with load wheels ahead, a mast that moves out between them, the driver seated across."""

from __future__ import annotations

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Stroke, bar, both, box, line, shape

HALF = 62
"""Half the width over the legs."""


def outline() -> Outline:
    """A reach truck; x is 0 at the tips of the legs."""
    return Outline(
        side=(*_rear_side(), *_front_side()),
        plan=(*_front_plan(), *_rear_plan()),
        spots={
            "front": (66, 0),
            "sides": (16, -HALF + 8),
            "rear": (240, 0),
            "battery": (146, 44),
            "operator": (206, 14),
            "running": (184, 24),
            "hydraulics": (90, 34),
            "by-kind": (40, HALF - 8),
        },
    )


def _front_side() -> tuple[Stroke, ...]:
    return (
        shape("leg", (2, 12), (2, 26), (10, 32), (128, 32), (128, 12), bend=3),
        line("detail", (34, 22), (128, 22)),
        *parts.wheel_side(16, 15, rim=0.55),
        *parts.mast_side(96, 236, 34),
        *parts.forks_side(78, 112, 36),
    )


def _rear_side() -> tuple[Stroke, ...]:
    return (
        bar("guard", (140, 86), (140, 214), 6),
        bar("guard", (241, 110), (232, 214), 6),
        box("guard", (130, 242), (212, 220), bend=3),
        box("seat", (196, 230), (76, 88), bend=4),
        box("seat", (196, 230), (86, 142), bend=7),
        bar("detail", (176, 82), (176, 108), 4),
        bar("wheel", (165, 110), (187, 110), 4),
        *parts.wheel_side(222, 18, rim=0.4),
        shape(
            "body", (126, 10), (126, 84), (172, 84), (178, 40), (194, 40), (198, 76), (238, 76), (240, 118), (250, 112),
            (252, 30), (246, 10), bend=6,
        ),
        *parts.battery_side((130, 168), (24, 78), 4),
        box("hood", (204, 244), (26, 64), bend=5),
        *parts.louvres((214, 234), (36, 54), 4),
    )  # fmt: skip


def _front_plan() -> tuple[Stroke, ...]:
    return (
        *both(
            box("tyre", (1, 31), (HALF - 15, HALF - 3), bend=3),
            shape(
                "leg", (0, HALF), (0, HALF - 4), (32, HALF - 4), (32, HALF - 18), (130, HALF - 18), (130, HALF), bend=3
            ),
        ),
        *both(line("detail", (42, HALF - 9), (122, HALF - 9))),
        *parts.mast_plan(96, 40),
        *parts.forks_plan(78, 112, 24, 42),
    )


def _rear_plan() -> tuple[Stroke, ...]:
    return (
        shape(
            "body", (126, -HALF), (236, -HALF), (252, -HALF + 20), (252, HALF - 20), (236, HALF), (126, HALF), bend=9
        ),
        *parts.battery_side((130, 164), (-HALF + 6, HALF - 6), 4),
        box("hood", (172, 238), (-HALF + 8, -26), bend=8),
        box("seat", (194, 236), (-12, 32), bend=9),
        box("seat", (192, 238), (-22, -8), bend=6),
        Disc("wheel", 182, 26, 12),
        Disc("wheel", 182, 26, 3),
        *(bar("detail", (172 + step * 7, -10), (172 + step * 7, 2), 3) for step in range(3)),
        *parts.guard_plan((132, 242), HALF - 6),
    )

"""The powered pallet truck: low forks with load wheels, a small drive unit, a tiller for who walks behind."""

from __future__ import annotations

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Stroke, bar, both, box, line, shape


def outline() -> Outline:
    """A pedestrian pallet truck; x is 0 at the tips of the forks."""
    return Outline(
        side=_side(),
        plan=_plan(),
        spots={
            "front": (112, 0),
            "sides": (152, -35),
            "rear": (209, 0),
            "battery": (138, 8),
            "by-kind": (20, 20),
        },
    )


def _side() -> tuple[Stroke, ...]:
    return (
        bar("tiller", (156, 22), (198, 100), 6),
        shape("tiller", (192, 94), (188, 104), (204, 122), (216, 118), (214, 108), (202, 92), bend=4),
        shape("glass", (197, 105), (204, 114), (209, 112), (204, 102), bend=2),
        bar("coupler", (198, 120), (207, 124), 4),
        *parts.wheel_side(152, 12, rim=0.4),
        shape(
            "body", (114, 16), (114, 78), (122, 84), (144, 84), (150, 70), (168, 48), (172, 20), (166, 14), (138, 14),
            bend=5,
        ),
        *parts.battery_side((119, 142), (38, 76), 3),
        line("detail", (114, 32), (171, 32)),
        *parts.wheel_side(18, 8, rim=0.5),
        shape("fork", (0, 13), (7, 17), (112, 19), (112, 72), (117, 72), (117, 9), (104, 9), (40, 13), (2, 12)),
        bar("leg", (26, 9), (44, 12), 3),
    )  # fmt: skip


def _plan() -> tuple[Stroke, ...]:
    return (
        *both(
            shape("fork", (118, 11), (12, 11), (0, 16), (0, 23), (12, 28), (118, 28), bend=3),
            box("rim", (10, 26), (15, 24), bend=2),
        ),
        *both(Disc("tyre", 152, 32, 6)),
        shape(
            "body", (112, -32), (148, -32), (166, -22), (173, -10), (173, 10), (166, 22), (148, 32), (112, 32), bend=7
        ),
        *parts.battery_side((117, 144), (-27, 27), 3),
        Disc("detail", 156, 0, 12),
        bar("tiller", (156, 0), (198, 0), 7),
        shape(
            "tiller", (194, -7), (204, -22), (214, -22), (218, -12), (218, 12), (214, 22), (204, 22), (194, 7), bend=5
        ),
        shape("glass", (202, -6), (207, -15), (212, -15), (212, 15), (207, 15), (202, 6), bend=2),
        bar("coupler", (220, -6), (220, 6), 4),
    )

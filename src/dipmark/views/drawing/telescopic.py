"""The telescopic truck: a boom from the tail over the nose, a cab on its left, four equal wheels, stabilisers."""

from __future__ import annotations

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Stroke, bar, both, box, line, shape

HALF = 115
"""Half the width over the tyres."""

AXLES = (180, 450)


def outline() -> Outline:
    """A telescopic truck; x is 0 at the face of the fork carriage."""
    return Outline(
        side=(*_boom_side(), *_body_side(), *_front_side()),
        plan=(*_body_plan(), *_boom_plan()),
        spots={
            "front": (-6, -14),
            "sides": (AXLES[0], -HALF + 20),
            "rear": (540, 0),
            "engine-bay": (452, 46),
            "operator": (350, 66),
            "running": (296, 66),
            "hydraulics": (196, -4),
            "by-kind": (88, 92),
        },
    )


def _boom_side() -> tuple[Stroke, ...]:
    return (
        bar("boom", (524, 204), (190, 158), 46),
        bar("boom", (196, 159), (120, 148), 34),
        bar("boom", (126, 149), (62, 140), 24),
        line("detail", (500, 189), (196, 147)),
        Disc("rim", 508, 202, 9),
        bar("rail", (430, 130), (340, 166), 12),
    )


def _body_side() -> tuple[Stroke, ...]:
    return (
        shape(
            "body", (96, 62), (96, 92), (128, 112), (238, 112), (262, 96), (404, 96), (420, 150), (486, 158),
            (500, 214), (530, 220), (546, 150), (550, 86), (530, 62), bend=10,
        ),
        shape("weight", (498, 62), (498, 132), (548, 132), (550, 86), (532, 62), bend=10),
        shape(
            "body", (252, 84), (252, 138), (292, 244), (300, 250), (396, 250), (404, 242), (408, 84), bend=8,
        ),
        shape("glass", (262, 140), (298, 236), (328, 238), (328, 136), bend=6),
        shape("glass", (336, 136), (336, 238), (394, 238), (398, 136), bend=6),
        *parts.steering_side((286, 138)),
        *parts.seat_side(330, 118),
        shape("detail", (262, 128), (262, 96), (398, 96), (398, 128), bend=4),
        box("detail", (296, 352), (62, 78), bend=3),
    )  # fmt: skip


def _front_side() -> tuple[Stroke, ...]:
    return (
        bar("leg", (116, 92), (80, 20), 18),
        bar("detail", (118, 94), (90, 40), 6),
        shape("leg", (56, 0), (56, 8), (72, 20), (88, 20), (104, 8), (104, 0), bend=2),
        *(
            stroke
            for axle in AXLES
            for stroke in parts.wheel_side(axle, 62, rim=0.42, lugs=True)
        ),
        shape("boom", (74, 156), (44, 152), (10, 96), (10, 40), (28, 40), (34, 84), (70, 126), bend=6),
        bar("rail", (64, 134), (20, 70), 8),
        box("guard", (-2, 4), (26, 128), bend=1),
        box("mast", (0, 12), (30, 90), bend=2),
        shape("fork", (0, 92), (-8, 92), (-8, 26), (-126, 21), (-126, 17), (-8, 14), (0, 22)),
    )  # fmt: skip


def _body_plan() -> tuple[Stroke, ...]:
    tread = tuple(
        line("rim", (x, HALF - 4), (x + 8, HALF - 36))
        for axle in AXLES
        for x in range(axle - 54, axle + 56, 15)
    )  # fmt: skip
    return (
        *both(bar("detail", (180, 20), (180, 80), 14), bar("detail", (450, 20), (450, 80), 14)),
        *(stroke for axle in AXLES for stroke in parts.wheels_plan(axle, 62, HALF, 40)),
        *both(*tread),
        *both(bar("leg", (120, 40), (88, 92), 16), box("leg", (62, 114), (76, 108), bend=6)),
        shape(
            "body", (96, -64), (252, -64), (252, -104), (404, -104), (404, -66), (520, -66), (548, -44), (548, 44),
            (520, 66), (404, 66), (404, 108), (252, 108), (252, 64), (96, 64), bend=8,
        ),
        shape("weight", (498, -66), (520, -66), (550, -42), (550, 42), (520, 66), (498, 66), bend=8),
        box("hood", (260, 396), (-98, -34), bend=8),
        Disc("detail", 284, -66, 9),
        box("hood", (412, 492), (30, 62), bend=5),
        *parts.louvres((424, 480), (38, 54), 4),
        box("body", (254, 404), (30, 106), bend=10),
        *parts.steering_plan(300, 68),
        *parts.seat_plan(332, 68),
        box("roof", (288, 400), (34, 102), bend=8),
    )  # fmt: skip


def _boom_plan() -> tuple[Stroke, ...]:
    return (
        box("mast", (12, 24), (-30, 30), bend=2),
        *parts.forks_plan(12, 118, 34, 60),
        box("boom", (20, 128), (-13, 13), bend=2),
        box("boom", (118, 200), (-18, 18), bend=2),
        box("boom", (190, 540), (-25, 25), bend=4),
        *both(line("detail", (206, 17), (500, 17))),
        *both(box("rail", (494, 522), (25, 34), bend=2)),
    )

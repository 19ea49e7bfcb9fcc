"""Parts that the kinds share, in centimetres: `_side` as seen from the left, `_plan` from above, front to the left."""

from __future__ import annotations

from math import cos, pi, sin

from dipmark.views.drawing.shapes import Disc, Point, Stroke, bar, both, box, line, shape

LUGS = 18


def wheel_side(x: float, radius: float, *, rim: float = 0.5, lugs: bool = False) -> tuple[Stroke, ...]:
    """A wheel standing on the ground.

    Args:
        x: its axle.
        radius: of the tyre, above 0.
        rim: radius of the rim as a part of the tyre's, 0 to 1; a solid tyre is thin.
        lugs: True for a deep tread.
    """
    tread = (
        bar("rim", _around(x, radius, 0.8, turn), _around(x, radius, 1, turn + 0.25), radius * 0.09)
        for turn in range(LUGS)
        if lugs
    )
    return (
        Disc("tyre", x, radius, radius),
        *tread,
        Disc("rim", x, radius, radius * rim),
        Disc("detail", x, radius, radius * 0.16),
    )


def _around(x: float, radius: float, reach: float, turn: float) -> Point:
    angle = 2 * pi * turn / LUGS
    return x + reach * radius * cos(angle), radius + reach * radius * sin(angle)


def wheels_plan(x: float, radius: float, outer: float, width: float) -> tuple[Stroke, ...]:
    """A pair of wheels from above: axle, radius, half the width over both, width of one."""
    return both(box("tyre", (x - radius, x + radius), (outer - width, outer), bend=width / 4))


def mast_side(x: float, height: float, base: float = 14) -> tuple[Stroke, ...]:
    """A mast whose rear face stands at x: outer uprights, inner uprights before them, the chain, the head.

    Args:
        x: the rear face.
        height: of the outer uprights.
        base: how far the foot is above the ground.
    """
    return (
        box("mast", (x - 18, x - 10), (base, height - 7), bend=1),
        box("mast", (x - 12, x), (base - 4, height), bend=1),
        line("chain", (x - 8, base + 28), (x - 8, height - 9)),
        line("chain", (x - 4, base + 8), (x - 4, height - 9)),
        Disc("rim", x - 8, height - 9, 3),
    )


def forks_side(x: float, length: float, low: float = 4, backrest: float = 118) -> tuple[Stroke, ...]:
    """Carriage, backrest and forks before a mast.

    Args:
        x: the face of the mast; the carriage hangs before it.
        length: of the blades.
        low: the underside of the blades above the ground.
        backrest: its top above the blades' underside.
    """
    return (
        box("guard", (x - 9, x - 5), (low + 50, low + backrest), bend=1),
        box("mast", (x - 9, x), (low + 8, low + 54), bend=1),
        shape(
            "fork", (x - 9, low + 52), (x - 14, low + 52), (x - 14, low + 6), (x - 14 - length, low + 3),
            (x - 14 - length, low + 1), (x - 14, low), (x - 9, low + 4),
        ),
    )  # fmt: skip


def mast_plan(x: float, half: float) -> tuple[Stroke, ...]:
    """A mast from above: rear face, half its width."""
    return (
        box("mast", (x - 6, x - 1), (-half + 8, half - 8)),
        *both(box("mast", (x - 18, x - 10), (half - 18, half - 8)), box("mast", (x - 12, x), (half - 11, half))),
        *both(Disc("detail", x - 6, half - 20, 4)),
    )


def forks_plan(x: float, length: float, gauge: float = 28, half: float = 48) -> tuple[Stroke, ...]:
    """Carriage and forks from above.

    Args:
        x: the face of the mast.
        length: of the blades.
        gauge: from the middle of the truck to the middle of a blade.
        half: half the width of the carriage.
    """
    tip = x - 14 - length
    return (
        *both(
            shape(
                "fork", (x - 9, gauge - 6), (tip + 12, gauge - 6), (tip, gauge - 3), (tip, gauge + 3),
                (tip + 12, gauge + 6), (x - 9, gauge + 6),
            )
        ),
        box("mast", (x - 9, x), (-half, half), bend=2),
    )  # fmt: skip


def guard_side(front: Point, rear: Point, roof: tuple[float, float], top: float) -> tuple[Stroke, ...]:
    """An overhead guard.

    Args:
        front: the foot of its front leg.
        rear: the foot of its rear leg.
        roof: from where to where its roof goes.
        top: height of the roof.
    """
    return (
        bar("guard", front, (roof[0] + 8, top - 4), 6),
        bar("guard", rear, (roof[1] - 8, top - 4), 6),
        box("guard", roof, (top - 8, top), bend=3),
    )


def guard_plan(x: tuple[float, float], half: float) -> tuple[Stroke, ...]:
    """An overhead guard from above, looked through: where its roof goes, half its width."""
    return (box("roof", x, (-half, half), bend=6),)


def seat_side(x: float, floor: float) -> tuple[Stroke, ...]:
    """A seat: front edge of the cushion, height of what it stands on."""
    return (
        shape("seat", (x + 38, floor + 6), (x + 48, floor + 60), (x + 58, floor + 58), (x + 52, floor + 4), bend=4),
        box("seat", (x, x + 50), (floor, floor + 13), bend=5),
    )


def seat_plan(x: float, y: float = 0) -> tuple[Stroke, ...]:
    """A seat from above: front edge of the cushion, its middle across the truck."""
    return (
        box("seat", (x, x + 46), (y - 24, y + 24), bend=9),
        box("seat", (x + 42, x + 56), (y - 25, y + 25), bend=6),
    )


def steering_side(foot: Point) -> tuple[Stroke, ...]:
    """A steering column that leans back from its foot, with its wheel."""
    x, y = foot
    return (bar("detail", (x, y), (x + 20, y + 20), 4), bar("wheel", (x + 12, y + 33), (x + 29, y + 9), 4))


def steering_plan(x: float, y: float = 0) -> tuple[Stroke, ...]:
    """A steering wheel from above."""
    return Disc("wheel", x, y, 17), Disc("wheel", x, y, 4), line("detail", (x - 17, y), (x + 17, y))


def battery_side(x: tuple[float, float], y: tuple[float, float], cells: int) -> tuple[Stroke, ...]:
    """A traction battery with its cells; also good for a plan."""
    step = (x[1] - x[0]) / cells
    dividers = (line("detail", (x[0] + step * turn, y[0]), (x[0] + step * turn, y[1])) for turn in range(1, cells))
    poles = (Disc("detail", x[0] + step * (turn + 0.5), y[1] - 7, 1.8) for turn in range(cells))
    return (box("battery", x, y, bend=2), *dividers, *poles)


def louvres(x: tuple[float, float], y: tuple[float, float], number: int) -> tuple[Stroke, ...]:
    """Slots of a hood, one above the other."""
    step = (y[1] - y[0]) / (number - 1)
    return tuple(line("detail", (x[0], y[0] + step * turn), (x[1], y[0] + step * turn)) for turn in range(number))

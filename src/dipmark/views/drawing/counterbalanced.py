"""Counterbalanced trucks with a driver's seat: five kinds from one set of lengths, told apart by what drives them."""

from __future__ import annotations

from typing import Literal

import msgspec

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Disc, Outline, Point, Stroke, bar, both, box, line, shape


class Lengths(msgspec.Struct, frozen=True, kw_only=True):
    """What sets one counterbalanced truck apart from another, in centimetres; x is 0 at the rear face of the mast.

    Args:
        power: what drives it.
        rear: where the counterweight ends.
        width: over the front tyres.
        axles: front and rear axle.
        radii: of the front and the rear tyre.
        rim: radius of a rim as a part of its tyre's.
        deck: height of the hood.
        roof: height of the overhead guard.
        cowl: where the body begins behind the mast.
        fork: length of a blade.
    """

    power: Literal["battery", "engine", "petrol", "lpg", "diesel"]
    rear: float = 238
    width: float = 118
    axles: Point = (36, 196)
    radii: Point = (34, 27)
    rim: float = 0.5
    deck: float = 98
    roof: float = 212
    cowl: float = 12
    fork: float = 100

    @property
    def floor(self) -> float:
        """Height of the floor under the driver's feet."""
        return self.deck - 44

    @property
    def base(self) -> float:
        """Underside of the frame."""
        return self.deck - 74

    @property
    def step(self) -> float:
        """Where the floor ends and the hood begins."""
        return self.cowl + 78

    @property
    def weight(self) -> float:
        """Where the hood ends and the counterweight begins."""
        return self.rear - 58


def outline(lengths: Lengths) -> Outline:
    """A counterbalanced truck of these lengths."""
    engine = "battery" if lengths.power == "battery" else "engine-bay"
    return Outline(
        side=(
            *_driver_side(lengths),
            *_body_side(lengths),
            *_power_side(lengths),
            *parts.wheel_side(lengths.axles[1], lengths.radii[1], rim=lengths.rim),
            *parts.wheel_side(lengths.axles[0], lengths.radii[0], rim=lengths.rim),
            *parts.mast_side(0, lengths.roof + 4),
            *parts.forks_side(-18, lengths.fork),
        ),
        plan=(*_body_plan(lengths), *_power_plan(lengths), *_driver_plan(lengths)),
        spots={
            "front": (-22, 0),
            "sides": (lengths.axles[0], -lengths.width / 2 + 8),
            "rear": (lengths.rear - 22, 0),
            engine: (lengths.weight - 10, lengths.width / 2 - 22),
            "operator": (lengths.step + 26, 10),
            "running": (lengths.cowl + 50, 12),
            "hydraulics": (-6, lengths.width / 2 - 26),
        },
    )


def _body_side(of: Lengths) -> tuple[Stroke, ...]:
    x, dash = of.cowl, of.deck + 14
    return (
        shape(
            "body", (x, of.base), (x, dash - 8), (x + 8, dash), (x + 24, dash), (x + 38, of.floor),
            (of.step - 4, of.floor), (of.step + 2, of.deck), (of.weight + 4, of.deck), (of.weight + 4, of.base), bend=4,
        ),
        box("detail", (x + 46, of.step - 8), (of.base + 8, of.floor - 8), bend=3),
        shape(
            "weight", (of.weight, of.deck + 4), (of.rear - 22, of.deck + 4), (of.rear - 5, of.deck - 12),
            (of.rear, of.base + 18), (of.rear - 12, of.base - 2), (of.weight, of.base - 2), bend=8,
        ),
        line("detail", (of.rear - 20, of.base + 26), (of.rear - 3, of.base + 26)),
    )  # fmt: skip


def _driver_side(of: Lengths) -> tuple[Stroke, ...]:
    x = of.cowl
    return (
        bar("detail", (-6, of.floor + 8), (x + 20, of.floor + 26), 5),
        *parts.guard_side((x + 10, of.deck + 8), (of.weight - 2, of.deck), (x + 26, of.weight + 6), of.roof),
        *parts.steering_side((x + 20, of.deck + 8)),
        bar("detail", (x + 32, of.floor + 3), (x + 42, of.floor + 8), 3),
        *parts.seat_side(of.step + 4, of.deck),
    )


def _power_side(of: Lengths) -> tuple[Stroke, ...]:
    middle = (of.step + of.weight) / 2
    slots = (
        box("hood", (of.step + 3, of.weight), (of.deck - 32, of.deck), bend=4),
        *parts.louvres((middle - 6, of.weight - 10), (of.deck - 26, of.deck - 12), 4),
    )
    tank = (box("detail", (of.step + 6, of.step + 40), (of.base + 8, of.deck - 40), bend=5),)
    match of.power:
        case "battery":
            return parts.battery_side((of.step + 6, of.weight - 4), (of.base + 10, of.deck - 6), 6)
        case "lpg":
            return (
                *slots,
                shape("rail", (of.rear - 50, of.deck + 4), (of.rear - 10, of.deck + 4), (of.rear - 16, of.deck + 12),
                      (of.rear - 44, of.deck + 12)),
                Disc("gas", of.rear - 30, of.deck + 24, 17),
                Disc("gas", of.rear - 30, of.deck + 24, 8),
                Disc("detail", of.rear - 30, of.deck + 24, 3),
            )  # fmt: skip
        case "diesel":
            return (
                *slots,
                *tank,
                box("exhaust", (of.weight + 8, of.weight + 20), (of.deck + 4, of.deck + 62), bend=4),
                box("exhaust", (of.weight + 11, of.weight + 17), (of.deck + 62, of.roof + 10), bend=1),
                bar("exhaust", (of.weight + 13, of.roof + 10), (of.weight + 22, of.roof + 15), 3),
            )
        case "petrol":
            return (
                *slots,
                *tank,
                box("exhaust", (of.step + 14, of.step + 26), (of.deck - 40, of.deck - 34), bend=1),
                bar("exhaust", (of.rear - 8, of.base + 6), (of.rear + 9, of.base + 4), 6),
            )
        case _:  # an engine, whatever it burns
            return (*slots, bar("exhaust", (of.rear - 8, of.base + 6), (of.rear + 7, of.base + 4), 6))


def _body_plan(of: Lengths) -> tuple[Stroke, ...]:
    half = of.width / 2
    nose, wide = half - of.radii[0] * 0.62 - 3, half - 5
    behind = of.axles[0] + of.radii[0] + 4
    return (
        *parts.wheels_plan(of.axles[0], of.radii[0], half, of.radii[0] * 0.62),
        *parts.wheels_plan(of.axles[1], of.radii[1], half - 2, of.radii[1] * 0.6),
        *both(bar("detail", (-4, half - 34), (of.cowl + 20, half - 34), 5)),
        shape(
            "body", (of.cowl, -nose), (behind, -nose), (behind, -wide), (of.weight + 6, -wide), (of.weight + 6, wide),
            (behind, wide), (behind, nose), (of.cowl, nose), bend=5,
        ),
        shape(
            "weight", (of.weight, -wide), (of.rear - 20, -wide), (of.rear, -wide + 24), (of.rear, wide - 24),
            (of.rear - 20, wide), (of.weight, wide), bend=9,
        ),
        line("detail", (of.cowl + 24, -nose), (of.cowl + 24, nose)),
        box("hood", (of.step + 3, of.weight), (-wide + 8, wide - 8), bend=5),
        *parts.mast_plan(0, half - 18),
        *parts.forks_plan(-18, of.fork),
    )  # fmt: skip


def _power_plan(of: Lengths) -> tuple[Stroke, ...]:
    half, rear = of.width / 2, of.rear
    match of.power:
        case "battery":
            return parts.battery_side((of.step + 8, of.weight - 6), (-half + 18, half - 18), 6)
        case "lpg":
            return (
                box("gas", (rear - 47, rear - 13), (-half + 20, half - 20), bend=16),
                *both(line("detail", (rear - 47, half - 42), (rear - 13, half - 42))),
                box("gas", (rear - 35, rear - 25), (half - 20, half - 13), bend=1),
            )
        case "diesel":
            return Disc("exhaust", of.weight + 14, 34, 8), Disc("exhaust", of.weight + 14, 34, 4)
        case "petrol":
            return (
                Disc("exhaust", of.step + 20, half - 9, 6),
                box("exhaust", (rear - 2, rear + 9), (half - 38, half - 31), bend=1),
            )
        case _:  # an engine, whatever it burns
            return (box("exhaust", (rear - 2, rear + 7), (half - 38, half - 31), bend=1),)


def _driver_plan(of: Lengths) -> tuple[Stroke, ...]:
    return (
        *parts.seat_plan(of.step + 6),
        *parts.steering_plan(of.cowl + 46),
        *parts.guard_plan((of.cowl + 26, of.weight + 6), of.width / 2 - 12),
    )

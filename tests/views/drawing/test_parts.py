"""The shared parts stand where they are put and are as big as they are told."""

from __future__ import annotations

import pytest

from dipmark.views.drawing import parts
from dipmark.views.drawing.shapes import Stroke, bounds
from views.drawing.rounds import drawn


def test_a_wheel_stands_on_the_ground() -> None:
    assert bounds(parts.wheel_side(40, 30)) == (10, 0, 70, 60)


def test_a_deep_tread_is_drawn_and_stays_on_the_tyre() -> None:
    assert len(parts.wheel_side(0, 60, lugs=True)) == len(parts.wheel_side(0, 60)) + parts.LUGS
    assert bounds(parts.wheel_side(0, 60, lugs=True)) == pytest.approx((-60, 0, 60, 120), abs=1)


def test_wheels_are_a_pair() -> None:
    assert bounds(parts.wheels_plan(10, 5, 50, 12)) == (5, -50, 15, 50)


def test_a_mast_keeps_its_foot_and_head() -> None:
    assert bounds(parts.mast_side(0, 210)) == (-18, 10, 0, 210)
    assert bounds(parts.mast_plan(0, 40)) == (-18, -40, 0, 40)


def test_forks_and_backrests_are_as_long_as_asked() -> None:
    assert bounds(parts.forks_side(0, 100)) == (-114, 4, 0, 122)
    assert bounds(parts.forks_side(0, 100, 36, 90)) == (-114, 36, 0, 126)
    assert bounds(parts.forks_plan(0, 100)) == (-114, -48, 0, 48)


def test_a_guard_reaches_its_height() -> None:
    assert bounds(parts.guard_side((0, 90), (100, 90), (5, 98), 210))[3] == 210
    assert bounds(parts.guard_plan((5, 98), 40)) == (5, -40, 98, 40)


@pytest.mark.parametrize(
    "strokes",
    [parts.seat_side(0, 50), parts.seat_plan(0), parts.steering_side((0, 50)), parts.steering_plan(20)],
)
def test_what_the_driver_uses_is_his_size(strokes: tuple[Stroke, ...]) -> None:
    left, low, right, high = bounds(strokes)
    assert 20 <= right - left <= 60
    assert 20 <= high - low <= 62


def test_a_battery_has_its_cells_and_a_hood_its_slots() -> None:
    cells = parts.battery_side((0, 60), (0, 30), 6)
    assert len(drawn(cells, "battery")) == 1
    assert len(cells) == 1 + 5 + 6
    assert len(parts.louvres((0, 10), (0, 30), 4)) == 4

"""Stores against printed examples.

Snyder and Shen, Fundamentals of Supply Chain Theory, as printed by the documentation of the library stockpyl 1.0.2
(statistics of this project, section 7: the first six recomputed there without the library).
"""

from __future__ import annotations

import pytest

from dipmark.plan.stores import (
    Lot,
    cost_normal,
    levels_poisson,
    lot_size,
    lots_held,
    lots_normal,
    lots_poisson,
    upto_normal,
    upto_poisson,
)

YEAR = (1300.0, 150.0)


def test_newsvendor_normal_example_4_3() -> None:
    found = upto_normal(0.18, 0.70, 50, 8)
    assert found.level == pytest.approx(56.60395592743389, abs=1e-9)
    assert found.cost == pytest.approx(1.9976051931766445, abs=1e-9)


@pytest.mark.parametrize(
    ("hold", "miss", "mean", "level", "cost"),
    [(0.18, 0.70, 50, 56, 1.797235211809178), (1, 4, 6, 8, 3.5701069457709416)],
)
def test_newsvendor_poisson_example_4_7(hold: float, miss: float, mean: float, level: int, cost: float) -> None:
    found = upto_poisson(hold, miss, mean)
    assert found.level == level
    assert found.cost == pytest.approx(cost, abs=1e-9)


def test_order_point_and_lot_poisson_example_5_8() -> None:
    found = lots_poisson(100, 20, 150, 1.5, 2)
    assert (found.point, found.size) == (3, 5)
    assert found.cost == pytest.approx(107.92358063314975, abs=1e-9)


def test_order_up_to_poisson_example_4_7() -> None:
    found = levels_poisson(5, 1, 4, 6)
    assert (found.point, found.point + found.size) == (4, 10)
    assert found.cost == pytest.approx(8.034111561471642, abs=1e-9)


def test_lot_size_example_3_1() -> None:
    found = lot_size(8, 0.225, 1300)
    assert found.size == pytest.approx(304.0467800264368, abs=1e-9)
    assert found.cost == pytest.approx(68.41052550594829, abs=1e-9)


def test_order_point_and_lot_normal_examples_5_1_5_2_5_6() -> None:
    """Printed, not recomputed there."""
    cost = cost_normal(Lot(126.8, 328.5, 0), 8, 0.225, 7.5, YEAR, 1 / 12)
    assert cost == pytest.approx(78.07116250928294, abs=1e-6)
    held = lots_held(8, 0.225, 7.5, YEAR, 1 / 12)
    assert [held.point, held.size, held.cost] == pytest.approx([213.970442, 318.590181, 95.451140], abs=1e-3)
    found = lots_normal(8, 0.225, 7.5, YEAR, 1 / 12)
    assert [found.point, found.size] == pytest.approx([126.867063, 328.449142], abs=1e-3)

"""How many years to keep a truck: published tables of the equivalent annual cost."""

from __future__ import annotations

import pytest

from dipmark.derive.cost import Year, economic_life


def test_lift_truck() -> None:
    # Sullivan et al., table 9-2 and example 9-4: a lift truck for 30,000 at 10 %.
    values, upkeep = (22500, 16875, 12750, 9750, 7125), (3000, 4500, 7000, 10000, 13000)
    life = economic_life(30000, [Year(*one) for one in zip(values, upkeep, strict=True)], 0.10)
    assert life.equivalent == pytest.approx((13500, 12964, 12918, 13211, 13766), abs=0.5)
    assert life.marginal == pytest.approx((13500, 12375, 12813, 14275, 16600), abs=0.5)
    assert (life.best_year, life.last) == (3, False)


def test_lift_truck_with_overhauls() -> None:
    # Park, example 11.4, results printed; growths and overhauls inferred, they give every figure.
    years = [Year(10000 * 0.75**k, 1000 * 1.15**k + {4: 3000, 6: 4500}.get(k, 0)) for k in range(7)]
    life = economic_life(18000, years, 0.15)
    assert life.equivalent == pytest.approx((11700, 8653, 7406, 6678, 6642, 6258, 6394), abs=0.5)
    assert life.best_year == 6


def test_asset() -> None:
    # Blank and Tarquin, example 11.2: the first three years are printed.
    values, upkeep = (9000, 8000, 6000, 2000, 0), (2500, 2700, 3000, 3500, 4500)
    life = economic_life(13000, [Year(*one) for one in zip(values, upkeep, strict=True)], 0.10)
    assert life.equivalent[:3] == pytest.approx((7800, 6276, 6132), abs=0.5)
    assert life.best_year == 3


def test_without_interest_it_is_the_mean() -> None:
    # Jardine and Tsang, chapter 2, problem 1: a pump, 10000 9700 9400 8900 a month, replacement 1200: 1200 750 700 800.
    life = economic_life(1200, [Year(0, 10000 - made) for made in (10000, 9700, 9400, 8900)], 0)
    assert life.equivalent == pytest.approx((1200, 750, 700, 800))
    assert life.best_year == 3

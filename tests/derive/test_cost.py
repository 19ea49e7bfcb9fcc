"""What a truck costs a year, against plain sums; keep or replace."""

from __future__ import annotations

import pytest

from dipmark.derive.cost import Year, economic_life, next_year

YEARS = (Year(700, 100), Year(500, 150), Year(300, 400))


def present(rate: float, kept: int) -> float:
    spent = sum(year.upkeep / (1 + rate) ** at for at, year in enumerate(YEARS[:kept], 1))
    return 1000 + spent - YEARS[kept - 1].value / (1 + rate) ** kept


@pytest.mark.parametrize("rate", [0.0, 0.08, -0.02])
def test_as_much_each_year_is_worth_the_same(rate: float) -> None:
    life = economic_life(1000, YEARS, rate)
    for kept, cost in enumerate(life.equivalent, 1):
        assert sum(cost / (1 + rate) ** at for at in range(1, kept + 1)) == pytest.approx(present(rate, kept))
        spent = sum(one / (1 + rate) ** at for at, one in enumerate(life.marginal[:kept], 1))
        assert spent == pytest.approx(present(rate, kept))


def test_the_first_of_equal_years_is_the_best() -> None:
    life = economic_life(100, [Year(50, 50), Year(0, 50)], 0)
    assert (life.equivalent, life.best_year, life.last) == ((100, 100), 1, False)
    assert economic_life(100, [Year(0, 5)], 0).last


def test_what_has_no_years_or_interest_is_refused() -> None:
    for years, rate in ((YEARS, -1.0), ((), 0.1)):
        with pytest.raises(ValueError, match="at least one year"):
            economic_life(1000, years, rate)


def test_keep_it_while_a_year_costs_no_more_than_another_truck() -> None:
    for challenger, choice in ((360.0, "keep"), (359.9, "replace")):
        told = next_year(700, Year(500, 90), 0.10, challenger)
        assert told.choice == choice
        assert told.marginal == pytest.approx(360)

"""What a truck costs a year if it is kept so many years, and whether to keep it for another."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from math import isclose
from typing import Literal

import msgspec


class Year(msgspec.Struct, frozen=True):
    """One year of a truck.

    Args:
        value: what it would be sold for at the end of the year.
        upkeep: what it cost in the year: repairs, services, energy, hire while it stood.
    """

    value: float
    upkeep: float


class EconomicLife(msgspec.Struct, frozen=True):
    """What it costs to keep a truck, by years kept.

    Args:
        equivalent: cost a year if it is sold at the end of year 1, 2, ..., price, resale and interest included.
        marginal: cost of one more year: of year 1, 2, ....
        best_year: years to keep it, from 1; the first of several that cost as little.
        least: cost a year then.
        last: True where that is the last year told: it may be more.
    """

    equivalent: tuple[float, ...]
    marginal: tuple[float, ...]
    best_year: int
    least: float
    last: bool


def economic_life(price: float, years: Sequence[Year], rate: float) -> EconomicLife:
    """How many years to keep a truck so that it costs least a year.

    Args:
        price: of the truck, new.
        years: one for each year, at least one.
        rate: interest a year, 0.10 for 10 %; over -1.

    Raises:
        ValueError: no year, or a rate of -1 or less.

    *Source*: least equivalent annual cost: ``[P - S v^n + Σ O v^k] i / (1 - v^n)``; a lift truck in Sullivan, Wicks and
    Koelling, table 9-2.

    Example:
        >>> kept = [Year(22500, 3000), Year(16875, 4500), Year(12750, 7000), Year(9750, 10000)]
        >>> life = economic_life(30000, kept, 0.10)
        >>> life.best_year, round(life.least)
        (3, 12918)
    """
    if not years or rate <= -1:
        raise ValueError("at least one year, and interest over -100 %")
    grow = 1 + rate
    spent = accumulate(year.upkeep / grow**at for at, year in enumerate(years, 1))
    shares = accumulate(grow**-at for at in range(1, len(years) + 1))
    equivalent = tuple(
        (price - year.value / grow**at + upkeep) / share
        for at, (year, upkeep, share) in enumerate(zip(years, spent, shares, strict=True), 1)
    )
    before = (price, *(year.value for year in years))
    marginal = tuple(was * grow - year.value + year.upkeep for was, year in zip(before, years, strict=False))
    least = min(equivalent)
    best = equivalent.index(least) + 1
    return EconomicLife(equivalent, marginal, best, least, best == len(years))


class NextYear(msgspec.Struct, frozen=True):
    """Whether to keep a truck for another year.

    Args:
        choice: keep it, or replace it.
        marginal: what the next year with it costs.
        challenger: what a year with the best truck instead costs.
    """

    choice: Literal["keep", "replace"]
    marginal: float
    challenger: float


def next_year(value: float, coming: Year, rate: float, challenger: float) -> NextYear:
    """Keep a truck for another year, or replace it now.

    Args:
        value: what it would be sold for now.
        coming: the next year with it.
        rate: interest a year.
        challenger: least cost a year of the truck that would replace it.

    *Edge*: at equal cost it is kept. It is replaced at the first year that costs more than the challenger; where later
    years with it get cheaper again, look at them together.

    *Source*: marginal cost against the challenger's least equivalent annual cost.
    """
    marginal = value * (1 + rate) - coming.value + coming.upkeep
    keep = marginal < challenger or isclose(marginal, challenger)
    return NextYear("keep" if keep else "replace", marginal, challenger)

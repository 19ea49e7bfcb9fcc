"""How much to keep and how much to order: the models of the handbooks.

Snyder and Shen are *Fundamentals of Supply Chain Theory*: holding one costs h, one that is asked for and not there p.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import msgspec
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.stats import norm, poisson

Floats = NDArray[np.float64]


class Lot(msgspec.Struct, frozen=True):
    """When to order and how much.

    Args:
        point: order where what is there and on its way is at or below it.
        size: how much.
        cost: of that, in the time that demand and holding are told for.
    """

    point: float
    size: float
    cost: float


class Upto(msgspec.Struct, frozen=True):
    """Order up to a level.

    Args:
        level: what is there and on its way after ordering.
        cost: expected.
    """

    level: float
    cost: float


def lot_size(order: float, hold: float, demand: float) -> Lot:
    """The order that costs least where demand is steady and known.

    Args:
        order: what an order costs, however much.
        hold: what holding one costs in the time that demand is told for.
        demand: so many in that time.

    *Source*: Harris 1913; Snyder and Shen (3.1).
    """
    size = sqrt(2 * order * demand / hold)
    return Lot(0.0, size, sqrt(2 * order * demand * hold))


def short_normal(point: float, mean: float, sd: float) -> float:
    """How much is missing, in the mean, where demand is normal."""
    z = (point - mean) / sd
    return float(sd * (norm.pdf(z) - z * norm.sf(z)))


def short_poisson(point: float, mean: float) -> float:
    """How many are missing, in the mean, where demand is Poisson and the point whole."""
    return float((mean - point) * poisson.sf(point - 1, mean) + point * poisson.pmf(point, mean))


def upto_normal(hold: float, miss: float, mean: float, sd: float) -> Upto:
    """What to have for one time where demand is normal.

    Args:
        hold: what each one left over costs.
        miss: what each one missing costs.
        mean: of demand.
        sd: of demand.

    *Source*: Snyder and Shen (4.3).
    """
    level = float(norm.ppf(miss / (hold + miss), mean, sd))
    return Upto(level, hold * (level - mean) + (hold + miss) * short_normal(level, mean, sd))


def upto_poisson(hold: float, miss: float, mean: float) -> Upto:
    """What to have for one time where demand is Poisson: the least level that is asked for no more often than pays.

    Args:
        hold: what each one left over costs.
        miss: what each one missing costs.
        mean: of demand.

    *Source*: Snyder and Shen (4.7).
    """
    level = int(poisson.ppf(miss / (hold + miss), mean))
    return Upto(level, hold * (level - mean) + (hold + miss) * short_poisson(level, mean))


def lots_poisson(order: float, hold: float, miss: float, demand: float, lead: float) -> Lot:
    """Order point and lot that cost least where demand is Poisson and what is missing is waited for.

    Args:
        order: what an order costs, however much.
        hold: what holding one costs in the time that demand is told for.
        miss: what waiting for one costs in that time.
        demand: so many in that time.
        lead: how long an order takes, in that time.

    *Source*: Federgruen and Zheng 1992; Snyder and Shen (5.8): the levels that cost least are taken, one more as long
    as it costs less than the mean of those taken.
    """
    mean = demand * lead

    def cost(level: int) -> float:
        return hold * (level - mean) + (hold + miss) * short_poisson(level, mean)

    low = high = int(upto_poisson(hold, miss, mean).level)
    total, size = order * demand + cost(low), 1
    while min(cost(low - 1), cost(high + 1)) < total / size:
        if cost(low - 1) < cost(high + 1):
            low -= 1
            total += cost(low)
        else:
            high += 1
            total += cost(high)
        size += 1
    return Lot(low - 1, size, total / size)


def levels_poisson(order: float, hold: float, miss: float, mean: float) -> Lot:
    """At which level to order, and up to which, each time anew, where demand is Poisson: `point` and `point + size`.

    Args:
        order: what an order costs, however much.
        hold: what each one left over costs.
        miss: what each one missing costs.
        mean: of demand from one time to the next.

    *Source*: Zheng and Federgruen 1991; Snyder and Shen (4.4).
    """
    chance = poisson.pmf(np.arange(int(poisson.ppf(1 - 1e-15, mean)) + 2), mean)

    def cost(level: int) -> float:
        return hold * (level - mean) + (hold + miss) * short_poisson(level, mean)

    def mean_cost(point: int, upto: int) -> float:
        """Renewal: how often each level is met on the way down from the upper one."""
        met = np.zeros(upto - point)
        met[0] = 1 / (1 - chance[0])
        for down in range(1, len(met)):
            back = min(down, len(chance) - 1)
            met[down] = (chance[1 : back + 1] @ met[down - back : down][::-1]) / (1 - chance[0])
        return float((order + sum(share * cost(upto - down) for down, share in enumerate(met))) / met.sum())

    best = int(upto_poisson(hold, miss, mean).level)
    point = best - 1
    while mean_cost(point, best) > cost(point):
        point -= 1
    least, upto = mean_cost(point, best), best
    higher = best + 1
    while cost(higher) <= least:
        if mean_cost(point, higher) < least:
            upto = higher
            while mean_cost(point, upto) <= cost(point + 1):
                point += 1
            least = mean_cost(point, upto)
        higher += 1
    return Lot(point, upto - point, least)


def cost_normal(lot: Lot, order: float, hold: float, miss: float, demand: tuple[float, float], lead: float) -> float:
    """What an order point and a lot cost where demand is normal and what is missing is waited for.

    Args:
        lot: point and size.
        order: what an order costs, however much.
        hold: what holding one costs in the time that demand is told for.
        miss: what waiting for one costs in that time.
        demand: mean and deviation in that time.
        lead: how long an order takes, in that time.

    *Source*: Snyder and Shen (5.7).
    """
    mean, sd = demand[0] * lead, demand[1] * sqrt(lead)
    steps = np.linspace(lot.point, lot.point + lot.size, 20_001)
    z = (steps - mean) / sd
    costs = hold * (steps - mean) + (hold + miss) * sd * (norm.pdf(z) - z * norm.sf(z))
    return float((order * demand[0] + np.trapezoid(costs, steps)) / lot.size)


def lots_normal(order: float, hold: float, miss: float, demand: tuple[float, float], lead: float) -> Lot:
    """Order point and lot near the best, where hardly anything is missing once an order has come.

    Args:
        order: what an order costs, however much.
        hold: what holding one costs in the time that demand is told for.
        miss: what waiting for one costs in that time.
        demand: mean and deviation in that time.
        lead: how long an order takes, in that time.

    *Source*: the approximation by loss functions, Snyder and Shen (5.6).
    """
    mean, sd = demand[0] * lead, demand[1] * sqrt(lead)

    def twice(point: float) -> float:
        z = (point - mean) / sd
        return float(sd**2 * ((z**2 + 1) * norm.sf(z) - z * norm.pdf(z)) / 2)

    def size(point: float) -> float:
        return sqrt(2 * (order * demand[0] + (hold + miss) * twice(point)) / hold)

    point = _root(lambda at: short_normal(at, mean, sd) - hold * size(at) / (hold + miss), mean, sd)
    lot = Lot(point, size(point), 0.0)
    return Lot(lot.point, lot.size, cost_normal(lot, order, hold, miss, demand, lead))


def lots_held(order: float, hold: float, miss: float, demand: tuple[float, float], lead: float) -> Lot:
    """Order point and lot where each one missing costs once, and what is held is reckoned as if nothing ever were.

    Args:
        order: what an order costs, however much.
        hold: what holding one costs in the time that demand is told for.
        miss: what each one missing costs.
        demand: mean and deviation in that time.
        lead: how long an order takes, in that time.

    *Source*: the approximation by the expected level, Whitin 1953; Snyder and Shen (5.4).
    """
    mean, sd = demand[0] * lead, demand[1] * sqrt(lead)

    def size(point: float) -> float:
        return sqrt(2 * demand[0] * (order + miss * short_normal(point, mean, sd)) / hold)

    point = _root(lambda at: float(norm.sf(at, mean, sd)) - hold * size(at) / (miss * demand[0]), mean, sd)
    lot = size(point)
    cost = hold * (point - mean + lot / 2) + order * demand[0] / lot
    return Lot(point, lot, cost + miss * demand[0] * short_normal(point, mean, sd) / lot)


def _root(of: Callable[[float], float], mean: float, sd: float) -> float:
    return float(brentq(of, mean - 6 * sd, mean + 8 * sd, xtol=1e-12))

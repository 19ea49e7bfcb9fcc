"""When to replace a part before it fails: the interval that costs least, and how flat the least is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, Protocol

import msgspec
import numpy as np
from scipy import interpolate, optimize

from dipmark.derive.reliability.histories import LEVEL, Floats
from dipmark.derive.reliability.life import Law
from dipmark.derive.reliability.made_up import Pivots

FLAT: Final = 0.05
"""The flat range: intervals that cost at most so much more than the least."""

STEPS: Final = 2000
"""Places at which a cost is looked at before the least is found exactly."""

STEP: Final = 1e-4
"""In ln hours: the cost falls before the least and rises after it."""

DEAREST: Final = 1e6
"""A failure that costs more than so many planned replacements is no matter of cost."""

LIVES: Final = 4.0
"""Replacing a block later than so many mean lives is no longer looked at."""


class Lasting(Protocol):
    """Anything that lives: a law, or a table of our own."""

    def alive(self, hours: Floats | float) -> Floats:
        """The share that lives longer than so many hours."""
        ...

    def lived(self, hours: Floats | float) -> Floats:
        """Mean hours until a part fails or is replaced at so many hours."""
        ...

    @property
    def mean(self) -> float:
        """The mean life, hours."""
        ...


class Interval(msgspec.Struct, frozen=True):
    """The interval that costs least.

    Args:
        hours: the interval; None where running to failure costs least.
        cost: an hour, in the money of the two costs.
        run_to_failure: cost an hour without any replacement ahead of failure.
        flat_low: shortest interval that costs hardly more.
        flat_high: longest; None where running to failure costs hardly more.
    """

    hours: float | None
    cost: float
    run_to_failure: float
    flat_low: float | None
    flat_high: float | None


def age_cost(life: Lasting, hours: Floats | float, planned: float, failure: float) -> Floats:
    """Cost an hour of replacing each part at so many hours, or at failure if that comes first.

    Args:
        life: of the parts.
        hours: the interval, over 0.
        planned: cost of a planned replacement.
        failure: cost of a failure with all that follows.

    *Source*: Barlow and Hunter 1960: ``(cp R + cf F) / ∫ R``.

    Example:
        >>> float(age_cost(Law("weibull", 2.5, 1000.0), 493.19, 1, 5).round(6))
        0.003462
    """
    alive = life.alive(hours)
    return np.asarray((planned * alive + failure * (1 - alive)) / life.lived(hours))


def age(life: Lasting, planned: float, failure: float, flat: float = FLAT) -> Interval:
    """The age at which to replace a part so that it costs least.

    Args:
        life: of the parts.
        planned: cost of a planned replacement, over 0.
        failure: cost of a failure.
        flat: how much more than the least still counts as hardly more.

    Raises:
        ValueError: a cost is not over 0, or a failure costs more than a million planned replacements.

    *Edge*: where a later replacement is always cheaper no interval is named: run to failure.
    """
    _check(planned, failure)
    to_failure = failure / life.mean
    reach = life.mean * np.geomspace(1e-9, 1e3, STEPS)
    reach = reach[(life.alive(reach) > 1e-12) & (life.lived(reach) > 0)]

    def cost(log_hours: Floats | float) -> Floats:
        return age_cost(life, np.exp(log_hours), planned, failure)

    return _interval(cost, np.log(reach), to_failure, flat)


def _check(planned: float, failure: float) -> None:
    if planned <= 0 or not 0 < failure <= DEAREST * planned:
        raise ValueError("costs over 0, and a failure no dearer than a million planned replacements")


def _interval(cost: Callable[[Floats | float], Floats], places: Floats, to_failure: float, flat: float) -> Interval:
    """The least of a cost over ln hours, looked for about the cheapest of many places; and the range hardly dearer."""
    seen = cost(places)
    at = int(np.argmin(seen))
    if at in (0, len(places) - 1) or seen[at] >= to_failure * (1 - 1e-9):
        return Interval(None, to_failure, to_failure, None, None)
    best = float(optimize.brentq(lambda one: cost(one + STEP) - cost(one - STEP), places[at - 1], places[at + 1]))
    least = float(cost(best))
    edge = least * (1 + flat)

    def dearer(one: float) -> float:
        return float(cost(one)) - edge

    low = float(np.exp(optimize.brentq(dearer, places[0], best)))
    beyond = np.flatnonzero((places > best) & (seen > edge))
    high = float(np.exp(optimize.brentq(dearer, best, places[beyond[0]]))) if len(beyond) else None
    return Interval(float(np.exp(best)), least, to_failure, low, high)


def renewals(life: Lasting, hours: float, steps: int = STEPS) -> tuple[Floats, Floats]:
    """Failures expected by so many hours of a place where each failed part is replaced by a new one.

    Args:
        life: of the parts.
        hours: until when.
        steps: into how many the hours are cut.

    Returns:
        Hours, and failures expected by then.

    *Source*: the renewal equation, integrated at the middle of each step (Xie 1989).
    """
    ages = np.linspace(0, hours, steps + 1)
    failed = 1 - life.alive(ages)
    half = 1 - life.alive(ages[:-1] + ages[1] / 2)  # F at the middle of each step back
    expected = np.zeros(steps + 1)
    for at in range(1, steps + 1):
        gained = np.diff(expected[:at])
        expected[at] = (failed[at] + half[at - 1 : 0 : -1] @ gained - half[0] * expected[at - 1]) / (1 - half[0])
    return ages, expected


def block(life: Lasting, planned: float, failure: float, flat: float = FLAT) -> Interval:
    """The interval at which to replace all parts at once, whatever their age, so that it costs least.

    Args:
        life: of the parts.
        planned: cost of a planned replacement of one part.
        failure: cost of a failure between.
        flat: how much more than the least still counts as hardly more.

    Raises:
        ValueError: as for `age`.

    *Source*: ``(cp + cf M(t)) / t`` with M failures expected (Barlow and Proschan 1965).
    """
    _check(planned, failure)
    ages, expected = renewals(life, LIVES * life.mean)
    failures = interpolate.CubicSpline(ages, expected)

    def cost(log_hours: Floats | float) -> Floats:
        hours = np.exp(log_hours)
        return np.asarray((planned + failure * failures(hours)) / hours)

    return _interval(cost, np.log(ages[1:]), failure / life.mean, flat)


def minimal_repair(beta: float, eta: float, planned: float, repair: float, flat: float = FLAT) -> Interval:
    """The interval at which to overhaul what is only mended in between: a repair leaves it as old as it was.

    Args:
        beta: shape of the power law; over 1, or no overhaul pays.
        eta: its hours by which one fault is expected.
        planned: cost of an overhaul.
        repair: cost of a fault between.
        flat: how much more than the least still counts as hardly more.

    Returns:
        Never overhauled, a thing that wears out costs ever more: `run_to_failure` is then infinite.

    *Source*: Barlow and Hunter 1960: ``t* = η (cp / (cm (β - 1)))^(1/β)``.

    Example:
        >>> round(minimal_repair(2.5, 1000, 1, 5).hours, 6)
        446.658388
    """
    if beta <= 1:
        never = 0.0 if beta < 1 else repair / eta
        return Interval(None, never, never, None, None)
    hours = eta * (planned / (repair * (beta - 1))) ** (1 / beta)

    def cost(at: float) -> float:
        return float((planned + repair * (at / eta) ** beta) / at)

    least = cost(hours)
    edge = least * (1 + flat)
    low, high = (optimize.brentq(lambda at: cost(at) - edge, *side)
                 for side in ((hours * 1e-6, hours), (hours, _beyond(cost, hours, edge))))  # fmt: skip
    return Interval(hours, least, float("inf"), float(low), float(high))


def _beyond(cost: Callable[[float], float], hours: float, edge: float) -> float:
    """Hours at which it is dearer again."""
    while cost(hours) <= edge:
        hours *= 2
    return hours


class Band(msgspec.Struct, frozen=True):
    """How sure the interval is, the law being known only by a few lives.

    Args:
        low: lower limit, hours; None where running to failure is as likely.
        high: upper limit, hours; None likewise.
        pays: how likely it is that replacing ahead pays at all.
    """

    low: float | None
    high: float | None
    pays: float


def age_band(law: Law, drawn: Pivots, planned: float, failure: float, level: float = LEVEL) -> Band:
    """The intervals that cost least under all laws that could as well be true.

    Args:
        law: the Weibull law fitted.
        drawn: see `Pivots`.
        planned: cost of a planned replacement.
        failure: cost of a failure.
        level: two-sided.
    """
    shapes, scales = drawn.laws(law)
    grid = np.geomspace(1.001, max(1.002, float(shapes.max())), 60)
    best = [age(Law("weibull", float(one), 1.0), planned, failure).hours for one in grid]
    parts = np.array([np.inf if one is None else one for one in best])
    with np.errstate(invalid="ignore"):
        hours = np.where(shapes > 1.001, scales * np.interp(shapes, grid, parts), np.inf)
    hours = np.where(np.isnan(hours), np.inf, hours)
    low, high = np.quantile(hours, [(1 - level) / 2, (1 + level) / 2], method="nearest")
    first, last = (float(one) if np.isfinite(one) else None for one in (low, high))
    return Band(first, last, float(np.isfinite(hours).mean()))

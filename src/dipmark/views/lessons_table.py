"""What a table of faults, lives or upkeep teaches: one plain sentence of advice first, then the figures behind it."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Final, Literal

import msgspec

from dipmark.derive.cost import EconomicLife
from dipmark.derive.reliability.between import Between, between
from dipmark.derive.reliability.enough import NEEDED, hours_for_law, hours_for_shape, hours_for_trend
from dipmark.derive.reliability.histories import Histories
from dipmark.derive.reliability.life import Law, Lives, weibull
from dipmark.derive.reliability.life_limits import Limits, weibull_limits
from dipmark.derive.reliability.power_law import Goodness, PowerLaw, goodness, power_law
from dipmark.derive.reliability.recurrent import FEW, cumulative
from dipmark.derive.reliability.renewal import FLAT, Interval
from dipmark.derive.reliability.survival import kaplan_meier
from dipmark.derive.reliability.trends import Trends, trends

BOOK: Final = "The maker's manual and what the law asks for stand above this: never a longer interval than theirs."

SAFE: Final = "What affects safety is never run to failure."


class McfRow(msgspec.Struct, frozen=True):
    """Faults, or cost, a unit has had by so many hours.

    Args:
        hours: at which something happened.
        value: mean of a unit.
        se: standard error.
        low: lower limit, on the scale of the logarithm.
        high: upper limit.
        at_risk: units watched then.
    """

    hours: float
    value: float
    se: float
    low: float
    high: float
    at_risk: int


class PowerLawRow(msgspec.Struct, frozen=True, rename={"scale": "lambda"}):
    """Faults that come ever faster or slower; by maximum likelihood, not corrected for bias.

    Args:
        beta: shape; over 1 faster.
        scale: λ: expected faults of a unit in its first hour.
        eta: hours by which one fault is expected.
        low: lower limit of `beta`.
        high: upper limit of `beta`.
        truncation: how the watches ended.
    """

    beta: float
    scale: float
    eta: float
    low: float
    high: float
    truncation: Literal["time", "failure", "mixed"]


class RecurrenceLesson(msgspec.Struct, frozen=True):
    """What faults that come back teach.

    Args:
        advice: one plain sentence.
        units: how many were watched.
        faults: how many there were.
        level: of all limits.
        mcf: the mean cumulative function of faults.
        mcf_cost: the same of cost; None where the table has none.
        power_law: None with too few faults.
        trend: tests of trend; None with too few faults.
        between: hours between faults as they are now.
        fit: whether the power law fits.
        notes: what to bear in mind.
    """

    advice: str
    units: int
    faults: int
    level: float
    mcf: tuple[McfRow, ...]
    mcf_cost: tuple[McfRow, ...] | None
    power_law: PowerLawRow | None
    trend: Trends | None
    between: Between | None
    fit: Goodness | None
    notes: tuple[str, ...]


class WeibullRow(msgspec.Struct, frozen=True):
    """The Weibull law of lives, by maximum likelihood.

    Args:
        shape: over 1 wearing out, under 1 failing young.
        shape_low: lower limit.
        shape_high: upper limit.
        scale: hours by which 63.2 % have failed.
        scale_low: lower limit; None where there is none.
        scale_high: upper limit; None where there is none.
        loglik: logarithm of the likelihood.
    """

    shape: float
    shape_low: float
    shape_high: float
    scale: float
    scale_low: float | None
    scale_high: float | None
    loglik: float


class SurvivalRow(msgspec.Struct, frozen=True):
    """The share that outlives so many hours, without any law.

    Args:
        hours: at which parts failed.
        alive: the share.
        low: lower limit.
        high: upper limit; None where none is left.
        at_risk: parts watched right before.
        failed: how many failed there.
    """

    hours: float
    alive: float
    low: float
    high: float | None
    at_risk: float
    failed: float


class LivesLesson(msgspec.Struct, frozen=True):
    """What lives of like parts teach.

    Args:
        advice: one plain sentence.
        parts: how many.
        failures: how many failed.
        watched: hours of all of them together.
        level: of all limits.
        weibull: None with too few failures.
        kaplan_meier: the share that lives on.
        notes: what to bear in mind.
    """

    advice: str
    parts: float
    failures: float
    watched: float
    level: float
    weibull: WeibullRow | None
    kaplan_meier: tuple[SurvivalRow, ...]
    notes: tuple[str, ...]


class UpkeepLesson(msgspec.Struct, frozen=True):
    """How many years to keep a truck.

    Args:
        advice: one plain sentence.
        equivalent_annual_cost: cost a year if it is kept 1, 2, ... years.
        marginal: cost of one more year.
        best_year: years to keep it.
    """

    advice: str
    equivalent_annual_cost: tuple[float, ...]
    marginal: tuple[float, ...]
    best_year: int


class ReplaceLesson(msgspec.Struct, frozen=True):
    """When to replace a part before it fails.

    Args:
        advice: one plain sentence.
        interval: hours; None: run to failure.
        cost_rate: cost an hour then.
        run_to_failure: cost an hour without any replacement ahead of failure.
        flat_low: shortest interval that costs hardly more.
        flat_high: longest; None: without end.
        notes: what to bear in mind.
    """

    advice: str
    interval: float | None
    cost_rate: float
    run_to_failure: float
    flat_low: float | None
    flat_high: float | None
    notes: tuple[str, ...]


def figure(value: float) -> str:
    """A number as people say it: whole from 100 on, else three digits.

    Example:
        >>> figure(12918.43), figure(1.7208), figure(0.00346204)
        ('12,918', '1.72', '0.00346')
    """
    if abs(value) >= 100:
        return f"{value:,.0f}"
    shown = f"{value:.3g}"
    return f"{value:.8f}".rstrip("0") if "e" in shown else shown


def about(value: float) -> str:
    """A number of which two digits are sure enough.

    Example:
        >>> about(39_555_264.2), about(48.2)
        ('40,000,000', '48')
    """
    return figure(float(f"{value:.2g}"))


def recurrence_lesson(units: Histories, level: float, *, costs: bool) -> RecurrenceLesson:
    """What a table of faults teaches.

    Args:
        units: their histories, each from new.
        level: of all limits.
        costs: True where the table says what each fault cost.
    """
    counted = msgspec.structs.replace(units, cost=units.cost * 0 + 1)
    law, found, fit = power_law(units, level), trends(units), goodness(units)
    rows = _mcf(counted, level)
    told = None if law is None else PowerLawRow(law.beta, law.scale, law.eta, law.low, law.high, law.truncation)
    return RecurrenceLesson(
        _recurrence_advice(units, law, level),
        len(units.end),
        len(units.age),
        level,
        rows,
        _mcf(units, level) if costs else None,
        told,
        found,
        between(units, level),
        fit,
        (*_thin(rows), *_doubts(law, found, fit, level)),
    )


def _mcf(units: Histories, level: float) -> tuple[McfRow, ...]:
    found = cumulative(units, level)
    columns = (found.hours, found.value, found.se, found.low, found.high, found.at_risk)
    return tuple(McfRow(*row) for row in zip(*(one.tolist() for one in columns), strict=True))


def _recurrence_advice(units: Histories, law: PowerLaw | None, level: float) -> str:
    watched = float((units.end - units.start).sum())
    if law is None:
        faults = len(units.age)
        if faults >= NEEDED or not watched:
            return "Not enough to tell: no fault lies inside a watch."
        return (
            f"Not enough to tell: {faults} fault{'' if faults == 1 else 's'} in {figure(watched)} h; "
            f"with about {about(hours_for_law(watched, faults))} more hours of all units together it would be."
        )
    shape = f"shape {figure(law.beta)}, between {figure(law.low)} and {figure(law.high)}"
    if law.low > 1:
        return f"Faults come ever faster with the hours ({shape}): it wears out, and mending alone will not hold it."
    if law.high < 1:
        return f"Faults come ever more seldom ({shape}): it settles, and replacing it early would gain nothing."
    more = hours_for_trend(units, law, level)
    if more is None:
        return (
            f"Not enough to tell whether faults come faster or more seldom, nor would watching tell: steady ({shape})."
        )
    return (
        f"Not enough to tell whether faults come faster or more seldom ({shape}); "
        f"with about {about(more)} more hours of each unit it would be."
    )


def _thin(rows: Sequence[McfRow]) -> list[str]:
    few = next((row for row in rows if row.at_risk < FEW), None)
    if few is None:
        return []
    return [f"From {figure(few.hours)} h on {few.at_risk} or fewer units are watched: too few at risk, limits unsure."]


def _doubts(law: PowerLaw | None, found: Trends | None, fit: Goodness | None, level: float) -> list[str]:
    """What speaks against reading the law as it stands."""
    notes: list[str] = []
    robust = found and found.lewis_robinson
    if law and robust and (law.low > 1 or law.high < 1) and robust.p > 1 - level:
        notes.append(
            f"The test that asks least of the gaps, Lewis and Robinson's, does not see it (p {robust.p:.2f}): a hint."
        )
    if fit and fit.statistic > fit.critical:
        notes.append(
            f"A power law fits badly (Cramér-von Mises {figure(fit.statistic)}, at most {figure(fit.critical)}): "
            "go by the mean number of faults, not by the shape."
        )
    return notes


def lives_lesson(data: Lives, level: float) -> LivesLesson:
    """What a table of lives teaches.

    Args:
        data: the lives.
        level: of all limits.
    """
    law = weibull(data)
    limits = weibull_limits(law, data, level) if law else None
    found = kaplan_meier(data, level)
    columns = (found.hours, found.alive, found.low, found.high, found.at_risk, found.failed)
    rows = tuple(
        SurvivalRow(hours, alive, low, high if isfinite(high) else None, at_risk, failed)
        for hours, alive, low, high, at_risk, failed in zip(*(one.tolist() for one in columns), strict=True)
    )
    parts = float(data.count.sum())
    return LivesLesson(
        _lives_advice(data, law, limits),
        parts,
        data.failures,
        data.watched,
        level,
        _weibull_row(law, limits) if law and limits else None,
        rows,
        (BOOK,) if law else (),
    )


def _weibull_row(law: Law, limits: Limits) -> WeibullRow:
    low, high = (one if isfinite(one) and one > 0 else None for one in (limits.scale_low, limits.scale_high))
    return WeibullRow(law.shape, limits.shape_low, limits.shape_high, law.scale, low, high, law.loglik)


def _lives_advice(data: Lives, law: Law | None, limits: Limits | None) -> str:
    failures = f"{data.failures:,.0f} failure{'' if data.failures == 1 else 's'} in {figure(data.watched)} h"
    if law is None or limits is None:
        if data.failures >= NEEDED:
            return f"Not enough to tell: {failures}, all at the same hours."
        more = about(hours_for_law(data.watched, data.failures))
        return f"Not enough to tell: {failures}; with about {more} more hours of all parts together it would be."
    shape = f"shape {figure(law.shape)}, between {figure(limits.shape_low)} and {figure(limits.shape_high)}"
    if limits.shape_low > 1:
        ask = f"dipmark lessons replace --shape {law.shape:.4g} --scale {law.scale:.5g} --planned COST --failure COST"
        return f"They wear out ({shape}): replacing them before they fail can pay; {ask} says when."
    if limits.shape_high < 1:
        return f"They fail young ({shape}): replacing them early does harm; look at the part and how it is fitted."
    more_hours = hours_for_shape(data, law, limits)
    if more_hours is None:
        return f"Not enough to tell whether they wear out or fail young, nor would watching tell: by chance ({shape})."
    return (
        f"Not enough to tell whether they wear out or fail young ({shape}); "
        f"with about {about(more_hours)} more hours of all parts together it would be."
    )


def upkeep_lesson(life: EconomicLife) -> UpkeepLesson:
    """How many years to keep a truck.

    Args:
        life: its cost by years kept.
    """
    cost = figure(life.least)
    years = f"{life.best_year} year{'' if life.best_year == 1 else 's'}"
    if life.last:
        advice = f"Not enough to tell: kept {years}, the last told, it costs least a year so far ({cost}); add a year."
    else:
        advice = (
            f"Keep it {years}: it then costs {cost} a year, the least; "
            f"year {life.best_year + 1} alone would cost {figure(life.marginal[life.best_year])}."
        )
    return UpkeepLesson(advice, life.equivalent, life.marginal, life.best_year)


def replace_lesson(found: Interval) -> ReplaceLesson:
    """When to replace a part before it fails.

    Args:
        found: the interval that costs least.
    """
    if found.hours is None or found.flat_low is None:
        advice = (
            f"Run it to failure, {figure(found.run_to_failure)} an hour: a replacement ahead of failure does not pay."
        )
        return ReplaceLesson(advice, None, found.cost, found.run_to_failure, None, None, (SAFE, BOOK))
    saved = 1 - found.cost / found.run_to_failure
    advice = (
        f"Replace it at {figure(found.hours)} h: {figure(found.cost)} an hour, "
        f"{saved:.0%} less than running to failure ({figure(found.run_to_failure)})."
    )
    until = f"to {figure(found.flat_high)} h" if found.flat_high is not None else "on"
    flat = f"From {figure(found.flat_low)} h {until} it costs at most {FLAT:.0%} more: round it to the services."
    values = (found.hours, found.cost, found.run_to_failure, found.flat_low, found.flat_high)
    return ReplaceLesson(advice, *values, (flat, BOOK))

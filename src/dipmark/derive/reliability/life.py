"""Lives of parts: Weibull and lognormal through lives that ended and lives that still run; survival without a law."""

from __future__ import annotations

from typing import Final, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special, stats

from dipmark.derive.reliability.histories import Floats

STEPS: Final = 60
CLOSE: Final = 1e-13


class Lives(msgspec.Struct, frozen=True):
    """Lives of like parts.

    Args:
        hours: at which each failed or was last seen to run, over 0.
        failed: True where it failed.
        count: how many parts each line stands for.
        entry: hours at which each came under watch; it is known to have lived so long.
        after: of a part found failed at `hours` the hours at which it was last seen to run; as `hours` where the time
            of the failure is known.
    """

    hours: Floats
    failed: NDArray[np.bool_]
    count: Floats
    entry: Floats
    after: Floats

    @property
    def failures(self) -> float:
        """How many parts failed."""
        return float(self.count[self.failed].sum())

    @property
    def plain(self) -> bool:
        """True where the time of every failure is known."""
        return bool(np.all(self.after == self.hours))


def lives(
    hours: object, failed: object, count: object = None, entry: object = None, after: object = None
) -> Lives:
    """Lives from lists or arrays of one length.

    Args:
        hours: see `Lives`.
        failed: see `Lives`.
        count: None: one part each.
        entry: None: watched from new.
        after: None: every failure was seen when it happened.

    Raises:
        ValueError: lengths differ, a life is not over 0, or a part entered after it ended.
    """
    ages = np.asarray(hours, float)
    held = Lives(
        ages,
        np.asarray(failed, bool),
        np.ones_like(ages) if count is None else np.asarray(count, float),
        np.zeros_like(ages) if entry is None else np.asarray(entry, float),
        ages if after is None else np.asarray(after, float),
    )
    shapes = {one.shape for one in (held.hours, held.failed, held.count, held.entry, held.after)}
    if len(shapes) != 1 or not np.all(np.isfinite(ages)) or np.any(ages <= 0) or np.any(held.count < 0):
        raise ValueError("lives over 0, all lists of one length")
    if np.any(held.entry < 0) or np.any(held.entry >= ages) or np.any(held.after > ages) or np.any(held.after < 0):
        raise ValueError("a part enters before it ends, and is seen to run before it is found failed")
    return held


class Fits(msgspec.Struct, frozen=True):
    """A law for each of many sets of lives.

    Args:
        shape: 1 steady, over 1 wearing out, under 1 failing young; nan where there is too little to tell.
        scale: hours by which 63.2 % have failed.
        loglik: logarithm of the likelihood.
    """

    shape: Floats
    scale: Floats
    loglik: Floats


def weibull_fits(hours: Floats, failed: NDArray[np.bool_], count: Floats | None = None, entry: Floats | None = None) -> Fits:
    """Weibull laws by maximum likelihood, one for each row: right censored, with late entry.

    Args:
        hours: a row for each set of lives; over 0, 1 where `count` is 0.
        failed: True where it failed; the others still ran.
        count: how many parts each stands for; None: one each.
        entry: hours at which it came under watch; None: from new.

    Returns:
        A fit for each row; nan where fewer than two parts failed or all lives are alike.

    *Source*: the likelihood equation in the shape alone, solved by Newton's steps on its logarithm.
    """
    weight = np.ones_like(hours) if count is None else count
    top = np.max(np.where(weight > 0, hours, 0.0), axis=-1, keepdims=True)
    logs = np.log(hours / top)
    dead = weight * failed
    faults = dead.sum(-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (dead * logs).sum(-1) / faults
        early = None if entry is None else np.log(entry / top)
        shape = _shape(logs, weight, mean, early)
        shape = np.where((faults >= 2) & (shape < 1e6), shape, np.nan)
        mass, _, _ = _sums(shape, logs, weight, early)
        scale = top[..., 0] * (mass / faults) ** (1 / shape)
        loglik = faults * (np.log(shape) - shape * np.log(scale)) + (shape - 1) * (
            (dead * np.log(hours)).sum(-1)
        ) - faults
    return Fits(shape, scale, loglik)


def _sums(shape: Floats, logs: Floats, weight: Floats, early: Floats | None) -> tuple[Floats, Floats, Floats]:
    """Σ w t^β and its first two derivatives in β, less the same of the hours at entry."""
    power = weight * np.exp(shape[..., None] * logs)
    first, second = power * logs, power * logs**2
    if early is not None:
        there = np.isfinite(early)
        safe = np.where(there, early, 0.0)
        before = np.where(there, weight * np.exp(shape[..., None] * safe), 0.0)
        power, first, second = power - before, first - before * safe, second - before * safe**2
    return power.sum(-1), first.sum(-1), second.sum(-1)


def _shape(logs: Floats, weight: Floats, mean: Floats, early: Floats | None) -> Floats:
    """The root of Σ w t^β ln t / Σ w t^β - 1/β - mean ln t of the failures, in ln β: one, for the left side rises."""
    spread = np.sqrt(np.maximum((weight * (logs - mean[..., None]) ** 2).sum(-1) / weight.sum(-1), 1e-300))
    log_shape = np.log(np.clip(1.2 / spread, 1e-3, 1e7))
    low, high = np.full_like(mean, np.log(1e-4)), np.full_like(mean, np.log(1e8))
    for _ in range(STEPS):
        shape = np.exp(log_shape)
        mass, first, second = _sums(shape, logs, weight, early)
        value = first / mass - 1 / shape - mean
        rise = (second / mass - (first / mass) ** 2) * shape + 1 / shape
        low, high = np.where(value < 0, log_shape, low), np.where(value > 0, log_shape, high)
        step = log_shape - value / rise
        inside = (step > low) & (step < high)
        after = np.where(inside, step, (low + high) / 2)
        moved = np.abs(after - log_shape)
        log_shape = np.where(np.isfinite(after), after, log_shape)
        if np.all((moved < CLOSE) | ~np.isfinite(moved)):
            break
    return np.asarray(np.exp(log_shape))


class Law(msgspec.Struct, frozen=True):
    """A law of lives.

    Args:
        law: which.
        shape: of a Weibull law its shape; of a lognormal law the spread of ln hours.
        scale: of a Weibull law the hours by which 63.2 % have failed; of a lognormal law the median.
        loglik: logarithm of the likelihood.
    """

    law: Literal["weibull", "lognormal"]
    shape: float
    scale: float
    loglik: float

    def alive(self, hours: Floats | float) -> Floats:
        """The share that lives longer than so many hours.

        Args:
            hours: 0 or more.
        """
        if self.law == "weibull":
            return np.exp(-((np.asarray(hours) / self.scale) ** self.shape))
        with np.errstate(divide="ignore"):
            return np.asarray(stats.norm.sf(np.log(np.asarray(hours) / self.scale) / self.shape))

    @property
    def mean(self) -> float:
        """The mean life, hours."""
        if self.law == "weibull":
            return float(self.scale * special.gamma(1 + 1 / self.shape))
        return float(self.scale * np.exp(self.shape**2 / 2))


def weibull(data: Lives) -> Law | None:
    """The Weibull law through lives; None with fewer than two failures, or where all failed at the same hours.

    Args:
        data: right censored, interval censored, late entries.
    """
    if data.plain:
        rows = (data.hours[None], data.failed[None], data.count[None], data.entry[None])
        fits = weibull_fits(*rows)
        found = float(fits.shape[0])
        return Law("weibull", found, float(fits.scale[0]), float(fits.loglik[0])) if np.isfinite(found) else None
    return _by_search("weibull", data)


def lognormal(data: Lives) -> Law | None:
    """The lognormal law through lives; None as for `weibull`.

    Args:
        data: right censored, interval censored, late entries.
    """
    return _by_search("lognormal", data)


def loglik(law: Literal["weibull", "lognormal"], shape: float, scale: float, data: Lives) -> float:
    """The logarithm of the likelihood of lives under a law.

    Args:
        law: which.
        shape: see `Law`.
        scale: see `Law`.
        data: the lives.
    """
    z = np.log(data.hours / scale)
    with np.errstate(divide="ignore", invalid="ignore"):
        before = np.log(data.after / scale)
        start = np.log(data.entry / scale)
        if law == "weibull":
            death = np.log(shape / data.hours) + shape * z - np.exp(shape * z)
            alive, was, came = (-np.exp(shape * one) for one in (z, before, start))
        else:
            death = stats.norm.logpdf(z / shape) - np.log(shape * data.hours)
            alive, was, came = (stats.norm.logsf(one / shape) for one in (z, before, start))
        between = was + np.log1p(-np.exp(alive - was))
    told = np.where(data.failed, np.where(data.after == data.hours, death, between), alive) - came
    return float((data.count * told).sum())


def _by_search(law: Literal["weibull", "lognormal"], data: Lives) -> Law | None:
    ages = data.hours[data.failed & (data.count > 0)]
    if data.failures < 2 or (data.plain and len(np.unique(ages)) < 2 and bool(np.all(data.failed))):
        return None
    middle = np.log(np.where(data.after > 0, (data.hours + data.after) / 2, data.hours / 2))[data.failed]
    spread = max(float(np.std(middle)), 0.1)
    first = 1.2 / spread if law == "weibull" else spread

    def badness(at: Floats) -> float:
        found = loglik(law, float(np.exp(at[0])), float(np.exp(at[1])), data)
        return -found if np.isfinite(found) else 1e300

    start = np.array([np.log(first), float(np.log(data.hours.mean()))])
    rough = optimize.minimize(badness, start, method="Nelder-Mead", options={"maxiter": 4000, "xatol": 1e-10, "fatol": 1e-12})
    shape, scale = (float(one) for one in np.exp(rough.x))
    return Law(law, shape, scale, -float(rough.fun))


class Survival(msgspec.Struct, frozen=True):
    """The share that lives on, without any law (Kaplan and Meier).

    Args:
        hours: at which parts failed, each once.
        alive: the share that outlives them.
        at_risk: parts watched right before.
        failed: how many failed there.
        low: lower limit.
        high: upper limit.
    """

    hours: Floats
    alive: Floats
    at_risk: Floats
    failed: Floats
    low: Floats
    high: Floats


def kaplan_meier(data: Lives, level: float = 0.95) -> Survival:
    """The share that outlives so many hours.

    Args:
        data: right censored, with late entries; a part found failed counts as failed when it was found.
        level: of the limits, two-sided, on the scale of ln(-ln): Greenwood's variance.

    *Edge*: a part last seen to run at the hours of a failure was still at risk there; one that entered there was not.
    """
    hours = np.unique(data.hours[data.failed & (data.count > 0)])
    died = np.array([data.count[data.failed & (data.hours == at)].sum() for at in hours])
    risk = np.array([data.count[(data.hours >= at) & (data.entry < at)].sum() for at in hours])
    alive = np.cumprod(1 - died / risk)
    with np.errstate(divide="ignore", invalid="ignore"):
        variance = np.cumsum(died / (risk * (risk - died)))
        wide = stats.norm.ppf((1 + level) / 2) * np.sqrt(variance) / np.log(alive)
        low, high = alive ** np.exp(-wide), alive ** np.exp(wide)
    ended = alive <= 0
    low, high = np.where(ended, 0.0, np.minimum(low, high)), np.where(ended, np.nan, np.maximum(low, high))
    return Survival(hours, alive, risk, died, low, high)


def apart(one: Lives, other: Lives) -> tuple[float, float]:
    """Whether two groups of parts live alike: the log-rank test.

    Args:
        one: lives of the first group.
        other: lives of the second.

    Returns:
        χ² with one degree of freedom, and the chance of one as large where they live alike.
    """
    hours = np.unique(np.concatenate([one.hours[one.failed], other.hours[other.failed]]))
    seen = expected = variance = 0.0
    for at in hours:
        first, both = _at(one, at), np.add(_at(one, at), _at(other, at))
        share = first[0] / both[0]
        seen += first[1]
        expected += both[1] * share
        if both[0] > 1:
            variance += both[1] * share * (1 - share) * (both[0] - both[1]) / (both[0] - 1)
    if variance <= 0:
        return 0.0, 1.0
    chi = (seen - expected) ** 2 / variance
    return float(chi), float(stats.chi2.sf(chi, 1))


def _at(data: Lives, at: float) -> tuple[float, float]:
    """Parts at risk at some hours, and those that failed there."""
    risk = data.count[(data.hours >= at) & (data.entry < at)].sum()
    return float(risk), float(data.count[data.failed & (data.hours == at)].sum())

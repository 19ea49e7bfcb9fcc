"""Lives of parts: Weibull and lognormal laws through lives that ended and lives that still run."""

from __future__ import annotations

from typing import Final, Literal

import msgspec
import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import optimize, special, stats

from dipmark.derive.reliability.histories import Floats

STEPS: Final = 60
"""Most of Newton's steps; six are usual."""

CLOSE: Final = 1e-11
"""A step in ln shape that ends them."""

STEEPEST: Final = 1e4
"""A shape above this is no law: all lives are alike."""

LawName = Literal["weibull", "lognormal"]


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
    def watched(self) -> float:
        """Hours that all parts together ran under watch."""
        return float((self.count * (self.hours - self.entry)).sum())

    @property
    def plain(self) -> bool:
        """True where the time of every failure is known and every part was watched from new."""
        return bool(np.all(self.after == self.hours) and np.all(self.entry == 0))


def lives(
    hours: ArrayLike,
    failed: ArrayLike,
    count: ArrayLike | None = None,
    entry: ArrayLike | None = None,
    after: ArrayLike | None = None,
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
    if len(shapes) != 1 or not np.all(np.isfinite(ages) & (ages > 0)) or np.any(held.count < 0):
        raise ValueError("lives over 0, all lists of one length")
    if np.any(held.entry < 0) or np.any(held.entry >= ages) or np.any(held.after > ages) or np.any(held.after < 0):
        raise ValueError("a part enters before it ends, and is seen to run before it is found failed")
    return held


class Fits(msgspec.Struct, frozen=True):
    """A Weibull law for each of many sets of lives.

    Args:
        shape: 1 steady, over 1 wearing out, under 1 failing young; nan where there is too little to tell.
        scale: hours by which 63.2 % have failed.
        loglik: logarithm of the likelihood.
    """

    shape: Floats
    scale: Floats
    loglik: Floats


def weibull_fits(hours: Floats, failed: Floats | NDArray[np.bool_], count: Floats | None = None) -> Fits:
    """Weibull laws by maximum likelihood, one for each row, all at once: parts that failed or still ran.

    Args:
        hours: a row for each set of lives; over 0.
        failed: of each line whether it failed, or the share of `count` that did; the others still ran.
        count: how many parts each line stands for; None: one each.

    Returns:
        A fit for each row; nan where fewer than two parts failed or all lives are alike.

    *Source*: the likelihood equation in the shape alone, solved by Newton's steps on its logarithm.
    """
    weight = np.ones_like(hours) if count is None else count
    dead = weight * failed
    top = np.max(np.where(weight > 0, hours, 0.0), axis=-1, keepdims=True)
    logs = np.log(hours / top)
    faults = dead.sum(-1)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        mean = (dead * logs).sum(-1) / faults
        shape = _shape(logs, weight, mean)
        shape = np.where((faults >= 2) & (shape < STEEPEST), shape, np.nan)
        mass = (weight * np.exp(shape[..., None] * logs)).sum(-1)
        scale = top[..., 0] * (mass / faults) ** (1 / shape)
        risen = shape * (mean + np.log(top[..., 0] / scale))
        loglik = faults * (np.log(shape) + risen - 1) - (dead * np.log(hours)).sum(-1)
    return Fits(shape, scale, loglik)


def _shape(logs: Floats, weight: Floats, mean: Floats) -> Floats:
    """The root of Σ w t^β ln t / Σ w t^β - 1/β - mean ln t of the failures, in ln β: one, for the left side rises."""
    spread = np.sqrt((weight * (logs - mean[..., None]) ** 2).sum(-1) / weight.sum(-1))
    low, high = np.full_like(mean, np.log(1e-4)), np.full_like(mean, np.log(1e8))
    log_shape, squares = np.clip(np.log(1.2 / spread), low, high), logs**2
    for _ in range(STEPS):
        shape = np.exp(log_shape)
        power = weight * np.exp(shape[..., None] * logs)
        mass = power.sum(-1)
        first, second = (power * logs).sum(-1) / mass, (power * squares).sum(-1) / mass
        value = first - 1 / shape - mean
        low, high = np.where(value < 0, log_shape, low), np.where(value > 0, log_shape, high)
        step = log_shape - value / ((second - first**2) * shape + 1 / shape)
        after = np.where((step > low) & (step < high), step, (low + high) / 2)
        moved, log_shape = np.abs(after - log_shape), after
        if not np.any(moved > CLOSE):
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

    law: LawName
    shape: float
    scale: float
    loglik: float = 0.0

    def alive(self, hours: Floats | float) -> Floats:
        """The share that lives longer than so many hours.

        Args:
            hours: 0 or more.
        """
        ages = np.asarray(hours, float) / self.scale
        if self.law == "weibull":
            return np.asarray(np.exp(-(ages**self.shape)))
        with np.errstate(divide="ignore"):
            return np.asarray(stats.norm.sf(np.log(ages) / self.shape))

    def lived(self, hours: Floats | float) -> Floats:
        """Mean hours that a part runs until it fails or is replaced at so many hours.

        Args:
            hours: 0 or more.
        """
        ages = np.asarray(hours, float) / self.scale
        if self.law == "weibull":
            return np.asarray(self.mean * special.gammainc(1 / self.shape, ages**self.shape))
        with np.errstate(divide="ignore"):
            z = np.log(ages) / self.shape
        return np.asarray(self.scale * ages * stats.norm.sf(z) + self.mean * stats.norm.cdf(z - self.shape))

    @property
    def mean(self) -> float:
        """The mean life, hours."""
        if self.law == "weibull":
            return float(self.scale * special.gamma(1 + 1 / self.shape))
        return float(self.scale * np.exp(self.shape**2 / 2))


def weibull(data: Lives) -> Law | None:
    """The Weibull law through lives; None with fewer than two failures, or where all lives are alike.

    Args:
        data: right censored, interval censored, late entries.
    """
    if data.failures < 2 or not data.plain:
        return _by_search("weibull", data)
    fits = weibull_fits(data.hours[None], data.failed[None], data.count[None])
    shape, scale, found = float(fits.shape[0]), float(fits.scale[0]), float(fits.loglik[0])
    return Law("weibull", shape, scale, found) if np.isfinite(shape) else None


def lognormal(data: Lives) -> Law | None:
    """The lognormal law through lives; None as for `weibull`.

    Args:
        data: right censored, interval censored, late entries.
    """
    return _by_search("lognormal", data)


def loglik(law: LawName, shape: float, scale: float, data: Lives) -> float:
    """The logarithm of the likelihood of lives under a law.

    Args:
        law: which.
        shape: see `Law`.
        scale: see `Law`.
        data: the lives.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        z, before, start = (np.log(one / scale) for one in (data.hours, data.after, data.entry))
        if law == "weibull":
            death = np.log(shape / data.hours) + shape * z - np.exp(shape * z)
            alive, was, came = (-np.exp(shape * one) for one in (z, before, start))
        else:
            death = stats.norm.logpdf(z / shape) - np.log(shape * data.hours)
            alive, was, came = (stats.norm.logsf(one / shape) for one in (z, before, start))
        between = was + np.log(-np.expm1(alive - was))
    told = np.where(data.failed, np.where(data.after == data.hours, death, between), alive) - came
    return float((data.count * told).sum())


def _by_search(law: LawName, data: Lives) -> Law | None:
    """Downhill from the spread of the failures, in ln shape and ln scale."""
    if data.failures < 2:
        return None
    middle = np.log((data.hours + data.after) / 2)[data.failed]
    spread = max(float(np.std(middle)), 0.1)

    def badness(at: Floats) -> float:
        shape, scale = np.exp(np.clip(at, -25, 30))
        found = loglik(law, shape, scale, data)
        return -found if np.isfinite(found) else 1e300

    start = np.array([np.log(1.2 / spread if law == "weibull" else spread), np.log(data.hours.mean())])
    limits = {"maxiter": 4000, "xatol": 1e-10, "fatol": 1e-13}
    rough = optimize.minimize(badness, start, method="Nelder-Mead", options=limits)
    shape, scale = (float(one) for one in np.exp(rough.x))
    steep = shape if law == "weibull" else 1 / shape
    return Law(law, shape, scale, -float(rough.fun)) if steep < STEEPEST else None

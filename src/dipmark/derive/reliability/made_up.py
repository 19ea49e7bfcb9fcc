"""Made-up sets of lives that left the watch as the real ones did: how far a fit may be from the truth."""

from __future__ import annotations

from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray

from dipmark.derive.reliability.histories import Floats
from dipmark.derive.reliability.life import Fits, Law, Lives, weibull_fits

DRAWS: Final = 2000
"""Made-up sets from which limits are read."""

SEED: Final = 41
"""They are the same every time: limits are a function of the lives and of nothing else."""

MANY: Final = 1000
"""Parts; of more only the failures are made up, with those that left at each."""

STEPS: Final = 60
CLOSE: Final = 1e-10

STEEP: Final = 30.0
"""Newton's steps begin where the longest life beyond the scale counts no more than e to this power."""


class Sets(msgspec.Struct, frozen=True):
    """Sets of lives, a row each.

    Args:
        hours: of each part or group of parts.
        dead: how many failed there.
        count: how many they are.
    """

    hours: Floats
    dead: Floats
    count: Floats


class Pivots(msgspec.Struct, frozen=True):
    """What is alike in every law: of made-up sets whose true shape and scale are 1.

    Args:
        shape: fitted shapes.
        shift: fitted shape times the logarithm of the fitted scale.
        shape_root: how far each fitted shape is from the true one, as a normal deviate by the likelihood.
        scale_root: the same of the scale.
        exact: True where parts left the watch at failures: the sets are then drawn from the true law of all this.
    """

    shape: Floats
    shift: Floats
    shape_root: Floats
    scale_root: Floats
    exact: bool

    def laws(self, law: Law) -> tuple[Floats, Floats]:
        """Shapes and scales that could as well be true, one of each for each made-up set.

        Args:
            law: what was fitted to the real set.
        """
        with np.errstate(over="ignore"):
            return law.shape / self.shape, law.scale * np.exp(-self.shift / law.shape)


def pivots(law: Law, data: Lives, draws: int = DRAWS, seed: int = SEED) -> Pivots:
    """Sets made up as parts left the watch in the real one, and fitted; those with too few failures are left out.

    Args:
        law: the Weibull law of `data`.
        data: lives whose failures were seen when they happened, watched from new.
        draws: how many sets.
        seed: of the draws.
    """
    rng = np.random.default_rng(seed)
    exact = _until_failure(data)
    if exact or data.count.sum() > MANY:
        made = by_failures(removals(data), draws, rng)
    else:
        made = by_hours(law, data, draws, rng)
    with np.errstate(divide="ignore", invalid="ignore"):
        fits = weibull_fits(made.hours, made.dead / made.count, made.count)
        lost = loss_of_shape(made, fits, np.ones(draws)), loss_of_scale(made, fits, np.ones(draws))
        roots = [np.sign(fit - 1) * np.sqrt(np.maximum(2 * one, 0))
                 for fit, one in zip((fits.shape, fits.scale), lost, strict=True)]  # fmt: skip
    kept = np.isfinite(fits.shape) & np.isfinite(roots[0]) & np.isfinite(roots[1])
    shift = fits.shape[kept] * np.log(fits.scale[kept])
    return Pivots(fits.shape[kept], shift, roots[0][kept], roots[1][kept], exact)


def _until_failure(data: Lives) -> bool:
    """True where all parts were watched until the last failure, or all failed."""
    running = data.hours[~data.failed & (data.count > 0)]
    return bool(np.all(running == data.hours[data.failed].max()))


def removals(data: Lives) -> Floats:
    """How many running parts left the watch at each failure: those last seen to run after it and before the next.

    Args:
        data: lives whose failures were all seen when they happened.

    *Edge*: a part last seen to run at the hours of a failure leaves after it; one that left before the first failure
    says next to nothing of the law and is left out.
    """
    each = np.sort(np.repeat(data.hours, (data.count * data.failed).astype(int)))
    at = np.searchsorted(each, data.hours, "right")
    return np.asarray(np.bincount(at, data.count * ~data.failed, len(each) + 1)[1:], float)


def by_failures(removed: Floats, draws: int, rng: np.random.Generator) -> Sets:
    """Sets in which parts leave the watch at failures of others: the law of their fits is then known exactly.

    Args:
        removed: how many leave at each failure.
        draws: how many sets.
        rng: draws them.

    *Source*: progressive censoring, Viveros and Balakrishnan 1994.
    """
    count = removed + 1
    risk = np.cumsum(count[::-1])[::-1]
    hours = np.cumsum(rng.exponential(size=(draws, len(count))) / risk, axis=1)
    return Sets(hours, np.ones_like(hours), np.broadcast_to(count, hours.shape))


def by_hours(law: Law, data: Lives, draws: int, rng: np.random.Generator) -> Sets:
    """Sets in which each part is watched as long as the real one.

    How long a part that failed would have been watched nobody knows: it is drawn from those that were watched longer.

    Args:
        law: the Weibull law of `data`: the sets are drawn from it.
        data: the lives.
        draws: how many sets.
        rng: draws them.

    Returns:
        Hours on the scale on which the law has shape 1 and scale 1.
    """
    hours = np.repeat(data.hours, data.count.astype(int))
    failed = np.repeat(data.failed, data.count.astype(int))
    watched = np.tile(hours, (draws, 1))
    watched[:, failed] = _watched(hours, failed, rng.random((draws, int(failed.sum()))))
    end = (watched / law.scale) ** law.shape
    life = rng.exponential(size=end.shape)
    dead = (life <= end).astype(float)
    return Sets(np.minimum(life, end), dead, np.ones_like(end))


def _watched(hours: Floats, failed: NDArray[np.bool_], chance: Floats) -> Floats:
    """How long failed parts would have been watched: Kaplan and Meier's law of the ends of watch beyond them."""
    ends, left = np.unique(hours[~failed], return_counts=True)
    at_risk = len(hours) - np.searchsorted(np.sort(hours), ends, "left")
    longer = np.concatenate([[1.0], np.cumprod(1 - left / at_risk)])
    base = longer[np.searchsorted(ends, hours[failed], "left")]
    place = np.searchsorted(-longer[1:], -chance * base, "left")
    return np.asarray(np.append(ends, hours.max())[place])


def loss_of_shape(sets: Sets, fits: Fits, shape: Floats) -> Floats:
    """What the logarithm of the likelihood loses, at least, by a given shape instead of the fitted one; a row each.

    Args:
        sets: the lives.
        fits: of each row.
        shape: of each row.
    """
    logs = np.log(sets.hours)
    faults, told, top = sets.dead.sum(-1), (sets.dead * logs).sum(-1), logs.max(-1)
    mass = (sets.count * np.exp(shape[:, None] * (logs - top[:, None]))).sum(-1)
    best = faults * (np.log(shape) - np.log(mass / faults) - shape * top - 1) + (shape - 1) * told
    return np.asarray(fits.loglik - best)


def loss_of_scale(sets: Sets, fits: Fits, scale: Floats) -> Floats:
    """The same by a given scale; the shape that goes best with it is found by Newton's steps.

    Args:
        sets: the lives.
        fits: of each row.
        scale: of each row.
    """
    logs = np.log(sets.hours / scale[:, None])
    faults, told = sets.dead.sum(-1), (sets.dead * logs).sum(-1)
    start = np.where(np.isfinite(fits.shape), fits.shape, 1.0)
    log_shape = np.log(np.minimum(start, STEEP / np.maximum(logs.max(-1), 1e-9)))
    for _ in range(STEPS):
        shape = np.exp(log_shape)
        power = sets.count * np.exp(shape[:, None] * logs)
        rise = faults + shape * (told - (power * logs).sum(-1))  # of the likelihood in ln shape
        bend = rise - faults - shape**2 * (power * logs**2).sum(-1)
        step = np.clip(-rise / np.minimum(bend, -1e-12), -1, 1)
        log_shape = log_shape + step
        if not np.any(np.abs(step) > CLOSE):
            break
    shape = np.exp(log_shape)
    mass = (sets.count * np.exp(shape[:, None] * logs)).sum(-1)
    best = faults * np.log(shape) + shape * told - mass - (sets.dead * np.log(sets.hours)).sum(-1)
    return np.asarray(fits.loglik - best)

"""When a gamma process reaches a mark: first passage in closed form, where its rate is itself in doubt."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.special import betainc, ndtri

from dipmark.derive.usage.calendar import Floats

STEPS: Final = 4
"""So many steps of the secant give a probability to nine digits, for a mark minutes away to four."""

TINY: Final = 1e-12


def reached(shape: Floats, mark: Floats, known: Floats) -> Floats:
    """The probability that a gamma process has reached a mark by a working time: it never falls, so first is ever.

    The process is Gamma(shape); the mark stands in units in which the process's mean is its shape, if the rate is what
    it is thought to be. That is in doubt as the inverse of Gamma(known) / known is.

    Args:
        shape: working time times events in it: mean squared over variance.
        mark: above nought.
        known: one over the squared relative doubt of the rate.

    *Source*: G ~ Gamma(s), H ~ Gamma(a): G / (G + H) ~ Beta(s, a); so P(G ≥ m H / a) = 1 - I_z(s, a), z = m / (a + m).
    """
    chance: Floats = 1.0 - betainc(shape, known, mark / (known + mark))
    return chance


def shape_at(chance: float, mark: Floats, known: Floats) -> Floats:
    """The working time, as a shape, by which a gamma process has reached a mark with a given probability.

    `reached` turned round: its normal score is nearly straight in the logarithm of the shape.

    Args:
        chance: above 0, below 1.
        mark: see `reached`; at or below nought it is reached at once.
        known: see `reached`.
    """
    aim = float(ndtri(chance))
    safe = np.maximum(mark, TINY)
    root = np.sqrt(safe)
    spread = np.sqrt(1.0 + safe / known) / 2
    there = 2 * np.log(np.maximum(root + aim * spread, 0.4 * root))
    here = there + 0.2 * spread / np.maximum(root, 0.5)
    score, goal = _score(there, safe, known), _score(here, safe, known)
    for _ in range(STEPS):
        slope = (goal - score) / np.where(here == there, 1.0, here - there)
        step = np.clip((aim - goal) / np.where(slope > TINY, slope, 1.0), -2.0, 2.0)
        there, score = here, goal
        here = here + step
        goal = _score(here, safe, known)
    return np.where(mark > 0, np.exp(here), 0.0)


def _score(log_shape: Floats, mark: Floats, known: Floats) -> Floats:
    score: Floats = ndtri(np.clip(reached(np.exp(log_shape), mark, known), TINY, 1.0 - TINY))
    return score

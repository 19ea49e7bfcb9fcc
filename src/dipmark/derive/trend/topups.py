"""What a truck uses of a fluid, from what was topped up, and the alarm when it uses twice as much."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise
from typing import Final, NamedTuple

import msgspec
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import betainc, gammaincc, gammaincinv

from dipmark.derive.because import Because
from dipmark.derive.trend.change import cusum_length
from dipmark.derive.trend.fit import Floats
from dipmark.facts.base import FactId
from dipmark.facts.said import Word, says

BETWEEN: Final = 200
"""One false alarm in so many top-ups."""

SHAPE: Final = 4.0
"""Gaps between top-ups vary by half of their mean: a gamma distribution of shape 4. Common practice, no source."""

GROWS: Final = 2.0
"""The alarm looks for a use that has doubled."""

ALLOWANCE: Final = float(np.log(GROWS)) / (GROWS - 1)
"""Where a gap of so many times the usual speaks neither for the usual use nor for the doubled one."""

USES: Final = says("It uses {} {} in 100 h: {} top-ups in {} h.")
USES_MORE: Final = says(
    "Since about {} h it uses more: {} {} in 100 h. Look for a leak, never with the hand. By chance this alarms once "
    "in {} top-ups."
)


class TopUp(msgspec.Struct, frozen=True):
    """A fluid topped up to its mark.

    Args:
        hours: true hours, which never fall, in h.
        amount: in any unit, the same for all; above nought.
        fact: where it stands.
        renewed: the fluid was changed or a leak was mended since the one before; what was before counts no more.
    """

    hours: Decimal
    amount: Decimal
    fact: FactId
    renewed: bool = False


class _Fill(NamedTuple):
    """What was topped up at the same hours."""

    hours: float
    amount: float
    topups: Sequence[TopUp]


class Chart(NamedTuple):
    """Many series judged, one row a series, one column a gap.

    Args:
        height: the sum that grows with gaps too short; back at nought after an alarm.
        alarm: the sum passed its limit here.
    """

    height: Floats
    alarm: NDArray[np.bool_]


class Alarm(msgspec.Struct, frozen=True):
    """A top-up at which the use was seen to have grown.

    Args:
        fact: the top-up.
        since: the hours since which more is used.
        per_100h: amount in 100 h from then to this top-up.
        because: the sentence, with the top-ups it rests on.
    """

    fact: FactId
    since: float
    per_100h: float
    because: Because


class Use(msgspec.Struct, frozen=True):
    """What a truck uses.

    Args:
        per_100h: amount in 100 h over all top-ups that count.
        because: the sentence, with the top-ups it rests on.
        alarms: in their order; an old one is nothing to act on.
    """

    per_100h: float
    because: Because
    alarms: tuple[Alarm, ...]


@lru_cache(maxsize=64)
def limit_of(shape: float = SHAPE) -> float:
    """The height of the sum above which it alarms: one false alarm in `BETWEEN` top-ups.

    Args:
        shape: of the gamma distribution of the gaps; above 0, at most 30.

    *Source*: Page 1954 for the sum, Brook and Evans 1972 for its run length, Lorden 1971 for the height that is
    surely enough; all from memory.

    Example:
        >>> round(limit_of(4.0), 2)
        0.97
    """

    def chance(step: Floats) -> Floats:
        return np.asarray(gammaincc(shape, shape * np.fmax(ALLOWANCE - step, 0)))

    most = np.log(BETWEEN) / (shape * (GROWS - 1))
    return float(brentq(lambda limit: cusum_length(chance, limit) - BETWEEN, 1e-6, most))


def chart(gaps: Floats, shape: float = SHAPE, usual: float | None = None) -> Chart:
    """Sum up how much shorter than usual the gaps are, for many series at once.

    A gap adds `ALLOWANCE` less itself in terms of the usual gap; the sum is never below nought. Where the usual gap is
    not known each gap is held against all before it: its share of the sum of them and itself has a distribution that
    depends on the shape only, and the shares are independent; so each is turned into the gap that would be as unlikely
    if the usual were known. The stated rate of false alarms then holds from the second gap on, however short the
    history; what a short history costs is the time until a change is found.

    Args:
        gaps: one row a series in their order: hours between top-ups for a unit topped up; above nought.
        shape: of the gamma distribution of the gaps.
        usual: mean gap for a unit, where it is known.

    *Edge*: a sum at its limit is no alarm yet.
    *Source*: Lukacs 1955 for the independence of the shares, Hawkins 1987 for charts that start by themselves; both
    from memory.
    """
    if usual is None:
        before = np.cumsum(gaps, axis=1)[:, :-1]
        many = np.arange(1, gaps.shape[1])
        share = gaps[:, 1:] / (before + gaps[:, 1:])
        alike = gammaincinv(shape, betainc(shape, shape * many, share)) / shape
        scaled = np.hstack([np.full((len(gaps), 1), np.inf), alike])
    else:
        scaled = gaps / usual
    limit = limit_of(shape)
    height, alarm = np.zeros(gaps.shape), np.zeros(gaps.shape, dtype=np.bool_)
    now = np.zeros(len(gaps))
    for column in range(gaps.shape[1]):
        grown = np.fmax(now + ALLOWANCE - scaled[:, column], 0)
        alarm[:, column] = grown > limit
        height[:, column] = now = np.where(alarm[:, column], 0, grown)
    return Chart(height, alarm)


def use_of(
    topups: Sequence[TopUp], unit: str, shape: float = SHAPE, usual: float | None = None, word: Word = str
) -> Use | None:
    """What a truck uses in 100 h, and the alarm where that has doubled; None with fewer than two top-ups that count.

    Args:
        topups: in the order they were made; each filled up what was used since the one before.
        unit: of the amounts, for the sentence.
        shape: as in `chart`.
        usual: hours for a unit, where they are known.
        word: says a sentence in the reader's language.

    *Edge*: several at the same hours are one.

    Example:
        >>> facts = [TopUp(Decimal(100 * n), Decimal("0.5"), FactId(str(n))) for n in range(4)]
        >>> use_of(facts, "l").because.text
        'It uses 0.50 l in 100 h: 3 top-ups in 300 h.'
    """
    first = max((index for index, one in enumerate(topups) if one.renewed), default=0)
    together: dict[Decimal, list[TopUp]] = {}
    for one in topups[first:]:
        together.setdefault(one.hours, []).append(one)
    if len(together) < 2:
        return None
    fills = [_Fill(float(at), float(sum(one.amount for one in group)), group) for at, group in together.items()]
    span, per_100h = _between(fills, 0, len(fills) - 1)
    text = word(USES).format(f"{per_100h:.2f}", unit, len(fills) - 1, f"{span:,.0f}")
    gaps = [(late.hours - early.hours) / late.amount for early, late in pairwise(fills)]
    seen = chart(np.array([gaps]), shape, usual)
    last = (int(one) for one in np.flatnonzero(seen.alarm[0]))
    alarms = tuple(_alarm(fills, seen.height[0, :one], one + 1, unit, word) for one in last)
    return Use(per_100h, Because(text, "trend.topups", None, _facts(fills)), alarms)


def _alarm(fills: Sequence[_Fill], heights: Floats, last: int, unit: str, word: Word) -> Alarm:
    """The alarm at a fill; the use has grown since the sum before it was last at nought."""
    start = int(max(np.flatnonzero(heights == 0), default=-1)) + 1
    _, per_100h = _between(fills, start, last)
    since = fills[start].hours
    text = word(USES_MORE).format(f"{since:,.0f}", f"{per_100h:.2f}", unit, BETWEEN)
    facts = _facts(fills[start : last + 1])
    return Alarm(facts[-1], since, per_100h, Because(text, "trend.topups", None, facts))


def _between(fills: Sequence[_Fill], start: int, last: int) -> tuple[float, float]:
    """Hours from one fill to another, and what was used in 100 of them."""
    span = fills[last].hours - fills[start].hours
    return span, 100 * sum(one.amount for one in fills[start + 1 : last + 1]) / span


def _facts(fills: Sequence[_Fill]) -> tuple[FactId, ...]:
    return tuple(one.fact for fill in fills for one in fill.topups)

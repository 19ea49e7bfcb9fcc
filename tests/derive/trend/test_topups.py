"""Use from top-ups: the rate of false alarms, how soon a doubled use is found, and the sentences."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import numpy as np
import pytest

from dipmark.derive.trend.fit import Floats
from dipmark.derive.trend.topups import ALLOWANCE, BETWEEN, SHAPE, TopUp, chart, limit_of, use_of
from dipmark.facts.base import FactId

SERIES, GAPS = 10_000, 200


def gaps(seed: int, count: int, shape: float = SHAPE) -> Floats:
    """Hours for a unit, their mean 35: gamma gaps of that shape, one row a series."""
    return np.random.default_rng(seed).gamma(shape, 35 / shape, (SERIES, count))


def top_ups(hours: Sequence[int], amounts: Sequence[str] = (), renewed: int | None = None) -> list[TopUp]:
    amounts = amounts or ["0.5"] * len(hours)
    return [
        TopUp(Decimal(at), Decimal(amount), FactId(str(n)), renewed=n == renewed)
        for n, (at, amount) in enumerate(zip(hours, amounts, strict=True))
    ]


@pytest.mark.parametrize("usual", [35.0, None])
@pytest.mark.parametrize("shape", [1.0, 2.0, SHAPE, 8.0])
def test_one_false_alarm_in_two_hundred_top_ups(shape: float, usual: float | None) -> None:
    # By simulation, 2 million gaps; `usual` None: the chart knows nothing but the gaps it has seen.
    found = chart(gaps(1, GAPS, shape), shape, usual)
    judged = found.alarm if usual else found.alarm[:, 1:]
    assert BETWEEN == 200
    assert judged.mean() * BETWEEN == pytest.approx(1, abs=0.1)


def test_that_holds_however_short_the_history() -> None:
    # The tenth to the thirtieth gap of a truck with no record before, against a chart that knows the usual gap.
    drawn = gaps(2, 30)
    alone, told = chart(drawn).alarm[:, 9:].mean(), chart(drawn[:, 1:], usual=35.0).alarm[:, 8:].mean()
    assert alone == pytest.approx(told, rel=0.1)


@pytest.mark.parametrize(("before", "usual", "most"), [(20, 35.0, 4), (10, None, 6), (20, None, 5), (50, None, 5)])
def test_a_doubled_use_is_found_within_six(before: int, usual: float | None, most: int) -> None:
    drawn = gaps(3, before + 200)
    drawn[:, before:] /= 2
    alarm = chart(drawn, SHAPE, usual).alarm[:, before:]
    first = np.where(alarm.any(axis=1), alarm.argmax(axis=1) + 1, 1000)
    assert np.median(first) <= most


def test_the_sum_adds_what_is_short_and_starts_again_after_an_alarm() -> None:
    found = chart(np.array([[1.0, 0.1, 0.1, 1.0, 0.5]]), SHAPE, 1.0)
    step = ALLOWANCE - 0.1
    assert step < limit_of(SHAPE) < 2 * step
    assert found.height[0] == pytest.approx([0, step, 0, 0, ALLOWANCE - 0.5])
    assert found.alarm[0].tolist() == [False, False, True, False, False]


def test_the_first_gap_alone_says_nothing() -> None:
    assert chart(np.array([[0.001, 0.001]])).height[0, 0] == 0


def test_use_is_what_was_filled_up_since_the_first() -> None:
    found = use_of(top_ups([0, 100, 300, 400], ["9.9", "0.5", "0.7", "0.4"]), "l")
    assert found is not None
    assert found.per_100h == pytest.approx(0.4)
    assert found.because.text == "It uses 0.40 l in 100 h: 3 top-ups in 400 h."
    assert found.because.facts == tuple(map(FactId, "0123"))
    assert found.alarms == ()


def test_several_at_the_same_hours_are_one() -> None:
    found = use_of(top_ups([0, 100, 100, 200]), "l")
    assert found is not None
    assert found.because.text == "It uses 0.75 l in 100 h: 2 top-ups in 200 h."
    assert len(found.because.facts) == 4


@pytest.mark.parametrize(("hours", "renewed"), [([], None), ([100], None), ([100, 100], None), ([0, 100, 200], 2)])
def test_with_one_that_counts_nothing_is_known(hours: list[int], renewed: int | None) -> None:
    assert use_of(top_ups(hours, renewed=renewed), "l") is None


def test_a_use_that_grew_alarms_and_says_since_when() -> None:
    hours = [100 * n for n in range(21)] + [2000 + 20 * n for n in range(1, 6)]
    found = use_of(top_ups(hours), "l")
    assert found is not None
    alarm = found.alarms[0]
    assert alarm.since == 2000
    assert alarm.per_100h == pytest.approx(2.5)
    assert alarm.because.text.startswith(
        "Since about 2,000 h it uses more: 2.50 l in 100 h. Look for a leak, never with the hand."
    )
    assert alarm.because.text.endswith("By chance this alarms once in 200 top-ups.")
    assert alarm.because.facts[0] == FactId("20")
    assert alarm.fact == alarm.because.facts[-1]
    assert [one.fact for one in found.alarms] == sorted((one.fact for one in found.alarms), key=int)
    mended = use_of(top_ups([*hours, 2200, 2300, 2400], renewed=26), "l")
    assert mended is not None
    assert mended.alarms == ()
    assert mended.per_100h == pytest.approx(0.5)


def test_a_use_above_the_usual_from_the_start_alarms_from_the_start() -> None:
    found = use_of(top_ups([0, 10, 20, 30, 40]), "l", usual=200.0)
    assert found is not None
    assert found.alarms[0].since == 0


def test_an_alarm_counts_from_the_last_one() -> None:
    found = use_of(top_ups([10 * n for n in range(8)]), "l", usual=200.0)
    assert found is not None
    assert [one.since for one in found.alarms] == [0, 20, 40]

"""Exact limits, comparisons, a rise within spells, and how often what is said aloud is false."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from scipy import stats

from dipmark.derive.reliability.evidence import (
    Table,
    more_often,
    rate_limits,
    ratio_limits,
    rise_of,
    said_aloud,
    share_above,
    wear_of,
)
from dipmark.derive.reliability.life import lives


@pytest.mark.parametrize(
    ("count", "low", "high"),
    [(0, 0, 3.689), (1, 0.025, 5.572), (5, 1.623, 11.668), (20, 12.217, 30.888)],
)
def test_limits_of_a_count(count: int, low: float, high: float) -> None:
    # Exact 95 % limits of a Poisson count as handbook tables print them (Garwood 1936); from memory.
    found = rate_limits(count, 1, 0.95)
    assert found[0] == pytest.approx(low, abs=5e-4)
    assert found[1] == pytest.approx(high, abs=5e-4)
    assert rate_limits(count, 10, 0.95)[1] == pytest.approx(found[1] / 10)


@pytest.mark.parametrize(("count", "others"), [(0, 4), (3, 9), (12, 1)])
def test_limits_of_a_ratio_are_those_of_a_share(count: int, others: int) -> None:
    # scipy.stats.binomtest as the oracle: Clopper and Pearson.
    found = stats.binomtest(count, count + others).proportion_ci(0.9, "exact")
    low, high = ratio_limits(count, 100, others, 300)
    assert low == pytest.approx(3 * found.low / (1 - found.low))
    assert high == pytest.approx(3 * found.high / (1 - found.high))


def test_a_ratio_to_nothing_has_no_upper_end() -> None:
    low, high = ratio_limits(3, 100, 0, 100)
    assert low > 0.5
    assert high is None


def test_more_often_is_the_binomial_tail() -> None:
    assert more_often(4, 100, 6, 100) == pytest.approx(stats.binomtest(4, 10, 0.5, "greater").pvalue)
    assert more_often(4, 100, 6, 100, 2) == pytest.approx(stats.binomtest(4, 10, 2 / 3, "greater").pvalue)
    assert more_often(0, 100, 0, 100) == 1


def test_shares_of_one_table_are_fishers() -> None:
    # scipy.stats.fisher_exact as the oracle.
    for marked, of, others_marked, others_of in [(3, 4, 1, 4), (7, 12, 5, 30), (0, 5, 2, 9)]:
        rows = [[marked, of - marked], [others_marked, others_of - others_marked]]
        expected = stats.fisher_exact(rows, alternative="greater")[1]
        assert share_above([Table(marked, of, others_marked, others_of)]) == pytest.approx(expected)


def test_shares_of_two_tables_are_counted_out() -> None:
    one, two = Table(2, 3, 1, 3), Table(1, 2, 1, 4)
    laws = [stats.hypergeom(6, 3, 3), stats.hypergeom(6, 2, 2)]
    expected = sum(laws[0].pmf(a) * laws[1].pmf(b) for a in range(4) for b in range(3) if a + b >= 3)
    assert share_above([one, two]) == pytest.approx(expected)


@pytest.mark.parametrize("steady", [0.0, 1.0, 4.0])
def test_a_rise_is_found_whatever_goes_on_beside_it(steady: float) -> None:
    # Faults at the rate b + 2 κ t in 60 spells of 250 h, one of them expected by κ t² at 250 h.
    rng, truth, covered, found = np.random.default_rng(7), 1 / 250**2, 0, []
    for _ in range(1500):
        rise = rise_of([_spell(rng, steady) for _ in range(60)])
        assert rise is not None
        low, high = rise.limits(0.9)
        covered += low <= truth <= high
        found.append(rise.value)
    assert np.mean(found) == pytest.approx(truth, abs=4 * np.std(found) / 1500**0.5)
    assert covered / 1500 == pytest.approx(0.9, abs=0.025)


def _spell(rng: np.random.Generator, steady: float) -> tuple[float, list[float]]:
    even, rising = 250 * rng.random(rng.poisson(steady)), 250 * rng.random(rng.poisson(1.0)) ** 0.5
    return 250.0, [*map(float, even), *map(float, rising)]


def test_a_right_interval_is_called_wrong_as_often_as_is_said() -> None:
    rng, truth = np.random.default_rng(8), 1 / 250**2
    chances = []
    for _ in range(1500):
        rise = rise_of([_spell(rng, 1.0) for _ in range(60)])
        assert rise is not None
        chances.append(rise.against(truth)[1])
    assert np.mean(np.array(chances) < 0.05) == pytest.approx(0.05, abs=0.018)


def test_no_rise_without_spells_or_faults() -> None:
    assert rise_of([(250.0, [10.0])]) is None
    assert rise_of([(250.0, []), (250.0, [])]) is None
    alike = rise_of([(250.0, [200.0]), (250.0, [200.0])])
    assert alike is not None
    assert alike.against(0.0)[1] == pytest.approx(0)
    assert alike.against(alike.value) == (0, 1)


@pytest.mark.parametrize("ends", [inf, 1500, 300])
def test_lives_by_chance_are_called_wear_about_as_often_as_is_said(ends: float) -> None:
    rng, chances = np.random.default_rng(9), []
    for _ in range(3000):
        ages = 700 * rng.exponential(size=20)
        data = lives(np.minimum(ages, ends), ages < ends)
        chances += [wear_of(data)] if data.failures >= 5 else []
    assert 0.04 < np.mean(np.array(chances) < 0.05) < 0.08
    assert np.mean(np.array(chances) < 0.005) < 0.011


def test_wear_shows_and_infant_failures_do_not() -> None:
    worn = lives([610, 650, 700, 720, 760, 800], [True] * 6)
    young = lives([1, 2, 8, 90, 700, 3000], [True] * 6)
    assert wear_of(worn) < 1e-3
    assert wear_of(young) > 0.99


def test_the_hours_run_at_failures_are_counted_by_hand() -> None:
    # Failures at 10, 20 and 30, one part still running at 25: by then all have run 40, 70 and 85 hours.
    expected = stats.norm.sf(((40 + 70) / 85 / 2 - 0.5) * np.sqrt(12 * 2))
    assert wear_of(lives([10, 20, 30, 25], [True, True, True, False])) == pytest.approx(expected)
    # Watched from 5 on, the last of two counted twice: they have run 15, 55 and 55 hours.
    late = lives([10, 30], [True, True], [1, 2], [5, 5])
    assert wear_of(late) == pytest.approx(stats.norm.sf(((15 + 55) / 55 / 2 - 0.5) * np.sqrt(12 * 2)))


def test_holms_bounds() -> None:
    # Holm 1979, his own rule counted by hand: 0.05/4, 0.05/3, 0.05/2, 0.05.
    assert said_aloud([0.0125, 0.0166, 0.025, 0.05], 0.05) == (True, True, True, True)
    assert said_aloud([0.0126, 0.0001, 0.04, 0.05], 0.05) == (True, True, False, False)
    assert said_aloud([0.02, 0.02, 0.02, 0.02], 0.05) == (False, False, False, False)
    assert said_aloud([], 0.05) == ()
    assert said_aloud([inf], 0.05) == (False,)

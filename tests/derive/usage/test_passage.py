"""First passage of a gamma process in doubt: against simulation, an independent inverse, and its edges."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import btdtria, gammaincc

from dipmark.derive.usage.passage import reached, shape_at


def test_the_closed_form_is_what_a_simulation_gives() -> None:
    rng = np.random.default_rng(20261125)
    shape, mark, known = 20.0, 24.0, 15.0
    rate = rng.gamma(known, 1 / known, 400_000)
    share = np.mean(rng.gamma(shape, 1.0, 400_000) / rate >= mark)
    assert float(reached(np.array(shape), np.array(mark), np.array(known))) == pytest.approx(share, abs=0.003)


def test_first_is_ever_for_hours_that_never_fall() -> None:
    # Day by day: the day the sum first passes the mark, against the probability that it has by then.
    rng = np.random.default_rng(7)
    paths = np.cumsum(rng.gamma(3.0, 1.0, (100_000, 12)), axis=1)
    first = (paths >= 20.0).argmax(axis=1) + 1
    for day in (4, 6, 8):
        assert np.mean(first <= day) == pytest.approx(gammaincc(3.0 * day, 20.0), abs=0.005)
        sure = reached(np.array(3.0 * day), np.array(20.0), np.array(1e7))
        assert float(sure) == pytest.approx(gammaincc(3.0 * day, 20.0), abs=1e-5)


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9])
def test_the_inverse_is_that_of_the_beta_distribution(chance: float) -> None:
    # scipy.special.btdtria (CDFLIB): an inverse of other making.
    rng = np.random.default_rng(3)
    mark, known = np.exp(rng.uniform(0, np.log(3000), 500)), np.exp(rng.uniform(np.log(2), np.log(3000), 500))
    told = shape_at(chance, mark, known)
    assert told == pytest.approx(btdtria(1 - chance, known, mark / (mark + known)), rel=1e-4)
    assert reached(told, mark, known) == pytest.approx(np.full(500, chance), abs=1e-6)


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9])
def test_near_marks_too(chance: float) -> None:
    mark = np.array([0.02, 0.1, 0.5])
    assert reached(shape_at(chance, mark, np.full(3, 20.0)), mark, np.full(3, 20.0)) == pytest.approx(
        [chance] * 3, abs=1e-3
    )


def test_a_mark_behind_is_reached_at_once() -> None:
    assert shape_at(0.9, np.array([0.0, -3.0]), np.array([5.0, 5.0])).tolist() == [0.0, 0.0]


def test_the_more_doubt_the_wider() -> None:
    known = np.array([5.0, 20.0, 1000.0])
    early, late = (shape_at(chance, np.full(3, 60.0), known) for chance in (0.1, 0.9))
    width = late - early
    assert width[0] > width[1] > width[2]

"""When to replace: published examples of the interval that costs least."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.reliability.histories import Floats
from dipmark.derive.reliability.life import Law
from dipmark.derive.reliability.renewal import age, age_cost, block, minimal_repair


def test_age_replacement() -> None:
    # Public reliability wiki, Optimum Replacement Time Example; a package's manual prints 493.19 and 0.0035 from a
    # grid. Exact: 493.04695, 0.00346204; run to failure 0.00563530.
    found = age(Law("weibull", 2.5, 1000.0), 1, 5)
    assert found.hours == pytest.approx(493.19, abs=0.2)
    assert found.hours == pytest.approx(493.04695, abs=1e-5)
    assert found.cost == pytest.approx(0.00346204, abs=5e-9)
    assert found.run_to_failure == pytest.approx(0.00563530, abs=5e-9)


class Even:
    """A life anywhere between 0 and 40,000 km, all alike."""

    mean = 20_000.0

    def alive(self, hours: Floats | float) -> Floats:
        return np.asarray(np.clip(1 - np.asarray(hours) / 40_000, 0, 1))

    def lived(self, hours: Floats | float) -> Floats:
        at = np.minimum(np.asarray(hours, float), 40_000)
        return np.asarray(at - at**2 / 80_000)


def test_age_replacement_of_an_even_life() -> None:
    # Jardine and Tsang, chapter 2, problem 2: .0143 .01 .0093 .01 at 10, 20, 30, 40 thousand; "optimal 30,000".
    # Continuous, recomputed: 29,282.03 and .00933013.
    told = age_cost(Even(), np.array([1e4, 2e4, 3e4, 4e4]), 100, 200)
    assert told == pytest.approx((0.0143, 0.01, 0.0093, 0.01), abs=5e-5)
    found = age(Even(), 100, 200)
    assert found.hours == pytest.approx(29_282.03, abs=0.005)
    assert found.cost == pytest.approx(0.00933013, abs=5e-9)


@pytest.mark.parametrize(
    ("shape", "ratio", "aged", "blocked"),
    [
        # Own grid, two programs: interval over scale, cost over that of running to failure. Block on a grid of .0005.
        (2, 5, (0.5107, 0.7241), (0.5075, 0.7635)),
        (2.5, 5, (0.4930, 0.6143), (0.4785, 0.6466)),
        (3, 5, (0.5026, 0.5414), (0.4845, 0.5679)),
        (3, 10, (0.3825, 0.3527), (0.3760, 0.3608)),
        (2, 10, (0.3365, 0.5367), (0.3345, 0.5507)),
    ],
)
def test_age_and_block(shape: float, ratio: float, aged: tuple[float, float], blocked: tuple[float, float]) -> None:
    law = Law("weibull", shape, 1.0)
    for found, (hours, cost), grid in ((age(law, 1, ratio), aged, 5e-5), (block(law, 1, ratio), blocked, 5e-4)):
        assert found.hours == pytest.approx(hours, abs=grid)
        assert found.cost / found.run_to_failure == pytest.approx(cost, abs=6e-5)


def test_minimal_repair() -> None:
    # Barlow and Hunter 1960; no printed figures found, closed form and a numeric search agree.
    found = minimal_repair(2.5, 1000, 1, 5)
    assert found.hours == pytest.approx(446.658388, abs=5e-7)
    assert found.cost == pytest.approx(0.00373141, abs=5e-9)

"""How often to look for what does not show."""

from __future__ import annotations

import numpy as np
import pytest

from dipmark.derive.reliability.inspection import hidden, looks, unnoticed_share
from dipmark.derive.reliability.life import Law

STEADY = Law("weibull", 1.0, 1000.0)


def test_a_steady_rate_has_a_closed_form() -> None:
    # Barlow, Hunter and Proschan 1963: 1 / (1 - e^-x) looks; unnoticed 1 - (1 - e^-x) / x; interval near the root.
    assert looks(STEADY, 100) == pytest.approx(1 / (1 - np.exp(-0.1)))
    assert unnoticed_share(STEADY, 100) == pytest.approx(1 - (1 - np.exp(-0.1)) / 0.1)
    found = hidden(STEADY, 0.01, 1)
    assert found.hours is not None
    assert found.hours == pytest.approx(np.sqrt(2 * 0.01 * 1000), rel=0.01)
    assert found.cost == pytest.approx(0.01 / found.hours + found.unnoticed)


@pytest.mark.parametrize("law", [Law("weibull", 3.0, 1000.0), Law("lognormal", 0.5, 600.0)])
def test_no_other_interval_costs_less(law: Law) -> None:
    found = hidden(law, 5, 2)
    for hours in np.geomspace(1, 1e5, 201):
        assert found.cost <= (5 / hours + 2 * unnoticed_share(law, float(hours))) * (1 + 1e-9)


def test_a_look_that_costs_more_than_it_saves_is_not_made() -> None:
    found = hidden(STEADY, 2000, 1)
    assert (found.hours, found.cost, found.unnoticed) == (None, 1, 1)


def test_a_look_for_next_to_nothing_is_made_all_the_time() -> None:
    found = hidden(STEADY, 1e-9, 1)
    assert found.hours is not None
    assert found.hours < 1

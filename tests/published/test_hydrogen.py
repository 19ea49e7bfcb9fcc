"""Air where batteries are charged, against EN 62485-3 as a maker's page gives it and an own example."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.condition.gauging import gauge
from dipmark.derive.condition.hydrogen import MEASUREMENTS, air
from published.printed import close

(HYDROGEN,) = MEASUREMENTS


@pytest.mark.parametrize("said", [{"total_current": "30A"}, {"charger": "iui"}])
def test_24_cells_of_500_ah_at_6_a_for_each_100_ah(said: dict[str, str]) -> None:
    # own example: 36 m³/h, 1,008 cm², 90 m³
    found = gauge(HYDROGEN, cells="24", capacity="500Ah", **said)
    assert close(found.value, "36")
    assert close(found.more["opening"], "1008")
    assert close(found.more["room"], "90")
    assert close(found.more["gassing"], "30")


def test_the_factor_of_the_standard() -> None:
    # dilution to 4 %: v (100 - 4) / 4 = 24; q 0.42 l/Ah; s 5: 0.05 m³/h for each cell and A
    assert close(Fraction(24) * Fraction("0.00042") * 5, "0.05")
    assert close(air(Fraction(1), Fraction(1)), "0.05")


@pytest.mark.parametrize(("charger", "current"), [("iu", "10"), ("iui", "30"), ("w", "35")])
def test_current_by_kind_of_charger(charger: str, current: str) -> None:
    # a maker's page (seen): 2, 6 and 5 to 7 A for each 100 Ah, of which the most counts
    assert close(gauge(HYDROGEN, cells="24", capacity="500Ah", charger=charger).more["gassing"], current)

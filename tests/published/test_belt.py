"""Belt deflection, held to a printed figure."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.gauging import gauge
from dipmark.derive.condition.belt import MEASUREMENTS

(BELT,) = MEASUREMENTS


@pytest.mark.parametrize(
    ("span", "printed", "half"),
    # 100 in: 1 9/16; 32 in: 1/2; 300 mm: 4.7 (own arithmetic)
    [("100 in", "1.5625", "0"), ("32 in", "0.5", "0"), ("300 mm", "4.7", "0.05")],
)
def test_a_sixty_fourth_of_the_span(span: str, printed: str, half: str) -> None:
    """*Source*: TM 5-3820-233-12/1, figure 4-51."""
    value = gauge(BELT, span=span).value
    assert isinstance(value, Decimal)
    assert abs(value - Decimal(printed)) <= Decimal(half)

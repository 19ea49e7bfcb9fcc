"""Belt deflection: beside what is asked, without a verdict."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.belt import MEASUREMENTS

(BELT,) = MEASUREMENTS


@pytest.mark.parametrize(
    ("said", "value", "words"),
    [
        ({}, "5", "A span of 320 mm ought to give 5 mm under the thumb."),
        ({"deflection": "5 mm"}, "5", "It gives 5 mm: as asked."),
        ({"deflection": "6 mm"}, "6", "It gives 6 mm: slacker than asked."),
        ({"deflection": "1/8 in"}, "3.175", "It gives 0.125 in: tighter than asked."),
        ({"deflection": "0 mm"}, "0", "tighter than asked."),
    ],
)
def test_deflection_beside_what_is_asked(said: dict[str, str], value: str, words: str) -> None:
    found = gauge(BELT, span="320 mm", **said)
    assert (found.value, found.unit, found.verdict, found.more) == (
        Decimal(value),
        "mm",
        None,
        {"expected": Decimal(5)},
    )
    assert found.because.endswith(words)
    assert set(verdicts(BELT, span="320 mm", **said)) == {None}


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"deflection": "5 mm"}, "measure-missing"),
        ({"span": "0 mm"}, "measure-nonsense"),
        ({"span": "300 mm", "deflection": "-5 mm"}, "measure-nonsense"),
        ({"span": "300"}, "quantity-unit"),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(BELT, **said)] == [code]

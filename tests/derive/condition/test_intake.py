"""Restriction of the air filter: each kind of engine on each side of its edge, and the engine's own book."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.intake import MEASUREMENTS

(FILTER,) = MEASUREMENTS


@pytest.mark.parametrize(
    ("engine", "restriction", "verdict"),
    [
        ("turbo", "24.9 inH2O", "in"),
        ("turbo", "25.0 inH2O", "repair-by"),
        ("turbo", "25.1 inH2O", "repair-by"),
        # 25 inH2O are 6.227 kPa: read to 0.01, the limit is 6.22
        ("turbo", "6.21 kPa", "in"),
        ("turbo", "6.22 kPa", "repair-by"),
        ("diesel", "19 inH2O", "in"),
        ("diesel", "20 inH2O", "repair-by"),
        ("diesel", "21 inH2O", "repair-by"),
        ("petrol", "19 inH2O", "in"),
        ("petrol", "20 inH2O", "in"),
        ("petrol", "21 inH2O", "repair-by"),
        ("petrol", "4.98 kPa", "in"),
        ("petrol", "4.99 kPa", "repair-by"),
    ],
)
def test_each_side_of_each_edge(engine: str, restriction: str, verdict: str) -> None:
    found = gauge(FILTER, restriction=restriction, engine=engine)
    assert (found.verdict, found.rule, found.unit) == (verdict, f"intake.{engine}", "inH2O")
    assert set(verdicts(FILTER, restriction=restriction, engine=engine)) == {verdict}


def test_the_engines_own_book_decides() -> None:
    found = gauge(FILTER, restriction="22 inH2O", engine="turbo", book="20 inH2O")
    assert (found.verdict, found.limit) == ("repair-by", Decimal(20))
    assert found.because.startswith("22 inH2O against 20 inH2O of its own book.")
    assert gauge(FILTER, restriction="28 inH2O", engine="turbo", book="7.5 kPa").verdict == "in"
    assert gauge(FILTER, restriction="5 kPa", engine="turbo").because == "5 kPa against 25 inH2O of a turbo engine."


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"restriction": "0 inH2O", "engine": "turbo"}, "measure-nonsense"),
        ({"restriction": "25 psi", "engine": "turbo"}, "measure-nonsense"),
        ({"restriction": "25", "engine": "turbo"}, "quantity-unit"),
        ({"restriction": "25 inH2O", "engine": "steam"}, "measure-word"),
        ({"restriction": "25 inH2O"}, "measure-missing"),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(FILTER, **said)] == [code]

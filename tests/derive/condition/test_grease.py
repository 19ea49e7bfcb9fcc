"""Grease: a band where the gun was not weighed, one figure where it was; never a verdict."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.grease import MEASUREMENTS, WEIGH
from dipmark.derive.judging import Measurement

STROKES, FILL = MEASUREMENTS


@pytest.mark.parametrize(
    ("said", "value", "band", "notes"),
    [
        ({}, None, ("4", "12"), (WEIGH,)),
        ({"gun": "lever"}, "5.12", None, (WEIGH,)),
        ({"gun": "pistol"}, "3.44", None, (WEIGH,)),
        ({"per_stroke": "1.5 g"}, "6", None, ()),
        ({"per_stroke": "1.5 g", "gun": "lever"}, "6", None, ()),
    ],
)
def test_strokes_to_grams(
    said: dict[str, str], value: str | None, band: tuple[str, str] | None, notes: tuple[str, ...]
) -> None:
    found = gauge(STROKES, strokes="4", **said)
    assert (found.value, found.unit) == (None if value is None else Decimal(value), "g")
    assert (found.low, found.high) == ((None, None) if band is None else (Decimal(band[0]), Decimal(band[1])))
    assert (found.verdict, found.notes) == (None, notes)
    assert set(verdicts(STROKES, strokes="4", **said)) == {None}


def test_the_band_is_said() -> None:
    assert gauge(STROKES, strokes="4").because == "4 strokes are 4 to 12 g."
    assert gauge(STROKES, strokes="4", gun="lever").because == "4 strokes are 5.12 g."


@pytest.mark.parametrize(
    ("said", "strokes"),
    [({}, "1.7 to 5"), ({"gun": "lever"}, "3.9"), ({"per_stroke": "1/2 g"}, "9.9"), ({"per_stroke": "1.24 g"}, "4")],
)
def test_a_bearing_in_strokes(said: dict[str, str], strokes: str) -> None:
    found = gauge(FILL, outside="62 mm", width="16 mm", **said)
    assert (found.value, found.verdict, found.more) == (Decimal("4.96"), None, {"strokes": strokes})
    assert found.because == f"A bearing of 62 mm by 16 mm takes 4.96 g, about {strokes} strokes."
    assert found.notes == (() if "per_stroke" in said else (WEIGH,))


@pytest.mark.parametrize(
    ("measurement", "said", "code"),
    [
        (STROKES, {"strokes": "0"}, "measure-nonsense"),
        (STROKES, {"strokes": "4", "per_stroke": "1 kg"}, "measure-nonsense"),
        (STROKES, {"strokes": "4", "gun": "foot"}, "measure-word"),
        (FILL, {"outside": "62 mm"}, "measure-missing"),
        (FILL, {"outside": "62 g", "width": "16 mm"}, "quantity-unit"),
    ],
)
def test_nonsense_is_refused(measurement: Measurement, said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(measurement, **said)] == [code]

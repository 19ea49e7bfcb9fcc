from __future__ import annotations

import pytest

from dipmark.facts.meter import MeterRead
from facts.bodies import PICTURE, held, read, refused


def test_meter_read() -> None:
    full = {"kind": "meter-read", "hours": "1234.50", "meter": "lift", "note": "dim", "picture": PICTURE}
    held(full)
    assert "$.picture" in refused({**full, "picture": PICTURE.upper()})
    assert "$.picture" in refused({**full, "picture": PICTURE + "\n"})


def test_the_last_digit_written_is_kept() -> None:
    bodies = [read({"kind": "meter-read", "hours": text}) for text in ("7", "7.5", "7.50")]
    assert [str(body.hours) for body in bodies if isinstance(body, MeterRead)] == ["7", "7.5", "7.50"]


def test_meter_changed() -> None:
    full = {"kind": "meter-changed", "new": "0.0", "old": "9987.4", "meter": "lift", "digits": 5, "note": "burnt out"}
    held(full)


@pytest.mark.parametrize("digits", [-1, 10**9, 4.0, "4", True])
def test_digits_of_a_meter_are_counted(digits: object) -> None:
    assert "digits" in refused({"kind": "meter-changed", "new": "0", "digits": digits})

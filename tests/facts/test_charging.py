from __future__ import annotations

import pytest

from facts.bodies import held, refused


def test_charged() -> None:
    held(
        {
            "kind": "charged",
            "what": "equalise",
            "since": "2026-01-04T20:00:00+01:00",
            "percent": 20,
            "charger": "item:charger 1",
            "note": "warm",
        }
    )


@pytest.mark.parametrize("percent", [-1, 101])
def test_no_battery_holds_less_than_nothing_or_more_than_all(percent: int) -> None:
    assert "percent" in refused({"kind": "charged", "percent": percent})

from __future__ import annotations

from facts.bodies import held, refused


def test_place_set() -> None:
    full = {
        "kind": "place-set",
        "name": "Paint store",
        "area": "I-1-D",
        "sealed": True,
        "cold": True,
        "food": True,
        "wet": True,
        "floor_kg": "6000",
        "ramp_percent": "8",
        "note": "papers with the lead",
    }
    held(full)
    assert "area" in refused({**full, "area": "I-1-E"})
    assert "area" in refused({**full, "area": "III-1-A"})

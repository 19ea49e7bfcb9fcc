from __future__ import annotations

from facts.bodies import FACT, PICTURE, READING, held, refused


def test_fault() -> None:
    full = {
        "kind": "fault",
        "text": "left lift chain dry",
        "seriousness": "watch",
        "affects_safety": True,
        "days": 7,
        "check": "chain.left",
        "symptom": "dry",
        "place": "mast",
        "found_in": FACT,
        "meter": READING,
        "pictures": [PICTURE],
    }
    held(full)
    assert "seriousness" in refused({**full, "seriousness": "Watch"})
    assert "days" in refused({**full, "days": -1})


def test_out_of_service() -> None:
    held({"kind": "out-of-service", "reason": "no brakes", "faults": [f"{FACT}#brake"]})


def test_released() -> None:
    held({"kind": "released", "clears": [FACT], "tests": ["brake-test"], "note": "held on the ramp"})

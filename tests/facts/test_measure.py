from __future__ import annotations

from facts.bodies import FACT, PICTURE, READING, held, refused

VALUE = {"place": "left", "quantity": "chain-length", "unit": "mm", "value": "313.94"}


def test_measured() -> None:
    full = {
        "kind": "measured",
        "subject": "chain",
        "values": [VALUE],
        "conditions": [{"quantity": "pitch", "unit": "mm", "value": "25.4"}],
        "instrument": "rule",
        "item": "item:forks 3",
        "check": "chain.left",
        "until": "2026-12-24",
        "meter": READING,
        "picture": PICTURE,
        "note": "12 pitches",
    }
    held(full)
    assert "unit" in refused({**full, "values": [{"quantity": "chain-length", "value": "313.94"}]})


def test_a_measurement_without_a_value_is_written_as_one() -> None:
    held_body = held(
        {
            "kind": "sampled",
            "fluid": "engine-oil",
            "results": [],
            "laboratory": "yard bench",
            "number": "0042",
            "reported": "2026-11-19",
            "fluid_hours": "148.0",
            "meter": READING,
        }
    )
    assert getattr(held_body, "results", None) == ()


def test_topped_up() -> None:
    held(
        {
            "kind": "topped-up",
            "fluid": "coolant",
            "amount": "0.50",
            "unit": "l",
            "check": FACT,
            "meter": READING,
            "note": "cold",
        }
    )

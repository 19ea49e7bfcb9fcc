from __future__ import annotations

from facts.bodies import READING, held, refused


def test_held_by() -> None:
    full = {
        "kind": "held-by",
        "who": "hired-out",
        "person": "ana",
        "firm": "next door",
        "place": "their dock",
        "until": "2026-12-01",
        "owes": ["150h"],
        "meter": READING,
        "note": "tank full",
    }
    held(full)
    assert "who" in refused({**full, "who": "nobody"})

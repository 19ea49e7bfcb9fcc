from __future__ import annotations

from facts.bodies import PICTURE, READING, held, refused


def test_incident() -> None:
    full = {
        "kind": "incident",
        "what": "hit",
        "text": "backed into the rack",
        "struck": ["counterweight", "rack 12"],
        "person": "ana",
        "hurt": True,
        "seal": "12-AAAA-AAAA-AAAA-AAAA",
        "meter": READING,
        "pictures": [PICTURE],
    }
    held(full)
    assert "what" in refused({**full, "what": "bump"})
    assert "hurt" in refused({**full, "hurt": 1})

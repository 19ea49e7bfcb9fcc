from __future__ import annotations

from facts.bodies import READING, held


def test_fitted() -> None:
    held(
        {
            "kind": "fitted",
            "item": "item:forks 3",
            "what": "fork-pair",
            "position": "front",
            "meter": READING,
            "note": "pair",
        }
    )


def test_removed() -> None:
    held({"kind": "removed", "item": "item:forks 3", "meter": READING, "note": "bent"})

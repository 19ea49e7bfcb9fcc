"""What is said is entered once, and what is to be filled in is known."""

from __future__ import annotations

import pytest

from dipmark.facts.said import SAID, holes, says


def test_what_is_said_is_entered_once(monkeypatch: pytest.MonkeyPatch) -> None:
    entered: dict[str, None] = {}
    monkeypatch.setattr("dipmark.facts.said.SAID", entered)
    assert says("Only here.") == says("Only here.") == "Only here."
    assert says("Here too.") == "Here too."
    assert list(entered) == ["Only here.", "Here too."]
    assert not entered.keys() & SAID.keys()


@pytest.mark.parametrize(
    ("pattern", "found"),
    [
        ("nothing", []),
        ("{} and {}", ["0", "1"]),
        ("{1} y {0}", ["0", "1"]),
        ("{1} y {1}", ["1"]),
        ("{name}", ["name"]),
        ("{{kept}}", []),
        ("{", None),
        ("}", None),
        ("{} y {1}", None),
        ("{:d}", None),
        ("{!r}", None),
    ],
)
def test_what_is_to_be_filled_in(pattern: str, found: list[str] | None) -> None:
    assert holes(pattern) == found

"""How many marks wait is said in words."""

from __future__ import annotations

from dipmark.views.sheets import marks_words


def test_one_mark_and_several() -> None:
    assert [marks_words(count) for count in (1, 2)] == ["1 mark to look at", "2 marks to look at"]

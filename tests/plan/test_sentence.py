"""What a plan says, in the reader's words."""

from __future__ import annotations

from dipmark.plan.sentence import Sentence
from plan.workshop import day


def test_values_and_words_are_the_readers() -> None:
    words = {"{} on {}": "el {1}, {0}"}
    said = Sentence("{} on {}", ("p7", day(0))).read(words.__getitem__, {"p7": "Ann", day(0): "Mon 3"}.__getitem__)
    assert said == "el Mon 3, Ann"

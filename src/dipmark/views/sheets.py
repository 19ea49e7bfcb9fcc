"""What is said of filled sheets that were taken from pictures."""

from __future__ import annotations

from typing import Final

from dipmark.facts.said import Word, says

FATES: Final = {
    "taken": says("taken into the record"),
    "known": says("there already"),
    "waiting": says("waits for somebody to look"),
    "refused": says("refused"),
}
"""What became of a column, by its code."""

ONE: Final = says("1 mark to look at")
SOME: Final = says("{} marks to look at")
HOURS: Final = says("Hour meter")
WHOLE_DAY: Final = says("the whole day")


def marks_words(count: int, word: Word = str) -> str:
    """How many marks a person has to look at.

    Args:
        count: of them.
        word: says a sentence in the reader's language.

    Example:
        >>> marks_words(1), marks_words(3)
        ('1 mark to look at', '3 marks to look at')
    """
    return word(ONE) if count == 1 else word(SOME).format(count)

"""What the program says, in English: entered once, so that every other language knows what it has to say."""

from __future__ import annotations

from collections.abc import Callable
from string import Formatter
from typing import Final

Word = Callable[[str], str]
"""From a sentence in English to the same in the reader's language; `str` leaves it as it is."""

SAID: Final[dict[str, None]] = {}
"""Every sentence and word entered so far, in the order it was entered."""


def says(english: str) -> str:
    """Enter something the program says, and return it.

    Args:
        english: a word, or a sentence with braces for what is filled in; the same one twice is one.

    Example:
        >>> says("counted from {}").format("a walk-round")
        'counted from a walk-round'
    """
    SAID[english] = None
    return english


def holes(pattern: str) -> list[str] | None:
    """What a sentence has to be filled in with: its braces, numbered as they stand; None where they cannot be filled.

    Args:
        pattern: a sentence in any language.

    Example:
        >>> holes("{} of {}"), holes("{1} de {0}"), holes("no end {"), holes("50 %")
        (['0', '1'], ['0', '1'], None, [])
    """
    try:
        found = [part[1:] for part in Formatter().parse(pattern) if part[1] is not None]
    except ValueError:
        return None
    names = {name for name, *_ in found}
    if any(more for _, *rest in found for more in rest) or ("" in names and len(names) > 1):
        return None
    return [str(number) for number in range(len(found))] if names == {""} else sorted(f"{name}" for name in names)

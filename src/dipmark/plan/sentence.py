"""A sentence whose values are filled in where it is read: days, trucks and people have other names there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import msgspec

from dipmark.facts.said import Word

Value = str | int | date
"""An id, a number or a day."""


class Sentence(msgspec.Struct, frozen=True):
    """What a plan has to say.

    Args:
        text: in English, entered with `says`.
        values: what its braces are filled in with, in order.
    """

    text: str
    values: tuple[Value, ...] = ()

    def read(self, word: Word = str, name: Callable[[Value], str] = str) -> str:
        """The sentence in the reader's language.

        Args:
            word: from English to that language.
            name: what the reader calls an id, a number or a day.

        Example:
            >>> Sentence("{}: {} minutes", ("Ann", 30)).read()
            'Ann: 30 minutes'
        """
        return word(self.text).format(*(name(value) for value in self.values))

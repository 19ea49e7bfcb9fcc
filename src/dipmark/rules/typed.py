"""Reading a parsed rules table key by key: each value has a type and a range, every fault is kept with its path."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Final, TypeVar

from dipmark.facts.problems import Problem, Where, code

Path = tuple[str, ...]
"""The keys from the root to a value, such as ``("kinds", "reach", "checks", "chain", "tension", "text")``."""

Choice = TypeVar("Choice", bound=str)

MISSING: Final = code("rule-missing", "a rules file lacks a key that must be there")
TYPE: Final = code("rule-type", "a value in a rules file is of another type than it must be")
RANGE: Final = code("rule-range", "a number in a rules file is outside its range")
CHOICE: Final = code("rule-choice", "a word in a rules file is not one of those allowed")
UNKNOWN: Final = code("rule-unknown-key", "a rules file holds a key that means nothing")
TEXT: Final = code("rule-text", "a text in a rules file is empty, too long or holds characters that cannot be printed")
NAME: Final = code("rule-name", "an id in a rules file is not made of small letters, digits and hyphens")

LONGEST: Final = 600
"""Characters of any text; what phone and sheet can hold is far less and told by the lint."""

LONGEST_NAME: Final = 60
"""Characters of any id."""

MOST_PLACES: Final = 6
"""Decimal places of any number in a rules file."""

_NAME: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")
_KINDS_OF_VALUE: Final = {bool: "true or false", int: "a whole number", Decimal: "a number", str: "a text"}


def dotted(path: Path) -> str:
    """A path as one would write it in the file; what needs quotes gets them, what is very long is cut."""
    parts = (part if len(part) <= 60 else part[:57] + "..." for part in path)
    return ".".join(part if _BARE.fullmatch(part) else ascii(part) for part in parts)


def by_key(path: Path) -> Where:
    """The place of a fault when nothing is known but its path."""
    return Where(key=dotted(path))


def near(word: str, words: list[str] | tuple[str, ...]) -> str:
    """A hint at the word that was probably meant; empty when none is near."""
    close = difflib.get_close_matches(word[:60], words, n=1)
    return f"Did you mean {close[0]}?" if close else ""


def shown(value: object) -> str:
    """A value as it is named in a problem: short, on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (str, Decimal, int)):
        text = ascii(value) if isinstance(value, str) else f"{Decimal(value):.12g}"
        return text if len(text) <= 60 else text[:57] + "..."
    return "a table" if isinstance(value, dict) else f"a {type(value).__name__}"


class Faults:
    """Collects every fault of the rules; `place` turns a path into a place a person can open."""

    def __init__(self, place: Callable[[Path], Where] = by_key) -> None:
        self._place = place
        self.all: list[Problem] = []

    def add(self, code: str, path: Path, found: str, expected: str, hint: str = "", *, hard: bool = True) -> None:
        """Keep one fault: what was found at that path, what was expected, what to do."""
        self.all.append(Problem(code, found, expected, hint, self._place(path), hard))


class Table:
    """One table of a rules file, read key by key.

    Every getter returns a value of the promised type. When the file holds none it keeps a fault and returns a harmless
    stand-in, so that reading goes on and all faults are found at once.
    """

    def __init__(self, data: object, path: Path, faults: Faults) -> None:
        self.path = path
        self.faults = faults
        self._read: list[str] = []
        self._data: Mapping[str, object] = {}
        if isinstance(data, dict):
            self._data = data
        else:
            faults.add(TYPE, path, shown(data), "a table of keys")

    def has(self, key: str) -> bool:
        """Whether the key is there; asking counts as reading it."""
        self._read.append(key)
        return key in self._data

    def _value(self, key: str, kind: type, default: object) -> object:
        if not self.has(key):
            if default is ...:
                self.faults.add(MISSING, (*self.path, key), "nothing", _KINDS_OF_VALUE[kind])
                return None
            return default
        value = self._data[key]
        exact = Decimal(value) if kind is Decimal and type(value) is int else value
        if type(exact) is not kind:
            self.faults.add(TYPE, (*self.path, key), shown(value), _KINDS_OF_VALUE[kind])
            return None
        return exact

    def text(self, key: str, default: str | None = None) -> str:
        """A printable text of 1 to `LONGEST` characters; `default` when the key may be left out."""
        value = self._value(key, str, ... if default is None else default)
        if not isinstance(value, str) or value == default:
            return default or ""
        path = (*self.path, key)
        if not value.strip():
            self.faults.add(TEXT, path, "an empty text", "some words", "Leave the key out if there is nothing to say.")
        elif len(value) > LONGEST:
            self.faults.add(TEXT, path, f"{len(value)} characters", f"at most {LONGEST}")
        elif not value.isprintable():
            self.faults.add(TEXT, path, shown(value), "a text on one line without control characters")
        return value

    def flag(self, key: str, default: bool | None = None) -> bool:
        """True or false."""
        return self._value(key, bool, ... if default is None else default) is True

    def whole(self, key: str, least: int, most: int) -> int:
        """A whole number from `least` to `most`, both allowed."""
        value = self._value(key, int, ...)
        if isinstance(value, int):
            self._within(key, Decimal(value), least, most)
            return value
        return least

    def number(self, key: str, least: int, most: int) -> Decimal | None:
        """An exact number from `least` to `most`, both allowed, of at most `MOST_PLACES` places; None for any other."""
        value = self._value(key, Decimal, ...)
        if isinstance(value, Decimal) and self._within(key, value, least, most):
            return Decimal(f"{value.normalize():f}")
        return None

    def _within(self, key: str, value: Decimal, least: int, most: int) -> bool:
        if value.is_finite() and least <= value <= most:
            if value == round(value, MOST_PLACES):
                return True
            self.faults.add(RANGE, (*self.path, key), shown(value), f"at most {MOST_PLACES} decimal places")
        else:
            self.faults.add(RANGE, (*self.path, key), shown(value), f"{least} to {most}")
        return False

    def choice(self, key: str, choices: tuple[Choice, ...]) -> Choice:
        """One of a few words."""
        value = self._value(key, str, ...)
        for one in choices:
            if value == one:
                return one
        if isinstance(value, str):
            hint = near(value, choices)
            self.faults.add(CHOICE, (*self.path, key), shown(value), "one of " + ", ".join(choices), hint)
        return choices[0]

    def words(self, key: str) -> tuple[str, ...]:
        """A list of texts, each once; empty when the key is left out."""
        path = (*self.path, key)
        value = self._data[key] if self.has(key) else []
        if not isinstance(value, list):
            self.faults.add(TYPE, path, shown(value), "a list of texts")
            return ()
        items = Table({f"{index}": item for index, item in enumerate(value)}, path, self.faults)
        words = tuple(items.text(f"{index}") for index in range(len(value)))
        for word in sorted({word for word in words if words.count(word) > 1}):
            self.faults.add(CHOICE, path, f"{shown(word)} twice", "each once")
        return words

    def rows(self, key: str, width: int, most: int) -> Iterator[tuple[Decimal, ...]]:
        """A list of rows of numbers, at least one, each of `width` numbers from -`most` to `most`."""
        path = (*self.path, key)
        value = self._data[key] if self.has(key) else []
        rows = value if isinstance(value, list) else []
        if not rows or not all(isinstance(row, list) and len(row) == width for row in rows):
            self.faults.add(TYPE, path, shown(value), f"a list of rows of {width} numbers, at least one")
            return
        for index, row in enumerate(rows):
            cells = Table({f"{at}": cell for at, cell in enumerate(row)}, (*path, f"{index}"), self.faults)
            yield tuple(cells.number(f"{at}", -most, most) or Decimal(0) for at in range(width))

    def table(self, key: str) -> Table:
        """The table under a key; an absent one reads as empty."""
        return Table(self._data[key] if self.has(key) else {}, (*self.path, key), self.faults)

    def names(self) -> tuple[str, ...]:
        """The ids that stand here, in the file's order; one that is no id is a fault."""
        for name in self._data:
            if len(name) > LONGEST_NAME or not _NAME.fullmatch(name):
                expected = f"an id of small letters, digits and hyphens, at most {LONGEST_NAME} characters"
                self.faults.add(NAME, (*self.path, name), shown(name), expected)
        return tuple(self._data)

    def keys(self) -> tuple[str, ...]:
        """All keys that stand here, whatever they are, in the file's order."""
        return tuple(self._data)

    def each(self) -> Iterator[tuple[str, Table]]:
        """The tables that stand here, by whatever name, in the file's order."""
        for name in self._data:
            yield name, self.table(name)

    def tables(self, key: str) -> Iterator[tuple[str, Table]]:
        """The tables under a key, by their ids."""
        table = self.table(key)
        table.names()
        yield from table.each()

    def close(self) -> None:
        """Refuse whatever is left unread: a key that means nothing here."""
        known = sorted(set(self._read))
        for key in self._data:
            if key not in known:
                expected = "one of " + ", ".join(known)
                self.faults.add(UNKNOWN, (*self.path, key), f"the key {shown(key)}", expected, near(key, known))

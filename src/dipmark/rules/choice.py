"""Options of which every truck of a kind has one: what it runs on, and the rhythm of its services."""

from __future__ import annotations

from collections.abc import Collection

import msgspec

from dipmark.rules.typed import Table


class Alternative(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One of the options of a choice.

    Args:
        id: the option.
        words: what people call it, in small letters: it is known by them where the options do not say.
        brings: further options that go with it and with nothing else.
    """

    id: str
    words: tuple[str, ...] = ()
    brings: tuple[str, ...] = ()


class Choice(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Options of which every truck of a kind has one, such as its fuel or the rhythm of its services.

    Args:
        id: such as ``fuel``.
        usual: the one that is taken where nothing says which.
        of: all of them.
    """

    id: str
    usual: str
    of: tuple[Alternative, ...]

    def options(self) -> frozenset[str]:
        """All that any of them is and brings."""
        return frozenset(option for one in self.of for option in (one.id, *one.brings))

    def allows(self, needs: Collection[str]) -> bool:
        """Whether one truck can have all of these options: not, where they belong to different ones of the choice."""
        wanted = self.options().intersection(needs)
        return any(wanted <= {one.id, *one.brings} for one in self.of)

    def chosen(self, said: Collection[str], words: Collection[str]) -> frozenset[str]:
        """Which of them a truck has, with what it brings.

        Args:
            said: options that somebody has said are on the truck.
            words: words that somebody has used of it, in small letters.

        Returns:
            What was said; else what the words mean; else the usual one.
        """
        found = [one for one in self.of if one.id in said]
        found = found or [one for one in self.of if not set(words).isdisjoint(one.words)]
        found = found or [one for one in self.of if one.id == self.usual]
        return frozenset(option for one in found for option in (one.id, *one.brings))


def read_choices(table: Table) -> tuple[Choice, ...]:
    """The choices of a kind of truck, from its table."""
    return tuple(_choice(one, id) for id, one in table.tables("choices"))


def _choice(table: Table, id: str) -> Choice:
    alternatives = tuple(_alternative(one, option) for option, one in table.tables("of"))
    usual = table.choice("usual", tuple(one.id for one in alternatives)) if alternatives else table.text("usual")
    table.close()
    return Choice(id=id, usual=usual, of=alternatives)


def _alternative(table: Table, id: str) -> Alternative:
    alternative = Alternative(id=id, words=table.words("words"), brings=table.words("brings"))
    table.close()
    return alternative

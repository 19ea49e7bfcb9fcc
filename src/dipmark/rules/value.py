"""What every rule carries beside its content: its source, how far that may be trusted, which trucks it is for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import msgspec

from dipmark.facts.base import Seriousness
from dipmark.facts.problems import code
from dipmark.rules.typed import Table

if TYPE_CHECKING:
    from collections.abc import Collection

Mark = Literal["seen", "secondary", "common practice", "unverified"]
"""How far a value may be trusted: its text was read, read in a copy or a report, nobody's text, from memory."""

MARKS: Final[tuple[Mark, ...]] = ("seen", "secondary", "common practice", "unverified")
SERIOUSNESS: Final[tuple[Seriousness, ...]] = ("now", "stop", "repair-by", "watch")

LIFTS_PEOPLE: Final = "lifts-people"
"""The use of a truck by which people are lifted, such as in a work platform on its forks."""

REFERENCE: Final = code("rule-reference", "a rule names something that no rules file explains")


class Value(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every rule carries beside its content.

    Args:
        source: key of the source in `Rules.sources`.
        mark: how far the source may be trusted.
        legal: set by law: a yard may tighten it, never loosen it.
    """

    source: str
    mark: Mark
    legal: bool = False


class Caution(Value, frozen=True, kw_only=True):
    """What can hurt, in the words that stand beside a check, a task or a trouble.

    Args:
        id: its name in the files.
        text: what to do or never to do.
    """

    id: str
    text: str


class Trucks(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The trucks that a rule is for.

    Args:
        kinds: keys of the kinds of truck it is for as they are.
        where: options and uses that bring a truck of any kind under it, such as ``mast`` or ``lifts-people``.
    """

    kinds: tuple[str, ...] = ()
    where: tuple[str, ...] = ()

    def hold(self, kind: str, has: Collection[str]) -> bool:
        """Whether a truck is among them.

        Args:
            kind: key of its kind.
            has: its options and uses.

        *Edge*: where neither kinds nor anything else is named, every truck is.
        """
        every = not self.kinds and not self.where
        return every or kind in self.kinds or any(one in has for one in self.where)


def read_caution(table: Table, id: str) -> Caution:
    """A caution of a rules file.

    Args:
        table: its table.
        id: its name.
    """
    mark = table.choice("mark", MARKS)
    caution = Caution(id=id, text=table.text("text"), source=table.text("source"), mark=mark)
    table.close()
    return caution


def read_trucks(table: Table) -> Trucks:
    """The trucks that a rule is for; an absent table means every truck.

    Args:
        table: the table ``trucks`` of the rule.
    """
    trucks = Trucks(kinds=table.words("kinds"), where=table.words("where"))
    table.close()
    return trucks

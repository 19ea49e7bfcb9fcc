"""What hangs on a truck: items fitted and taken off."""

from __future__ import annotations

from dipmark.facts.base import Body, BookId, Key, Reading, Text


class Fitted(Body, frozen=True, tag="fitted"):
    """An item was fitted to the truck whose book this is.

    Args:
        item: the item's book.
        what: its kind, as its book has it; None: not said.
        position: where, such as ``front-left``.
        meter: the truck's hours.
        note: anything else.
    """

    item: BookId
    what: Key | None = None
    position: Key | None = None
    meter: Reading | None = None
    note: Text | None = None


class Removed(Body, frozen=True, tag="removed"):
    """An item was taken off the truck whose book this is.

    Args:
        item: the item's book.
        meter: the truck's hours.
        note: anything else.
    """

    item: BookId
    meter: Reading | None = None
    note: Text | None = None

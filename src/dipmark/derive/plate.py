"""What was last read on a plate, in a manual, or counted."""

from __future__ import annotations

from decimal import Decimal

from dipmark.derive.past import Counting
from dipmark.facts.truck import PlateRead


def plate_value(counting: Counting, name: str, unit: str) -> Decimal | None:
    """The value last read under a name.

    Args:
        counting: what counts of the book of the truck or item.
        name: such as ``mass``.
        unit: the unit it is wanted in.

    Returns:
        None where it was never read so.

    *Edge*: one read without a unit is taken in the unit wanted.
    """
    read = [value for one in counting if isinstance(one.body, PlateRead) for value in one.body.values]
    return next((one.value for one in reversed(read) if one.name == name and one.unit in {None, unit}), None)


def plate_text(counting: Counting, name: str) -> str | None:
    """The words last read under a name, such as ``type-mark``; None where it was never read.

    Args:
        counting: what counts of the book of the truck or item.
        name: of the words.
    """
    read = [text for one in counting if isinstance(one.body, PlateRead) for text in one.body.texts]
    return next((one.text for one in reversed(read) if one.name == name), None)

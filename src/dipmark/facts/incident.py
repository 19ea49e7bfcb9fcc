"""What hit the truck, and what it hit."""

from __future__ import annotations

from typing import Literal

from dipmark.facts.base import Body, Digest, Key, PersonKey, Reading, Text

IncidentKind = Literal["hit", "near-miss", "overload", "tip-over", "fire", "other"]


class Incident(Body, frozen=True, tag="incident"):
    """A hit, a near miss, an overload, a tip-over, a fire.

    Args:
        what: which of them.
        text: what happened.
        struck: what was struck: places of the truck, racks, doors.
        person: the driver.
        hurt: True where somebody was hurt.
        seal: code of the book as it stood, by which it is proved later.
        meter: hours read.
        pictures: digests of photos.
    """

    what: IncidentKind
    text: Text
    struck: tuple[Key, ...] = ()
    person: PersonKey | None = None
    hurt: bool = False
    seal: Key | None = None
    meter: Reading | None = None
    pictures: tuple[Digest, ...] = ()

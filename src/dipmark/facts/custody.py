"""Who has the truck."""

from __future__ import annotations

from datetime import date
from typing import Literal

from dipmark.facts.base import Body, Key, PersonKey, Reading, Text

Holder = Literal["yard", "driver", "hired-in", "hired-out", "other-site", "laid-up"]


class HeldBy(Body, frozen=True, tag="held-by"):
    """From now on the truck is with somebody, or back on its hook.

    Args:
        who: back in the yard, with a driver, hired in, hired out, at another site, laid up.
        person: the driver, or who took it over.
        firm: the hirer or owner.
        place: where.
        until: when it is to come back.
        owes: the duties and services that fall to the firm while it lasts, by id; empty: they stay with the yard.
        meter: hours read.
        note: anything else.
    """

    who: Holder
    person: PersonKey | None = None
    firm: Key | None = None
    place: Key | None = None
    until: date | None = None
    owes: tuple[Key, ...] = ()
    meter: Reading | None = None
    note: Text | None = None

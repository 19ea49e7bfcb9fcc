"""Why: the rule and the facts that a derived value rests on."""

from __future__ import annotations

import msgspec

from dipmark.facts.base import FactId


class Because(msgspec.Struct, frozen=True):
    """One reason.

    Args:
        text: for a person, with what clears it where something stands in the way.
        rule: id of the rule, such as ``state.card`` or ``chain.tension``.
        source: key in the sources of the rules; None where the reason is not a rule's.
        facts: ids of the facts it rests on.
    """

    text: str
    rule: str
    source: str | None = None
    facts: tuple[FactId, ...] = ()

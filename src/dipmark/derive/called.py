"""What has happened to a truck that calls for a service: it was hit, laid up, sold or scrapped."""

from __future__ import annotations

from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.faults import INCIDENT
from dipmark.derive.past import Counted, Counting
from dipmark.facts.custody import HeldBy
from dipmark.facts.incident import Incident
from dipmark.facts.said import Word, says
from dipmark.facts.truck import Retired
from dipmark.facts.work import Worked
from dipmark.rules.model import After, Service

HARMS: Final = frozenset({"hit", "overload", "tip-over", "fire"})
"""What may have harmed a truck so that it is looked over and examined again. LOLER 1998, regulation 9(3)(a)(iv)."""

SINCE: Final = says("{} on {}")
RESTED: Final = says("laid up")
LEFT: Final = {"sold": says("sold"), "scrapped": says("scrapped")}
"""How a truck goes for good; one that is given back is its owner's."""


class Call(msgspec.Struct, frozen=True):
    """What calls for a service.

    Args:
        one: the fact.
        text: what happened and on which day.
        waits: True while it need not be done yet: the truck is laid up still.
    """

    one: Counted
    text: str
    waits: bool = False


def call_for(after: After, counting: Counting, zone: tzinfo, word: Word = str) -> Call | None:
    """The last thing that called for such a service; None: nothing has.

    Args:
        after: what calls for it.
        counting: the truck's record.
        zone: the yard's.
        word: says a sentence in the reader's language.

    *Edge*: a truck put away once more is laid up anew; a hit while it is laid up is a hit.
    *Source*: common practice, no source.
    """
    last, waits = None, False
    for one in counting:
        body = one.body
        if isinstance(body, HeldBy) and after == "rest":
            waits = body.who == "laid-up"
        what = _happened(body, after)
        if what is not None:
            last = one, what
    if last is None:
        return None
    one, what = last
    return Call(one, word(SINCE).format(word(what), one.day(zone).isoformat()), waits)


def done_whole(body: object, service: Service) -> bool:
    """Whether a fact says that such a service was done, none of its own tasks left out."""
    return isinstance(body, Worked) and service.id in body.services and not set(service.tasks) & set(body.left_out)


def _happened(body: object, after: After) -> str | None:
    if after == "hit" and isinstance(body, Incident) and body.what in HARMS:
        return INCIDENT[body.what]
    if after == "rest" and isinstance(body, HeldBy) and body.who == "laid-up":
        return RESTED
    return LEFT.get(body.how) if after == "leaving" and isinstance(body, Retired) else None

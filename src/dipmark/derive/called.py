"""What has happened to a truck that calls for a service: a hit, a rest, its end here, a wheel put on."""

from __future__ import annotations

import re
from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.faults import INCIDENT
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import folded
from dipmark.facts.custody import HeldBy
from dipmark.facts.fitted import Fitted
from dipmark.facts.incident import Incident
from dipmark.facts.said import Word, says
from dipmark.facts.truck import Retired
from dipmark.facts.work import Worked
from dipmark.rules.model import After, Kind, Service

HARMS: Final = frozenset({"hit", "overload", "tip-over", "fire"})
"""What may have harmed a truck so that it is looked over and examined again. LOLER 1998, regulation 9(3)(a)(iv)."""

SINCE: Final = says("{} on {}")
RESTED: Final = says("laid up")
WHEEL: Final = says("wheel fitted")
LEFT: Final = {"sold": says("sold"), "scrapped": says("scrapped")}
"""How a truck goes for good; one that is given back is its owner's."""


_WHEELS: Final = re.compile(r"(?<!steering )(?<!hand )\b(tyres?|tires?|wheels?|rims?|neumáticos?|ruedas?|llantas?)\b")
"""Parts for which a wheel comes off, a wheel cylinder among them; asked once too often rather than too seldom."""


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


def tasks_done(work: Worked, kind: Kind) -> frozenset[str]:
    """The tasks that were done: those that are named, or where none is, all of its services but those left out.

    Args:
        work: as noted.
        kind: of the truck.
    """
    if work.tasks:
        return frozenset(work.tasks)
    services = (kind.service(one) for one in work.services)
    held = (task.id for one in services if one is not None for task in kind.all_tasks(one))
    return frozenset(held) - frozenset(work.left_out)


def wheel_on(body: object, kind: Kind) -> bool:
    """Whether a fact says that a wheel was put on: a set fitted, a task that takes one off, or a part of a wheel.

    Args:
        body: of the fact.
        kind: of the truck.
    """
    if isinstance(body, Fitted):
        return body.what == "wheel-set"
    if not isinstance(body, Worked):
        return False
    done = tasks_done(body, kind)
    off = any(task.calls == "wheel" and task.id in done for task in kind.tasks)
    return off or any(_WHEELS.search(folded(one.part)) for one in body.parts)


def call_for(after: After, counting: Counting, kind: Kind, zone: tzinfo, word: Word = str) -> Call | None:
    """The last thing that called for such a service; None: nothing has.

    Args:
        after: what calls for it.
        counting: the truck's record.
        kind: of the truck.
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
        what = _happened(body, after, kind)
        if what is not None:
            last = one, what
    if last is None:
        return None
    one, what = last
    return Call(one, word(SINCE).format(word(what), one.day(zone).isoformat()), waits)


def done_whole(body: object, service: Service) -> bool:
    """Whether a fact says that such a service was done, none of its own tasks left out."""
    return isinstance(body, Worked) and service.id in body.services and not set(service.tasks) & set(body.left_out)


def _happened(body: object, after: After, kind: Kind) -> str | None:
    if after == "wheel":
        return WHEEL if wheel_on(body, kind) else None
    if after == "hit" and isinstance(body, Incident) and body.what in HARMS:
        return INCIDENT[body.what]
    if after == "rest" and isinstance(body, HeldBy) and body.who == "laid-up":
        return RESTED
    return LEFT.get(body.how) if after == "leaving" and isinstance(body, Retired) else None

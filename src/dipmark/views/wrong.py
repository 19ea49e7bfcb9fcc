"""Something is wrong: which system, what is noticed, and what now."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

import msgspec

from dipmark.facts.base import Seriousness
from dipmark.facts.said import says
from dipmark.rules.model import Rules
from dipmark.rules.symptoms import Sense, Trouble
from dipmark.views.words import SERIOUSNESS

WHAT_NOW: Final[dict[Seriousness, str]] = {
    "now": says("Stop. Key out, nobody uses or starts it, call the lead hand at once."),
    "stop": says("Park it, forks down, key out. Out of service until a competent person has mended and released it."),
    "repair-by": says("It may work on. Report it now, so that it is mended in time."),
    "watch": says("It may work on. Report it, and look again at the next walk-round."),
}
"""What to do with the truck, one sentence for each seriousness."""

MECHANIC: Final = says("Nothing to look at yourself: a mechanic's.")


class TroubleRow(msgspec.Struct, frozen=True):
    """One thing that may be wrong, with the answer to "what now?".

    Args:
        id: its name in the rules.
        text: what is noticed.
        sense: by which sense.
        seriousness: code.
        words: how serious, as people read it.
        now: what to do with the truck.
        first: what a driver may look at himself, in this order; never empty.
        cautions: what can hurt while looking, which stands before it.
        causes: what is likely behind it, for the mechanic.
        source: title and clause of its source.
        mark: how far that may be trusted.
    """

    id: str
    text: str
    sense: Sense
    seriousness: Seriousness
    words: str
    now: str
    first: tuple[str, ...]
    cautions: tuple[str, ...]
    causes: tuple[str, ...]
    source: str
    mark: str


class SystemRow(msgspec.Struct, frozen=True):
    """A system with its troubles.

    Args:
        id: its name in the rules.
        text: its name for people.
        troubles: the most serious first.
    """

    id: str
    text: str
    troubles: tuple[TroubleRow, ...]


def all_wrong(rules: Rules) -> tuple[SystemRow, ...]:
    """Every trouble of every system, whatever the truck."""
    return _systems(rules, None, ())


def wrong_with(rules: Rules, kind: str, has: Collection[str]) -> tuple[SystemRow, ...]:
    """What may be wrong with a truck, system by system; what it has not is not asked.

    Args:
        rules: of today.
        kind: key of the truck's kind.
        has: its options and uses.
    """
    return _systems(rules, kind, has)


def _systems(rules: Rules, kind: str | None, has: Collection[str]) -> tuple[SystemRow, ...]:
    rows = (
        SystemRow(
            system.id,
            system.text,
            tuple(_row(one, rules) for one in system.troubles if kind is None or one.trucks.hold(kind, has)),
        )
        for system in rules.systems.values()
    )
    return tuple(row for row in rows if row.troubles)


def _row(trouble: Trouble, rules: Rules) -> TroubleRow:
    source = rules.sources[trouble.source]
    within = f"Repair within {{}} day{'' if trouble.days == 1 else 's'}"
    plain = SERIOUSNESS[trouble.seriousness]
    return TroubleRow(
        id=trouble.id,
        text=trouble.text,
        sense=trouble.sense,
        seriousness=trouble.seriousness,
        words=rules.word(plain) if trouble.days is None else rules.word(within).format(trouble.days),
        now=rules.word(WHAT_NOW[trouble.seriousness]),
        first=trouble.first or (rules.word(MECHANIC),),
        cautions=tuple(caution.text for caution in trouble.cautions),
        causes=trouble.causes,
        source=source.full,
        mark=trouble.mark,
    )

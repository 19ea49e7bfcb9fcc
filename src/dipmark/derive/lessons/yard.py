"""All that a yard's record teaches at an instant, and which of it may be said aloud."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, tzinfo
from itertools import chain
from typing import Final

import msgspec

from dipmark.derive.lessons.intervals import Interval, intervals
from dipmark.derive.lessons.parts import Part, part_lives
from dipmark.derive.lessons.repeats import Missed, Returns, missed, returns
from dipmark.derive.lessons.upkeep import Priced, Upkeep, upkeep
from dipmark.derive.lessons.vigilance import Shown, signs
from dipmark.derive.lessons.watched import Watched, watched
from dipmark.derive.lessons.wearing import Bad, Fails, Wears, bad_ones, fails, wears
from dipmark.derive.reliability.evidence import said_aloud
from dipmark.derive.truck import TruckNow
from dipmark.derive.wear import uses_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import FactId
from dipmark.facts.said import Word
from dipmark.rules.model import Rules

PAGE: Final = 0.05
"""One page in twenty may say something without ground; what signs of careless sheets may say is counted by itself."""


Finding = Wears | Bad | Interval | Part | Returns
"""What may be said aloud, or may not."""


class TopUp(msgspec.Struct, frozen=True, kw_only=True):
    """What a truck uses of a fluid.

    Args:
        truck: its number.
        kind: its kind.
        fluid: which.
        per_100h: amount in 100 h.
        text: the sentence, with its unit.
        since: hours since which it uses more; None where nothing alarms.
    """

    truck: str
    kind: str
    fluid: str
    per_100h: float
    text: str
    since: float | None


class Lessons(msgspec.Struct, frozen=True, kw_only=True):
    """What the record of a yard teaches.

    Args:
        trucks: how many have hours and something to learn from.
        unheard: numbers of the trucks that have not.
        asked: how many questions were asked of the record, each held to its share of `PAGE`.
        wears: does a truck wear out?
        bad: does one fail far more than its like?
        intervals: does an interval pay?
        parts: how long parts last.
        returns: repairs that do not hold.
        missed: faults found at a service that a walk-round should have found.
        fails: what fails in a kind of truck.
        upkeep: what trucks cost that are still there.
        topups: what they use.
        signs: signs of careless sheets; for those only who may see them.
    """

    trucks: int
    unheard: tuple[str, ...]
    asked: int
    wears: tuple[Wears, ...]
    bad: tuple[Bad, ...]
    intervals: tuple[Interval, ...]
    parts: tuple[Part, ...]
    returns: tuple[Returns, ...]
    missed: tuple[Missed, ...]
    fails: tuple[Fails, ...]
    upkeep: tuple[Upkeep, ...]
    topups: tuple[TopUp, ...]
    signs: tuple[Shown, ...]


def lessons(
    trucks: Sequence[TruckNow],
    rules: Rules,
    yard: YardNow,
    as_of: datetime,
    zone: tzinfo,
    wrong_letters: Collection[FactId] = frozenset(),
    priced: Priced | None = None,
) -> Lessons:
    """What the record of a yard teaches at an instant.

    Every question asked of every truck, part, interval and repair may be answered wrongly by chance. They are held to
    their bounds together (Holm), so that all that is said aloud is true but for one page in twenty.

    Args:
        trucks: all that are or were there.
        rules: of today.
        yard: its settings.
        as_of: the instant.
        zone: the yard's.
        wrong_letters: walk-rounds whose letter was not the one that is there.
        priced: what a new truck costs; None: nothing is said of keeping or replacing.
    """
    held = {truck.name: watched(truck) for truck in trucks}
    known = [one for one in held.values() if one is not None]
    others: list[Finding] = [*bad_ones(known), *intervals(known, rules), *part_lives(known), *returns(known)]
    count = sum(one.chance is not None for one in others) + len(known)
    told = _told([*wears(known, PAGE / max(count, 1)), *others])
    missing = missed(known, rules)
    return Lessons(
        trucks=len(known),
        unheard=tuple(name for name, one in held.items() if one is None),
        asked=sum(one.chance is not None for one in told),
        wears=tuple(one for one in told if isinstance(one, Wears)),
        bad=tuple(one for one in told if isinstance(one, Bad)),
        intervals=tuple(one for one in told if isinstance(one, Interval)),
        parts=tuple(one for one in told if isinstance(one, Part)),
        returns=tuple(one for one in told if isinstance(one, Returns)),
        missed=missing,
        fails=fails(known),
        upkeep=upkeep([one for one in known if one.truck.retired is None], yard, as_of, zone, priced),
        topups=tuple(chain.from_iterable(_topups(one, rules.word) for one in known)),
        signs=signs(known, missing, wrong_letters, as_of, zone),
    )


def _told(findings: Sequence[Finding]) -> list[Finding]:
    """Those that may be said aloud are marked; what could not be asked takes no part."""
    said = iter(said_aloud([one.chance for one in findings if one.chance is not None], PAGE))
    return [one if one.chance is None else msgspec.structs.replace(one, said=next(said)) for one in findings]


def _topups(one: Watched, word: Word) -> list[TopUp]:
    return [
        TopUp(
            truck=one.name,
            kind=one.kind,
            fluid=fluid,
            per_100h=use.per_100h,
            text=use.because.text,
            since=use.alarms[-1].since if use.alarms else None,
        )
        for fluid, use in uses_now(one.truck.counting, one.truck.meters, word)
    ]

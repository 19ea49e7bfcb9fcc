"""Repairs that do not hold, and faults found at a service that a walk-round should have found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import msgspec

from dipmark.derive.lessons.watched import BACK, Struck, Watched
from dipmark.derive.past import Counted
from dipmark.derive.reliability.evidence import more_often
from dipmark.facts.base import FactId, FaultRef, PersonKey
from dipmark.facts.walk_round import WalkRound
from dipmark.rules.model import Rules

ENOUGH: Final = 3
"""With fewer faults of a check nothing can be said of its repairs."""


class Returns(msgspec.Struct, frozen=True, kw_only=True):
    """Repairs of one check of one truck, and the faults that came back after them.

    Args:
        truck: its number.
        kind: its kind.
        check: the check.
        repairs: how many there were.
        back: faults seen again within `BACK` hours of the repair.
        after: hours watched within `BACK` of a repair.
        other: faults at other times.
        other_hours: hours watched at other times.
        chance: of so many back where they come as often after a repair as at other times; None with too few faults.
        faults: those that came back.
        works: the repairs they came back after.
        said: True where the page may say so.
    """

    truck: str
    kind: str
    check: str
    repairs: int
    back: int
    after: float
    other: int
    other_hours: float
    chance: float | None
    faults: tuple[FaultRef, ...]
    works: tuple[FactId, ...]
    said: bool = False


class Missed(msgspec.Struct, frozen=True, kw_only=True):
    """A fault found in the course of work, at a check that the walk-round before it had called OK.

    Args:
        truck: its number.
        kind: its kind.
        check: the check.
        text: what was found.
        fault: its reference.
        work: the work in which it was found.
        sheet: the last walk-round before that said OK.
        by: who made that; for his own eyes first.
        hours: from that walk-round to the finding: a fault may have come within them.
    """

    truck: str
    kind: str
    check: str
    text: str
    fault: FaultRef
    work: FactId
    sheet: FactId
    by: PersonKey
    hours: float


def returns(trucks: Sequence[Watched]) -> tuple[Returns, ...]:
    """Every check of every truck that was repaired, those with the most come back first.

    Args:
        trucks: all of the yard.

    The rate of faults of that check within `BACK` hours of a repair is held against the rate of the same truck at
    other times, so that a truck which has the fault often all the time is not taken for one badly repaired.
    """
    found = [one for truck in trucks for one in _of_truck(truck)]
    return tuple(sorted(found, key=lambda one: (-one.back, one.truck, one.check)))


def _of_truck(truck: Watched) -> Iterator[Returns]:
    checks: dict[str, list[Struck]] = {}
    for one in truck.struck:
        if one.fault.check is not None:
            checks.setdefault(one.fault.check, []).append(one)
    for check, struck in checks.items():
        repaired = [one for one in struck if one.mended is not None]
        if repaired:
            yield _returns(truck, check, struck, repaired)


def _returns(truck: Watched, check: str, struck: Sequence[Struck], repaired: Sequence[Struck]) -> Returns:
    back = [one for one in struck if one.back is not None]
    after = 0.0
    for one in repaired:
        mended = one.mended if one.mended is not None else truck.now
        following = (other.hours for other in struck if other.hours > mended)
        after += min(mended + BACK, truck.now, *following) - min(mended, truck.now)
    rest = max(truck.hours - after, 0.0)
    works = {one.fault.ref: one.fault.mended for one in struck}
    told = len(struck) >= ENOUGH and after > 0
    return Returns(
        truck=truck.name,
        kind=truck.kind,
        check=check,
        repairs=len(repaired),
        back=len(back),
        after=after,
        other=len(struck) - len(back),
        other_hours=rest,
        chance=more_often(len(back), after, len(struck) - len(back), rest) if told else None,
        faults=tuple(one.fault.ref for one in back),
        works=tuple(work for one in back if one.back and (work := works[one.back])),
    )


def missed(trucks: Sequence[Watched], rules: Rules) -> tuple[Missed, ...]:
    """Faults found in the course of work that a walk-round should have found: on a check that it had called OK.

    Args:
        trucks: all of the yard.
        rules: of today.

    *Edge*: only checks of the walk-round before each shift count; others nobody had to look at.
    """
    return tuple(one for truck in trucks for one in _missed(truck, rules))


def _missed(truck: Watched, rules: Rules) -> Iterator[Missed]:
    kind = rules.kind(truck.kind)
    for one in truck.struck:
        check = kind.check(one.fault.check) if kind is not None and one.fault.check is not None else None
        if one.found_in is None or check is None or not check.shift:
            continue
        sheet = _last_sheet(truck, one)
        if sheet is not None and _said_ok(sheet, check.id):
            yield Missed(
                truck=truck.name,
                kind=truck.kind,
                check=check.id,
                text=one.fault.text,
                fault=one.fault.ref,
                work=one.found_in,
                sheet=sheet.id,
                by=sheet.by,
                hours=one.hours - truck.odometer.of(sheet),
            )


def _last_sheet(truck: Watched, one: Struck) -> Counted | None:
    """The last walk-round before a fault was found."""
    before = (sheet for sheet in reversed(truck.truck.counting) if sheet.effective < one.fault.since)
    return next((sheet for sheet in before if isinstance(sheet.body, WalkRound)), None)


def _said_ok(sheet: Counted, check: str) -> bool:
    answers = sheet.body.answers if isinstance(sheet.body, WalkRound) else ()
    return any(answer.check == check and answer.mark == "ok" for answer in answers)

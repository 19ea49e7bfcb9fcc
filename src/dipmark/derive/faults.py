"""Faults that are open, cards that hang, locks that are on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta, tzinfo
from typing import Final

import msgspec

from dipmark.derive.days import day_end
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.measures import Measure
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import RANK, FactId, FaultRef, PersonKey, Seriousness
from dipmark.facts.document import Document
from dipmark.facts.fault import Fault, OutOfService, Released
from dipmark.facts.incident import Incident
from dipmark.facts.said import Word, says
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import WorkBegun, Worked, WorkEnded
from dipmark.rules.model import Check, Kind, Symptom

MOST_DAYS: Final = 90
"""No fault waits longer for its repair, whatever was written. Common practice, no source."""

INCIDENT: Final = {
    "hit": says("hit"),
    "near-miss": says("near miss"),
    "overload": says("overload"),
    "tip-over": says("tip-over"),
    "fire": says("fire"),
    "other": says("other"),
}
"""What an incident is called."""


class FaultNow(msgspec.Struct, frozen=True):
    """A fault as it stands.

    Args:
        ref: its reference.
        text: what was seen.
        seriousness: as it was recorded, tightened where today's rules are stricter.
        affects_safety: True where it bears on safety.
        since: when it counts from.
        by: who reported it.
        check: the check it belongs to.
        deadline: last local day of a `repair-by` fault.
        due: the instant that day ends.
        retest: the repair needs a recorded test before release.
        mended: the fact that mended it.
        tested: a passed test was recorded with the repair.
        released: the fact that released the truck after it.
        source: key of the rule's source.
    """

    ref: FaultRef
    text: str
    seriousness: Seriousness
    affects_safety: bool
    since: datetime
    by: PersonKey
    check: str | None = None
    deadline: date | None = None
    due: datetime | None = None
    retest: bool = False
    mended: FactId | None = None
    tested: bool = False
    released: FactId | None = None
    source: str | None = None

    @property
    def fact(self) -> FactId:
        """The fact it was reported in."""
        return FactId(self.ref.partition("#")[0])

    @property
    def stops(self) -> bool:
        """True where the truck may not work with it, whatever the date."""
        return RANK[self.seriousness] >= RANK["stop"]

    @property
    def open(self) -> bool:
        """False once it is mended and, where it stopped the truck, the truck has been released."""
        return self.mended is None or (self.stops and self.released is None)


class Card(msgspec.Struct, frozen=True):
    """An out-of-service card that hangs on the hook.

    Args:
        ref: the fact that hung it.
        text: the reason.
        since: when it counts from.
        by: who hung it.
    """

    ref: FaultRef
    text: str
    since: datetime
    by: PersonKey


class Lock(msgspec.Struct, frozen=True):
    """Being worked on: only that person takes it off.

    Args:
        begun: the fact that put it on.
        by: whose lock.
        since: since when.
        text: at what.
    """

    begun: FactId
    by: PersonKey
    since: datetime
    text: str | None


def faults_now(
    counting: Counting, kind: Kind | None, zone: tzinfo, measures: Sequence[Measure] = (), word: Word = str
) -> tuple[FaultNow, ...]:
    """Every fault of a truck that counts, open and closed, in order; a value past its limit is one.

    Args:
        counting: the truck's record.
        kind: the rules of today; a fault keeps the seriousness it was recorded with, they only tighten it.
        zone: the yard's.
        measures: what was measured, judged.
        word: says a word in the reader's language.

    *Edge*: the days to mend one are counted from the local day it was seen on; the last of them still belongs to it.
    *Source*: 29 CFR 1910.178(p)(1), (q)(7): what affects safety stops the truck, however lightly it was marked.
    """
    acts = [one for one in counting if _acts(one)]
    weighed = {one.ref: one for one in measures}
    seen = [_fate(fault, one, acts) for one in counting for fault in _reported(one, kind, zone, weighed, word)]
    told = {fault.ref for fault in seen}
    measured = _measured([one for one in measures if one.ref not in told], counting, zone, acts, word)
    return tuple(sorted((*seen, *measured), key=lambda fault: fault.since)) if measured else tuple(seen)


def _acts(one: Counted) -> bool:
    """True for what may change the fate of a fault."""
    body = one.body
    return isinstance(body, Worked | Document | Released) or (isinstance(body, WalkRound) and bool(body.open_faults))


def _reported(
    one: Counted, kind: Kind | None, zone: tzinfo, weighed: Mapping[FaultRef, Measure], word: Word
) -> Iterator[FaultNow]:
    body = one.body
    if isinstance(body, Fault):
        yield _fault(FaultRef(one.id), one, body, body.text, kind, zone)
    elif isinstance(body, WalkRound):
        for answer in body.answers:
            if answer.mark == "fault" and not _put_right(answer, kind):
                ref = FaultRef(f"{one.id}#{answer.check}")
                fault = _fault(ref, one, answer, _words(answer, kind), kind, zone)
                yield _tightened(fault, weighed[ref], zone, word) if ref in weighed else fault


def _tightened(fault: FaultNow, measure: Measure, zone: tzinfo, word: Word) -> FaultNow:
    """A fault whose measured value is worse than what was ticked."""
    if measure.seriousness is None or RANK[measure.seriousness] <= RANK[fault.seriousness]:
        return fault
    worse = _of_measure(measure, zone, word)
    return msgspec.structs.replace(worse, text=f"{fault.text}: {worse.text}", retest=fault.retest or worse.retest)


def _measured(
    measures: Sequence[Measure], counting: Counting, zone: tzinfo, acts: list[Counted], word: Word
) -> list[FaultNow]:
    """Values past their limits. What stops the truck, and a day that a person has set, end with the repair alone.

    What is only watched, or is to be put right within days, ends with the next reading that is better. While one is
    open a later reading that is no worse adds no fault; it only says how things stand.
    """
    turn, placed = {one.id: index for index, one in enumerate(counting)}, {one.id: one for one in counting}
    found: list[tuple[Measure, FaultNow]] = []
    for now in measures:
        held: list[FaultNow] = []
        for index, (then, fault) in enumerate(found):
            if not now.covers(then) or (fault.mended is not None and turn[fault.mended] < turn[now.fact]):
                continue
            if then.light and now.judged is not None and now.against is None and now.seriousness != fault.seriousness:
                found[index] = then, msgspec.structs.replace(fault, mended=now.fact)
                continue
            if then.light and now.seriousness == fault.seriousness:
                found[index] = then, msgspec.structs.replace(fault, text=_of_measure(now, zone, word).text)
            if now.light or not then.light:
                held.append(fault)
        if now.seriousness is not None and not any(_as_strict(fault, now) for fault in held):
            fault = _of_measure(now, zone, word)
            found.append((now, _fate(fault, placed[now.fact], acts)))
    return [fault for _, fault in found]


def _as_strict(fault: FaultNow, measure: Measure) -> bool:
    """Whether an open fault says all that a new reading says."""
    if RANK[fault.seriousness] != RANK[measure.seriousness or "watch"]:
        return RANK[fault.seriousness] > RANK[measure.seriousness or "watch"]
    return measure.deadline is None or (fault.deadline is not None and fault.deadline <= measure.deadline)


def _of_measure(measure: Measure, zone: tzinfo, word: Word) -> FaultNow:
    """A value past its limit, or with a day set by a competent person, as a fault."""
    said = f"{word(MEASUREMENTS[measure.name].text)}: {', '.join(measure.said)}"
    text = measure.judged.because if measure.judged is not None else said
    return FaultNow(
        ref=measure.ref,
        text=text.rstrip("."),
        seriousness=measure.seriousness or "watch",
        affects_safety=False,
        since=measure.since,
        by=measure.by,
        check=measure.check,
        deadline=measure.deadline,
        due=None if measure.deadline is None else day_end(measure.deadline, zone),
        retest=measure.retest,
        source=measure.judged.source if measure.judged is not None else None,
    )


def _rule(body: Fault | Answer, kind: Kind | None) -> tuple[Check | None, Symptom | None]:
    """The check and the symptom that today's rules know a fault by."""
    check = kind.check(body.check) if kind and body.check else None
    return check, check.symptom(body.symptom) if check and body.symptom else None


def _put_right(answer: Answer, kind: Kind | None) -> bool:
    """True where the driver mended it on the spot, and the rules, as far as they know it, let him."""
    _, symptom = _rule(answer, kind)
    return answer.put_right is not None and (symptom is None or symptom.put_right is not None)


def _words(answer: Answer, kind: Kind | None) -> str:
    check, symptom = _rule(answer, kind)
    parts = (check.text if check else answer.check, symptom.text if symptom else None, answer.text)
    return ": ".join(part for part in parts if part)


def _fault(ref: FaultRef, one: Counted, body: Fault | Answer, text: str, kind: Kind | None, zone: tzinfo) -> FaultNow:
    check, symptom = _rule(body, kind)
    seriousness: Seriousness = body.seriousness or "stop"
    safety = body.affects_safety or (symptom is not None and symptom.affects_safety)
    if symptom is not None:
        seriousness = max(seriousness, symptom.seriousness, key=RANK.__getitem__)
    if safety:
        seriousness = max(seriousness, "stop", key=RANK.__getitem__)
    deadline = None
    if seriousness == "repair-by":
        days = [days for days in (body.days, symptom.days if symptom else None) if days is not None]
        deadline = one.day(zone) + timedelta(days=min(MOST_DAYS, *days) if days else 0)
    return FaultNow(
        ref=ref,
        text=text,
        seriousness=seriousness,
        affects_safety=safety,
        since=one.effective,
        by=one.by,
        check=body.check,
        deadline=deadline,
        due=None if deadline is None else day_end(deadline, zone),
        retest=check is not None and check.retest,
        source=symptom.source if symptom else check.source if check else None,
    )


def _fate(fault: FaultNow, reported: Counted, acts: list[Counted]) -> FaultNow:
    """What became of a fault: worse, gone, mended, tested, released."""
    for one in acts:
        body = one.body
        if isinstance(body, WalkRound):
            for seen in body.open_faults:
                if seen.fault == fault.ref and seen.now == "worse" and not fault.stops:
                    worse: Seriousness = "stop"
                    fault = msgspec.structs.replace(fault, seriousness=worse, deadline=None, due=None, mended=None)
                elif seen.fault == fault.ref and seen.now == "gone" and fault.seriousness == "watch":
                    fault = msgspec.structs.replace(fault, mended=one.id)
        elif isinstance(body, Worked) and fault.ref in body.mends:
            passed = bool(body.tests) and all(test.passed for test in body.tests)
            fault = msgspec.structs.replace(fault, mended=one.id, tested=passed, released=None)
        elif isinstance(body, Document) and any(line.fault == fault.ref and line.answered for line in body.lines):
            fault = msgspec.structs.replace(fault, mended=fault.mended or one.id)
        elif isinstance(body, Released) and fault.mended is not None:
            if _clears(one, body, fault.ref, reported):
                fault = msgspec.structs.replace(fault, released=fault.released or one.id)
    return fault


def _clears(release: Counted, body: Released, ref: FaultRef, target: Counted) -> bool:
    """A release clears what it names; one that names nothing clears what was received before it was made."""
    if body.clears:
        return ref in body.clears
    return target.order < release.order and target.item.received <= release.effective


def cards_now(counting: Counting, word: Word = str) -> tuple[Card, ...]:
    """The out-of-service cards that hang: hung by hand or by a hit, and not cleared by a later release.

    Args:
        counting: the truck's record.
        word: says a word in the reader's language.

    *Edge*: a release that names no card clears one received exactly when the release was made.
    *Source*: 29 CFR 1910.178(p)(1): a truck in any way unsafe is taken out of service until restored.
    """
    cards = []
    releases = [(one, one.body) for one in counting if isinstance(one.body, Released)]
    for one in counting:
        body = one.body
        if isinstance(body, OutOfService):
            text = body.reason
        elif isinstance(body, Incident) and body.what != "near-miss":
            text = f"{word(INCIDENT[body.what])}: {body.text}"
        else:
            continue
        ref = FaultRef(one.id)
        if not any(_clears(release, said, ref, one) for release, said in releases):
            cards.append(Card(ref, text, one.effective, one.by))
    return tuple(cards)


def locks_now(counting: Counting) -> tuple[Lock, ...]:
    """Who is working on the truck: every lock that has not been taken off.

    *Source*: 29 CFR 1910.147(e)(3): a lock is taken off by the one who put it on, one written exception by the owner.
    """
    locks = {
        one.id: Lock(one.id, one.by, one.effective, one.body.text)
        for one in counting
        if isinstance(one.body, WorkBegun)
    }
    for end in counting:
        if isinstance(end.body, WorkEnded) and end.body.left == "clear" and (lock := locks.get(end.body.begun)):
            if end.by == lock.by or end.body.owners_exception is not None:
                del locks[lock.begun]
    return tuple(locks.values())

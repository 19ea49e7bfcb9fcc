"""May the truck work? Out of service, not checked, restricted, or checked, in this order, each with its reasons."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, tzinfo
from typing import Final, Literal

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.days import day_end, day_start, local_day
from dipmark.derive.due import WALK_ROUND, Due
from dipmark.derive.faults import Card, FaultNow
from dipmark.derive.past import Counted, Counting, enrolled_in
from dipmark.derive.yard import YardNow, covered_until
from dipmark.facts.base import FactId
from dipmark.facts.said import Word, says
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Kind, Service

StateCode = Literal["out-of-service", "not-checked", "restricted", "checked"]

P1: Final = "us-178-p1"
Q7: Final = "us-178-q7"
PRACTICE: Final = "practice"

CARD: Final = says("{}. The key stays in the locked box until the truck is released.")
MEND: Final = says("{}. To be mended by a competent person and released.")
MEND_AND_TEST: Final = says("{}. To be mended by a competent person, tested and released.")
RELEASE: Final = says("{}. Mended; to be released.")
TEST: Final = says("{}. Mended; to be tested and released.")
PASSED: Final = says("{}: was to be mended by {}. Out of service until it is mended.")
REPAIR_BY: Final = says("{}: to be mended by {}; from the day after, the truck is out of service.")
LATE: Final = says("{} service is late: {}. Do it.")
CALLED: Final = says("{}: asked for since: {}. Do it.")
NO_RULES: Final = says("This kind of truck has no rules yet, so nothing says what to check. Check it by its manual.")
NO_WALK: Final = says("No walk-round is in the record. Walk round it before the key is turned.")
LAST_WALK: Final = says("The last walk-round was on {}. Walk round it before the key is turned.")
NOT_ANSWERED: Final = says("{}: not answered")
UNSEEN: Final = says("{}: could not be checked ({})")
NO_REASON: Final = says("no reason given")
CHECK_IT: Final = says("{}. Check it before the key is turned.")
WATCH_IT: Final = says("{}: watch it.")
CHECKED: Final = says("Checked, nothing found. Not an examination.")
WATCHED: Final = says("Checked, nothing that stops it. Not an examination.")


class State(msgspec.Struct, frozen=True):
    """The state of a truck at an instant.

    Args:
        code: which.
        reasons: why, and what clears it; at least one.
        holds_until: the instant at which the state may change without a new fact; None: not by itself.
        covered_until: until when the last walk-round covers; None without one.
    """

    code: StateCode
    reasons: tuple[Because, ...]
    holds_until: datetime | None = None
    covered_until: datetime | None = None


class WalkDone(msgspec.Struct, frozen=True):
    """The last walk-round of a truck.

    Args:
        fact: where it stands.
        by: who made it.
        done: when it counts from.
        until: until when it covers.
        missing: stop-worthy checks that were asked for and not answered, or could not be checked.
    """

    fact: FactId
    by: str
    done: datetime
    until: datetime
    missing: tuple[str, ...]


def options_of(counting: Counting, kind: Kind) -> frozenset[str]:
    """What is on the truck of what its kind may have: as enrolled, else what such a truck usually has."""
    enrolled = enrolled_in(counting)
    return kind.fitted(enrolled.options, enrolled.fuel) if enrolled else kind.fitted(None)


def last_walk(
    counting: Counting, kind: Kind, yard: YardNow, zone: tzinfo, rules: str, word: Word = str
) -> WalkDone | None:
    """The last walk-round: one made check by check, or the 8-hour service noted as done.

    Args:
        counting: the truck's record.
        kind: its rules.
        yard: the shift pattern that says how long it covers.
        zone: the yard's.
        rules: digest of today's rules; a list made from other rules is still a check, and nothing new is missed in it.
        word: says a sentence in the reader's language.

    *Edge*: one of which only the date is known covers to the end of that day, whatever the shifts.
    """
    for one in reversed(counting):
        if _is_walk(one):
            day_ends = day_end(one.day(zone), zone)
            until = day_ends if one.whole_day else covered_until(yard.shifts, one.effective, zone)
            return WalkDone(one.id, one.by, one.effective, until, tuple(_missing(one, counting, kind, rules, word)))
    return None


def _is_walk(one: Counted) -> bool:
    """A take-over and the sheet after the shift lean on the walk-round before them; they are none themselves."""
    if isinstance(one.body, WalkRound):
        return one.body.sheet not in {"take-over", "after-shift"}
    return isinstance(one.body, Worked) and WALK_ROUND in one.body.services


def _missing(one: Counted, counting: Counting, kind: Kind, rules: str, word: Word) -> Iterator[str]:
    if not isinstance(one.body, WalkRound):
        return
    answers = {answer.check: answer for answer in one.body.answers}
    for check in kind.checks_for(options_of(counting, kind)):
        if not (check.shift and check.stop_worthy):
            continue
        answer = answers.get(check.id)
        if answer is None and one.body.rules == rules:
            yield word(NOT_ANSWERED).format(check.text)
        elif answer is not None and answer.mark == "unseen":
            yield word(UNSEEN).format(check.text, answer.text or word(NO_REASON))


def state_now(
    kind: Kind | None,
    walk: WalkDone | None,
    faults: tuple[FaultNow, ...],
    cards: tuple[Card, ...],
    dues: tuple[Due, ...],
    as_of: datetime,
    zone: tzinfo,
    examined: tuple[Because, ...] = (),
    word: Word = str,
) -> State:
    """The state of a truck, the first that applies: out of service, not checked, restricted, checked.

    Args:
        kind: its rules; None: nobody can say that it is fit, so it is not checked.
        walk: its last walk-round.
        faults: all its faults.
        cards: cards that hang.
        dues: its services and legal examinations.
        as_of: the instant.
        zone: the yard's.
        examined: why the law or an examiner keeps it out of service.
        word: says a sentence in the reader's language.

    *Edge*: a `repair-by` fault restricts to the end of its last local day; at the next midnight the truck is out of
    service, as it is at the midnight after the last day of an examination. A walk-round no longer covers at the
    instant its cover ends.
    *Source*: 29 CFR 1910.178(p)(1), (q)(7); precedence: project rule, common practice.
    """
    live = [fault for fault in faults if fault.open]
    late = [(due, service) for due in dues if (service := _late(due, kind)) is not None]
    edges = [edge for edge in _edges(walk, live, dues, zone) if edge > as_of]
    out = [*(_card(card, word) for card in cards), *(_stopped(fault, word) for fault in live if fault.stops)]
    out += [_passed(fault, word) for fault in live if fault.due is not None and fault.due <= as_of]
    out += [_late_service(due, one, word) for due, one in late if one.state_when_late == "out-of-service"]
    out += examined
    unchecked = list(_unchecked(kind, walk, as_of, zone, word))
    limits = [_restricted(fault, word) for fault in live if fault.due is not None and fault.due > as_of]
    limits += [_late_service(due, one, word) for due, one in late if one.state_when_late == "restricted"]
    levels: list[tuple[StateCode, list[Because]]] = [
        ("out-of-service", out),
        ("not-checked", unchecked),
        ("restricted", limits),
    ]
    code, reasons = next(
        ((code, reasons) for code, reasons in levels if reasons), ("checked", _checked(walk, live, word))
    )
    return State(code, tuple(reasons), min(edges, default=None), walk.until if walk else None)


def _edges(walk: WalkDone | None, live: list[FaultNow], dues: tuple[Due, ...], zone: tzinfo) -> Iterator[datetime]:
    """Every instant at which the state may change without a new fact."""
    yield from (fault.due for fault in live if fault.due is not None)
    yield from (edge for due in dues for edge in _day_edges(due, zone))
    if walk is not None:
        yield walk.until


def _day_edges(due: Due, zone: tzinfo) -> Iterator[datetime]:
    """The instants at which a service opens, falls due and becomes late by the calendar."""
    if due.opens_day is not None and due.day is not None and due.latest_day is not None:
        yield from (day_start(due.opens_day, zone), day_start(due.day, zone), day_end(due.latest_day, zone))


def _late(due: Due, kind: Kind | None) -> Service | None:
    """The service that is late, where that changes the truck's state."""
    return kind.service(due.service) if due.state == "late" and kind and due.service else None


def _card(card: Card, word: Word) -> Because:
    return Because(word(CARD).format(card.text), "state.card", P1, (FactId(card.ref),))


def _stopped(fault: FaultNow, word: Word) -> Because:
    facts: tuple[FactId, ...] = (fault.fact,)
    if fault.mended is None:
        clear = MEND_AND_TEST if fault.retest else MEND
    else:
        clear, facts = TEST if fault.retest and not fault.tested else RELEASE, (fault.fact, fault.mended)
    return Because(word(clear).format(fault.text), fault.check or "state.fault", fault.source or P1, facts)


def _passed(fault: FaultNow, word: Word) -> Because:
    text = word(PASSED).format(fault.text, fault.deadline)
    return Because(text, fault.check or "state.deadline", fault.source or PRACTICE, (fault.fact,))


def _restricted(fault: FaultNow, word: Word) -> Because:
    text = word(REPAIR_BY).format(fault.text, fault.deadline)
    return Because(text, fault.check or "state.repair-by", fault.source or PRACTICE, (fault.fact,))


def _late_service(due: Due, service: Service, word: Word) -> Because:
    if service.after is None:
        text = word(LATE).format(service.id, due.because.text)
    else:
        text = word(CALLED).format(service.text, due.because.text)
    return Because(text, due.because.rule, due.because.source, due.because.facts)


def _unchecked(
    kind: Kind | None, walk: WalkDone | None, as_of: datetime, zone: tzinfo, word: Word
) -> Iterator[Because]:
    if kind is None:
        yield Because(word(NO_RULES), "state.no-rules")
    elif walk is None:
        yield Because(word(NO_WALK), "state.walk-round", Q7)
    elif as_of >= walk.until:
        text = word(LAST_WALK).format(local_day(walk.done, zone).isoformat())
        yield Because(text, "state.walk-round", Q7, (walk.fact,))
    else:
        for text in walk.missing:
            yield Because(word(CHECK_IT).format(text), "state.unseen", Q7, (walk.fact,))


def _checked(walk: WalkDone | None, live: list[FaultNow], word: Word) -> list[Because]:
    reasons = [
        Because(word(WATCH_IT).format(fault.text), fault.check or "state.watch", fault.source, (fault.fact,))
        for fault in live
    ]
    if walk is not None:
        reasons.insert(0, Because(word(WATCHED if live else CHECKED), "state.walk-round", Q7, (walk.fact,)))
    return reasons

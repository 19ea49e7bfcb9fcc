"""The key board: every truck of the yard with its state, why, and what is left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from typing import Literal

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.due import WALK_ROUND, Due
from dipmark.derive.standing import Standing
from dipmark.derive.state import State, StateCode
from dipmark.facts.base import FactId, PersonKey
from dipmark.facts.said import Word
from dipmark.rules.model import Rules
from dipmark.views.gauge import Gauge
from dipmark.views.measures import measure_gauge, title_of
from dipmark.views.words import COVER, DUE_NOW, KEY, OVER, PAST, SINCE, STATE, UNTIL, WATCHED, day, hours, moment


class Reason(msgspec.Struct, frozen=True):
    """A reason as people read it.

    Args:
        text: for a person.
        rule: id of the rule.
        source: title and clause of its source; None where it has none.
        facts: ids of the facts it rests on.
    """

    text: str
    rule: str
    source: str | None
    facts: tuple[FactId, ...]


class YardRow(msgspec.Struct, frozen=True):
    """One hook of the key board.

    Args:
        truck: its number.
        kind: its kind.
        state: code of its state.
        reasons: why.
        hours: true hours of its last good reading; None without one.
        words: its state as people read it.
        place: where it works.
        lock: who is working on it, and since when; None: nobody.
        key: where the key is.
        hangs: the same as a code: on its hook, in the locked box, or out.
        until: last day of a restriction; None: it is not restricted, or nobody has set one.
        gauges: at most three: the walk-round's cover, the next service, the worst measured value.
        doubtful: meter readings that do not agree with the others.
        alarms: what the lead hand should look into at once.
        not_so: why it may not work with what hangs on it; its own state is apart.
    """

    truck: str
    kind: str
    state: StateCode
    reasons: tuple[Reason, ...]
    hours: Decimal | None
    words: str
    place: str | None
    lock: str | None
    key: str
    hangs: Literal["hook", "box", "out"]
    until: date | None
    gauges: tuple[Gauge, ...]
    doubtful: int
    alarms: tuple[Reason, ...]
    not_so: tuple[str, ...] = ()


def reason(because: Because, rules: Rules) -> Reason:
    """A reason with the source's title in place of its key."""
    return Reason(because.text, because.rule, title_of(because.source, rules.sources), because.facts)


def yard_row(truck: Standing, rules: Rules, names: Mapping[PersonKey, str], as_of: datetime, zone: tzinfo) -> YardRow:
    """One hook.

    Args:
        truck: the truck as derived.
        rules: for the titles of sources.
        names: of people, by key.
        as_of: the instant it was derived for.
        zone: the yard's.
    """
    lock, word = next(iter(truck.locks), None), rules.word
    return YardRow(
        truck=truck.name,
        kind=truck.enrolled.what,
        state=truck.state.code,
        reasons=tuple(reason(because, rules) for because in truck.state.reasons),
        hours=truck.hours,
        words=state_words(truck, names, zone, word),
        place=truck.held.what.place if truck.held and truck.held.what.place else truck.enrolled.place,
        lock=None if lock is None else f"{names.get(lock.by, lock.by)} {word(SINCE)} {moment(lock.since, zone, word)}",
        key=_key(truck, names, zone, word),
        hangs=_hangs(truck),
        until=_until(truck) if truck.state.code == "restricted" else None,
        gauges=tuple(_gauges(truck, as_of, word)),
        doubtful=truck.doubtful,
        alarms=tuple(reason(because, rules) for because in truck.alarms),
    )


def yard_rows(
    trucks: Sequence[Standing], rules: Rules, names: Mapping[PersonKey, str], as_of: datetime, zone: tzinfo
) -> tuple[YardRow, ...]:
    """The whole key board, in the order given."""
    return tuple(yard_row(truck, rules, names, as_of, zone) for truck in trucks)


def state_words(truck: Standing, names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str) -> str:
    """The state as people read it: with what and until when, by whom and when.

    Args:
        truck: the truck as derived.
        names: of people, by key.
        zone: the yard's.
        word: says a word in the yard's language.
    """
    state: State = truck.state
    if state.code == "restricted":
        deadline = _until(truck)
        return word(STATE["restricted"]) + (f" {word(UNTIL)} {day(deadline, word)}" if deadline else "")
    if state.code == "checked" and truck.walk is not None:
        watched = any(fault.open for fault in truck.faults)
        said = word(WATCHED if watched else STATE["checked"])
        return f"{said}, {names.get(PersonKey(truck.walk.by), truck.walk.by)}, {moment(truck.walk.done, zone, word)}"
    return word(STATE[state.code])


def _until(truck: Standing) -> date | None:
    """The first deadline of an open fault."""
    return min((fault.deadline for fault in truck.faults if fault.open and fault.deadline), default=None)


def _hangs(truck: Standing) -> Literal["hook", "box", "out"]:
    if truck.state.code == "out-of-service":
        return "box"
    return "hook" if truck.held is None or truck.held.what.who == "yard" else "out"


def _key(truck: Standing, names: Mapping[PersonKey, str], zone: tzinfo, word: Word) -> str:
    held, hangs = truck.held, _hangs(truck)
    if held is None or hangs != "out":
        return word(KEY["box" if hangs == "box" else "hook"])
    who = names.get(held.what.person, held.what.person) if held.what.person else held.what.firm
    return f"{word(KEY[held.what.who])}{f', {who}' if who else ''}, {word(SINCE)} {moment(held.since, zone, word)}"


def _gauges(truck: Standing, as_of: datetime, word: Word) -> list[Gauge]:
    gauges = []
    if truck.walk is not None:
        whole = Decimal((truck.walk.until - truck.walk.done) // timedelta(minutes=1)) / 60
        left = Decimal((truck.walk.until - as_of) // timedelta(minutes=1)) / 60
        gauges.append(Gauge(word(COVER), Decimal(0), whole, left, word="" if left > 0 else word(OVER)))
    nearest = next_service(truck.dues)
    if nearest is not None and nearest.hours is not None:
        gauges.append(due_gauge(nearest, truck.hours, word))
    if truck.worst is not None:
        gauges.append(measure_gauge(truck.worst, word))
    return gauges


def next_service(dues: Sequence[Due]) -> Due | None:
    """The service that comes first by hours, the walk-round left out."""
    counted = [due for due in dues if due.hours is not None and due.service != WALK_ROUND]
    return min(counted, key=lambda due: due.hours or Decimal(0), default=None)


def due_gauge(due: Due, now: Decimal | None, word: Word = str) -> Gauge:
    """Hours left of a service's interval."""
    end = due.hours if due.hours is not None else Decimal(0)
    start = due.start if due.start is not None else Decimal(0)
    left = None if now is None else end - now
    past = "" if left is None or left > 0 else word(DUE_NOW) if left == 0 else word(PAST).format(hours(-left))
    return Gauge(f"{due.service}", Decimal(0), end - start, left, word=past)

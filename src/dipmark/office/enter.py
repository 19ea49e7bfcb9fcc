"""Enter facts at a desk: judged against the record first; a hard problem stops all of them."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.adapters.importing.cells import parse_number
from dipmark.adapters.importing.words import service_of
from dipmark.adapters.store import Blob
from dipmark.derive.admit import LEANS_ON_TRUCK, NOT_YOUR_LOCK, admit, measure_problems, meter_problems
from dipmark.derive.meter import meters_of
from dipmark.derive.past import past
from dipmark.derive.truck import truck_now
from dipmark.facts.base import FIRST, RANK, Accepted, BookId, Fact, FaultRef, Seriousness, truck_book
from dipmark.facts.codec import accept, faults_of
from dipmark.facts.document import Document
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.fault import Fault, OutOfService, Released
from dipmark.facts.measure import Measured
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.problems import Problem, code
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import PartUsed, Tested, WorkBegun, Worked, WorkEnded
from dipmark.office.look import book_of, truck
from dipmark.office.open import Office, told, zone_of
from dipmark.office.papers import examination
from dipmark.rules.model import Check, Kind, Symptom

HOURS_UNFIT: Final = code("hours-unfit", "Hours given at the desk are below zero or carry another unit.")
NOTHING_OPEN: Final = code("nothing-open", "There is no open fault or card of that name on the truck.")
SERVICE_UNKNOWN: Final = code(
    "service-not-in-rules", "A service is noted that the rules of this kind of truck do not know."
)
TASK_UNKNOWN: Final = code("task-unknown", "A task is said to be left out that this kind of truck does not have.")
WORDS_MISSING: Final = code("words-missing", "A fault, a card or a repair needs a word on what it is.")
DAYS_MISSING: Final = code("days-missing", "A fault to repair by a date needs the days within which it is mended.")
FAULT_OF_NO_CHECK: Final = code("fault-of-no-check", "A symptom is named without the check it belongs to.")


class When(msgspec.Struct, frozen=True):
    """When something happened: an instant, or a whole local day by its first instant."""

    happened: datetime
    whole_day: bool = False


class Entered(msgspec.Struct, frozen=True):
    """What was written, and what should be looked at all the same."""

    accepted: tuple[Accepted, ...]
    known: int
    doubts: tuple[Problem, ...]


def enter(office: Office, facts: Sequence[Fact], blobs: Sequence[Blob] = ()) -> Entered:
    """Write facts in one transaction, after judging each against the record with those before it.

    Args:
        office: the yard.
        facts: in their order.
        blobs: the pictures that they name.

    Raises:
        Refused: a hard problem; nothing was written.
    """
    unfit = [problem for fact in facts for problem in faults_of(fact)]
    if unfit:
        raise Refused(told(unfit), unfit)
    now, yard = office.clock(), office.yard
    zone = zone_of(yard.zone)
    books = {fact.book: office.book(fact.book) for fact in facts}
    problems: list[Problem] = []
    for fact in facts:
        record = books[fact.book]
        leans = isinstance(fact.body, LEANS_ON_TRUCK)
        now_stands = truck_now(record, office.rules, yard, zone, _horizon(record, now)) if leans else None
        problems.extend(admit(fact, now_stands, record, now))
        books[fact.book] = (*record, accept(fact, now, len(record) + 1, FIRST))
    hard = [problem for problem in problems if problem.hard]
    if hard:
        raise Refused(told(hard), hard)
    new = {fact.id for fact in facts}
    for book, record in books.items():
        meters = meters_of(past(record, _horizon(record, now)), zone)
        problems.extend(meter_problems(book, meters, new))
        if any(fact.book == book and isinstance(fact.body, Measured) for fact in facts):
            stands = truck_now(record, office.rules, yard, zone, _horizon(record, now))
            problems.extend(measure_problems(book, stands.measures if stands else (), new))
    done = office.append(facts, blobs=blobs)
    return Entered(done.accepted, len(done.known), tuple(problems))


def _horizon(record: tuple[Accepted, ...], now: datetime) -> datetime:
    """Now, or the last fact where the clock was set back: whatever is known counts at a desk."""
    return max(now, *(item.effective for item in record)) if record else now


def hours_from(text: str, what: str = "hours") -> Decimal:
    """Hours as people write them at a desk.

    Raises:
        Refused: they are none, they read two ways, or no meter shows such.
    """
    number = parse_number(text)
    if isinstance(number, Problem):
        hint = f"Write {what} in plain digits, such as 1250 or 1250.5."
        raise Refused(f"Found {number.found}; expected {number.expected}. {hint}", [number])
    if number.value < 0 or number.unit not in {None, "h"}:
        problem = Problem(HOURS_UNFIT, f"{what} {text!r}", "0 h or more", "Read the meter again.")
        raise Refused(problem.message, [problem])
    return number.value


def enrol(office: Office, name: str, body: Enrolled, when: When) -> Entered:
    """Enrol a truck by its number."""
    try:
        book = book_of(office, name)
    except NotFound:
        book = truck_book(" ".join(name.split()))
    return enter(office, [_fact(office, book, body, when)])


def read_meter(
    office: Office,
    name: str,
    hours: Decimal,
    when: When,
    meter: str | None = None,
    *,
    changed_from: Decimal | None = None,
    changed: bool = False,
) -> Entered:
    """Note an hour meter reading, or that the meter was changed and what the new one shows.

    Without a name it is the truck's first meter.
    """
    meter = meter or truck(office, name, office.clock()).meters[0].name
    body = MeterChanged(new=hours, old=changed_from, meter=meter) if changed else MeterRead(hours=hours, meter=meter)
    return enter(office, [_fact(office, book_of(office, name), body, when)])


def report_fault(
    office: Office,
    name: str,
    text: str,
    when: When,
    *,
    check: str | None = None,
    symptom: str | None = None,
    seriousness: Seriousness | None = None,
    days: int | None = None,
) -> Entered:
    """Report a fault. The rules say how serious it is where they know the symptom; a person may only be stricter.

    Without either it takes the truck out of service: the safe reading stands until somebody looks. A check without
    its symptom is taken at its worst.

    Raises:
        NotFound: the rules of this kind of truck have no such check or symptom.
        Refused: a symptom without its check, or a fault to repair without its days.
    """
    text, now = _worded(text, "what was seen"), truck(office, name, office.clock())
    if symptom and not check:
        problem = Problem(FAULT_OF_NO_CHECK, f"symptom {symptom!r} alone", "the check it belongs to", "Name it, too.")
        raise Refused(problem.message, [problem])
    found, known = _known(office.rules.kind(now.enrolled.what), check, symptom)
    strict: Seriousness = seriousness or ("watch" if known else "stop")
    if known is not None:
        strict = max(strict, known.seriousness, key=RANK.__getitem__)
    elif found is not None and seriousness is None:
        strict = max(strict, *(one.seriousness for one in found.symptoms), key=RANK.__getitem__)
    mend = [most for most in (days, known.days if known else None) if most is not None]
    if strict == "repair-by" and not mend:
        problem = Problem(DAYS_MISSING, "a fault to repair, without days", "within how many days", "Say it.")
        raise Refused(problem.message, [problem])
    body = Fault(
        text=text,
        seriousness=strict,
        affects_safety=known.affects_safety if known else False,
        days=min(mend) if strict == "repair-by" else None,
        check=check,
        symptom=symptom,
    )
    return enter(office, [_fact(office, now.book, body, when)])


def _worded(text: str, what: str) -> str:
    """Words, without blanks around them; none at all is refused."""
    if not text.strip():
        problem = Problem(WORDS_MISSING, "no words", what, "Say it in a few words.")
        raise Refused(problem.message, [problem])
    return text.strip()


def _known(kind: Kind | None, check: str | None, symptom: str | None) -> tuple[Check | None, Symptom | None]:
    """The check and the symptom as the rules know them; both None where the kind has no rules."""
    if kind is None or check is None:
        return None, None
    found = kind.check(check)
    if found is None:
        near = difflib.get_close_matches(check, [one.id for one in kind.checks], n=3)
        hint = f" Is it {' or '.join(near)}?" if near else ""
        raise NotFound(f"{kind.text}: the rules have no check {check}.{hint} See: dipmark rules show {kind.key}")
    known = found.symptom(symptom) if symptom else None
    if symptom and known is None:
        names = ", ".join(one.id for one in found.symptoms)
        raise NotFound(f"Check {check} knows no {symptom}. It knows: {names}.")
    return found, known


def stop(office: Office, name: str, reason: str, when: When) -> Entered:
    """Hang the out-of-service card on a truck."""
    reason = _worded(reason, "why it is out of service")
    return enter(office, [_fact(office, book_of(office, name), OutOfService(reason=reason), when)])


def repair(
    office: Office,
    name: str,
    what: Sequence[str],
    text: str,
    when: When,
    *,
    tests: Sequence[str],
    hours: Decimal | None,
    renewed: Sequence[str] = (),
) -> Entered:
    """Record the repair of open faults, by reference, check or words; without any, of every open fault.

    What was renewed begins a new life: what was measured on the old part says nothing about the new one.

    Raises:
        Refused: no open fault is meant.
    """
    text, now = _worded(text, "what was done"), truck(office, name, office.clock())
    live = {fault.ref: (fault.ref, fault.check or "", fault.text) for fault in now.faults if fault.mended is None}
    body = Worked(
        mends=_meant(name, what, live),
        text=text,
        tests=tuple(Tested(test=test, passed=True) for test in tests),
        parts=tuple(PartUsed(part=part) for part in renewed),
        meter=now.reading(hours),
    )
    return enter(office, [_fact(office, now.book, body, when)])


def release(office: Office, name: str, when: When, *, tests: Sequence[str], note: str | None) -> Entered:
    """Release a truck: every card and every mended fault that keeps it, each named.

    Raises:
        Refused: a fault is not mended or not tested, or nothing keeps the truck.
    """
    now = truck(office, name, office.clock())
    keeps = [*(card.ref for card in now.cards), *(fault.ref for fault in now.faults if fault.open and fault.stops)]
    if not keeps:
        problem = Problem(
            NOTHING_OPEN, f"truck {name} with no card", "a card or a fault to clear", "Nothing to release."
        )
        raise Refused(problem.message, [problem])
    body = Released(clears=tuple(keeps), tests=tuple(tests), note=note)
    return enter(office, [_fact(office, now.book, body, when)])


def work(
    office: Office,
    name: str,
    services: Sequence[str],
    when: When,
    *,
    hours: Decimal | None,
    text: str | None,
    left_out: Sequence[str],
    minutes: int | None,
    renewed: Sequence[str] = (),
) -> Entered:
    """Record services done, parts renewed, and legal examinations by their ids, each as a paper of its own.

    Raises:
        Refused: a word that names neither, or a task left out that its kind of truck does not have.
    """
    now = truck(office, name, office.clock())
    kind = office.rules.kind(now.enrolled.what)
    duties = [duty.id for duty in office.rules.examinations(office.yard.country)]
    examined = [one for one in services if one in duties]
    services = [one for one in services if one not in duties]
    problems = list(_not_in_rules(kind, services, left_out, duties))
    hard = [problem for problem in problems if problem.hard]
    if hard:
        raise Refused(told(hard), hard)
    reading = now.reading(hours)
    bodies: list[Document | Worked] = [examination([duty], text, reading) for duty in examined]
    if services or renewed or not examined:
        done = tuple(service_of(one) or one for one in services)
        parts = tuple(PartUsed(part=part) for part in renewed)
        bodies.append(
            Worked(services=done, left_out=tuple(left_out), text=text, meter=reading, parts=parts, minutes=minutes)
        )
    entered = enter(office, [_fact(office, now.book, body, when) for body in bodies])
    return msgspec.structs.replace(entered, doubts=(*entered.doubts, *problems))


def _not_in_rules(
    kind: Kind | None, services: Sequence[str], left_out: Sequence[str], duties: Sequence[str]
) -> Iterator[Problem]:
    """Words that name no service are refused; a service that the rules do not know is written and asked about."""
    known = ", ".join((*(one.id for one in kind.services), *duties)) if kind else "a number of hours such as 150h"
    for one in services:
        if service_of(one) is None:
            yield Problem(SERVICE_UNKNOWN, f"service {one!r}", known, "Nothing was written.")
        elif kind is not None and kind.service(service_of(one) or one) is None:
            hint = "It is written; what falls due does not count it."
            yield Problem(SERVICE_UNKNOWN, f"service {one!r}", known, hint, hard=False)
    tasks = [one.id for one in kind.tasks] if kind else list(left_out)
    for one in left_out:
        if one not in tasks:
            near = difflib.get_close_matches(one, tasks, n=3)
            hint = f"Is it {' or '.join(near)}?" if near else "Nothing was written."
            yield Problem(TASK_UNKNOWN, f"task {one!r} left out", "a task of this kind of truck: rules show", hint)


def begin(office: Office, name: str, text: str | None, when: When) -> Entered:
    """Put one's lock on a truck before working on it."""
    return enter(office, [_fact(office, book_of(office, name), WorkBegun(text=text), when)])


def end(office: Office, name: str, when: When, *, exception: str | None) -> Entered:
    """Take one's lock off; another man's only with the owner's written exception.

    Raises:
        Refused: there is none of one's own, and no exception is written.
    """
    now = truck(office, name, office.clock())
    locks = [lock for lock in now.locks if exception or lock.by == office.by]
    if not now.locks:
        problem = Problem(NOTHING_OPEN, f"truck {name} with no lock", "a lock that is on", "Nothing to take off.")
        raise Refused(problem.message, [problem])
    if not locks:
        names = office.people.names()
        owners = ", ".join(dict.fromkeys(names.get(lock.by, lock.by) for lock in now.locks))
        found, expected = f"lock of {owners} on truck {name}", f"{owners} to take it off, not {names[office.by]}"
        hint = "Only that person takes it off. The owner may make one written exception: --owner-exception."
        problem = Problem(NOT_YOUR_LOCK, found, expected, hint)
        raise Refused(problem.message, [problem])
    ended = [WorkEnded(begun=lock.begun, owners_exception=exception) for lock in locks]
    return enter(office, [_fact(office, now.book, body, when) for body in ended])


def _meant(name: str, what: Sequence[str], live: Mapping[FaultRef, tuple[str, str, str]]) -> tuple[FaultRef, ...]:
    """The open faults that words mean: a reference or its end, a check, or a part of the text."""
    if not what and live:
        return tuple(live)
    meant: list[FaultRef] = []
    for word in what:
        hits = [
            ref
            for ref, (full, check, text) in live.items()
            if word in (full, check) or full.endswith(word) or word.casefold() in text.casefold()
        ]
        if not hits:
            open_ones = "; ".join(f"{check or ref}: {text}" for ref, (_, check, text) in live.items()) or "none"
            problem = Problem(NOTHING_OPEN, f"fault {word!r}", f"an open fault of truck {name}", f"Open: {open_ones}.")
            raise Refused(problem.message, [problem])
        meant.extend(ref for ref in hits if ref not in meant)
    if not meant:
        problem = Problem(NOTHING_OPEN, f"truck {name} without open faults", "an open fault", "Nothing to mend.")
        raise Refused(problem.message, [problem])
    return tuple(meant)


def _fact(office: Office, book: BookId, body: msgspec.Struct, when: When) -> Fact:
    return office.fact(book, body, when.happened, whole_day=when.whole_day)  # type: ignore[arg-type]


def day_of(day: date, office: Office) -> When:
    """A whole local day."""
    return When(datetime.combine(day, datetime.min.time(), tzinfo=office.zone), whole_day=True)

"""Does a new fact fit the record? Hard problems stop it at a desk, soft ones are asked or shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Final

from dipmark.derive.days import add_months
from dipmark.derive.duty import duties_of, paper_day
from dipmark.derive.faults import FaultNow, Lock
from dipmark.derive.measures import Measure, amount, value_of
from dipmark.derive.meter import MeterLife
from dipmark.derive.meter_habit import unlikely
from dipmark.derive.meter_slips import what_to_ask
from dipmark.derive.papers import LineNow, unanswered
from dipmark.derive.past import Counted, Counting, past
from dipmark.derive.truck import TruckNow
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import FIRST, RANK, YARD, Accepted, Body, BookId, Fact, FactId, FaultRef, Seriousness, iso_day
from dipmark.facts.charging import Charged
from dipmark.facts.codec import accept
from dipmark.facts.document import Document
from dipmark.facts.fault import Fault, OutOfService, Released
from dipmark.facts.incident import Incident
from dipmark.facts.kinds import kind_of
from dipmark.facts.measure import Measured
from dipmark.facts.people import Familiarised, Permit, PersonSet, ShiftPattern, YardSet
from dipmark.facts.place import PlaceSet
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.stock import PartSet, Stock
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked, WorkEnded
from dipmark.facts.workshop import Away, Planned, WorkshopSet

NOT_ENROLLED: Final = code("not-enrolled", "The truck or item is not enrolled.")
ENROLLED_ALREADY: Final = code("enrolled-already", "The truck or item is enrolled already.")
WRONG_BOOK: Final = code("wrong-book", "A fact of this kind belongs into another book.")
TARGET_UNKNOWN: Final = code("target-unknown", "What the fact refers to is not in the book.")
TARGET_OTHER: Final = code("target-other", "A correction must be of the same kind as the fact it corrects.")
EXAMINERS_DAY: Final = code("examiners-day", "A correction would move an examiner's date to a later day.")
REPORT_STANDS: Final = code(
    "report-stands", "An examiner's report that the truck is not fit, or with an open line, would be taken back."
)
NOT_MENDED: Final = code("not-mended", "A fault that stops the truck is not mended.")
NOT_TESTED: Final = code("not-tested", "A repair needs a recorded test before the truck is released.")
NOT_YOUR_LOCK: Final = code("not-your-lock", "A lock is taken off by the person who put it on.")
TOO_LENIENT: Final = code("too-lenient", "What affects safety takes the truck out of service.")
FAULT_UNFINISHED: Final = code("fault-unfinished", "A fault was marked and its seriousness is missing.")
METER_DOUBTFUL: Final = code("meter-doubtful", "A meter reading does not agree with the others.")
METER_UNLIKELY: Final = code("meter-unlikely", "A meter reading agrees with the others, not with the truck's own use.")
CHARGE_TURNED: Final = code("charge-turned", "A charge is said to have begun when it had ended, or later.")
IN_THE_FUTURE: Final = code("in-the-future", "The fact happened more than a day after it was received.")

YARD_KINDS: Final = (
    *(YardSet, ShiftPattern, PersonSet, Permit, Familiarised, Stock, PartSet, WorkshopSet, Away, Planned),
    PlaceSet,
)
ANYWHERE: Final = (Corrected, Withdrawn, Document)
MEASURE_DOUBTFUL: Final = code("measure-doubtful", "A reading goes back on the one before: what wears does not grow.")
UNTIL_UNFIT: Final = code("until-unfit", "The day set for a worn part has passed, or is more than three months away.")

LONGEST_MONTHS: Final = 3
"""A competent person lets a worn part run for so many months at most."""

LEANS_ON_TRUCK: Final = (Worked, Released, WorkEnded)
"""Kinds of fact that are judged by the faults, cards and locks of the truck; for all others the record is enough."""

AHEAD: Final = timedelta(days=1)
"""A clock that is more than this ahead is asked about."""


def admit(fact: Fact, truck: TruckNow | None, record: Sequence[Accepted], now: datetime) -> tuple[Problem, ...]:
    """What stands against a new fact, all at once.

    Args:
        fact: the new one.
        truck: the truck of its book as it stands now, which only the kinds in `LEANS_ON_TRUCK` need; else None.
        record: the whole book, for what corrections refer to.
        now: when it is received.

    *Edge*: a fact exactly a day ahead of the clock is not asked about.
    """
    where = Where(book=fact.book, fact=fact.id)
    problems = list(_book(fact, record, where)) or list(_content(fact, truck, record, now, where))
    if fact.happened - now > AHEAD:
        found = f"{fact.happened.isoformat()}, {(fact.happened - now).days} days ahead"
        hint = "It counts from its receipt. Set the clock, or correct the time."
        problems.append(Problem(IN_THE_FUTURE, found, "a time that has passed", hint, where, hard=False))
    return tuple(problems)


def _book(fact: Fact, record: Sequence[Accepted], where: Where) -> Iterator[Problem]:
    of_yard = isinstance(fact.body, YARD_KINDS)
    if not isinstance(fact.body, ANYWHERE) and of_yard != (fact.book == YARD):
        expected = "the yard's book" if of_yard else "the book of a truck or an item"
        yield Problem(WRONG_BOOK, f"{kind_of(fact.body)} in {fact.book}", expected, where=where)
    elif isinstance(fact.body, Charged) and not fact.book.startswith("item:"):
        yield Problem(WRONG_BOOK, f"charged in {fact.book}", "the book of a battery", "Note it there.", where)
    elif isinstance(fact.body, Enrolled):
        if record:
            hint = "Correct the fact that enrolled it."
            yield Problem(ENROLLED_ALREADY, f"{fact.book} again", "a name not yet enrolled", hint, where)
    elif not record and fact.book != YARD:
        yield Problem(NOT_ENROLLED, f"{fact.book}", "an enrolled truck", "Enrol it first.", where)


def _content(
    fact: Fact, truck: TruckNow | None, record: Sequence[Accepted], now: datetime, where: Where
) -> Iterator[Problem]:
    faults = truck.faults if truck else ()
    match fact.body:
        case Corrected() | Withdrawn() as body:
            yield from _amends(body, fact, record, where)
            yield from _taken_back(fact, record, now, where)
        case Worked() as body:
            yield from _refs(body.mends, {fault.ref for fault in faults}, where)
        case Released() as body:
            cards = {item.fact.id for item in record if isinstance(item.fact.body, OutOfService | Incident)}
            yield from _refs(body.clears, {*cards, *(fault.ref for fault in faults)}, where)
            yield from _released(body, faults, where)
        case WorkEnded() as body:
            yield from _ended(body, fact, truck.locks if truck else (), where)
        case Measured() as body if body.until is not None:
            yield from _until(body.until, fact.happened.date(), where)
        case Charged(since=begun) if begun is not None and begun >= fact.happened and not fact.whole_day:
            found, ended = f"begun {begun.isoformat()}", f"before it had ended, {fact.happened.isoformat()}"
            yield Problem(CHARGE_TURNED, found, ended, "Look at both times.", where)
        case Fault() as body:
            yield from _lenient(body.seriousness, body.affects_safety, "fault", where)
        case WalkRound() as body:
            for answer in body.answers:
                if answer.mark == "fault" and answer.seriousness is None:
                    hint = "Say what was found."
                    yield Problem(FAULT_UNFINISHED, f"{answer.check}: fault", "how serious it is", hint, where)
                yield from _lenient(answer.seriousness, answer.affects_safety, answer.check, where)


def _amends(body: Corrected | Withdrawn, fact: Fact, record: Sequence[Accepted], where: Where) -> Iterator[Problem]:
    target = next((item.fact for item in record if item.fact.id == body.target), None)
    if target is None:
        yield Problem(
            TARGET_UNKNOWN, f"target {body.target}", f"a fact of {fact.book}", "Take its id from the log.", where
        )
    elif isinstance(body, Corrected) and kind_of(body.body) != kind_of(target.body):
        hint = "Withdraw it and write a new fact."
        yield Problem(TARGET_OTHER, kind_of(body.body), kind_of(target.body), hint, where)
    elif isinstance(body, Corrected) and isinstance(target.body, Document) and isinstance(body.body, Document):
        yield from _moved(target.body, body.body, where)


def _moved(old: Document, new: Document, where: Where) -> Iterator[Problem]:
    """An examiner's date is moved by an examiner's new report, not by a correction; an earlier day may be set."""
    if old.what != "examination":
        return
    later = [line.until for line in new.lines]
    ends = [(old.valid_from, new.valid_from), (old.valid_until, new.valid_until)]
    ends += [(line.until, later[turn] if turn < len(later) else None) for turn, line in enumerate(old.lines)]
    for was, now in ends:
        if was is not None and (now is None or now > was):
            found = "no day" if now is None else iso_day(now)
            hint = "A new report of the examiner sets another day. Withdraw this one only if it never was."
            yield Problem(EXAMINERS_DAY, found, f"{iso_day(was)}, or earlier", hint, where)


def _taken_back(fact: Fact, record: Sequence[Accepted], now: datetime, where: Where) -> Iterator[Problem]:
    """A report against the truck stands until the examiner's next one: no withdrawal and no correction ends it.

    *Source*: LOLER 1998, regulations 10(1) and 11: a defect is reported, the report kept; from memory.
    """
    whole = (*record, accept(fact, now, len(record) + 1, FIRST))
    as_of = max(item.effective for item in whole)
    before, after = past(record, as_of), past(whole, as_of)
    left, stays, reports = unanswered(before, ()), {one.id: one.body for one in after}, tuple(_reports(after))
    for one, paper in _reports(before):
        lines = [line for line in left if line.one.id == one.id]
        if paper.fit is not False and not lines:
            continue
        if not _still_says(stays.get(one.id), paper, lines) and not any(_follows(new, (one, paper)) for new in reports):
            found = f"{paper.title} of {iso_day(paper_day(one, paper, UTC))}: "
            found += "not fit" if paper.fit is False else f"not answered: {lines[0].line.text}"
            hint = "File the examiner's next report on the same first."
            yield Problem(REPORT_STANDS, found, "a later report of the examiner", hint, where)


_Report = tuple[Counted, Document]


def _reports(counting: Counting) -> Iterator[_Report]:
    for one in counting:
        if isinstance(one.body, Document) and one.body.what == "examination":
            yield one, one.body


def _still_says(new: Body | None, old: Document, lines: Sequence[LineNow]) -> bool:
    """Whether a report as corrected still says that the truck is not fit, and every line that was open."""
    if not isinstance(new, Document) or new.what != old.what or (old.fit is False and new.fit is not False):
        return False
    texts = dict(enumerate((line.text for line in new.lines), start=1))
    return all(texts.get(line.number) == line.line.text for line in lines)


def _follows(new: _Report, old: _Report) -> bool:
    """Whether a report is the examiner's later word on all that an old one was about."""
    days = [(paper_day(*one, UTC), one[0].order) for one in (new, old)]
    fit = new[1].fit is not None or old[1].fit is None
    return days[0] > days[1] and duties_of(old[1]) <= duties_of(new[1]) and fit


def _refs(refs: tuple[FaultRef, ...], known: set[str], where: Where) -> Iterator[Problem]:
    for ref in refs:
        if ref not in known:
            yield Problem(
                TARGET_UNKNOWN, f"fault {ref}", "a fault or card of this truck", "Take it from the list.", where
            )


def _released(body: Released, faults: tuple[FaultNow, ...], where: Where) -> Iterator[Problem]:
    for fault in faults:
        if not (fault.open and fault.stops and (not body.clears or fault.ref in body.clears)):
            continue
        if fault.mended is None:
            yield Problem(NOT_MENDED, f"{fault.text}: open", "mended", "Record the repair first.", where)
        elif fault.retest and not fault.tested and not body.tests:
            hint = "Have a competent person test it, and record the test."
            yield Problem(NOT_TESTED, f"{fault.text}: mended, not tested", "a recorded test", hint, where)


def _ended(body: WorkEnded, fact: Fact, locks: tuple[Lock, ...], where: Where) -> Iterator[Problem]:
    lock = next((lock for lock in locks if lock.begun == body.begun), None)
    if lock is None:
        hint = "See who is working on it."
        yield Problem(TARGET_UNKNOWN, f"lock {body.begun}", "a lock that is on", hint, where)
    elif lock.by != fact.by and body.owners_exception is None:
        hint = "Only that person takes it off. The owner may make one written exception."
        yield Problem(NOT_YOUR_LOCK, f"{fact.by}", f"{lock.by}", hint, where)


def _until(until: date, day: date, where: Where) -> Iterator[Problem]:
    """A day set for a worn part: at most three months away; the last day of them still passes."""
    last = add_months(day, LONGEST_MONTHS)
    if not day <= until <= last:
        expected = f"{iso_day(day)} to {iso_day(last)}"
        hint = "A competent person sets the day, at most three months away; the limit stands all the same."
        yield Problem(UNTIL_UNFIT, f"until {iso_day(until)}", expected, hint, where)


def measure_problems(book: BookId, measures: Sequence[Measure], facts: set[FactId]) -> tuple[Problem, ...]:
    """Readings among new facts that go back on the one before: asked about, never refused.

    Args:
        book: the truck's book.
        measures: all that was measured on it, with the new facts.
        facts: the new facts.
    """
    by_fact = {one.fact: one for one in measures}
    return tuple(
        Problem(
            MEASURE_DOUBTFUL,
            f"{one.name} {amount(one.judged.value, one.judged.unit)}",
            f"no better than {amount(value_of(by_fact[one.against], one.judged.unit), one.judged.unit)}"
            f" of {iso_day(by_fact[one.against].day)}",
            f"Measure again. If it was renewed, note that first: work --renewed {one.name}.",
            Where(book=book, fact=one.fact),
            hard=False,
        )
        for one in measures
        if one.fact in facts and one.against is not None and one.judged is not None
    )


def _lenient(seriousness: Seriousness | None, affects_safety: bool, what: str, where: Where) -> Iterator[Problem]:
    if affects_safety and seriousness is not None and RANK[seriousness] < RANK["stop"]:
        expected = "stop or now, because it affects safety"
        yield Problem(TOO_LENIENT, f"{what}: {seriousness}", expected, "Take it out of service.", where)


def meter_problems(book: BookId, meters: tuple[MeterLife, ...], facts: set[FactId]) -> tuple[Problem, ...]:
    """Readings among new facts that the record makes doubtful, then those unlike the truck: asked about, never refused.

    Args:
        book: the truck's book.
        meters: its meters with the new facts.
        facts: the new facts.
    """
    doubtful = (
        Problem(
            METER_DOUBTFUL,
            f"hour meter {one.shown:f} h",
            f"hours that agree with the other readings{_last_good(life, facts)}",
            f"{what_to_ask(life, one)} Read the meter again. If it was replaced, note that first.".lstrip(),
            Where(book=book, fact=one.fact),
            hard=False,
        )
        for life in meters
        for one in life.doubtful
        if one.fact in facts
    )
    odd = (
        Problem(
            METER_UNLIKELY,
            f"hour meter {one.shown:f} h, {one.text()}",
            f"no more than {one.most:f} h a day",
            "It counts. Read the meter again if that was no such day.",
            Where(book=book, fact=one.fact),
            hard=False,
        )
        for life in meters
        for one in unlikely(life)
        if one.fact in facts
    )
    return (*doubtful, *odd)


def _last_good(life: MeterLife, facts: set[FactId]) -> str:
    last = next((one for one in reversed(life.good) if one.fact not in facts), None)
    return "" if last is None else f" (last good {last.hours:f} h)"

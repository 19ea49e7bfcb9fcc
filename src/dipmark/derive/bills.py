"""Bills held against the record: what to ask the firm. A bill proves nothing, and a question accuses nobody."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date, tzinfo
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Final

import msgspec

from dipmark.derive.billed import Bill, Job, Question, bills_of, did, jobs_of, named, told_by
from dipmark.derive.days import day_end, day_start
from dipmark.derive.due import Due, due_now, meter_of
from dipmark.derive.duty import paper_day
from dipmark.derive.meter import TENTH, Good, MeterLife, bounds_of, meters_of, micros
from dipmark.derive.meter_chain import HOUR, rounding_of
from dipmark.derive.past import Counting, enrolled_in
from dipmark.facts.base import FactId, Reading, folded, iso_day
from dipmark.facts.document import Document
from dipmark.facts.said import Word, says
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import PartUsed, Worked
from dipmark.rules.model import Kind, Service

TIMES: Final = 2
"""So many times the minutes of the tasks may be billed without a question. Common practice, no source."""

NUMBER: Final = says(
    "{}: a paper of that number and firm is here already, of {}; one is expected. Ask the firm whether it is billed"
    " twice, and withdraw one if it was filed twice."
)
OVER: Final = says(
    "{}: {} h on it; the other readings of the meter allow {} to {} h, so it is {} h over. Ask the firm where the hours"
    " were read."
)
UNDER: Final = says(
    "{}: {} h on it; the other readings of the meter allow {} to {} h, so it is {} h under. Ask the firm where the"
    " hours were read."
)
AGAIN: Final = says(
    "{}: {} of {} is billed by {} too, of {}; it opens again {}. Ask the firm whether it is one job on two papers."
)
EARLY: Final = says("{}: {} of {} was last done on {}; it opens again {}. Ask the firm what made it due.")
IN_BOTH: Final = says("in another {} h or {} d")
IN_HOURS: Final = says("in another {} h")
IN_DAYS: Final = says("in another {} d")
WARRANTY: Final = says(
    "{}: {} is billed; the paper {} names it and holds to {}, days left: {}. Ask the firm whether it is covered."
)
LABOUR: Final = says(
    "{}: {} min of labour; the tasks of {} are reckoned at {} min, twice that at {}, so it is {} min over. Ask the firm"
    " what took the time."
)
NOT_NOTED: Final = says(
    "{}: {} billed, and nothing noted from {} to {} says so. Ask who saw it done, and note it if it was."
)


class _Held(msgspec.Struct, frozen=True):
    """What bills are held against."""

    counting: Counting
    kind: Kind | None
    meters: tuple[MeterLife, ...]
    jobs: dict[tuple[FactId, str], Job]
    zone: tzinfo
    word: Word


def questions(counting: Counting, kind: Kind | None, zone: tzinfo, word: Word = str) -> tuple[Question, ...]:
    """What to ask about the bills of a truck: each job sheet with parts, minutes, a cost or a service.

    Args:
        counting: the truck's record.
        kind: its rules; None: neither labour nor rhythm is known.
        zone: the yard's.
        word: says a sentence in the reader's language.

    The hours on a bill, and those of work noted from it, are held against all other readings: it does not vouch for
    itself. A service is asked about where neither its hours nor its months have opened again. A part is the same where
    all words of the one name stand in the other. Labour is compared only where no fault is closed by the same paper.
    What was asked about a bill is answered once another paper, `other`, has the bill's entry for its number and all its
    lines answered.

    *Edge*: exactly at its opening a service is not asked about, nor labour of exactly twice the minutes; on its last
    day a warranty holds.
    *Source*: common practice, no source; rhythms as in `due.due_now`, readings as in `meter.bounds_of`.
    """
    bills = bills_of(counting, zone)
    if not bills:
        return ()
    theirs = {bill.one.id for bill in bills}
    own = Counting(tuple(one for one in counting if not told_by(one, theirs)))
    answered = {
        paper.number
        for paper in (one.body for one in counting)
        if isinstance(paper, Document)
        and paper.what == "other"
        and paper.lines
        and all(line.answered for line in paper.lines)
    }
    held = _Held(counting, kind, meters_of(own, zone), jobs_of(bills, counting, kind, zone), zone, word)
    return tuple(
        question
        for turn, bill in enumerate(bills)
        if bill.one.id not in answered
        for question in (
            *_hours(bill, held),
            *_numbers(bill, bills[:turn], word),
            *_early(bill, bills[:turn], held),
            *_covered(bill, bills[:turn], held),
            *_labour(bill, held),
            *_not_noted(bill, held),
        )
    )


def _hours(bill: Bill, held: _Held) -> Iterator[Question]:
    """The hours on it against what the other readings allow on its days."""
    reading = bill.paper.meter
    life = next((life for life in held.meters if reading is not None and life.name == reading.meter), None)
    if reading is None or life is None or not life.good:
        return
    start, end = micros(day_start(bill.since, held.zone)), micros(day_end(bill.day, held.zone))
    least, most = bounds_of(life.good, start, end)
    off, low, high = min(
        (_miss(reading, offset, least, most) for offset in _offsets(life.good, end)), key=lambda miss: abs(miss[0])
    )
    if off:
        by = (Decimal(abs(off)) / HOUR).quantize(TENTH, ROUND_CEILING)
        told = [f"{number.normalize():f}" for number in (reading.hours, low, high, by)]
        yield bill.asks("hours", held.word(OVER if off > 0 else UNDER).format(bill.name, *told))


def _offsets(good: Sequence[Good], end: int) -> set[Decimal]:
    """What the meter may show too few: as at the last reading before, and at the first after."""
    before = [one for one in good if one.start <= end]
    after = [one for one in good if one.start > end]
    return {one.hours - one.shown for one in (*before[-1:], *after[:1])}


def _miss(reading: Reading, offset: Decimal, least: int, most: int) -> tuple[int, Decimal, Decimal]:
    """By how much hours lie outside, in µs, 0 where they do not; and what the meter could show."""
    true, rounding = int((reading.hours + offset) * HOUR), rounding_of(reading.hours)
    over, under = true - most, true - least
    off = over if over > rounding else under if -under > rounding else 0
    low = (Decimal(least) / HOUR - offset).quantize(TENTH, ROUND_FLOOR)
    return off, low, (Decimal(most) / HOUR - offset).quantize(TENTH, ROUND_CEILING)


def _numbers(bill: Bill, before: Sequence[Bill], word: Word) -> Iterator[Question]:
    """The same number of the same firm on a bill before it."""
    key = _key(bill.paper)
    twin = next((one for one in before if key is not None and _key(one.paper) == key), None)
    if twin is not None:
        yield bill.asks("number", word(NUMBER).format(bill.name, iso_day(twin.day, word)), twin.one.id)


def _key(paper: Document) -> tuple[str, str] | None:
    return None if paper.number is None else (folded(paper.issuer or ""), folded(paper.number))


def _early(bill: Bill, before: Sequence[Bill], held: _Held) -> Iterator[Question]:
    """A service billed before it opens again after it was last done, or was billed by a paper before."""
    word, kind = held.word, held.kind
    earlier = [held.jobs[one.one.id, service] for one in before for service in one.services]
    for service in bill.services:
        job, rule = held.jobs[bill.one.id, service], kind.service(service) if kind else None
        billed = {one.done.id: one for one in earlier if one.day <= job.day}
        due = _counted(bill, service, job.day, billed, held)
        if kind is None or rule is None or due is None or due.last is None:
            continue
        short = _short(due, rule, meter_of(rule, kind, held.meters), job.day, held)
        if short is None:
            continue
        told, source = (bill.name, service, iso_day(job.day, word)), due.because.source
        if due.last in billed:
            other = billed[due.last]
            text = word(AGAIN).format(*told, other.bill.name, iso_day(other.day, word), short)
            yield bill.asks("again", text, other.bill.one.id, source=source)
        else:
            done = next(one.day(held.zone) for one in held.counting if one.id == due.last)
            yield bill.asks("early", word(EARLY).format(*told, iso_day(done, word), short), due.last, source=source)


def _counted(bill: Bill, service: str, day: date, billed: dict[FactId, Job], held: _Held) -> Due | None:
    """When a service opens again, counted from what was done on the days before and what was billed before."""
    past = {
        one.id: one
        for one in held.counting
        if isinstance(one.body, Enrolled) or (isinstance(one.body, Worked) and one.day(held.zone) < day)
    }
    past |= {one.done.id: one.done for one in billed.values()}
    record = Counting(tuple(sorted(past.values(), key=lambda one: one.order)))
    dues = due_now(record, held.kind, held.meters, bill.one.effective, held.zone, held.word)
    due = next((due for due in dues if due.service == service), None)
    new = due is not None and due.last is not None and isinstance(past[due.last].body, Enrolled)
    return None if new else due


def _short(due: Due, rule: Service, life: MeterLife | None, day: date, held: _Held) -> str | None:
    """How much is missing until a service opens; None where it has opened, or it cannot be told."""
    sure = life.sure_at(day_end(day, held.zone)) if life else None
    hours = None if sure is None or due.opens is None else due.opens - sure.high
    days = None if due.opens_day is None else (due.opens_day - day).days
    if (hours is None and rule.interval_hours is not None) or (days is None and rule.months is not None):
        return None
    if any(left is not None and left <= 0 for left in (hours, days)):
        return None
    if hours is not None and days is not None:
        return held.word(IN_BOTH).format(f"{hours.normalize():f}", days)
    return held.word(IN_DAYS).format(days) if hours is None else held.word(IN_HOURS).format(f"{hours.normalize():f}")


def _covered(bill: Bill, before: Sequence[Bill], held: _Held) -> Iterator[Question]:
    """A part billed while a warranty that names it runs: not by the bill that the warranty came with."""
    for one in held.counting:
        paper = one.body
        if not isinstance(paper, Document) or paper.what != "warranty" or paper.valid_until is None:
            continue
        start = paper_day(one, paper, held.zone)
        for part in bill.paper.parts:
            known = [old for old in paper.parts if _same(old, part)]
            again = start < bill.since or any(_same(old, part) for other in before for old in other.paper.parts)
            if known and again and start < bill.day <= paper.valid_until:
                left = (paper.valid_until - bill.day).days
                told = (bill.name, part.part, named(paper), iso_day(paper.valid_until, held.word), left)
                yield bill.asks("warranty", held.word(WARRANTY).format(*told), one.id)


def _same(one: PartUsed, other: PartUsed) -> bool:
    """Whether two parts are one: by serial number, else by name."""
    if one.serial is not None and other.serial is not None and folded(one.serial) == folded(other.serial):
        return True
    return _alike(one.part, other.part)


def _alike(one: str, other: str) -> bool:
    words, others = (set(re.findall(r"\w+", folded(name))) for name in (one, other))
    return bool(words and others) and (words <= others or others <= words)


def _labour(bill: Bill, held: _Held) -> Iterator[Question]:
    """Labour against the minutes of the tasks of the services billed."""
    minutes, kind, enrolled = bill.paper.minutes, held.kind, enrolled_in(held.counting)
    rules = [rule for rule in map(kind.service, bill.services) if rule] if kind else []
    if kind is None or minutes is None or not rules or len(rules) < len(bill.services):
        return
    if any(line.fault is not None for line in bill.paper.lines):
        return
    fitted = kind.fitted(enrolled.options, enrolled.fuel) if enrolled else kind.fitted(None)
    tasks = {task.id: task.minutes for rule in rules for task in kind.all_tasks(rule, fitted)}
    reckoned = sum(tasks.values())
    most = TIMES * reckoned
    if minutes > most:
        told = (bill.name, minutes, ", ".join(bill.services), reckoned, most, minutes - most)
        yield bill.asks("labour", held.word(LABOUR).format(*told), source="practice")


def _not_noted(bill: Bill, held: _Held) -> Iterator[Question]:
    """Services and parts billed of which nothing noted in the yard says that they were done or went in."""
    kind, word = held.kind, held.word
    works = [one for one in held.counting if isinstance(one.body, Worked) and bill.is_of(one, held.zone)]
    bodies = [one.body for one in works if isinstance(one.body, Worked)]
    went_in = {part.part for body in bodies for part in body.parts}
    rules = [kind.service(name) for body in bodies for name in body.services] if kind else []
    for task in (task for rule in rules if kind and rule for task in kind.all_tasks(rule)):
        went_in |= {*task.parts, *task.fluids}
    missing = [name for name in bill.services if not any(did(one, name, kind) for one in works)]
    missing += [part.part for part in bill.paper.parts if not any(_alike(part.part, name) for name in went_in)]
    if missing:
        told = (bill.name, ", ".join(dict.fromkeys(missing)), iso_day(bill.first, word), iso_day(bill.last, word))
        yield bill.asks("not-noted", word(NOT_NOTED).format(*told))

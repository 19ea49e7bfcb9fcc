"""What was measured on a truck: every reading of its record judged by today's rules, with what is known of the part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from fractions import Fraction
from typing import Final

import msgspec

from dipmark.derive.condition.oil import judge_sheet
from dipmark.derive.judging import Given, Judged, Read
from dipmark.derive.measured import MEASUREMENTS, WEARS
from dipmark.derive.past import Counting
from dipmark.derive.readings import AT, Part, Reading, Readings, reading_of, readings_of
from dipmark.facts.base import RANK, BookId, FactId, FaultRef, PersonKey, Seriousness, Value
from dipmark.facts.measure import Measured, Sampled
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import Word
from dipmark.facts.units import UNITS, convert, difference
from dipmark.rules.limits import Subject
from dipmark.rules.model import Kind, Rules

NO_LIMITS: Final = code("measure-no-limits", "The rules hold nothing about what was measured.")

OIL: Final = MEASUREMENTS["oil-sheet"]
"""A laboratory's sheet in the record is judged as one that is typed in."""

Weighed = tuple[Given | None, Judged | tuple[Problem, ...]]
"""All that a reading is judged by, and what it came to, or what stands in the way."""


class Measure(msgspec.Struct, frozen=True, kw_only=True):
    """One reading of the record.

    Args:
        name: the measurement, such as ``fork-heel``.
        fact: where it stands.
        ref: its reference as a fault.
        check: the check of a walk-round that asked for it, else the measurement.
        by: who read it.
        since: when it counts from.
        day: the local day.
        places: where on the truck; empty: not said.
        item: the item measured.
        said: the readings as they were written.
        life: which part it was read on: 0 for the first, 1 after it was renewed, and so on.
        renewed: the part has been renewed since, or a fault of it mended.
        given: all that it is judged by; None where something is missing.
        judged: by today's rules; None where it cannot be judged.
        problems: why it cannot be judged.
        seriousness: what it does to the truck; None: nothing.
        until: the day that a competent person has set.
        deadline: last local day of a `repair-by`.
        retest: what is put right needs a recorded test before release.
        against: the reading before it, where the two cannot both be true: what only wears does not grow.
    """

    name: str
    fact: FactId
    ref: FaultRef
    check: str
    by: PersonKey
    since: datetime
    day: date
    places: tuple[str, ...]
    item: BookId | None
    said: tuple[str, ...]
    life: int
    renewed: bool
    given: Given | None
    judged: Judged | None
    problems: tuple[Problem, ...]
    seriousness: Seriousness | None
    until: date | None
    deadline: date | None
    retest: bool
    against: FactId | None = None

    @property
    def part(self) -> Part:
        """What was measured."""
        return self.name, self.item

    @property
    def light(self) -> bool:
        """True where a better reading is enough to end it: it stops nothing, and nobody has set a day."""
        return self.until is None and (self.seriousness is None or RANK[self.seriousness] < RANK["stop"])

    def covers(self, before: Measure) -> bool:
        """Whether an earlier reading has nothing more to say beside this one.

        Args:
            before: a reading before this one.

        *Edge*: without a place it speaks for every place.
        """
        return self.part == before.part and (not self.places or set(before.places) <= set(self.places))


class Nearest(msgspec.Struct, frozen=True):
    """The measured value that is nearest its limit.

    Args:
        name: the measurement, or the result of a laboratory's sheet.
        text: what it is, for people.
        value: what it comes to.
        limit: the most serious limit it is held against.
        full: the value when nothing is worn, or the best one read.
        unit: of all three.
        doubt: half the width of what is uncertain.
        seriousness: what it does to the truck.
    """

    name: str
    text: str
    value: Decimal
    limit: Decimal
    full: Decimal
    unit: str
    doubt: Decimal
    seriousness: Seriousness | None

    @property
    def left(self) -> Fraction:
        """The share that is left; nought at the limit, below it past the limit."""
        return Fraction(self.value - self.limit) / Fraction(self.full - self.limit)


def measures_now(counting: Counting, rules: Rules, kind: Kind | None, zone: tzinfo) -> tuple[Measure, ...]:
    """Every reading of a truck that counts, in order, judged by today's rules with what is known of the part.

    Args:
        counting: the truck's record.
        rules: of today.
        kind: the rules of its kind of truck, by which an answer of a walk-round is known for a measured value.
        zone: the yard's.

    *Edge*: what stays the same from one reading to the next is taken as it was last said of that part, whenever that
    was; a renewed part starts with nothing known but what the truck's plate says.
    """
    book, found = readings_of(counting, kind), []
    cache: dict[object, Weighed] = {}
    last: dict[object, Measure] = {}
    for reading in book.all:
        key = (reading.part, reading.life, reading.values, tuple(reading.words.items()))
        if key not in cache:
            cache[key] = _weigh(reading, book, rules)
        one = _measure(reading, *cache[key], rules, zone, renewed=reading.life < book.lives[reading.part])
        series = (one.part, one.life, one.places)
        if one.name in WEARS and series in last and _went_back(last[series], one, rules):
            one = msgspec.structs.replace(one, against=last[series].fact)
        if one.judged is not None:
            last[series] = one
        found.append(one)
    sheets = tuple(_sheets(counting, rules, zone))
    return tuple(sorted((*found, *sheets), key=lambda one: one.since)) if sheets else tuple(found)


def _sheets(counting: Counting, rules: Rules, zone: tzinfo) -> Iterator[Measure]:
    """The results of laboratory sheets, each against its limit and the sheets before."""
    before: list[Sampled] = []
    subject = rules.subjects.get(OIL.subject)
    for one in counting:
        body = one.body
        if not isinstance(body, Sampled) or subject is None:
            continue
        for judged in judge_sheet(body.results, body.fluid, before, subject, body.fluid_hours):
            verdict = None if judged.verdict == "in" else judged.verdict
            day = one.day(zone)
            yield Measure(
                name=OIL.name,
                fact=one.id,
                ref=FaultRef(f"{one.id}#{judged.subject}"),
                check=OIL.name,
                by=one.by,
                since=one.effective,
                day=day,
                places=(f"{body.fluid}: {judged.subject}",),
                item=None,
                said=tuple(_said(value, rules.word) for value in body.results if value.quantity == judged.subject),
                life=0,
                renewed=False,
                given=None,
                judged=judged,
                problems=(),
                seriousness=verdict,
                until=None,
                deadline=_deadline(judged, subject, day, None) if verdict == "repair-by" else None,
                retest=subject.retest,
            )
        before.append(body)


def latest(measures: Sequence[Measure]) -> tuple[Measure, ...]:
    """The readings that later ones have not taken the place of.

    Args:
        measures: in order.
    """
    after: list[Measure] = []
    for one in reversed(measures):
        if not any(later.covers(one) for later in after):
            after.append(one)
    return tuple(reversed(after))


def nearest(measures: Sequence[Measure], rules: Rules) -> Nearest | None:
    """Of the latest readings the one that is nearest its limit; None where none has a value and a limit.

    Args:
        measures: in order.
        rules: of today.
    """
    marks = (marks_of(one, measures, rules) for one in latest(measures) if not one.renewed)
    return min((mark for mark in marks if mark is not None), key=lambda mark: mark.left, default=None)


def marks_of(one: Measure, measures: Sequence[Measure], rules: Rules) -> Nearest | None:
    """A reading between its two marks: the limit, and a share's nothing worn or else the best value of the part.

    Args:
        one: the reading.
        measures: all of the truck.
        rules: of today.

    Returns:
        None without value or limit, and where no reading was ever off the limit.
    """
    judged = one.judged
    up = grows(judged, rules) if judged is not None else None
    if judged is None or up is None or not isinstance(judged.value, Decimal) or not isinstance(judged.end, Decimal):
        return None
    same = (other for other in measures if other.part == one.part and other.life == one.life)
    read = (value_of(other, judged.unit) for other in same)
    values = [value for value in read if value is not None]
    new = Decimal(0 if up else 100)
    full = new if judged.unit == "%" else min(values) if up else max(values)
    if full == judged.end:
        return None
    text, unit = rules.word(MEASUREMENTS[one.name].text), judged.unit or ""
    return Nearest(judged.subject, text, judged.value, judged.end, full, unit, doubt_of(one, rules), one.seriousness)


def value_of(one: Measure, unit: str | None = None) -> Decimal | None:
    """What a reading comes to; None where that is no number, or of another kind.

    Args:
        one: the reading.
        unit: in which the value is wanted; None: in its own.
    """
    judged = one.judged
    if judged is None or not isinstance(judged.value, Decimal):
        return None
    if unit is None or judged.unit == unit:
        return judged.value
    own = UNITS.get(judged.unit or "")
    if own is None or unit not in UNITS or UNITS[unit].dimension != own.dimension:
        return None
    return plain(convert(judged.value, own.name, unit))


def grows(judged: Judged, rules: Rules) -> bool | None:
    """Whether more is worse: the side of the limit it is held against; None where there is no limit.

    Args:
        judged: the reading.
        rules: of today.
    """
    subject, _, limit = (judged.rule or "").partition(".")
    found = rules.subjects[subject].limits.get(limit) if subject in rules.subjects else None
    return None if found is None else found.upper


def _measure(
    reading: Reading,
    given: Given | None,
    judged: Judged | tuple[Problem, ...],
    rules: Rules,
    zone: tzinfo,
    *,
    renewed: bool,
) -> Measure:
    one, name, answer = reading.one, reading.measurement.name, reading.answer
    subject = rules.subjects.get(reading.measurement.subject)
    fair = judged if isinstance(judged, Judged) else None
    until = one.body.until if isinstance(one.body, Measured) else None
    serious, day = _serious(fair, reading), one.day(zone)
    return Measure(
        name=name,
        fact=one.id,
        ref=reading.ref,
        check=answer.check if answer else name,
        by=one.by,
        since=one.effective,
        day=day,
        places=tuple(dict.fromkeys(value.place for value in reading.values if value.place is not None)),
        item=reading.item,
        said=tuple(_said(value, rules.word) for value in reading.values if not value.quantity.endswith(AT)),
        life=reading.life,
        renewed=renewed,
        given=given,
        judged=fair,
        problems=() if isinstance(judged, Judged) else judged,
        seriousness=serious,
        until=until,
        deadline=_deadline(fair, subject, day, until) if serious == "repair-by" else None,
        retest=subject is not None and subject.retest,
    )


def _said(value: Value, word: Word) -> str:
    text = f"{word(value.quantity.replace('-', ' '))} {value.value:f} {value.unit}"
    return text if value.place is None else f"{text} ({value.place})"


def _weigh(reading: Reading, book: Readings, rules: Rules) -> Weighed:
    given, measurement = book.whole(reading), reading.measurement
    subject = rules.subjects.get(measurement.subject)
    if not isinstance(given, Given):
        return None, given
    if subject is None:
        found, hint = f"nothing about {measurement.subject}", "Its limits stand in the rules."
        return given, (Problem(NO_LIMITS, found, "limits", hint, Where(fact=reading.one.id)),)
    return given, measurement.judge(given, subject)


def doubt_of(one: Measure, rules: Rules) -> Decimal:
    """How far a value moves with one step of the instrument, or with its error where that is given.

    Args:
        one: the reading.
        rules: of today.

    Returns:
        In the unit of the value; nought where nobody can say.
    """
    measurement, value, given = MEASUREMENTS[one.name], value_of(one), one.given
    asked = reading_of(measurement)
    if value is None or given is None or asked.name not in given.read:
        return Decimal(0)
    moved = tuple(_moved(read, given.maybe("error")) for read in given.read[asked.name])
    near = Given({**given.read, asked.name: moved}, given.words)
    other = measurement.judge(near, rules.subjects[measurement.subject])
    return abs(other.value - value) if isinstance(other, Judged) and isinstance(other.value, Decimal) else Decimal(0)


def _moved(read: Read, error: Quantity | None) -> Read:
    value = read.value
    known = error is not None and error.dimension == value.dimension
    step = difference(error.value, error.unit, value.unit) if error is not None and known else value.resolution
    return msgspec.structs.replace(read, value=msgspec.structs.replace(value, value=value.value + step))


def _serious(judged: Judged | None, reading: Reading) -> Seriousness | None:
    """What a reading does to the truck: the worse of today's rules and those of its day; a day that is set restricts.

    What a driver put right on the spot does nothing, unless it is past what may be put right there.
    """
    if reading.measurement.of == "item":
        return None
    body, answer = reading.one.body, reading.answer
    told: list[Seriousness] = []
    if judged is not None and judged.verdict is not None and judged.verdict != "in":
        told.append(judged.verdict)
    if isinstance(body, Measured):
        told += [body.seriousness] if body.seriousness is not None else []
        told += ["repair-by"] if body.until is not None else []
    worst = max(told, key=RANK.__getitem__, default=None)
    mended = answer is not None and answer.put_right is not None
    return None if worst is None or (mended and RANK[worst] < RANK["stop"]) else worst


def _deadline(judged: Judged | None, subject: Subject | None, day: date, until: date | None) -> date:
    """The earlier of the day that a person has set and that of the limit; without either the day of the reading."""
    name = (judged.rule if judged and judged.rule else "").partition(".")[2]
    limit = subject.limits.get(name) if subject else None
    days = [] if until is None else [until]
    if limit is not None and limit.days is not None:
        days.append(day + timedelta(days=limit.days))
    return min(days, default=day)


def _went_back(before: Measure, now: Measure, rules: Rules) -> bool:
    """Whether a reading went back by more than the steps of both explain."""
    was, value = value_of(before, now.judged.unit if now.judged else None), value_of(now)
    up = grows(now.judged, rules) if now.judged is not None else None
    if was is None or value is None or up is None:
        return False
    back = was - value if up else value - was
    return back > 0 and back > doubt_of(before, rules) + doubt_of(now, rules)


def amount(value: Decimal | str | None, unit: str | None) -> str:
    """A value with its unit as people read it; a dash where there is none.

    Example:
        >>> amount(Decimal("3.0200"), "%"), amount("19/16/10", None), amount(None, None)
        ('3.02 %', '19/16/10', '–')
    """
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    text = f"{plain(Fraction(value), 3):f}"
    return f"{text} {unit}" if unit else text

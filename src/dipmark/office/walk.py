"""The walk-round at a desk or terminal: what to ask, in walking order, and the answers as one fact."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Final

import msgspec

from dipmark.adapters.importing.cells import parse_number
from dipmark.adapters.importing.sheets import Row, read_sheets
from dipmark.derive.admit import meter_problems
from dipmark.derive.faults import FaultNow
from dipmark.derive.judging import NONSENSE, outside
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.meter import meters_of
from dipmark.derive.past import past
from dipmark.derive.readings import reading_of
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FIRST, RANK, Fact, FaultRef, Reading
from dipmark.facts.codec import accept
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import parse_quantity
from dipmark.facts.walk_round import Answer, Mark, OpenFault, WalkRound
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told
from dipmark.rules.model import Check, Kind, Place

ANSWER_UNREADABLE: Final = code("answer-unreadable", "An answer of a walk-round cannot be read.")
ANSWER_MISSING: Final = code("answer-missing", "A check that can stop the truck was not answered.")

HEADER: Final = ("check", "answer", "found", "note", "value", "put right")
MARKS: Final[dict[str, Mark]] = {
    "ok": "ok",
    "good": "ok",
    "fault": "fault",
    "bad": "fault",
    "unseen": "unseen",
    "could not check": "unseen",
}
FATES: Final = ("same", "worse", "gone")
"""What has become of an open fault."""
HOURS: Final = "hour-meter"
"""What a check asks that is answered by the reading of the meter."""


class Stop(msgspec.Struct, frozen=True):
    """One place of the walk: what is asked there."""

    place: Place
    checks: tuple[Check, ...]


class Sheet(msgspec.Struct, frozen=True):
    """What to ask at a truck.

    Args:
        truck: the truck as it stands.
        kind: its rules.
        stops: places in walking order.
        faults: open faults, asked first: same, worse or gone.
        cautions: what can hurt, once each.
    """

    truck: TruckNow
    kind: Kind
    stops: tuple[Stop, ...]
    faults: tuple[FaultNow, ...]
    cautions: tuple[str, ...]


def sheet(office: Office, name: str, as_of: datetime, *, full: bool) -> Sheet:
    """The list of a truck: short for a shift, or full.

    Raises:
        NotFound: no such truck, or its kind has no rules yet.
    """
    now = truck(office, name, as_of)
    kind = office.rules.kind(now.enrolled.what)
    if kind is None:
        raise NotFound(f"Trucks of the kind {now.enrolled.what} have no rules yet. Check it by its manual.")
    checks = [one for one in kind.checks_for(options_of(now.counting, kind)) if full or one.shift]
    places = sorted(kind.places, key=lambda place: place.number)
    stops = (Stop(place, tuple(one for one in checks if one.place == place.id)) for place in places)
    cautions = dict.fromkeys(text for one in checks for text in one.cautions)
    live = tuple(fault for fault in now.faults if fault.open)
    return Sheet(now, kind, tuple(stop for stop in stops if stop.checks), live, tuple(cautions))


def answer(
    check: Check,
    mark: Mark,
    *,
    symptom: str | None = None,
    text: str | None = None,
    put_right: str | None = None,
    value: Decimal | None = None,
) -> Answer:
    """An answer that carries its seriousness with it, under the rules of today.

    A fault whose symptom nobody named is as serious as the worst that the check can find.
    What the driver put right on the spot counts so only where the rules allow it.
    """
    unit = check.asked.unit if check.asked and value is not None else None
    if mark != "fault":
        return Answer(check=check.id, mark=mark, text=text, value=value, unit=unit)
    named = check.symptom(symptom) if symptom else None
    worst = named or max(check.symptoms, key=lambda one: (RANK[one.seriousness], one.affects_safety))
    return Answer(
        check=check.id,
        mark="fault",
        symptom=named.id if named else None,
        seriousness=worst.seriousness,
        affects_safety=worst.affects_safety,
        days=worst.days,
        text=text,
        put_right=put_right if named and named.put_right else None,
        value=value,
        unit=unit,
    )


def value_from(check: Check, text: str) -> Decimal | Problem:
    """The value that a check asks for, as people write it; or what is wrong with it.

    Args:
        check: the check.
        text: a number in the unit that it asks for.
    """
    number = parse_number(text)
    measurement = MEASUREMENTS.get(check.asked.quantity) if check.asked else None
    if isinstance(number, Problem) or check.asked is None or measurement is None:
        return number if isinstance(number, Problem) else number.value
    asked = reading_of(measurement)
    quantity = parse_quantity(f"{number.value:f} {check.asked.unit}", asked.dimension)
    if isinstance(quantity, Problem):
        return quantity
    bound = outside(asked, quantity)
    if bound is None:
        return number.value
    return Problem(NONSENSE, f"{quantity}", bound, "Read it again; check the unit.")


def walk(
    office: Office,
    asked: Sheet,
    answers: Sequence[Answer],
    when: When,
    *,
    full: bool,
    hours: Decimal | None = None,
    open_faults: Sequence[OpenFault] = (),
    seconds: int | None = None,
) -> Entered:
    """Write a walk-round.

    Args:
        office: the yard.
        asked: the list that was asked.
        answers: one for each check answered.
        when: when it was made.
        full: True for the full list.
        hours: read off the meter.
        open_faults: what became of the faults that were open.
        seconds: how long it took.

    Raises:
        Refused: an answer does not fit; nothing was written.
    """
    body = WalkRound(
        answers=tuple(answers),
        rules=office.rules.digest,
        sheet="full" if full else "shift",
        open_faults=tuple(open_faults),
        meter=None if hours is None else _reading(asked, hours),
        seconds=seconds,
    )
    return enter(office, [_fact(office, asked, body, when)])


def meter_doubt(office: Office, asked: Sheet, hours: Decimal, when: When) -> str | None:
    """What does not agree about hours just read, so that they can be read again; None where all agrees."""
    fact, now = _fact(office, asked, WalkRound(meter=_reading(asked, hours)), when), office.clock()
    record = office.book(asked.truck.book)
    trial = (*record, accept(fact, now, len(record) + 1, FIRST))
    meters = meters_of(past(trial, max(item.effective for item in trial)), office.zone)
    return next((problem.message for problem in meter_problems(fact.book, meters, {fact.id})), None)


def _reading(asked: Sheet, hours: Decimal) -> Reading:
    return Reading(hours=hours, meter=asked.truck.meters[0].name)


def _fact(office: Office, asked: Sheet, body: WalkRound, when: When) -> Fact:
    return office.fact(asked.truck.book, body, when.happened, whole_day=when.whole_day)


class Filled(msgspec.Struct, frozen=True):
    """A list filled in: answers, hours read, what became of open faults, and how many seconds it took."""

    answers: tuple[Answer, ...]
    hours: Decimal | None
    open_faults: tuple[OpenFault, ...]
    seconds: int | None = None


def blank_answers(asked: Sheet) -> list[tuple[str, ...]]:
    """The rows of a file to fill in: one a check, in walking order, what is normal as a help in the note."""
    rows: list[tuple[str, ...]] = [HEADER]
    rows += [(fault.ref, "", "", _open_note(fault), "", "") for fault in asked.faults]
    rows += [(check.id, "", "", check.text, "", "") for stop in asked.stops for check in stop.checks]
    return rows


def _open_note(fault: FaultNow) -> str:
    return f"open: {fault.text}"


def read_answers(path: Path, data: bytes, asked: Sheet) -> Filled:
    """Answers from a table with the columns check, answer, found, note, value, put right.

    An answer is ``ok``, ``fault`` or ``unseen`` (could not check); of an open fault ``same``, ``worse`` or ``gone``.
    Beside the hour meter the value is enough.

    Raises:
        Refused: something in it cannot be read; every fault of the file at once, nothing was written.
    """
    problems: list[Problem] = []
    answers: dict[str, Answer] = {}
    seen: list[OpenFault] = []
    hours: Decimal | None = None
    checks = {check.id: check for stop in asked.stops for check in stop.checks}
    faults = {fault.ref: fault for fault in asked.faults}
    lines = list(_lines(path, data, problems))
    for where, line in lines:
        name = line["check"].casefold()
        if name in faults:
            if not any(one.fault == name for one in seen):
                seen.extend(_seen(faults[FaultRef(name)], line, where, problems))
            else:
                problems.append(_twice(name, where))
        elif name not in checks:
            expected = "a check on this truck's list"
            problems.append(Problem(ANSWER_UNREADABLE, f"check {name!r}", expected, "See --blank.", where))
        elif name in answers:
            problems.append(_twice(name, where))
        else:
            answers[name] = _filled(checks[name], line, where, problems)
            hours = answers[name].value if _is_hours(checks[name]) and hours is None else hours
    if lines:
        problems.extend(_missing(checks.values(), answers, Where(file=str(path))))
    elif not problems:
        expected = "ok, fault or unseen beside each check"
        problems.append(Problem(ANSWER_UNREADABLE, "no answers", expected, where=Where(file=str(path))))
    if problems:
        raise Refused(told(problems), problems)
    return Filled(tuple(answers.values()), hours, tuple(seen))


def _seen(fault: FaultNow, line: dict[str, str], where: Where, problems: list[Problem]) -> Iterable[OpenFault]:
    """What a line says has become of an open fault."""
    now = line["answer"].casefold()
    if now in FATES:
        note = line["note"] if line["note"] != _open_note(fault) else None
        yield msgspec.convert({"fault": fault.ref, "now": now, "text": note or None}, OpenFault)
    else:
        found = f"answer {now!r} to the open fault {fault.text!r}"
        problems.append(Problem(ANSWER_UNREADABLE, found, "same, worse or gone", where=where))


def _filled(check: Check, line: dict[str, str], where: Where, problems: list[Problem]) -> Answer:
    """What a line answers to a check; what cannot be read is a problem, and the answer is left as unseen."""
    told_mark, value = line["answer"].casefold(), _value(check, line["value"], where, problems)
    mark: Mark | None = "ok" if not told_mark and _is_hours(check) and value is not None else MARKS.get(told_mark)
    symptom = _symptom(check, line["found"], where, problems)
    note = line["note"] if line["note"] != check.text else ""
    if mark is None:
        found = f"answer {told_mark!r} to {check.id}" if told_mark else f"no answer to {check.id}"
        problems.append(Problem(ANSWER_UNREADABLE, found, "ok, fault or unseen", where=where))
    elif mark != "fault" and line["found"]:
        found = f"{mark} at {check.id}, and {line['found']!r} found"
        problems.append(Problem(ANSWER_UNREADABLE, found, "fault where something is found", where=where))
    elif mark == "unseen" and not note:
        hint = "Write in the note why: loaded, dark, on charge."
        problems.append(Problem(ANSWER_UNREADABLE, f"unseen at {check.id}", "the reason", hint, where))
    put_right = line["put right"] or None
    return answer(check, mark or "unseen", symptom=symptom, text=note or None, put_right=put_right, value=value)


def _is_hours(check: Check) -> bool:
    return check.asked is not None and check.asked.quantity == HOURS


def _twice(name: str, where: Where) -> Problem:
    return Problem(ANSWER_UNREADABLE, f"{name} a second time", "one answer a check", where=where)


def _lines(path: Path, data: bytes, problems: list[Problem]) -> Iterable[tuple[Where, dict[str, str]]]:
    for table in read_sheets(path, data):
        header: list[str] = []
        for row in table.rows:
            cells = _texts(row)
            if not header:
                header = [cell.casefold() for cell in cells] if "check" in map(str.casefold, cells) else []
                continue
            line = dict.fromkeys(HEADER, "") | dict(zip(header, cells, strict=False))
            if any(line[name] for name in ("answer", "found", "value", "put right")):
                yield Where(file=str(path), sheet=table.name, line=row.line, column="answer"), line
        if not header:
            expected = ", ".join(HEADER)
            where = Where(file=str(path), sheet=table.name)
            problems.append(Problem(ANSWER_UNREADABLE, "no header", expected, "--blank writes one.", where))


def _texts(row: Row) -> list[str]:
    return ["" if cell is None else str(cell).strip() for cell in row.cells]


def _symptom(check: Check, found: str, where: Where, problems: list[Problem]) -> str | None:
    if not found:
        return None
    named = [one.id for one in check.symptoms if found.casefold() in (one.id.casefold(), one.text.casefold())]
    if not named:
        known = "; ".join(f"{one.id} ({one.text})" for one in check.symptoms)
        problems.append(
            Problem(ANSWER_UNREADABLE, f"found {found!r} at {check.id}", known, "Or leave it empty.", where)
        )
    return next(iter(named), None)


def _value(check: Check, text: str, where: Where, problems: list[Problem]) -> Decimal | None:
    if not text:
        return None
    value = value_from(check, text)
    if isinstance(value, Problem):
        place = msgspec.structs.replace(where, column="value")
        problems.append(msgspec.structs.replace(value, where=place))
        return None
    return value


def _missing(checks: Iterable[Check], answers: dict[str, Answer], where: Where) -> Iterable[Problem]:
    for check in checks:
        if check.shift and check.stop_worthy and check.id not in answers:
            hint = f"{check.text}. Answer ok, fault, or unseen with the reason."
            yield Problem(ANSWER_MISSING, f"no answer to {check.id}", "an answer", hint, where)

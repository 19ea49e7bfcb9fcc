"""The walk-round at a desk or terminal: what to ask, in walking order, and the answers as one fact."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Final

import msgspec

from dipmark.adapters.importing.sheets import Row, read_sheets
from dipmark.derive.faults import FaultNow
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import RANK, Reading
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem, Where, code
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
HOURS: Final = "hour meter"


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
        meter=None if hours is None else Reading(hours=hours),
        seconds=seconds,
    )
    return enter(office, [office.fact(asked.truck.book, body, when.happened, whole_day=when.whole_day)])


class Filled(msgspec.Struct, frozen=True):
    """A list filled in: answers, hours read, what became of open faults, and how many seconds it took."""

    answers: tuple[Answer, ...]
    hours: Decimal | None
    open_faults: tuple[OpenFault, ...]
    seconds: int | None = None


def blank_answers(asked: Sheet) -> list[tuple[str, ...]]:
    """The rows of a file to fill in: one a check, in walking order, what is normal as a help in the note."""
    rows: list[tuple[str, ...]] = [HEADER]
    rows += [(fault.ref, "", "", f"open: {fault.text}", "", "") for fault in asked.faults]
    rows += [(check.id, "", "", check.text, "", "") for stop in asked.stops for check in stop.checks]
    return rows


def read_answers(path: Path, data: bytes, asked: Sheet) -> Filled:
    """Answers from a table with the columns check, answer, found, note, value, put right.

    An answer is ``ok``, ``fault`` or ``unseen`` (could not check); of an open fault ``same``, ``worse`` or ``gone``.

    Raises:
        Refused: something in it cannot be read; every fault of the file at once, nothing was written.
    """
    problems: list[Problem] = []
    answers: dict[str, Answer] = {}
    seen: list[OpenFault] = []
    hours: Decimal | None = None
    checks = {check.id: check for stop in asked.stops for check in stop.checks}
    faults = {fault.ref for fault in asked.faults}
    for where, line in _lines(path, data, problems):
        name, mark = line["check"], line["answer"].casefold()
        if name in faults and mark in ("same", "worse", "gone"):
            seen.append(msgspec.convert({"fault": name, "now": mark, "text": line["note"] or None}, OpenFault))
            continue
        check = checks.get(name)
        if check is None or mark not in MARKS or name in answers:
            problems.append(_unfit(name, mark, check, name in answers, where))
            continue
        symptom = _symptom(check, line["found"], where, problems)
        value = _number(line["value"], where, problems)
        if check.asked and check.asked.quantity == HOURS and value is not None:
            hours = value
        answers[name] = answer(
            check,
            MARKS[mark],
            symptom=symptom,
            text=line["note"] if line["note"] != check.text else None,
            put_right=line["put right"] or None,
            value=value,
        )
    problems.extend(_missing(checks.values(), answers, Where(file=str(path))))
    if problems:
        raise Refused(told(problems), problems)
    return Filled(tuple(answers.values()), hours, tuple(seen))


def _lines(path: Path, data: bytes, problems: list[Problem]) -> Iterable[tuple[Where, dict[str, str]]]:
    for table in read_sheets(path, data):
        header: list[str] = []
        for row in table.rows:
            cells = _texts(row)
            if not header:
                header = [cell.casefold() for cell in cells] if "check" in map(str.casefold, cells) else []
                continue
            line = dict.fromkeys(HEADER, "") | dict(zip(header, cells, strict=False))
            if any(cells) and (line["answer"] or line["found"]):
                yield Where(file=str(path), sheet=table.name, line=row.line, column="answer"), line
        if not header:
            expected = ", ".join(HEADER)
            problems.append(Problem(ANSWER_UNREADABLE, "no header", expected, where=Where(file=str(path))))


def _texts(row: Row) -> list[str]:
    return ["" if cell is None else str(cell).strip() for cell in row.cells]


def _unfit(name: str, mark: str, check: Check | None, twice: bool, where: Where) -> Problem:
    if check is None:
        return Problem(ANSWER_UNREADABLE, f"check {name!r}", "a check on this truck's list", "See --blank.", where)
    if twice:
        return Problem(ANSWER_UNREADABLE, f"{name} a second time", "one answer a check", where=where)
    return Problem(ANSWER_UNREADABLE, f"answer {mark!r} to {name}", "ok, fault or unseen", where=where)


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


def _number(text: str, where: Where, problems: list[Problem]) -> Decimal | None:
    if not text:
        return None
    try:
        return Decimal(text.replace(",", "."))
    except InvalidOperation:
        problems.append(Problem(ANSWER_UNREADABLE, f"value {text!r}", "a number", where=where))
        return None


def _missing(checks: Iterable[Check], answers: dict[str, Answer], where: Where) -> Iterable[Problem]:
    for check in checks:
        if check.shift and check.stop_worthy and check.id not in answers:
            hint = f"{check.text}. Answer ok, fault, or unseen with the reason."
            yield Problem(ANSWER_MISSING, f"no answer to {check.id}", "an answer", hint, where)

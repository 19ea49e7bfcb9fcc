"""Look over what was not sure on a filled sheet: each mark with its clipped picture, decided by a person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final, Literal

import msgspec

from dipmark.adapters.store import SetAside
from dipmark.adapters.vision import form
from dipmark.adapters.vision.find import Found, sheets_in
from dipmark.adapters.vision.flat import Flat, flat
from dipmark.adapters.vision.pictures import as_png, pictures_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FaultRef, Reading, name_of
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.walk_round import Answer, OpenFault, WalkRound
from dipmark.office.enter import Entered, enter, hours_from
from dipmark.office.look import truck
from dipmark.office.open import Office, told
from dipmark.office.set_aside import MARK_UNSURE, one_of, settle, unsure
from dipmark.office.sheet_columns import HOURS, area_of, column_id
from dipmark.office.sheet_form import form_of
from dipmark.office.take_sheets import sheet_printed
from dipmark.office.walk import answer
from dipmark.rules.model import Check
from dipmark.views.sheet_code import read_sheet_code
from dipmark.views.sheet_geometry import Printed, pages

NOT_DECIDED: Final = code("mark-not-decided", "A mark on a sheet has not been looked at yet.")

Said = Literal["good", "fault", "nothing"]
"""Ticked as in order · a fault · nothing was ticked, or it was taken back."""


class Decision(msgspec.Struct, frozen=True):
    """What a person made of a mark.

    Args:
        said: what stands there; None for the hour meter.
        symptom: id of what was found; None: taken at its worst.
        text: what was seen.
        hours: as written, for the hour meter; empty: none can be read.
    """

    said: Said | None = None
    symptom: str | None = None
    text: str | None = None
    hours: str = ""


class Mark(msgspec.Struct, frozen=True):
    """A mark to look at.

    Args:
        line: a check, an open fault, or `HOURS`.
        text: what the line asks.
        normal: what it looks like when nothing is wrong.
        check: of the rules of today; None for an open fault, the meter, or a check that is no more.
        fault: it is an open fault: good is *the same*, fault is *worse*.
    """

    line: str
    text: str
    normal: str
    check: Check | None
    fault: bool


class Waiting(msgspec.Struct, frozen=True):
    """A column that waits, with its marks.

    Args:
        aside: as it was set aside.
        truck: its number.
        shift: the shift, as the yard calls it; empty: the whole day.
        marks: to look at, in the order of the sheet.
    """

    aside: SetAside
    truck: str
    shift: str
    marks: tuple[Mark, ...]


def is_column(one: SetAside) -> bool:
    """True for a column of a sheet that waits for a person."""
    return one.settled is None and unsure(one)


def columns_waiting(office: Office) -> tuple[Waiting, ...]:
    """Every column that waits, the oldest shift first."""
    found = [one for one in office.store.set_aside_list() if is_column(one)]
    return tuple(_waiting(office, one) for one in sorted(found, key=lambda one: (one.fact.happened, one.fact.book)))


def column_waiting(office: Office, digest: str) -> Waiting:
    """One of them.

    Raises:
        NotFound: it is not there, or was looked over already.
    """
    found = one_of(office, digest)
    if not is_column(found):
        raise NotFound("That column does not wait any more.")
    return _waiting(office, found)


def _asked(one: SetAside) -> tuple[str, ...]:
    return tuple(problem.where.key or "" for problem in one.problems if problem.code == MARK_UNSURE)


def _waiting(office: Office, one: SetAside) -> Waiting:
    now = truck(office, name_of(one.fact.book), office.clock())
    printed, shift = _sheet_of(office, one)
    return Waiting(one, now.name, printed.shifts[shift].name, tuple(_marks(office, now, _asked(one))))


def _marks(office: Office, now: TruckNow, lines: tuple[str, ...]) -> Iterator[Mark]:
    kind = office.rules.kind(now.enrolled.what)
    known = {fault.ref: fault.text for fault in now.faults}
    for line in lines:
        check = kind.check(line) if kind else None
        if line == HOURS:
            yield Mark(line, "", "", None, fault=False)
        elif line in known:
            yield Mark(line, known[FaultRef(line)], "", None, fault=True)
        else:
            yield Mark(line, check.text if check else line, check.normal if check else "", check, fault=False)


def _sheet_of(office: Office, one: SetAside) -> tuple[Printed, int]:
    """The sheet a column stands on, and which of its columns it is."""
    for printed, _, _ in _sheets_of(office, one):
        for shift in range(len(printed.shifts)):
            if column_id(printed, shift, office.zone) == one.fact.id:
                return printed, shift
    raise NotFound("The picture of that sheet cannot be read any more.")


def _sheets_of(office: Office, one: SetAside) -> Iterator[tuple[Printed, int, Found]]:
    """The pages of that truck in the pictures that were kept: the sheet, the number of the page, where it lies."""
    for digest in getattr(one.fact.body, "pages", ()):
        blob = office.store.blob(digest)
        for found in _sheets(blob.data) if blob else ():
            said = read_sheet_code(found.code)
            printed = sheet_printed(office, said) if said else None
            if said is not None and printed is not None and printed.book == one.fact.book:
                yield printed, said.page, found


@lru_cache(maxsize=4)
def _sheets(data: bytes) -> tuple[Found, ...]:
    """The sheets of a picture, found once for all its clips."""
    return tuple(sheet for picture in pictures_of(data) for sheet in sheets_in(picture))


def clip_of(office: Office, digest: str, line: str) -> bytes:
    """A mark as it was photographed, with a little of what is around, as PNG.

    Args:
        office: the yard.
        digest: of the column.
        line: of the mark.

    Raises:
        NotFound: there is no such column, or no such line on it.
    """
    one = one_of(office, digest)
    printed, shift = _sheet_of(office, one)
    place = area_of(printed, shift, line)
    for sheet, number, found in _sheets_of(office, one):
        if place is None or (sheet, number) != (printed, place[0]):
            continue
        laid = flat(found, form_of(pages(printed)[number - 1]))
        if isinstance(laid, Flat):
            area = place[1]
            return as_png(laid.clip(form.Area(area.x, area.y, area.w, area.h)))
    raise NotFound("There is no picture of that line.")


def decide(office: Office, digest: str, decisions: Mapping[str, Decision]) -> Entered:
    """Write a column as a person has read it; it is judged like any other walk-round.

    Args:
        office: the yard.
        digest: of the column.
        decisions: by line, one for each mark.

    Raises:
        NotFound: it does not wait.
        Refused: a mark is not decided, the hours cannot be read, or the walk-round does not fit; nothing was written.
    """
    waits = column_waiting(office, digest)
    missing = [mark for mark in waits.marks if mark.line not in decisions]
    if missing:
        where = Where(fact=waits.aside.fact.id)
        problems = [
            Problem(NOT_DECIDED, f"{mark.text or mark.line}: not looked at", "good, fault or nothing", where=where)
            for mark in missing
        ]
        raise Refused(told(problems), problems)
    body = waits.aside.fact.body
    assert isinstance(body, WalkRound)  # noqa: S101  a column is one
    answers = {one.check: one for one in body.answers}
    faults = list(body.open_faults)
    reading = body.meter
    for mark in waits.marks:
        made = _made(office, waits, mark, decisions[mark.line])
        answers.pop(mark.line, None)
        if isinstance(made, Answer):
            answers[mark.line] = made
        elif isinstance(made, OpenFault):
            faults.append(made)
        elif isinstance(made, Reading):
            reading = made
    whole = msgspec.structs.replace(body, answers=tuple(answers.values()), open_faults=tuple(faults), meter=reading)
    entered = enter(office, [msgspec.structs.replace(waits.aside.fact, body=whole, by=office.by)])
    office.store.settle(digest, "Looked over, and entered.", office.by)
    return entered


def _made(office: Office, waits: Waiting, mark: Mark, told_: Decision) -> Answer | OpenFault | Reading | None:
    if mark.line == HOURS:
        if not told_.hours.strip():
            return None
        meter = truck(office, waits.truck, office.clock()).meters[0].name
        return Reading(hours=hours_from(told_.hours), meter=meter)
    text = (told_.text or "").strip() or None
    if told_.said == "nothing":
        return None
    if mark.fault:
        return OpenFault(fault=FaultRef(mark.line), now="same" if told_.said == "good" else "worse", text=text)
    if told_.said == "good":
        return Answer(check=mark.line, text=text)
    if mark.check is not None:
        return answer(mark.check, "fault", symptom=told_.symptom or None, text=text)
    return Answer(check=mark.line, mark="fault", seriousness="stop", affects_safety=True, text=text)


def discard(office: Office, digest: str, note: str) -> None:
    """Nobody walked round in that shift: what is on the sheet is dirt. It stays in the list with the word on it.

    Raises:
        Refused: there is no word on how that is known.
        NotFound: it does not wait.
    """
    column_waiting(office, digest)
    settle(office, digest, note)

"""A paper comes in at a desk: what each of its lines closes, and what stays unanswered until somebody deals with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final, get_args

import msgspec

from dipmark.adapters.importing.cells import Number, parse_number
from dipmark.adapters.store import Blob
from dipmark.derive.bills import questions
from dipmark.derive.duty import PROVES
from dipmark.derive.papers import Answer, bulletin_now, unanswered
from dipmark.derive.past import past
from dipmark.derive.truck import TruckNow
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import FaultRef
from dipmark.facts.document import Document, Line, PaperKind, Serials
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.work import Money, PartUsed
from dipmark.office.amend import correction
from dipmark.office.enter import WORDS_MISSING, Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told
from dipmark.office.pictures import plain_picture
from dipmark.office.workshop_told import money_of

PAPER_UNFIT: Final = code("paper-unfit", "A paper is of no known kind, or names what the truck does not have.")
LONGEST: Final = 120
"""Characters of the name of a part."""

LINE_UNKNOWN: Final = code("line-unknown", "There is no unanswered line of that number on that paper.")


FILED: Final = (Document, Corrected, Withdrawn)


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """What stands on a paper.

    Args:
        what: its kind, one of `PaperKind`.
        title: as printed on it.
        number: its number.
        issuer: the firm or examiner.
        examined: the day it is of, where that is not the day it was filed.
        until: the last day it holds.
        fit: the examiner's word; None: it says nothing.
        duties: the legal duties it proves, by id.
        services: the services it proves, by id.
        faults: the faults it closes.
        lines: everything else it asks for, line by line; each stays unanswered.
        serials: the lowest and the highest serial number that a bulletin speaks of.
        hours: on it.
        parts: as billed or under warranty, each as written: ``fuel filter``, ``hose clamp=2``, ``engine oil=5.5 l``.
        minutes: of labour billed.
        cost: what it asks for, as ``164.00 GBP``.
        pictures: of its pages, in their order.
    """

    what: str
    title: str
    number: str | None = None
    issuer: str | None = None
    examined: date | None = None
    until: date | None = None
    fit: bool | None = None
    duties: Sequence[str] = ()
    services: Sequence[str] = ()
    faults: Sequence[str] = ()
    lines: Sequence[str] = ()
    serials: tuple[str, str | None] | None = None
    hours: Decimal | None = None
    parts: Sequence[str] = ()
    minutes: Decimal | None = None
    cost: str | None = None
    pictures: Sequence[bytes] = ()


def file_paper(office: Office, name: str, paper: Told, when: When) -> Entered:
    """File a paper in the book of a truck.

    Raises:
        Refused: it is of no known kind, has no title, or names what the truck does not have; nothing was written.
    """
    now = truck(office, name, office.clock())
    billed, pages = _billed(paper), _pages(office, paper)
    problems = [*_against(office, now, paper), *billed.problems, *pages.problems]
    kind = next((one for one in get_args(PaperKind) if one == paper.what), None)
    if paper.serials and not paper.number:
        expected = "its number, by which trucks answer it"
        problems.append(Problem(PAPER_UNFIT, "serial numbers without a number of the paper", expected, "Write it."))
    if kind is None:
        problems.append(Problem(PAPER_UNFIT, repr(paper.what), ", ".join(get_args(PaperKind)), "Choose one."))
    if not paper.title.strip():
        problems.append(Problem(WORDS_MISSING, "nothing", "its title", "Write what is printed on it."))
    if kind is None or problems:
        raise Refused(told(problems), problems)
    body = Document(
        what=kind,
        title=paper.title.strip(),
        number=paper.number,
        issuer=paper.issuer,
        valid_from=paper.examined,
        valid_until=paper.until,
        fit=paper.fit,
        lines=(
            *(Line(text=one.replace("-", " ").capitalize(), duty=one, answered=True) for one in paper.duties),
            *(Line(text=one, service=one, answered=True) for one in paper.services),
            *(Line(text=_text(now, one), fault=FaultRef(one), answered=True) for one in paper.faults),
            *(Line(text=one) for one in paper.lines),
        ),
        serials=(Serials(first=paper.serials[0], last=paper.serials[1]),) if paper.serials else (),
        parts=billed.parts,
        minutes=billed.minutes,
        cost=billed.cost,
        meter=now.reading(paper.hours),
        pages=tuple(pages.blobs),
    )
    fact = office.fact(now.book, body, when.happened, whole_day=when.whole_day)
    return enter(office, [fact], tuple(pages.blobs.values()))


class _Billed(msgspec.Struct):
    """What a paper bills, and what cannot be read of it."""

    parts: tuple[PartUsed, ...] = ()
    minutes: int | None = None
    cost: Money | None = None
    problems: tuple[Problem, ...] = ()


def _billed(paper: Told) -> _Billed:
    read, problems = [_part(line) for line in paper.parts], []
    problems += [one for one in read if isinstance(one, Problem)]
    whole = paper.minutes is None or paper.minutes == int(paper.minutes)
    if not whole:
        where = Where(column="minutes")
        problems.append(Problem(PAPER_UNFIT, f"{paper.minutes} min", "whole minutes", "Round them.", where))
    cost = money_of(paper.cost.strip()) if paper.cost else None
    if paper.cost and cost is None:
        hint = "Write the amount, a blank and the currency in three capitals."
        problems.append(Problem(PAPER_UNFIT, repr(paper.cost), "as 164.00 GBP", hint, Where(column="cost")))
    minutes = int(paper.minutes) if whole and paper.minutes is not None else None
    return _Billed(tuple(one for one in read if isinstance(one, PartUsed)), minutes, cost, tuple(problems))


def _part(line: str) -> PartUsed | Problem:
    """A part with its quantity, as written on a line of its own."""
    name, equals, said = (part.strip() for part in line.partition("="))
    number = parse_number(said) if equals else Number(Decimal(1), None, 0)
    where = Where(column="parts")
    if isinstance(number, Problem):
        return msgspec.structs.replace(number, where=where)
    if not name or len(name) > LONGEST or number.value <= 0:
        hint = "Write one part a line, with how many: hose clamp=2."
        return Problem(PAPER_UNFIT, repr(line), "a part, and more than none of it", hint, where)
    return PartUsed(part=name, quantity=number.value, unit=number.unit)


class _Pages(msgspec.Struct):
    """The pictures of a paper's pages by their digests, and those that cannot be kept."""

    blobs: dict[str, Blob]
    problems: list[Problem]


def _pages(office: Office, paper: Told) -> _Pages:
    pages = _Pages({}, [])
    for data in paper.pictures:
        try:
            blob = plain_picture(office, data, again=True)
            pages.blobs[blob.digest] = blob
        except Refused as refusal:
            where = Where(column="pictures")
            pages.problems += [msgspec.structs.replace(one, where=where) for one in refusal.problems]
    return pages


def _text(now: TruckNow, ref: str) -> str:
    return next(one.text for one in now.faults if one.ref == ref)


def _against(office: Office, now: TruckNow, paper: Told) -> Iterator[Problem]:
    """Names on a paper that mean nothing on this truck."""
    kind = office.rules.kind(now.enrolled.what)
    known = (
        (
            paper.duties,
            {one.id for one in office.rules.examinations(office.yard.country)},
            "a duty of the yard's country",
        ),
        (paper.services, {one.id for one in kind.services} if kind else set(), "a service of its kind"),
        (paper.faults, {one.ref for one in now.faults}, "a fault of this truck"),
    )
    if paper.duties and paper.what not in PROVES:
        expected = f"none, or one of {', '.join(sorted(PROVES))}"
        yield Problem(PAPER_UNFIT, f"{paper.what} that proves {', '.join(paper.duties)}", expected, "File the report.")
    yield from (
        Problem(PAPER_UNFIT, repr(one), expected, "Take it from the list.")
        for names, there, expected in known
        for one in names
        if one not in there
    )


def bulletins_for(office: Office, now: TruckNow, as_of: datetime) -> tuple[tuple[Document, Answer], ...]:
    """The bulletins and recalls of the whole yard that a truck has yet to answer, or of which it cannot be told.

    One without a range of serial numbers speaks of the truck in whose book it was filed, by its lines.

    Args:
        office: the yard.
        now: the truck.
        as_of: the instant.
    """
    papers = [
        one.body
        for book in office.store.books()
        for one in past([item for item in office.book(book) if isinstance(item.fact.body, FILED)], as_of)
        if isinstance(one.body, Document) and one.body.what == "bulletin" and one.body.serials
    ]
    answers = ((paper, bulletin_now(paper, {now.book: now.counting})[now.book]) for paper in papers)
    return tuple((paper, answer) for paper, answer in answers if answer in {"unanswered", "ask"})


def answer_line(office: Office, name: str, paper: str, number: int, why: str, when: When) -> Entered:
    """Say that a line of a paper has been dealt with.

    The paper itself stays as it was filed; a correction of it says so, with what was done.

    Args:
        office: the yard.
        name: the truck.
        paper: id of the paper's fact.
        number: the line's turn on it, from 1.
        why: what was done.
        when: when.

    Raises:
        Refused: there is no such line, or it is answered already; nothing was written.
    """
    now = truck(office, name, office.clock())
    open_ = unanswered(now.counting, now.faults)
    one = next((one for one in open_ if (one.one.id, one.number) == (paper, number)), None)
    if one is None:
        problem = Problem(LINE_UNKNOWN, f"line {number} of {paper}", "an unanswered line", "See the truck's papers.")
        raise Refused(problem.message, [problem])
    if not why.strip():
        problem = Problem(WORDS_MISSING, "nothing", "what was done", "Say it in a line.")
        raise Refused(problem.message, [problem])
    lines = list(one.paper.lines)
    lines[number - 1] = msgspec.structs.replace(one.line, answered=True)
    body = correction(one.one, msgspec.structs.replace(one.paper, lines=tuple(lines)), why.strip())
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])


def answer_bill(office: Office, name: str, bill: str, why: str, when: When) -> Entered:
    """Say what came of the questions about a bill; the bill itself stays as it was filed.

    Args:
        office: the yard.
        name: the truck.
        bill: id of the bill's fact.
        why: what the firm said, or what was found.
        when: when.

    Raises:
        Refused: nothing is asked about such a bill; nothing was written.
    """
    now, why = truck(office, name, office.clock()), why.strip()
    asked = questions(now.counting, office.rules.kind(now.enrolled.what), office.zone)
    paper = next((one.paper for one in asked if one.one.id == bill), None)
    if paper is None or not why:
        found, expected = (
            (f"bill {bill}", "one that is asked about") if paper is None else ("nothing", "what came of it")
        )
        problem = Problem(LINE_UNKNOWN if paper is None else WORDS_MISSING, found, expected, "See the truck's page.")
        raise Refused(problem.message, [problem])
    body = Document(what="other", title=paper.title, number=bill, lines=(Line(text=why, answered=True),))
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])


def answer_bulletin(office: Office, name: str, number: str, why: str, when: When) -> Entered:
    """Say what was done on a truck about a bulletin or recall, or why it is none of the truck's.

    Raises:
        Refused: no bulletin of that number waits for the truck; nothing was written.
    """
    now, why = truck(office, name, office.clock()), why.strip()
    waits = (paper for paper, _ in bulletins_for(office, now, office.clock()) if paper.number == number)
    paper = next(waits, None)
    if paper is None or not why:
        found, expected = (f"bulletin {number}", "one that waits") if paper is None else ("nothing", "what was done")
        problem = Problem(LINE_UNKNOWN if paper is None else WORDS_MISSING, found, expected, "See the truck's page.")
        raise Refused(problem.message, [problem])
    body = Document(what="other", title=paper.title, number=number, lines=(Line(text=why, answered=True),))
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])

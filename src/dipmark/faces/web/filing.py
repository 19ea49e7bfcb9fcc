"""The forms of papers: filed with what they close, and their lines answered."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from dipmark.derive.billed import named
from dipmark.derive.bills import questions
from dipmark.derive.papers import unanswered
from dipmark.derive.truck import TruckNow
from dipmark.faces.web.deeds import WHEN, Asks, Choice, Deed, number_of, when_of
from dipmark.faces.web.forms import field, fields, uploads
from dipmark.faces.web.mending import HOURS, NUMBERS, TEXT, TIMES
from dipmark.faces.web.words import said
from dipmark.office.access import Asker
from dipmark.office.enter import WORDS_MISSING
from dipmark.office.filing import (
    LINE_UNKNOWN,
    PAPER_UNFIT,
    Told,
    answer_bill,
    answer_bulletin,
    answer_line,
    bulletins_for,
    file_paper,
)
from dipmark.office.measure import day_of_text
from dipmark.office.open import Office

BILL: Final = "bill"
"""Stands before the entry of a bill where one is answered, as the entry of a paper before its line."""

WHAT: Final = {
    "examination": said("report of an examination"),
    "job-sheet": said("job sheet of an outside firm"),
    "bulletin": said("bulletin or recall"),
    "certificate": said("certificate"),
    "warranty": said("warranty"),
    "insurance": said("insurance"),
    "manual": said("manual"),
    "other": said("another paper"),
}
"""What papers are called."""

BILLED: Final = (
    Asks(
        name="parts",
        text=said("Parts billed or under warranty, one a line"),
        shape="words",
        note=said("With how many or how much: hose clamp=2, engine oil=5.5 l. A part alone is one."),
    ),
    Asks(name="minutes", text=said("Minutes of labour billed"), shape="number"),
    Asks(name="cost", text=said("What it costs"), note=said("Amount and currency, such as 164.00 GBP.")),
    Asks(
        name="pictures",
        text=said("Pictures of its pages"),
        shape="pictures",
        note=said("JPEG, PNG or WebP. Where they were taken is not kept. Choose them again if the form comes back."),
    ),
)
"""What a bill holds."""


def _asks(office: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    kind, word = office.rules.kind(now.enrolled.what), office.rules.word
    yield Asks(
        name="what",
        text=said("What paper it is"),
        shape="choice",
        value=query.get("what", "examination"),
        choices=tuple(Choice(key, text) for key, text in WHAT.items()),
    )
    yield Asks(name="title", text=said("Title, as printed on it"), needed=True)
    yield Asks(name="number", text=said("Its number"))
    yield Asks(name="issuer", text=said("Firm or examiner"))
    yield Asks(name="examined", text=said("Day of the examination or the work"), shape="day")
    yield Asks(name="until", text=said("Holds until"), shape="day")
    yield Asks(
        name="fit",
        text=said("What the examiner says"),
        shape="choice",
        choices=(Choice("", said("nothing")), Choice("yes", said("fit")), Choice("no", said("not fit"))),
    )
    duties = office.rules.examinations(office.yard.country)
    if duties:
        choices = tuple(Choice(one.id, word(one.name)) for one in duties)
        yield Asks(name="duties", text=said("Examinations it proves"), shape="many", choices=choices, plain=True)
    if kind and kind.services:
        choices = tuple(Choice(one.id, one.id) for one in kind.services)
        yield Asks(name="services", text=said("Services it proves"), shape="many", choices=choices, plain=True)
    live = tuple(Choice(one.ref, one.text) for one in now.faults if one.open)
    if live:
        yield Asks(name="faults", text=said("Faults it closes"), shape="many", choices=live, plain=True)
    yield Asks(
        name="lines",
        text=said("What else it asks for, one a line"),
        shape="words",
        note=said("Each line stays unanswered until somebody says what was done."),
    )
    yield from BILLED
    yield Asks(name="first", text=said("Lowest serial number"), note=said("Only for a bulletin or recall."))
    yield Asks(name="last", text=said("Highest serial number"), note=said("Blank: all from there on."))
    yield HOURS
    yield WHEN


def _file(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    def line(key: str) -> str | None:
        return field(data, key).strip() or None

    def lines(key: str) -> list[str]:
        return [one.strip() for one in field(data, key).splitlines() if one.strip()]

    examined, until, first = line("examined"), line("until"), line("first")
    told = Told(
        what=field(data, "what"),
        title=field(data, "title"),
        number=line("number"),
        issuer=line("issuer"),
        examined=None if examined is None else day_of_text(office, examined),
        until=None if until is None else day_of_text(office, until),
        fit={"yes": True, "no": False}.get(field(data, "fit")),
        duties=fields(data, "duties"),
        services=fields(data, "services"),
        faults=fields(data, "faults"),
        lines=lines("lines"),
        serials=None if first is None else (first, line("last")),
        hours=number_of(data, "hours", "hours"),
        parts=lines("parts"),
        minutes=number_of(data, "minutes", "minutes"),
        cost=line("cost"),
        pictures=[read for _, read in uploads(data, "pictures")],
    )
    return file_paper(office, name, told, when_of(office, data))


def _answer_asks(office: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    open_ = unanswered(now.counting, now.faults)
    lines = tuple(Choice(f"{one.one.id}|{one.number}", f"{one.paper.title}: {one.line.text}") for one in open_)
    waits = bulletins_for(office, now, office.clock())
    papers = tuple(Choice(f"|{paper.number}", f"{paper.title} {paper.number}") for paper, _ in waits)
    asked = questions(now.counting, office.rules.kind(now.enrolled.what), office.zone, office.rules.word)
    bills = {f"{BILL}|{one.one.id}": named(one.paper) for one in asked}
    yield Asks(
        name="line",
        text=said("Which line, bulletin or bill"),
        shape="choice",
        choices=(*lines, *papers, *(Choice(*one) for one in bills.items())),
        value=query.get("line", ""),
        needed=True,
        plain=True,
    )
    yield Asks(name="text", text=said("What was done about it"), needed=True)
    yield WHEN


def _answer(office: Office, asker: Asker, name: str, data: dict[str, Any]) -> object:
    paper, _bar, number = field(data, "line").partition("|")
    if not paper:
        return answer_bulletin(office, name, number, field(data, "text"), when_of(office, data))
    if paper == BILL:
        asker.must("correct")  # whose firm is asked does not answer for the yard
        return answer_bill(office, name, number, field(data, "text"), when_of(office, data))
    turn = int(number) if number.isdecimal() else 0
    return answer_line(office, name, paper, turn, field(data, "text"), when_of(office, data))


FILING: Final = (
    Deed(
        id="paper",
        act="mend",
        title=said("File a paper"),
        button=said("File it"),
        about=said("What is printed on it counts. An examiner's day is moved by his next report alone."),
        asks=_asks,
        do=_file,
        beside=NUMBERS | TIMES | {PAPER_UNFIT: "what", WORDS_MISSING: "title"},
        pictures=True,
    ),
    Deed(
        id="answer",
        act="mend",
        title=said("Answer a line of a paper, or a bulletin"),
        button=said("It is answered"),
        asks=_answer_asks,
        do=_answer,
        beside=TEXT | TIMES | {LINE_UNKNOWN: "line"},
    ),
)

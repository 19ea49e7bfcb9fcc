"""The papers of the yard: lines not answered, whom a bulletin speaks of, what runs out, what to ask about bills."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Final

import msgspec

from dipmark.derive.billed import Question, named
from dipmark.derive.duty import DutyNow
from dipmark.derive.papers import Answer, LineNow
from dipmark.derive.past import Counting
from dipmark.facts.base import BookId, name_of
from dipmark.facts.document import Document
from dipmark.facts.said import Word, says
from dipmark.views.words import day

AHEAD: Final = 60
"""Days from which what runs out is shown. Common practice, no source."""

ANSWERS: Final[dict[Answer, str]] = {
    "unanswered": says("in its range, and not answered"),
    "ask": says("cannot be told by the serial number: read it on the plate"),
    "answered": says("answered"),
    "not ours": says("not in its range"),
}
"""What trucks say to a bulletin, what is left to do first."""

LEFT: Final = says("days left: {}")
LAST: Final = says("today is its last day")
OVER: Final = says("days since it ran out: {}")


class Held(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of the papers of a truck or an item.

    Args:
        book: its book.
        counting: what counts of it.
        lines: that nobody has answered.
        duties: its legal examinations.
        questions: about its bills.
    """

    book: BookId
    counting: Counting
    lines: tuple[LineNow, ...] = ()
    duties: tuple[DutyNow, ...] = ()
    questions: tuple[Question, ...] = ()


class LineRow(msgspec.Struct, frozen=True):
    """A line that nobody has answered.

    Args:
        paper: the paper, as people call it.
        text: as written.
        until: the day it sets; empty: none.
        answers: what its form is asked for.
    """

    paper: str
    text: str
    until: str
    answers: str


class LinesOf(msgspec.Struct, frozen=True):
    """The unanswered lines of one truck or item."""

    name: str
    truck: bool
    lines: tuple[LineRow, ...]


class BulletinRow(msgspec.Struct, frozen=True):
    """A bulletin or recall.

    Args:
        paper: as people call it.
        number: by which it is answered; empty: it has none.
        answers: what trucks say to it, in words, with those that do; no truck is left out.
        open: trucks that have yet to answer.
    """

    paper: str
    number: str
    answers: tuple[tuple[str, tuple[str, ...]], ...]
    open: tuple[str, ...]


class EndRow(msgspec.Struct, frozen=True):
    """An examination or a warranty that runs out.

    Args:
        name: of the truck or item.
        truck: True where it is a truck.
        what: the duty, or the warranty and its parts.
        day: its last day; a dash where no proof is in the record.
        words: how far that is.
        late: True where it has run out, or was never proved.
    """

    name: str
    truck: bool
    what: str
    day: str
    words: str
    late: bool


class QuestionRow(msgspec.Struct, frozen=True):
    """A question about a bill, with the entry that it stands in."""

    name: str
    text: str
    rule: str
    fact: str


class PapersPage(msgspec.Struct, frozen=True):
    """The papers of the yard.

    Args:
        lines: that nobody has answered, by truck and item.
        bulletins: each with the answer of every truck.
        examinations: that have run out, were never proved, or run out soon, the earliest first.
        warranties: that run out soon, the earliest first.
        questions: about bills.
    """

    lines: tuple[LinesOf, ...]
    bulletins: tuple[BulletinRow, ...]
    examinations: tuple[EndRow, ...]
    warranties: tuple[EndRow, ...]
    questions: tuple[QuestionRow, ...]


def papers_page(
    held: Sequence[Held],
    bulletins: Sequence[tuple[Document, Mapping[BookId, Answer]]],
    today: date,
    word: Word = str,
) -> PapersPage:
    """The papers of the yard on one page.

    Args:
        held: every truck and item that is to be shown, in its order.
        bulletins: each with the answers of the trucks.
        today: by the yard's clock.
        word: says a word in the reader's language.

    *Edge*: what ends today still holds; what ends in exactly sixty days is shown.
    """
    return PapersPage(
        lines=tuple(LinesOf(name_of(one.book), _truck(one), _lines(one, word)) for one in held if one.lines),
        bulletins=tuple(_bulletin(paper, answers, word) for paper, answers in bulletins),
        examinations=_ends([row for one in held for row in _examinations(one, today, word)]),
        warranties=_ends([row for one in held for row in _warranties(one, today, word)]),
        questions=tuple(row for one in held for row in question_rows(name_of(one.book), one.questions)),
    )


def question_rows(name: str, questions: Sequence[Question]) -> tuple[QuestionRow, ...]:
    """Questions about the bills of one truck.

    Args:
        name: of the truck.
        questions: as derived.
    """
    return tuple(QuestionRow(name, one.because.text, one.because.rule, one.one.id) for one in questions)


def _truck(one: Held) -> bool:
    return one.book.startswith("truck:")


def _lines(one: Held, word: Word) -> tuple[LineRow, ...]:
    return tuple(
        LineRow(
            named(line.paper),
            line.line.text,
            "" if line.line.until is None else day(line.line.until, word),
            f"{line.one.id}|{line.number}",
        )
        for line in one.lines
    )


def _bulletin(paper: Document, answers: Mapping[BookId, Answer], word: Word) -> BulletinRow:
    trucks = {code: tuple(name_of(book) for book, one in answers.items() if one == code) for code in ANSWERS}
    told = tuple((word(text), trucks[code]) for code, text in ANSWERS.items() if trucks[code])
    return BulletinRow(named(paper), paper.number or "", told, (*trucks["unanswered"], *trucks["ask"]))


_End = tuple[date, EndRow]


def _ends(rows: list[_End]) -> tuple[EndRow, ...]:
    return tuple(row for _, row in sorted(rows, key=lambda row: row[0]))


def _examinations(one: Held, today: date, word: Word) -> Iterator[_End]:
    for duty in one.duties:
        what, last = word(duty.duty.name), duty.due.day
        if last is None:
            row = EndRow(name_of(one.book), _truck(one), what, day(None), duty.due.because.text, late=True)
            yield date.min, row
        elif (last - today).days <= AHEAD:
            late = duty.due.state == "late"
            yield last, EndRow(name_of(one.book), _truck(one), what, day(last, word), _far(last, today, word), late)


def _warranties(one: Held, today: date, word: Word) -> Iterator[_End]:
    for paper in (fact.body for fact in one.counting):
        if isinstance(paper, Document) and paper.what == "warranty" and paper.valid_until is not None:
            last = paper.valid_until
            if 0 <= (last - today).days <= AHEAD:
                parts = ", ".join(part.part for part in paper.parts)
                what = f"{named(paper)}: {parts}" if parts else named(paper)
                words = _far(last, today, word)
                yield last, EndRow(name_of(one.book), _truck(one), what, day(last, word), words, late=False)


def _far(last: date, today: date, word: Word) -> str:
    """How far the last day is."""
    days = (last - today).days
    return word(LAST) if not days else word(LEFT).format(days) if days > 0 else word(OVER).format(-days)

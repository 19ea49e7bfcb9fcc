"""Papers as they are entered at a desk or taken from a table; and those of the whole yard, looked at together."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from dipmark.derive.bills import questions
from dipmark.derive.days import local_day
from dipmark.derive.duty import duties_now
from dipmark.derive.faults import faults_now
from dipmark.derive.measures import measures_now
from dipmark.derive.papers import LineNow, bulletin_now, unanswered
from dipmark.derive.past import Counting, enrolled_in, past
from dipmark.facts.base import BookId, Reading
from dipmark.facts.document import Document, Line
from dipmark.facts.truck import Enrolled, Retired
from dipmark.office.look import trucks
from dipmark.office.open import Office
from dipmark.office.standings import by_number
from dipmark.views.papers import Held, PapersPage, papers_page

ITEM: Final = "item:"


def examination(duties: Sequence[str], text: str | None, reading: Reading | None) -> Document:
    """A report of a legal examination, with a line for each duty that it proves.

    Args:
        duties: ids of the duties; none where the yard's country is not known or asks for no examination.
        text: what it says.
        reading: the hours on it.
    """
    lines = tuple(Line(text=text or duty.replace("-", " ").capitalize(), duty=duty) for duty in duties)
    return Document(what="examination", title="Report", lines=lines, note=None if lines else text, meter=reading)


def papers_of(office: Office, as_of: datetime, seen: frozenset[BookId] | None = None) -> PapersPage:
    """The papers of the yard at an instant, each book read once; see `views.papers`.

    Args:
        office: the yard.
        as_of: the instant.
        seen: the trucks and items to be shown; None: all. Bulletins are looked for in every book.
    """
    countings = {book: past(office.book(book), as_of) for book in office.store.books()}
    here = {one.book: one for one in trucks(office, as_of) if seen is None or one.book in seen}
    held: list[Held] = []
    for book, standing in here.items():
        counting, kind = countings[book], office.rules.kind(standing.enrolled.what)
        asked = questions(counting, kind, office.zone, office.rules.word)
        lines = _left(office, counting, standing.enrolled)
        held.append(Held(book=book, counting=counting, lines=lines, duties=standing.duties, questions=asked))
    items = sorted((book for book in countings if book.startswith(ITEM)), key=by_number)
    held += (
        one for book in items if seen is None or book in seen for one in _item(office, book, countings[book], as_of)
    )
    told = {book: countings[book] for book in here}
    bulletins = [
        (one.body, bulletin_now(one.body, told))
        for counting in countings.values()
        for one in counting
        if isinstance(one.body, Document) and one.body.what == "bulletin" and one.body.serials
    ]
    return papers_page(held, bulletins, local_day(as_of, office.zone), office.rules.word)


def _item(office: Office, book: BookId, counting: Counting, as_of: datetime) -> list[Held]:
    """An item that has not left the yard."""
    enrolled = enrolled_in(counting)
    if enrolled is None or any(isinstance(one.body, Retired) for one in counting):
        return []
    country, zone = office.yard.country, office.zone
    duties = duties_now(counting, enrolled.what, enrolled.uses, office.rules, country, as_of, zone, about="item")
    return [Held(book=book, counting=counting, lines=_left(office, counting, enrolled), duties=duties)]


def _left(office: Office, counting: Counting, enrolled: Enrolled) -> tuple[LineNow, ...]:
    """The lines that nobody has answered; faults are derived only where a line names one."""
    left = unanswered(counting, ())
    if not any(one.line.fault is not None for one in left):
        return left
    kind = office.rules.kind(enrolled.what)
    measures = measures_now(counting, office.rules, kind, office.zone)
    return unanswered(counting, faults_now(counting, kind, office.zone, measures, office.rules.word))

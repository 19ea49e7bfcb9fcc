"""The papers of the yard, gathered from every book."""

from __future__ import annotations

from datetime import date

from dipmark.facts.base import YARD, BookId, FaultRef, truck_book
from dipmark.facts.document import Document, Line
from dipmark.facts.people import YardSet
from dipmark.facts.truck import Retired
from dipmark.office.enter import enter, repair, report_fault
from dipmark.office.filing import Told, file_paper
from dipmark.office.items import enrol_item
from dipmark.office.open import Office
from dipmark.office.papers import papers_of
from office.desk import at, desk, now
from office.taking import NOW

THEN, NOON = at("2026-11-19T05:00"), at("2026-11-20T05:00")


def on(office: Office, book: str, body: Document | Retired) -> None:
    enter(office, [office.fact(BookId(book), body, NOON.happened)])


def test_lines_of_trucks_and_items_stand_together_and_what_has_left_is_left_out() -> None:
    with desk() as office:
        for name in ("cage 2", "cage 10", "gone"):
            enrol_item(office, name, "work-platform", THEN)
        letter = Document(what="other", title="Letter", lines=(Line(text="Look at it"),))
        for book in ("truck:12", "truck:7", "truck:20", "item:cage 2", "item:cage 10", "item:gone"):
            on(office, book, letter)
        on(office, "item:gone", Retired(how="scrapped"))
        on(office, "truck:20", Retired(how="sold"))
        assert [one.name for one in papers_of(office, NOW).lines] == ["7", "12", "cage 2", "cage 10"]
        seen = frozenset({truck_book("7"), BookId("item:cage 2")})
        assert [one.name for one in papers_of(office, NOW, seen).lines] == ["7", "cage 2"]


def test_a_line_whose_fault_is_closed_is_answered() -> None:
    with desk() as office:
        report_fault(office, "7", "line weeps", THEN, seriousness="watch")
        (fault,) = now(office).faults
        on(
            office,
            "truck:7",
            Document(what="other", title="Letter", lines=(Line(text="leak", fault=FaultRef(fault.ref)),)),
        )
        assert [one.name for one in papers_of(office, NOW).lines] == ["7"]
        repair(office, "7", (fault.ref,), "renewed", at("2026-11-20T05:30"), tests=(), hours=None)
        assert papers_of(office, NOW).lines == ()


def test_examinations_of_items_and_trucks_run_out_side_by_side() -> None:
    """Accessories every six months, trucks every twelve: LOLER 1998, regulation 9(3)."""
    with desk() as office:
        enter(office, [office.fact(YARD, YardSet(country="GB"), THEN.happened)])
        enrol_item(office, "cage", "work-platform", THEN)
        line = Line(text="x", duty="accessory-examination", answered=True)
        paper = Document(what="examination", title="Report", valid_from=date(2026, 6, 1), fit=True, lines=(line,))
        on(office, "item:cage", paper)
        report = Told(what="examination", title="Report", examined=date(2025, 12, 20), duties=("thorough-examination",))
        file_paper(office, "7", report, NOON)
        found = [(one.name, one.day) for one in papers_of(office, NOW).examinations if one.name in {"cage", "7"}]
        assert ("cage", "Tue 2026-12-01") in found
        assert ("7", "Sun 2026-12-20") in found


def test_questions_are_asked_of_each_trucks_bills_and_none_of_an_items() -> None:
    with desk() as office:
        file_paper(office, "7", Told(what="job-sheet", title="Bill", services=("150h",)), NOON)
        (row,) = papers_of(office, NOW).questions
        assert (row.name, row.rule) == ("7", "bill.not-noted")

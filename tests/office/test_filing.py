"""Papers filed at a desk, and their lines answered one by one."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.derive.papers import LineNow, unanswered
from dipmark.facts.base import YARD
from dipmark.facts.document import Document
from dipmark.facts.errors import Refused
from dipmark.facts.people import YardSet
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Money, PartUsed
from dipmark.office.amend import correct_hours
from dipmark.office.enter import WORDS_MISSING, enrol, report_fault
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
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.office.pictures import PICTURE_UNREADABLE
from office.desk import LPG, at, desk, now
from office.test_pictures import picture

THEN, NOON = at("2026-11-19T05:00"), at("2026-11-20T05:00")


def left(office: Office) -> tuple[LineNow, ...]:
    found = now(office)
    return unanswered(found.counting, found.faults)


def codes(refusal: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [one.code for one in refusal.value.problems]


def test_each_line_closes_one_thing_or_stays_unanswered() -> None:
    with desk() as office:
        report_fault(office, "7", "line weeps", THEN, seriousness="watch")
        (fault,) = now(office).faults
        told = Told(
            what="job-sheet",
            title=" Job sheet ",
            number="TL-1",
            services=("150h",),
            faults=(fault.ref,),
            lines=("Tyres near the line", "Belt frayed"),
            hours=Decimal(12),
        )
        entered = file_paper(office, "7", told, NOON)
        assert [one.line.text for one in left(office)] == ["Tyres near the line", "Belt frayed"]
        assert not now(office).faults[0].open
        paper = entered.accepted[0].fact.id
        answer_line(office, "7", paper, 3, "measured, still above it", NOON)
        assert [one.line.text for one in left(office)] == ["Belt frayed"]
        for number in (3, 9):
            with pytest.raises(Refused) as refusal:
                answer_line(office, "7", paper, number, "again", NOON)
            assert codes(refusal) == [LINE_UNKNOWN]
        with pytest.raises(Refused) as refusal:
            answer_line(office, "7", paper, 4, " ", NOON)
        assert codes(refusal) == [WORDS_MISSING]


def test_a_report_proves_a_duty_and_a_bulletin_names_its_serials() -> None:
    with desk() as office:
        country(office)
        report = Told(
            what="examination",
            title="Report",
            examined=date(2026, 11, 1),
            fit=True,
            until=date(2027, 5, 1),
            duties=("thorough-examination",),
        )
        file_paper(office, "7", report, NOON)
        duties = {one.duty.id: one for one in now(office).duties}
        assert str(duties["thorough-examination"].due.day) == "2027-05-01"
        bulletin = Told(what="bulletin", title="Pin", number="B-1", serials=("S-1", None))
        body = file_paper(office, "7", bulletin, NOON).accepted[0].fact.body
        assert [(one.first, one.last) for one in body.serials] == [("S-1", None)]  # type: ignore[attr-defined]


def country(office: Office) -> None:
    office.append([office.fact(YARD, YardSet(country="GB"), THEN.happened)])


def test_what_the_truck_does_not_have_is_refused_all_at_once() -> None:
    with desk() as office:
        told = Told(what="letter", title=" ", duties=("x",), services=("7h",), faults=("y",))
        with pytest.raises(Refused) as refusal:
            file_paper(office, "7", told, NOON)
        assert codes(refusal) == [*[PAPER_UNFIT] * 5, WORDS_MISSING]


def test_each_truck_of_the_yard_answers_a_bulletin() -> None:
    with desk() as office:
        enrol(office, "30", Enrolled(what=LPG, serial="S-15"), at("2026-01-05T08:00"))
        enrol(office, "31", Enrolled(what=LPG, serial="S-40"), at("2026-01-05T08:00"))
        file_paper(office, "31", Told(what="bulletin", title="Pin", number="B-1", serials=("S-10", "S-20")), THEN)
        file_paper(office, "31", Told(what="bulletin", title="Letter", number="B-2"), THEN)

        def waits(name: str) -> list[tuple[str | None, str]]:
            as_of = office.clock()
            found = bulletins_for(office, truck(office, name, as_of), as_of)
            return [(paper.number, answer) for paper, answer in found]

        assert [waits(name) for name in ("30", "31", "12")] == [[("B-1", "unanswered")], [], [("B-1", "ask")]]
        repair_sheet = Told(what="job-sheet", title="Pin renewed", number="B-1", services=("150h",))
        file_paper(office, "30", repair_sheet, NOON)
        assert waits("30") == []
        with pytest.raises(Refused) as refusal:
            answer_bulletin(office, "12", "B-1", " ", NOON)
        assert codes(refusal) == [WORDS_MISSING]
        answer_bulletin(office, "12", "B-1", "no such bracket on it", NOON)
        assert waits("12") == []
        with pytest.raises(Refused) as refusal:
            answer_bulletin(office, "12", "B-1", "again", NOON)
        assert codes(refusal) == [LINE_UNKNOWN]
        with pytest.raises(Refused, match="by which trucks answer it"):
            file_paper(office, "31", Told(what="bulletin", title="Pin", serials=("S-1", None)), NOON)


def test_a_job_sheet_proves_no_examination() -> None:
    with desk() as office:
        country(office)
        told = Told(what="job-sheet", title="Job sheet", duties=("thorough-examination",))
        with pytest.raises(Refused, match="File the report") as refusal:
            file_paper(office, "7", told, NOON)
        assert codes(refusal) == [PAPER_UNFIT]


def test_an_answer_survives_a_later_correction_of_something_else() -> None:
    with desk() as office:
        told = Told(what="job-sheet", title="Job sheet", lines=("Belt frayed",), hours=Decimal(12))
        paper = file_paper(office, "7", told, THEN).accepted[0].fact.id
        answer_line(office, "7", paper, 1, "renewed", at("2026-11-19T06:00"))
        correct_hours(office, "7", paper, Decimal(13), "misread", NOON)
        assert left(office) == ()


def filed(office: Office, name: str, told: Told) -> Document:
    body = file_paper(office, name, told, NOON).accepted[0].fact.body
    assert isinstance(body, Document)
    return body


def test_a_bill_is_filed_with_its_parts_labour_cost_and_pages() -> None:
    with desk() as office:
        first, second = picture(), picture(colour="blue")
        told = Told(
            what="job-sheet",
            title="Bill",
            number="TL-1",
            parts=("Fuel filter", "hose clamp = 2", "engine oil=5.5 l"),
            minutes=Decimal("75.0"),
            cost=" 164.00 GBP ",
            pictures=(first, second, first),
        )
        paper = filed(office, "7", told)
        assert paper.parts == (
            PartUsed(part="Fuel filter"),
            PartUsed(part="hose clamp", quantity=Decimal(2)),
            PartUsed(part="engine oil", quantity=Decimal("5.5"), unit="l"),
        )
        assert (paper.minutes, paper.cost) == (75, Money(amount=Decimal("164.00"), currency="GBP"))
        assert len(paper.pages) == 2
        for digest in paper.pages:
            kept = office.store.blob(digest)
            assert kept is not None
            assert kept.media == "image/jpeg"
        # One bill for two trucks: the same page stands in both books.
        assert filed(office, "12", told).pages == paper.pages


def test_what_a_bill_says_that_cannot_be_read_is_told_beside_its_field_and_nothing_is_written() -> None:
    with desk() as office:
        told = Told(
            what="job-sheet",
            title="Bill",
            parts=("=2", "lamp=0", "lamp=-1", "lamp=two", f"{121 * 'x'}=1", f"{120 * 'x'}=1"),
            minutes=Decimal("7.5"),
            cost="164",
            pictures=(b"no picture", picture()),
        )
        before = office.book(now(office).book)
        with pytest.raises(Refused) as refusal:
            file_paper(office, "7", told, NOON)
        assert [(one.code, one.where.column) for one in refusal.value.problems] == [
            *[(PAPER_UNFIT, "parts")] * 3,
            ("number-unreadable", "parts"),
            (PAPER_UNFIT, "parts"),
            (PAPER_UNFIT, "minutes"),
            (PAPER_UNFIT, "cost"),
            (PICTURE_UNREADABLE, "pictures"),
        ]
        assert office.book(now(office).book) == before


def test_a_question_about_a_bill_is_answered_once_and_with_words() -> None:
    with desk() as office:
        fact = file_paper(office, "7", Told(what="job-sheet", title="Bill", services=("150h",)), THEN).accepted[0].fact
        for which, words, found in (
            ("x", "done", [LINE_UNKNOWN]),
            (fact.id, " ", [WORDS_MISSING]),
            (fact.id, "done on the 18th", []),
            (fact.id, "again", [LINE_UNKNOWN]),
        ):
            if not found:
                answer_bill(office, "7", which, words, NOON)
                continue
            with pytest.raises(Refused) as refusal:
                answer_bill(office, "7", which, words, NOON)
            assert codes(refusal) == found

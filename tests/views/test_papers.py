"""The papers of the yard on one page: nothing that is open is left out, the earliest first."""

from __future__ import annotations

import random
from datetime import date

import pytest

from derive.builders import ENROLLED, KIND, ZONE, counting, fid
from dipmark.derive.because import Because
from dipmark.derive.bills import questions
from dipmark.derive.due import Due, DueState
from dipmark.derive.duty import DutyNow
from dipmark.derive.papers import bulletin_now, unanswered
from dipmark.facts.base import BookId
from dipmark.facts.document import Document, Serials
from dipmark.rules.duty import Duty
from dipmark.views.papers import Held, PapersPage, papers_page

TODAY = date(2026, 11, 20)
SEVEN, FORKS = BookId("truck:7"), BookId("item:forks 1")
DUTY = Duty(
    id="examination",
    country="GB",
    text="Examined.",
    who="a competent person",
    kept="two years",
    when_lapsed="nothing",
    source="law",
    mark="seen",
)
PAPER = "\ndocument truck:7 2026-02-01T10:00:00+01:00 lead\n  what {}\n  title {}\n"


def held(text: str, book: BookId = SEVEN, *duties: DutyNow) -> Held:
    found = counting(ENROLLED + text)
    lines, asked = unanswered(found, ()), questions(found, KIND, ZONE)
    return Held(book=book, counting=found, lines=lines, duties=duties, questions=asked)


def page(*all_held: Held, bulletins: tuple[Document, ...] = ()) -> PapersPage:
    books = {one.book: one.counting for one in all_held}
    return papers_page(all_held, [(one, bulletin_now(one, books)) for one in bulletins], TODAY)


def test_unanswered_lines_stand_by_truck_with_their_day_and_paper() -> None:
    text = PAPER.format("job-sheet", "Sheet") + '  lines - {"text": "Belt frayed", "until": "2026-12-01"}\n'
    text += '  lines - {"text": "done", "answered": true}\n  lines - {"text": "Tyres"}\n'
    found = page(held(text), held("", FORKS), held(text.replace("Belt", "Strap"), FORKS)).lines
    assert [(one.name, one.truck, len(one.lines)) for one in found] == [("7", True, 2), ("forks 1", False, 2)]
    belt, tyres = found[0].lines
    assert (belt.text, belt.until, belt.paper) == ("Belt frayed", "Tue 2026-12-01", "Sheet")
    assert belt.answers == f"{fid(2)}|1"
    assert (tyres.until, tyres.answers) == ("", f"{fid(2)}|3")


BULLETIN = Document(what="bulletin", title="Pin", number="B-118", serials=(Serials(first="S-10", last="S-20"),))


@pytest.mark.parametrize("seed", range(5))
def test_no_truck_is_left_out_of_a_bulletin(seed: int) -> None:
    serials = ["S-10", "S-20", "S-9", "S-21", "", "S-15"]
    random.Random(seed).shuffle(serials)
    all_held = []
    for turn, serial in enumerate(serials):
        text = ENROLLED + (f"  serial {serial}\n" if serial else "")
        if serial == "S-15":
            text += '\nworked truck:7 2026-02-01T10:00:00+01:00 mia\n  text "by B-118"\n'
        all_held.append(Held(book=BookId(f"truck:{turn}"), counting=counting(text)))
    (row,) = page(*all_held, bulletins=(BULLETIN,)).bulletins
    assert (row.paper, row.number) == ("Pin B-118", "B-118")
    told = {name: text for text, names in row.answers for name in names}
    assert sorted(told) == [str(turn) for turn in range(6)]
    words = {serial: told[str(turn)] for turn, serial in enumerate(serials)}
    assert words == {
        "S-10": "in its range, and not answered",
        "S-20": "in its range, and not answered",
        "": "cannot be told by the serial number: read it on the plate",
        "S-15": "answered",
        "S-9": "not in its range",
        "S-21": "not in its range",
    }
    assert set(row.open) == {name for name, text in told.items() if text.startswith(("in its", "cannot"))}


def test_a_bulletin_without_a_number_has_none_to_answer_by() -> None:
    bare = Document(what="bulletin", title="Pin", serials=BULLETIN.serials)
    (row,) = page(held(""), bulletins=(bare,)).bulletins
    assert row.number == ""
    assert [names for _, names in row.answers] == [("7",)]


def duty(day: date | None, state: DueState) -> DutyNow:
    return DutyNow(DUTY, Due(DUTY.id, state, Because("no proof of it", "duty.x"), day=day))


def test_examinations_that_run_out_or_have_run_out_stand_by_their_day() -> None:
    days: tuple[tuple[date | None, DueState], ...] = (
        (date(2027, 1, 19), "later"),  # in sixty days
        (date(2027, 1, 20), "later"),
        (date(2026, 11, 20), "due"),
        (date(2026, 11, 19), "late"),
        (None, "unknown"),
    )
    found = page(held("", SEVEN, *(duty(*one) for one in days)), held("", FORKS, duty(date(2026, 12, 1), "open")))
    assert [(one.name, one.day, one.words, one.late) for one in found.examinations] == [
        ("7", "–", "no proof of it", True),
        ("7", "Thu 2026-11-19", "days since it ran out: 1", True),
        ("7", "Fri 2026-11-20", "today is its last day", False),
        ("forks 1", "Tue 2026-12-01", "days left: 11", False),
        ("7", "Tue 2027-01-19", "days left: 60", False),
    ]
    assert {one.what for one in found.examinations} == {DUTY.name}


def test_warranties_that_run_out_name_their_parts() -> None:
    def warranty(last: str) -> str:
        return PAPER.format("warranty", "Warranty") + (f"  valid_until {last}\n" if last else "")

    text = warranty("2026-11-19") + warranty("2027-01-19") + warranty("2027-01-20") + warranty("")
    text += warranty("2026-11-20") + '  parts - {"part": "starter"}\n  parts - {"part": "lamp"}\n'
    text += PAPER.format("insurance", "Policy") + "  valid_until 2026-12-01\n"
    found = page(held(text)).warranties
    assert [(one.what, one.day, one.late) for one in found] == [
        ("Warranty: starter, lamp", "Fri 2026-11-20", False),
        ("Warranty", "Tue 2027-01-19", False),
    ]


def test_questions_about_bills_name_the_truck_and_the_entry() -> None:
    text = PAPER.format("job-sheet", "Bill") + '  lines - {"text": "x", "service": "150h"}\n'
    (row,) = page(held(text)).questions
    assert (row.name, row.rule, row.fact) == ("7", "bill.not-noted", fid(2))
    assert row.text.startswith("Bill: 150h billed")

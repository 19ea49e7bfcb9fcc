"""Lines answered or not; serial ranges as people read them; no truck left out of a bulletin."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from derive.builders import ENROLLED, KIND, at, counting, fid, truck
from dipmark.derive.papers import bulletin_now, in_range, lines_now, unanswered
from dipmark.facts.base import BookId
from dipmark.facts.document import Document, Serials

PAPER = '\ndocument truck:7 2026-02-01T10:00:00+01:00 lead\n  what job-sheet\n  title "Job sheet"\n  lines - {{{}}}\n'
DONE = "\nworked truck:7 2026-02-{}T10:00:00+01:00 mia\n  services - 150h\n"


def answered(text: str, as_of: str = "2026-03-01T00:00:00") -> list[bool]:
    now = truck(ENROLLED + text, as_of, KIND)
    return [one.answered for one in lines_now(now.counting, now.faults)]


@pytest.mark.parametrize(
    ("line", "more", "expected"),
    [
        ('"text": "x"', "", False),
        ('"text": "x", "answered": true', "", True),
        ('"text": "x", "duty": "inspection"', "", False),  # a job sheet proves none
        ('"text": "x", "service": "150h"', "", False),
        ('"text": "x", "service": "150h"', DONE.format("01"), True),
        ('"text": "x", "service": "150h"', DONE.format("03"), True),
        ('"text": "x", "service": "450h"', DONE.format("03"), False),
    ],
)
def test_a_line_is_answered_or_stays_unanswered(line: str, more: str, expected: bool) -> None:
    assert answered(PAPER.format(line) + more) == [expected]


@pytest.mark.parametrize(("fit", "expected"), [("", True), ("  fit true\n", True), ("  fit false\n", False)])
def test_a_report_answers_the_duty_it_proves_unless_it_says_not_fit(fit: str, expected: bool) -> None:
    report = PAPER.format('"text": "x", "duty": "inspection"').replace("job-sheet", "examination")
    assert answered(report + fit) == [expected]


def test_a_service_done_before_the_paper_answers_nothing_on_it() -> None:
    before = DONE.format("01").replace("T10", "T09")
    assert answered(before + PAPER.format('"text": "x", "service": "150h"')) == [False]


def test_a_line_that_names_a_fault_is_answered_once_the_fault_is_closed() -> None:
    fault = "\nfault truck:7 2026-01-20T10:00:00+01:00 lead\n  text wet\n  seriousness watch\n"
    named = PAPER.format(f'"text": "x", "fault": "{fid(2)}"')
    assert answered(fault + named) == [False]
    mended = f"\nworked truck:7 2026-02-02T10:00:00+01:00 mia\n  mends - {fid(2)}\n"
    assert answered(fault + named + mended) == [True]
    assert answered(fault + mended.replace("2026-02-02", "2026-01-30") + named) == [False]


def test_lines_are_numbered_as_they_stand_on_the_paper() -> None:
    two = PAPER.format('"text": "a"') + '  lines - {"text": "b"}\n'
    found = lines_now(counting(ENROLLED + two))
    assert [(one.number, one.line.text, one.paper.title) for one in found] == [
        (1, "a", "Job sheet"),
        (2, "b", "Job sheet"),
    ]
    assert found[0].one.effective == at("2026-02-01T10:00:00")
    assert unanswered(counting(ENROLLED + two), ()) == found
    done = two.replace('{"text": "b"}', '{"text": "b", "answered": true}')
    assert [one.number for one in unanswered(counting(ENROLLED + done), ())] == [1]


RANGE = (Serials(first="LP25-0100", last="LP25-0399"),)


@pytest.mark.parametrize(
    ("serial", "expected"),
    [
        ("LP25-0100", True),
        ("lp25 0399", True),
        ("LP25-0099", False),
        ("LP25-0400", False),
        ("LP25-391", True),
        ("LP250391", None),
        ("LP26-0200", False),
        ("RT14-0200", False),
        ("LP25-0200-B", False),
        (None, None),
        ("unreadable", None),
    ],
)
def test_serials_are_compared_as_people_read_them(serial: str | None, expected: bool | None) -> None:
    assert in_range(serial, RANGE) is expected


def test_open_and_unclear_ranges() -> None:
    assert in_range("A9", (Serials(first="A5"),)) is True
    assert in_range("A4", (Serials(first="A5"),)) is False
    assert in_range("A9", (Serials(first="A5", last="B9"),)) is None
    assert in_range("A9", (Serials(first="A5", last="?"),)) is None
    assert in_range("A9", (Serials(first="?"),)) is None
    assert in_range("A9", (Serials(first="?"), Serials(first="A1"))) is True
    assert in_range("A9", ()) is None
    assert in_range("A9", (Serials(first="A20", last="A1"),)) is None


BULLETIN = Document(what="bulletin", title="Pin", number="B-118", serials=(Serials(first="S-10", last="S-20"),))


def book(serial: str, more: str = "") -> str:
    return ENROLLED + (f"  serial {serial}\n" if serial else "") + more


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (book("S-10"), "unanswered"),
        (book("S-21"), "not ours"),
        (book(""), "ask"),
        (book("S-10", '\nworked truck:7 2026-02-01T10:00:00+01:00 mia\n  text "by b-118: pin renewed"\n'), "answered"),
        (book("S-10", PAPER.format('"text": "x", "answered": true') + "  number B-118\n"), "answered"),
        (book("S-10", PAPER.format('"text": "x"') + "  number B-118\n"), "unanswered"),
        (book("S-10", PAPER.format('"text": "x"') + "  number C-1\n"), "unanswered"),
        (book("S-10", "\nworked truck:7 2026-02-01T10:00:00+01:00 mia\n"), "unanswered"),
        (
            book("S-10", '\nworked truck:7 2026-02-01T10:00:00+01:00 mia\n  text "by B-1180, B-118-2"\n'),
            "unanswered",
        ),
        (book("S-10", PAPER.replace("  lines - {{{}}}\n", "") + "  number B-118\n"), "unanswered"),
    ],
)
def test_each_truck_answers_a_bulletin(text: str, expected: str) -> None:
    seven = BookId("truck:7")
    assert bulletin_now(BULLETIN, {seven: counting(text)}) == {seven: expected}


def test_a_number_of_digits_alone_is_not_looked_for_among_words() -> None:
    seven = BookId("truck:7")
    digits = Document(what="bulletin", title="Pin", number="1180", serials=BULLETIN.serials)
    worked = '\nworked truck:7 2026-02-01T10:00:00+01:00 mia\n  text "at 1180 h"\n'
    assert bulletin_now(digits, {seven: counting(book("S-10", worked))}) == {seven: "unanswered"}


def test_a_bulletin_without_a_number_stays_unanswered_and_its_own_paper_is_no_answer() -> None:
    seven = BookId("truck:7")
    bare = Document(what="bulletin", title="Pin", serials=BULLETIN.serials)
    assert bulletin_now(bare, {seven: counting(book("S-10"))}) == {seven: "unanswered"}
    own = "\ndocument truck:7 2026-02-01T10:00:00+01:00 lead\n  what bulletin\n  title Pin\n  number B-118\n"
    own += '  serials - {"first": "S-10", "last": "S-20"}\n'
    assert bulletin_now(BULLETIN, {seven: counting(book("S-10", own))}) == {seven: "unanswered"}


@given(st.lists(st.integers(0, 40), max_size=8), st.integers(0, 40), st.integers(0, 40))
def test_no_truck_in_the_range_is_left_out(serials: list[int], one: int, other: int) -> None:
    first, last = sorted((one, other))
    paper = Document(what="bulletin", title="x", number="B", serials=(Serials(first=f"S{first}", last=f"S{last}"),))
    books = {BookId(f"truck:{turn}"): counting(book(f"S{number}")) for turn, number in enumerate(serials)}
    found = bulletin_now(paper, books)
    assert set(found) == set(books)
    for turn, number in enumerate(serials):
        assert (found[BookId(f"truck:{turn}")] == "unanswered") is (first <= number <= last)

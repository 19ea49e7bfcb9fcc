"""Sheets ticked by hand come back: what is sure is in the record, the rest waits for a person, nothing is guessed."""

from __future__ import annotations

import io
from collections.abc import Iterator
from decimal import Decimal

import msgspec
import numpy as np
import pytest
from PIL import Image

from dipmark.faces.paper.press import press
from dipmark.facts.base import truck_book
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.walk_round import WalkRound
from dipmark.office.board import yard_board
from dipmark.office.enter import report_fault
from dipmark.office.look_over import NOT_DECIDED, Decision, clip_of, column_waiting, columns_waiting, decide, discard
from dipmark.office.open import Office
from dipmark.office.print_sheets import Asked, sheets
from dipmark.office.set_aside import MARK_UNSURE, waiting
from dipmark.office.sheet_columns import HOURS
from dipmark.office.take_sheets import (
    COLUMN_DIFFERS,
    PAGE_MISSING,
    PAGE_TWICE,
    PICTURE_UNREADABLE,
    SHEET_FOREIGN,
    SHEET_NOT_FOUND,
    SHEET_UNREADABLE,
    SHEET_WRONG,
    SHIFT_AHEAD,
    SheetsTaken,
    take_sheets,
)
from dipmark.views.sheet_geometry import bytes_of
from office.desk import at, desk, state
from office.paper_week import STRAIGHT, column, photos, week_of
from office.taking import NOW, yard

FRIDAY = 4


@pytest.fixture
def office() -> Iterator[Office]:
    with desk() as found:
        yield found


def codes(taken: SheetsTaken) -> list[str]:
    return [one.code for one in taken.problems]


def walks(office: Office, name: str = "7") -> list[WalkRound]:
    return [item.fact.body for item in office.book(truck_book(name)) if isinstance(item.fact.body, WalkRound)]


def test_a_clean_column_goes_in_with_its_hours_and_its_pictures(office: Office) -> None:
    week, pages = week_of(office)
    assert NOW.weekday() == FRIDAY
    files = photos(pages, column(week, FRIDAY), hours="000412")
    taken = take_sheets(office, files)
    assert taken.problems == ()
    assert not taken.refused
    (one,) = taken.columns
    assert (one.truck, one.day, one.fate, one.asks, one.hours) == ("7", NOW.date().isoformat(), "taken", 0, "41.2")
    (walk,) = walks(office)
    assert {answer.check for answer in walk.answers} == {check for place in week.printed.places for check in place}
    assert {answer.mark for answer in walk.answers} == {"ok"}
    assert walk.meter is not None
    assert walk.meter.hours == Decimal("41.2")
    assert walk.paper
    assert walk.rules == week.printed.rules
    assert len(walk.pages) == len(pages)
    assert all(office.store.blob(digest) for digest in walk.pages)
    assert (state(office), office.store.verify()) == ("checked", ())
    again = take_sheets(office, files)
    assert [column.fate for column in again.columns] == ["known"]
    assert len(walks(office)) == 1


def test_a_tick_in_a_fault_box_waits_for_a_person_and_then_stops_the_truck(office: Office) -> None:
    week, pages = week_of(office)
    at_horn = week.printed.lines.index("horn.heard")
    taken = take_sheets(office, photos(pages, column(week, FRIDAY, "horn.heard"), [(FRIDAY, at_horn)]))
    (one,) = taken.columns
    assert (one.fate, one.asks, [problem.code for problem in one.problems]) == ("waiting", 1, [MARK_UNSURE])
    assert state(office) == "not-checked"
    assert not walks(office)
    (waits,) = columns_waiting(office)
    (mark,) = waits.marks
    assert waiting(office) == ()
    assert (waits.truck, mark.line, mark.check is not None) == ("7", "horn.heard", True)
    clip = np.asarray(Image.open(io.BytesIO(clip_of(office, waits.aside.digest, "horn.heard"))))
    assert clip.min() < 90 < clip.max()
    assert 40 < clip.shape[0] < clip.shape[1] < 200
    with pytest.raises(Refused) as refusal:
        decide(office, waits.aside.digest, {})
    assert [problem.code for problem in refusal.value.problems] == [NOT_DECIDED]
    entered = decide(office, waits.aside.digest, {"horn.heard": Decision("fault", symptom="dead", text="silent")})
    (row,) = [row for row in yard_board(office, NOW)[:1] if row.truck == "7"]
    assert row.state == "out-of-service"
    assert any(entered.accepted[0].fact.id in reason.facts for reason in row.reasons)
    assert columns_waiting(office) == ()
    with pytest.raises(NotFound):
        column_waiting(office, waits.aside.digest)
    again = take_sheets(office, photos(pages, column(week, FRIDAY, "horn.heard"), [(FRIDAY, at_horn)]))
    assert [column.fate for column in again.columns] == ["known"]


def test_an_open_fault_is_the_same_or_worse(office: Office) -> None:
    report_fault(office, "7", "belt is frayed at its edge", at("2026-11-18T06:00"), seriousness="watch")
    week, pages = week_of(office)
    (ref,) = week.printed.faults
    same = take_sheets(office, photos(pages, [(3, 0), *column(week, 3)]))
    assert [one.fate for one in same.columns] == ["taken"]
    assert walks(office)[0].open_faults[0].now == "same"
    worse = take_sheets(office, photos(pages, column(week, FRIDAY), [(FRIDAY, 0)]))
    assert [one.fate for one in worse.columns] == ["waiting"]
    (waits,) = columns_waiting(office)
    assert [(mark.line, mark.text, mark.fault) for mark in waits.marks] == [(ref, "belt is frayed at its edge", True)]
    decide(office, waits.aside.digest, {ref: Decision("fault", text="cords are seen")})
    assert walks(office)[1].open_faults[0].now == "worse"


def test_what_is_not_ticked_was_not_looked_at(office: Office) -> None:
    week, pages = week_of(office)
    take_sheets(office, photos(pages, column(week, FRIDAY, "brake.service")))
    assert "brake.service" not in {answer.check for answer in walks(office)[0].answers}
    assert state(office) == "not-checked"


def test_rings_that_are_not_sure_are_asked(office: Office) -> None:
    week, pages = week_of(office)
    take_sheets(office, photos(pages, column(week, FRIDAY), hours="00x412"))
    (waits,) = columns_waiting(office)
    assert [mark.line for mark in waits.marks] == [HOURS]
    assert clip_of(office, waits.aside.digest, HOURS).startswith(b"\x89PNG")
    with pytest.raises(NotFound):
        clip_of(office, waits.aside.digest, "no.line")
    with pytest.raises(Refused):
        decide(office, waits.aside.digest, {HOURS: Decision(hours="forty")})
    decide(office, waits.aside.digest, {HOURS: Decision(hours="41.2")})
    assert walks(office)[0].meter is not None
    take_sheets(office, photos(pages, column(week, 3), hours="00x412"))
    (other,) = columns_waiting(office)
    decide(office, other.aside.digest, {HOURS: Decision()})
    assert walks(office)[1].meter is None


def test_dirt_is_discarded_with_a_word(office: Office) -> None:
    _week, pages = week_of(office)
    take_sheets(office, photos(pages, (), [(FRIDAY, 3)]))
    (waits,) = columns_waiting(office)
    with pytest.raises(Refused):
        discard(office, waits.aside.digest, " ")
    discard(office, waits.aside.digest, "an oily thumb; nobody worked that day")
    assert columns_waiting(office) == ()
    assert walks(office) == []
    assert [one.fate for one in take_sheets(office, photos(pages, (), [(FRIDAY, 3)])).columns] == ["known"]


def test_a_page_that_is_missing_stops_its_sheet(office: Office) -> None:
    week, pages = week_of(office)
    files = photos(pages, column(week, FRIDAY))
    taken = take_sheets(office, files[:1])
    assert (codes(taken), taken.columns, taken.refused) == ([PAGE_MISSING], (), True)
    assert "without page 2 of 2" in taken.problems[0].found
    assert codes(take_sheets(office, files[1:])) == [PAGE_MISSING]
    assert walks(office) == []


def test_a_page_that_came_twice_counts_once(office: Office) -> None:
    week, pages = week_of(office)
    files = photos(pages, column(week, FRIDAY))
    taken = take_sheets(office, [*files, files[0]])
    assert (codes(taken), [one.fate for one in taken.columns], taken.refused) == ([PAGE_TWICE], ["taken"], False)


def test_two_pictures_of_a_page_that_do_not_agree_are_for_a_person(office: Office) -> None:
    week, pages = week_of(office)
    files = photos(pages, column(week, FRIDAY))
    other = photos(pages, column(week, FRIDAY, "horn.heard"))
    taken = take_sheets(office, [*files, other[0]])
    assert codes(taken) == [PAGE_TWICE]
    assert [(one.fate, one.asks) for one in taken.columns] == [("waiting", 1)]


def test_a_column_that_reads_otherwise_later_changes_nothing(office: Office) -> None:
    week, pages = week_of(office)
    take_sheets(office, photos(pages, column(week, FRIDAY), hours="000412"))
    taken = take_sheets(office, photos(pages, column(week, FRIDAY, "horn.heard"), hours="000413"))
    (one,) = taken.columns
    assert (one.fate, [problem.code for problem in one.problems], taken.refused) == ("refused", [COLUMN_DIFFERS], True)
    assert "horn.heard: not ticked now" in one.problems[0].found
    assert "41.3 now, 41.2" in one.problems[0].found
    assert len(walks(office)) == 1


def test_the_sheet_of_another_yard_is_refused(office: Office) -> None:
    with desk() as other:
        report_fault(other, "7", "a leak", at("2026-11-18T06:00"))
        week, pages = week_of(other)
    taken = take_sheets(office, photos(pages, column(week, FRIDAY)))
    assert set(codes(taken)) == {SHEET_FOREIGN}
    assert taken.columns == ()


def test_another_sheet_or_none_is_named(office: Office) -> None:
    blank = io.BytesIO()
    Image.new("L", (900, 1200), 255).save(blank, "PNG")
    taken = take_sheets(office, [("blank.png", blank.getvalue()), ("notes.txt", b"hours 12")])
    assert codes(taken) == [SHEET_NOT_FOUND, PICTURE_UNREADABLE]
    assert [one.where.file for one in taken.problems] == ["blank.png", "notes.txt"]
    (card,) = sheets(office, Asked(sheet="card", as_of=NOW, trucks=("7",)))
    taken = take_sheets(office, [("card.pdf", press([card], office.rules, "a4", NOW))])
    assert set(codes(taken)) == {SHEET_WRONG}
    assert taken.problems[0].where.line is None
    assert taken.problems[1].where.line == 2


def test_marks_that_cannot_be_made_out_are_said(office: Office) -> None:
    week, pages = week_of(office)
    (name, data), *rest = photos(pages, column(week, FRIDAY))
    cut = Image.open(io.BytesIO(data))
    out = io.BytesIO()
    cut.crop((0, 0, cut.width, int(cut.height * 0.9))).save(out, "JPEG")
    taken = take_sheets(office, [(name, out.getvalue()), *rest])
    assert SHEET_UNREADABLE in codes(taken) or SHEET_NOT_FOUND in codes(taken)
    assert walks(office) == []


def test_a_shift_that_has_not_begun_is_refused(office: Office) -> None:
    week, pages = week_of(office)
    (one,) = take_sheets(office, photos(pages, column(week, 5))).columns
    assert (one.fate, [problem.code for problem in one.problems]) == ("refused", [SHIFT_AHEAD])
    assert walks(office) == []


def test_a_dry_run_says_it_and_writes_nothing(office: Office) -> None:
    week, pages = week_of(office)
    taken = take_sheets(office, photos(pages, column(week, 3), [(FRIDAY, 3)]), dry_run=True)
    assert [one.fate for one in taken.columns] == ["taken", "waiting"]
    assert walks(office) == []
    assert columns_waiting(office) == ()


def test_old_rules_are_taken_as_what_they_were(office: Office) -> None:
    week, pages = week_of(office)
    office.rules = msgspec.structs.replace(office.rules, digest="0" * 64)
    take_sheets(office, photos(pages, column(week, FRIDAY)))
    assert walks(office)[0].rules == week.printed.rules != office.rules.digest


def test_a_sheet_of_a_truck_that_nobody_enrolled_is_named(office: Office) -> None:
    week, pages = week_of(office)
    with yard() as other:
        other.store.put_blob(bytes_of(week.printed), "application/json")
        taken = take_sheets(other, photos(pages, column(week, FRIDAY)))
        assert (codes(taken), taken.columns) == ([SHEET_FOREIGN], ())


def test_two_sheets_in_one_picture_are_both_taken(office: Office) -> None:
    pairs = [week_of(office, truck) for truck in ("7", "12")]
    shots = [photos(pages, column(week, FRIDAY), damage=STRAIGHT) for week, pages in pairs]
    beside = []
    for one, other in zip(*shots, strict=True):
        left, right = (Image.open(io.BytesIO(data)) for _, data in (one, other))
        both = Image.new("L", (left.width + right.width, max(left.height, right.height)), 60)
        both.paste(left, (0, 0))
        both.paste(right, (left.width, 0))
        beside.append(both)
    out = io.BytesIO()
    beside[0].save(out, "TIFF", save_all=True, append_images=beside[1:])
    taken = take_sheets(office, [("both.tiff", out.getvalue())])
    assert taken.problems == ()
    assert [(one.truck, one.fate) for one in taken.columns] == [("7", "taken"), ("12", "taken")]


def test_a_scanned_document_is_taken(office: Office) -> None:
    week, pages = week_of(office)
    scans = [Image.open(io.BytesIO(data)) for _, data in photos(pages, column(week, FRIDAY), damage=STRAIGHT)]
    out = io.BytesIO()
    scans[0].save(out, "PDF", save_all=True, append_images=scans[1:], resolution=200)
    assert [one.fate for one in take_sheets(office, [("scan.pdf", out.getvalue())]).columns] == ["taken"]

"""Enrolments of one call and of earlier ones; what is known though it was corrected or withdrawn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.derive.past import past
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import BookId, FactId
from dipmark.facts.kinds import AnyBody
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.office.open import Office
from dipmark.office.take import TakeOptions
from dipmark.office.take_books import truck_key
from office.taking import NOW, TRUCKS, bodies, counts, facts, file, taken, yard

SEVEN = BookId("truck:7")


def enrolled(office: Office, book: BookId = SEVEN) -> Enrolled:
    """The enrolment as it counts."""
    (body,) = [one.body for one in past(office.store.book(book), NOW) if isinstance(one.body, Enrolled)]
    return body


def amended(office: Office, body: AnyBody) -> None:
    office.append([office.fact(SEVEN, body, NOW)])


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [("7", "7.0", True), ("7", "7,00", True), ("T 07", " t  07", True), ("07", "7", False), ("7", "70", False),
     ("7.5", "7.50", False), ("A7.0", "A7", False)],
)  # fmt: skip
def test_names_of_trucks_as_tables_write_them(one: str, other: str, same: bool) -> None:
    assert (truck_key(one) == truck_key(other)) is same


def test_the_book_bears_the_name_as_first_enrolled(tmp_path: Path) -> None:
    trucks = file(tmp_path, "t.csv", "Truck,Kind\nReach  4,reach truck\n8.0,reach truck\n")
    hours = file(tmp_path, "h.csv", "Truck,Date,Hours\nREACH 4,2026-01-05,5\n8,2026-01-05,5\n")
    with yard() as office:
        assert counts(taken(office, hours, trucks)) == (4, 0, 0)
        assert set(office.store.books()) == {"truck:Reach 4", "truck:8"}
        assert counts(taken(office, hours)) == (0, 2, 0)


def test_what_an_enrolment_leaves_open_is_filled_in_by_a_correction(tmp_path: Path) -> None:
    more = file(tmp_path, "m.csv", "Truck,Kind,Serial,Commissioned,Fuel\n7,LPG forklift,A-1,2024-01-15,LPG\n")
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", "Truck,Kind\n7,LPG forklift\n"))
        assert counts(taken(office, more)) == (1, 0, 0)
        (fact,) = bodies(office, Corrected)
        assert isinstance(fact.body, Corrected)
        assert fact.body.reason == f"filled in from {more}, line 2"
        assert fact.body.happened is not None
        assert fact.body.happened.date() == date(2024, 1, 15)
        assert enrolled(office) == Enrolled(
            what="engine-pneumatic-lpg", serial="A-1", commissioned=date(2024, 1, 15), fuel="lpg"
        )
        assert counts(taken(office, more, tmp_path / "t.csv")) == (0, 2, 0)


def test_rows_of_one_call_that_fill_in_one_another_make_one_enrolment(tmp_path: Path) -> None:
    one = file(tmp_path, "1.csv", "Truck,Kind,Serial\n7,LPG forklift,A-1\n")
    other = file(tmp_path, "2.csv", "Truck,Kind,Place\n7,LPG forklift,Hall 1\n")
    kept = []
    for files in ((one, other), (other, one)):
        with yard() as office:
            assert counts(taken(office, *files)) == (2, 0, 0)
            kept.append([fact.body for fact in facts(office)])
            assert counts(taken(office, *files)) == (0, 2, 0)
    assert kept[0] == kept[1] == [Enrolled(what="engine-pneumatic-lpg", serial="A-1", place="Hall 1")]


@pytest.mark.parametrize(
    ("row", "column", "found", "expected"),
    [
        ("7,reach truck,,,,,", "Kind", "reach", "engine-pneumatic-lpg, as truck 7 is enrolled"),
        ("7,LPG forklift,B-2,,,,", "Serial", "B-2", "A-1, as truck 7 is enrolled"),
        ("7,LPG forklift,,2024-01-16,,,", "Commissioned", "2024-01-16", "2024-01-15"),
        ("7,LPG forklift,,,2020,,", "Built", "2020", "2023"),
        ("7,LPG forklift,,,,solid,", "Tyres", "solid", "air"),
        ("7,LPG forklift,,,,,6", "Digits", "main 6", "main 5"),
    ],
)
def test_an_enrolment_that_contradicts_is_refused(
    tmp_path: Path, row: str, column: str, found: str, expected: str
) -> None:
    head = "Truck,Kind,Serial,Commissioned,Built,Tyres,Digits\n"
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", head + "7,LPG forklift,A-1,2024-01-15,2023,air,5\n"))
        result = taken(office, file(tmp_path, "c.csv", head + row + "\n"))
        assert counts(result) == (0, 0, 1)
        (refusal,) = result.refused
        assert (refusal.line, refusal.column, refusal.found) == (2, column, found)
        assert expected in refusal.expected
        assert len(facts(office)) == 1


def test_another_place_or_note_does_not_refuse_a_row(tmp_path: Path) -> None:
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", "Truck,Kind,Place\n7,LPG forklift,Hall 1\n"))
        moved = file(tmp_path, "m.csv", "Truck,Kind,Place,Date,Hours\n7,LPG forklift,Hall 2,2026-01-01,5\n")
        result = taken(office, moved)
        assert counts(result) == (1, 0, 0)
        assert [(p.code, p.where.column, p.found) for p in result.doubtful] == [("enrolment-stands", "Place", "Hall 2")]
        assert enrolled(office).place == "Hall 1"
        assert counts(taken(office, moved)) == (0, 1, 0)


def test_what_was_corrected_or_withdrawn_since_is_still_known(tmp_path: Path) -> None:
    hours = file(tmp_path, "h.csv", "Truck,Date,Hours\n7,2026-01-05,1200\n7,2026-01-06,1210\n")
    files = (file(tmp_path, "t.csv", TRUCKS), hours)
    with yard() as office:
        taken(office, *files)
        one, other = bodies(office, MeterRead)
        right = MeterRead(hours=Decimal(1201))
        happened = other.happened + timedelta(days=1)
        amended(office, Corrected(target=one.id, body=right, reason="misread"))
        amended(office, Corrected(target=other.id, body=right, reason="misread", happened=happened, whole_day=True))
        amended(office, Withdrawn(target=other.id, reason="never was"))
        again = file(tmp_path, "a.csv", "Truck,Date,Hours\n7,2026-01-05,1201\n7,2026-01-07,1201\n7,2026-01-06,1201\n")
        assert counts(taken(office, *files)) == (0, 4, 0)
        assert counts(taken(office, again)) == (1, 2, 0)


def test_a_corrected_enrolment_stands_and_the_old_row_is_known(tmp_path: Path) -> None:
    trucks = file(tmp_path, "t.csv", "Truck,Kind\n7,LPG forklift\n")
    with yard() as office:
        taken(office, trucks)
        (fact,) = facts(office)
        amended(office, Corrected(target=fact.id, body=Enrolled(what="engine-pneumatic-diesel"), reason="wrong fuel"))
        assert counts(taken(office, trucks)) == (0, 1, 0)
        assert counts(taken(office, file(tmp_path, "d.csv", "Truck,Kind\n7,diesel forklift\n"))) == (0, 1, 0)
        assert counts(taken(office, file(tmp_path, "p.csv", "Truck,Kind\n7,petrol forklift\n"))) == (0, 0, 1)


def test_a_truck_whose_enrolment_was_withdrawn_is_not_enrolled(tmp_path: Path) -> None:
    trucks = file(tmp_path, "t.csv", "Truck,Kind\n7,LPG forklift\n")
    hours = file(tmp_path, "h.csv", "Truck,Date,Hours\n7,2026-01-05,1200\n")
    with yard() as office:
        taken(office, trucks)
        amended(office, Withdrawn(target=facts(office)[0].id, reason="another yard's"))
        assert counts(taken(office, hours)) == (0, 0, 1)
        assert counts(taken(office, trucks)) == (0, 1, 0)
        anew = file(tmp_path, "n.csv", "Truck,Kind,Serial\n7,LPG forklift,A-9\n")
        assert counts(taken(office, anew, hours)) == (2, 0, 0)
        assert enrolled(office).serial == "A-9"


def test_a_correction_of_something_that_is_not_there_is_passed_over(tmp_path: Path) -> None:
    ghost = FactId("01934567-0000-7000-8000-000000000001")
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", TRUCKS))
        amended(office, Corrected(target=ghost, body=MeterRead(hours=Decimal(1)), reason="of nothing"))
        assert counts(taken(office, tmp_path / "t.csv", options=replace(TakeOptions(), dates="dmy"))) == (0, 2, 0)

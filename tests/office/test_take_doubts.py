"""Readings that do not agree, whatever row they stood in: accepted and shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from dipmark.adapters.importing.rows import ReadRow
from dipmark.office.take_facts import said_by
from office.taking import NOW, counts, facts, file, taken, yard

STEADY = "Truck,Date,Hours\n" + "".join(f"7,2026-01-{day:02},{1000 + day}\n" for day in range(1, 9))


@pytest.mark.parametrize(
    ("doubtful", "found"),
    [
        ("Truck,Service,Date,Hours\n7,150h,2026-01-09,99\n", "99 h of 2026-01-09"),
        ("Truck,Fault,Date,Hours\n7,Horn dead,2026-01-09,99.5\n", "99.5 h of 2026-01-09"),
        ("Truck,Date,Hours\n7,2026-01-09,99\n", "99 h of 2026-01-09"),
        ("Truck,Kind,Commissioned,Start hours\n8,reach truck,2026-01-02,5000\n", "5,000 h of 2026-01-02"),
    ],
)
def test_a_doubtful_reading_names_those_it_contradicts(tmp_path: Path, doubtful: str, found: str) -> None:
    trucks = "Truck,Kind\n7,reach truck\n"
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", trucks), file(tmp_path, "h.csv", STEADY))
        more = file(tmp_path, "more.csv", STEADY.replace("\n7,", "\n8,"))
        result = taken(office, file(tmp_path, "d.csv", doubtful), *([more] if "Start" in doubtful else []))
        assert result.refused == ()
        (problem,) = result.doubtful
        assert (problem.code, problem.hard, problem.where.line) == ("meter-doubtful", False, 2)
        assert found in problem.found
        assert "h of 2026-01-0" in problem.expected


def test_of_two_readings_that_contradict_each_other_both_are_asked_about(tmp_path: Path) -> None:
    hours = "Truck,Date,Hours\n7,2026-01-05,1200\n7,2026-01-06,1100\n"
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", "Truck,Kind\n7,reach truck\n"), file(tmp_path, "h.csv", hours))
        assert counts(result) == (3, 0, 0)
        assert [problem.where.line for problem in result.doubtful] == [2, 3]
        assert all("Either this or the other" in problem.hint for problem in result.doubtful)


def test_a_likely_slip_is_proposed(tmp_path: Path) -> None:
    with yard() as office:
        trucks = file(tmp_path, "t.csv", "Truck,Kind\n7,reach truck\n")
        (problem,) = taken(office, trucks, file(tmp_path, "h.csv", STEADY + "7,2026-01-09,1090\n")).doubtful
        assert problem.hint.endswith("Probably 1,009 h (two digits swapped).")


def test_a_reading_not_like_the_truck_is_asked_about(tmp_path: Path) -> None:
    rows = "".join(f"7,2025-12-{day:02},{1000 + 6 * day + day % 2}\n" for day in range(1, 25))
    with yard() as office:
        trucks = file(tmp_path, "t.csv", "Truck,Kind\n7,reach truck\n")
        hours = file(tmp_path, "h.csv", f"Truck,Date,Hours\n{rows}7,2025-12-25,1167\n")
        (problem,) = taken(office, trucks, hours).doubtful
        assert (problem.code, problem.hard, problem.where.line) == ("meter-unlikely", False, 26)
        assert "1,167 h of 2025-12-25, 23.0 h in a day" in problem.found


def test_what_is_on_record_already_is_not_doubted_again(tmp_path: Path) -> None:
    with yard() as office:
        bad = file(tmp_path, "h.csv", STEADY + "7,2026-01-09,99\n")
        assert len(taken(office, file(tmp_path, "t.csv", "Truck,Kind\n7,reach truck\n"), bad).doubtful) == 1
        assert taken(office, file(tmp_path, "n.csv", "Truck,Date,Hours\n7,2026-01-10,1010\n")).doubtful == ()


def test_a_date_up_to_a_day_ahead_is_not_doubted(tmp_path: Path) -> None:
    """*Edge*: the clock stands at 06:00 on 20 November; exactly a day ahead is not asked about."""
    hours = "Truck,Date,Hours\n7,2026-11-21 06:00,5\n7,2026-11-21 06:01,5.1\n"
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", "Truck,Kind\n7,reach truck\n"), file(tmp_path, "h.csv", hours))
        assert [(p.code, p.where.line, p.where.column) for p in result.doubtful] == [("in-the-future", 3, "Date")]


def test_a_name_that_no_book_may_bear_is_refused_with_its_place(tmp_path: Path) -> None:
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", "Truck,Kind\n7\u200b7,reach truck\n"))
        assert counts(result) == (0, 0, 1)
        assert [(r.line, r.column) for r in result.refused] == [(2, "Truck")]
        assert facts(office) == []


def test_a_row_that_says_nothing_is_refused() -> None:
    row = ReadRow("a.csv", None, 2, ("7",), (), {"truck": "7"}, ())
    (problem,) = said_by(row, {"truck": "Truck"}, NOW.tzinfo or pytest.fail("a zone")).problems
    assert (problem.code, problem.where.column) == ("row-says-nothing", "Truck")

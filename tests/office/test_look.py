"""Looking judges by effective time with all that is known now, and finds a truck as people write its number."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.facts.base import BookId
from dipmark.facts.custody import HeldBy
from dipmark.facts.errors import NotFound
from dipmark.facts.truck import Enrolled, Retired
from dipmark.office import board, look
from dipmark.office.enter import enrol, enter, read_meter, release, report_fault, stop
from office.desk import LPG, at, clean_walk, desk, now, state
from office.taking import NOW, yard


def test_the_past_is_judged_by_when_it_happened_whenever_it_was_received() -> None:
    with desk() as office:
        clean_walk(office, at("2026-11-10T05:00"))
        stop(office, "7", "leak", at("2026-11-10T12:00"))
        release(office, "7", at("2026-11-11T12:00"), tests=(), note=None)
        seen = {
            text: state(office, as_of=at(text).happened)
            for text in ("2026-11-10T04:59", "2026-11-10T05:00", "2026-11-10T12:00", "2026-11-11T12:00")
        }
        assert seen == {
            "2026-11-10T04:59": "not-checked",
            "2026-11-10T05:00": "checked",
            "2026-11-10T12:00": "out-of-service",
            "2026-11-11T12:00": "not-checked",
        }


def test_a_truck_counts_from_the_day_it_was_commissioned() -> None:
    with desk() as office:
        with pytest.raises(NotFound, match="not enrolled yet at 2026-01-04"):
            look.truck(office, "7", at("2026-01-04T23:59").happened)
        assert look.truck(office, "7", at("2026-01-05T00:00").happened).name == "7"
        assert [one.name for one in look.trucks(office, at("2026-01-04T23:00").happened)] == []


def test_one_without_a_date_counts_from_its_first_fact() -> None:
    with yard() as office:
        enrol(office, "3", Enrolled(what=LPG), at("2026-11-19T08:00"))
        read_meter(office, "3", Decimal(10), at("2026-11-01T08:00"))
        assert look.truck(office, "3", at("2026-11-01T08:00").happened).hours == 10


def test_names_are_found_as_people_write_them_and_near_ones_are_named() -> None:
    with yard() as office:
        for name in ("T 07", "T 17", "2", "10"):
            enrol(office, name, Enrolled(what=LPG), at("2026-11-01T08:00"))
        assert look.book_of(office, " t  07 ") == "truck:T 07"
        with pytest.raises(NotFound, match="Is it T 07"):
            look.book_of(office, "T-07")
        with pytest.raises(NotFound, match=r"No truck zebra is enrolled\.$"):
            look.book_of(office, "zebra")
        assert [one.name for one in look.trucks(office, NOW)] == ["2", "10", "T 07", "T 17"]


def test_a_truck_that_has_left_is_off_the_board_and_its_book_stays() -> None:
    with desk() as office:
        enter(office, [office.fact(BookId("truck:7"), Retired(how="sold"), at("2026-11-19T08:00").happened)])
        assert [row.truck for row in board.yard_board(office, NOW)] == ["12", "20"]
        assert [one.name for one in look.trucks(office, NOW, retired=True)] == ["7", "12", "20"]
        assert look.page_of(office, "7", NOW).row.truck == "7"


def test_progress_is_told() -> None:
    with desk() as office:
        told: list[tuple[int, int]] = []
        board.yard_board(office, NOW, lambda done, whole: told.append((done, whole)))
        assert told == [(1, 3), (2, 3), (3, 3)]


def test_board_due_list_page_and_log_speak_of_the_same_yard() -> None:
    with desk() as office:
        clean_walk(office, at("2026-11-20T05:00"), hours="149")
        report_fault(office, "7", "seat torn", at("2026-11-20T05:10"), seriousness="watch")
        held = HeldBy(who="driver", person=office.by)
        enter(office, [office.fact(BookId("truck:7"), held, at("2026-11-20T05:20").happened)])
        hooks, due = board.board_and_due(office, NOW)
        assert hooks == board.yard_board(office, NOW)
        assert due == look.due_list(office, NOW)
        page = look.page_of(office, "7", NOW)
        assert page.row == hooks[0]
        assert page.row.hours == 149
        assert page.code.startswith("4-")
        log = look.log_of(office, "7", NOW)
        assert [row.kind for row in log] == ["enrolled", "walk-round", "fault", "held-by"]
        assert {row.by for row in log} == {"Ana"}
        assert log[-1].says == "who driver, person Ana"
        assert look.log_of(office, "7", at("2026-11-20T05:05").happened) == log[:2]


def test_now_where_no_time_is_given() -> None:
    with desk() as office:
        assert look.as_of_or_now(office, None) == NOW
        assert look.as_of_or_now(office, "2026-11-01").date() == date(2026, 11, 1)
        assert now(office).hours == 0

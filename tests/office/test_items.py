"""Items enrolled, fitted and taken off at a desk."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.facts.base import YARD, BookId, PersonKey, truck_book
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.fitted import Fitted
from dipmark.facts.truck import Retired
from dipmark.office.access import Asker
from dipmark.office.board import yard_board
from dipmark.office.enter import enter
from dipmark.office.items import (
    ITEM_ELSEWHERE,
    ITEM_NOT_THERE,
    ITEM_UNFIT,
    carries,
    enrol_item,
    fit,
    item,
    item_of,
    items,
    items_seen,
    meters_for,
    names_item,
    not_so,
    stays,
    take_off,
)
from dipmark.office.look import book_of, truck
from dipmark.office.open import Office
from dipmark.office.plate import read_plate
from office.desk import at, desk

BEFORE, THEN, NOON = at("2026-11-19T05:00"), at("2026-11-19T06:00"), at("2026-11-20T05:00")


def clamp(office: Office) -> None:
    enrol_item(office, " clamp  3 ", "attachment", BEFORE, serial="K-9")


def test_an_item_hangs_on_one_truck_and_then_on_another() -> None:
    with desk() as office:
        clamp(office)
        fit(office, "7", "CLAMP 3", THEN, hours=Decimal(12), position="carriage")
        with pytest.raises(Refused, match=r"clamp 3 on truck 7 since .* Take it off there first") as refusal:
            fit(office, "12", "clamp 3", NOON)
        assert [one.code for one in refusal.value.problems] == [ITEM_ELSEWHERE]
        take_off(office, "7", "clamp 3", NOON, hours=Decimal(20), note="for the night")
        fit(office, "12", "clamp 3", NOON)
        now = item(office, "clamp 3", NOON.happened)
        assert [(one.truck, one.position) for one in now.stays] == [("truck:7", "carriage"), ("truck:12", None)]
        assert set(meters_for(office, now, NOON.happened)) == {"truck:7", "truck:12"}
        assert len(stays(office, THEN.happened)) == 1
        at_noon = carries(office, truck(office, "12", NOON.happened), NOON.happened)
        assert [one.rule for one in at_noon.stops] == ["combination.plate"]
        assert carries(office, truck(office, "7", NOON.happened), NOON.happened).on == ()


def test_a_plate_read_for_it_lets_the_combination_work() -> None:
    with desk() as office:
        clamp(office)
        read_plate(office, "7", ["capacity=1800 kg"], "plate", THEN, fitted=["clamp 3"])
        fit(office, "7", "clamp 3", NOON)
        found = carries(office, truck(office, "7", NOON.happened), NOON.happened)
        assert (found.stops, found.plate is not None) == ((), True)


def test_what_is_not_there_or_not_known_is_refused() -> None:
    with desk() as office:
        clamp(office)
        for where in ("no truck", "truck 7"):
            with pytest.raises(Refused, match=f"clamp 3 on {where}") as refusal:
                take_off(office, "12", "clamp 3", NOON)
            assert [one.code for one in refusal.value.problems] == [ITEM_NOT_THERE]
            if where == "no truck":
                fit(office, "7", "clamp 3", THEN)
        with pytest.raises(NotFound, match=r"No item clomp 3 is enrolled\. Is it clamp 3\?"):
            fit(office, "7", "clomp 3", NOON)
        for name, what in (("", "attachment"), ("x", "airship")):
            with pytest.raises(Refused) as refusal:
                enrol_item(office, name, what, NOON)
            assert [one.code for one in refusal.value.problems] == [ITEM_UNFIT]
        with pytest.raises(Refused, match="not yet enrolled"):
            clamp(office)
        with pytest.raises(NotFound, match="not enrolled yet"):
            item(office, "clamp 3", at("2020-01-01T00:00").happened)


def test_its_kind_may_be_said_again_but_no_other() -> None:
    with desk() as office:
        fit(office, "7", "clamp 3", THEN, what="attachment")
        take_off(office, "7", "clamp 3", THEN)
        with pytest.raises(Refused, match=r"clamp 3: attachment; expected harness") as refusal:
            fit(office, "7", "clamp 3", NOON, what="harness")
        assert [one.code for one in refusal.value.problems] == [ITEM_UNFIT]
        fit(office, "7", "clamp 3", NOON, what="attachment")
        assert item(office, "clamp 3", NOON.happened).on is not None


def test_what_has_left_the_yard_is_fitted_no_more() -> None:
    with desk() as office:
        clamp(office)
        enter(office, [office.fact(book_of(office, "clamp 3", "item"), Retired(how="scrapped"), THEN.happened)])
        with pytest.raises(Refused, match="clamp 3: scrapped"):
            fit(office, "7", "clamp 3", NOON)
        assert [one.name for one in items(office, NOON.happened)] == ["clamp 3"]


def test_somebody_outside_sees_what_hangs_on_his_trucks() -> None:
    with desk() as office:
        clamp(office)
        enrol_item(office, "forks 1", "fork-pair", BEFORE)
        enrol_item(office, "forks 2", "fork-pair", BEFORE)
        fit(office, "7", "clamp 3", THEN)
        books = frozenset({YARD, truck_book("7"), BookId("item:forks 2")})
        glen = Asker(person=PersonKey("p"), name="Glen", roles=("outside-mechanic",), books=books)
        assert [one.name for one in items_seen(office, glen, NOON.happened)] == ["clamp 3", "forks 2"]


def test_the_key_board_says_which_truck_may_not_work_with_what_hangs_on_it() -> None:
    with desk() as office:
        clamp(office)
        enrol_item(office, "forks 1", "fork-pair", BEFORE)
        fit(office, "12", "forks 1", THEN)
        assert not_so(office, NOON.happened) == {}
        fit(office, "7", "clamp 3", THEN)
        (hook,) = [row for row in yard_board(office, NOON.happened) if row.not_so]
        assert hook.truck == "7"
        assert "no capacity plate read on this truck names that" in hook.not_so[0]


def test_an_item_has_its_page_by_its_name_where_no_truck_is_called_so() -> None:
    with desk() as office:
        clamp(office)
        fit(office, "7", "clamp 3", THEN)
        there = Fitted(item=book_of(office, "clamp 3", "item"))
        enter(office, [office.fact(truck_book("12"), there, NOON.happened)])
        assert (names_item(office, "CLAMP 3"), names_item(office, "7"), names_item(office, "x")) == (True, False, False)
        page = item_of(office, "clamp 3", NOON.happened)
        assert [stay.truck for stay in page.stays] == ["12", "7"]
        assert [stay.doubt[:14] for stay in page.stays] == ["", "Hung elsewhere"]

"""People and their names."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.facts.base import UNNAMED, PersonKey, truck_book
from dipmark.facts.errors import NotFound
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.office.people import BLANKED
from office.taking import NOW, yard


def test_a_name_is_found_as_people_compare_names() -> None:
    with yard() as office:
        key = office.people.key_or_new("Ana  Ruiz")
        assert office.people.key_or_new(" ana ruiz") == key
        assert office.people.key_of("ANA RUIZ") == key
        assert office.people.key_of("Bo") is None
        assert key not in {office.people.key_or_new("Bo"), UNNAMED}


def test_nobody_in_particular_is_unnamed() -> None:
    with yard() as office:
        assert office.people.key_or_new("  ") == UNNAMED
        assert office.people.key_or_new("Unnamed") == UNNAMED


def test_a_new_name_is_written_with_the_first_fact_and_not_before(tmp_path: Path) -> None:
    address = str(tmp_path / "yard.db")
    with yard(address) as office:
        key = office.people.key_or_new("Ana")
        office.people.key_or_new("Only looked")
        assert office.store.names() == {}
        book = truck_book("7")
        office.append([office.fact(book, Enrolled(what="reach"), NOW, by=key)])
        assert office.store.names() == {key: "Ana"}
        office.append([office.fact(book, MeterRead(hours=Decimal(1)), NOW + timedelta(hours=1), by=key)])
    with yard(address) as office:
        assert office.people.key_of("ana") == key
        assert office.people.names() == {UNNAMED: "unnamed", key: "Ana"}


def test_a_blanked_name_is_gone_and_the_record_still_verifies(tmp_path: Path) -> None:
    with yard(str(tmp_path / "yard.db")) as office:
        key = office.people.key_or_new("Ana")
        office.append([office.fact(truck_book("7"), Enrolled(what="reach"), NOW, by=key)])
        assert office.people.blank("ANA") == key
        assert office.people.names()[key] == BLANKED
        assert office.people.key_of("Ana") is None
        assert office.people.key_or_new("Ana") != key
        assert office.store.verify() == ()
        assert b"Ana" not in (tmp_path / "yard.db").read_bytes()


def test_a_name_that_was_never_written_is_forgotten_when_blanked() -> None:
    with yard() as office:
        key = office.people.key_or_new("Ana")
        assert office.people.blank("Ana") == key
        assert office.people.new_names([key]) == {}


@pytest.mark.parametrize("name", ["Bo", "unnamed", ""])
def test_nobody_to_blank(name: str) -> None:
    with yard() as office, pytest.raises(NotFound, match="nothing was blanked"):
        office.people.blank(name)


def test_the_person_who_opens_the_office_is_only_written_with_a_fact() -> None:
    with yard() as office:
        office.by = office.people.key_or_new("Lead hand")
        assert office.store.names() == {}
        office.append([office.fact(truck_book("7"), Enrolled(what="reach"), NOW)])
        assert list(office.store.names().values()) == ["Lead hand"]
        assert PersonKey(office.by) in office.store.names()

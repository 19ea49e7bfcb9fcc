"""Search: what is not his to see is not found."""

from __future__ import annotations

from dipmark.facts.base import YARD, BookId, PersonKey, truck_book
from dipmark.facts.people import PersonSet
from dipmark.office.access import Asker
from dipmark.office.enter import report_fault
from dipmark.office.find import find
from office.desk import at, desk

NOON = at("2026-11-20T05:30")


def asker(*roles: str, books: frozenset[BookId] | None = None) -> Asker:
    return Asker(person=PersonKey("me"), name="Me", roles=roles, books=books)  # type: ignore[arg-type]


def test_of_the_logbooks_the_latest_comes_first_whatever_the_truck() -> None:
    with desk() as office:
        report_fault(office, "7", "puddle one", at("2026-11-18T05:30"))
        report_fault(office, "12", "puddle two", at("2026-11-19T05:30"))
        report_fault(office, "7", "puddle three", NOON)
        found = find(office, asker("lead"), "puddle")["log"]
        assert [(hit.key, hit.text.split()[-1]) for hit in found] == [("7", "three"), ("12", "two"), ("7", "one")]


def test_a_word_of_a_fault_finds_the_fault_and_its_entry() -> None:
    with desk() as office:
        report_fault(office, "7", "puddle under the axle", NOON)
        me = office.fact(YARD, PersonSet(person=PersonKey("me"), roles=("lead",), firm="Tollgate"), NOON.happened)
        office.append([me], {PersonKey("me"): "Mo Berg"})
        found = find(office, asker("lead"), "  Puddle axle ")
        assert set(found) == {"fault", "log"}
        assert [hit.key for hit in found["fault"]] == ["7"]
        assert [hit.title for hit in find(office, asker("lead"), "berg")["person"]] == ["Mo Berg"]
        assert [hit.title for hit in find(office, asker("driver"), "tollgate")["person"]] == ["Mo Berg"]
        outside = asker("driver", books=frozenset((truck_book("12"),)))
        assert find(office, outside, "puddle axle") == {}
        assert [hit.key for hit in find(office, outside, "reach")["truck"]] == ["12"]
        assert "rule" in find(office, asker("lead"), "chain")
        assert find(office, asker("lead"), " ") == {}

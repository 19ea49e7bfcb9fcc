"""An examination noted at the desk is the paper that the law asks for."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from dipmark.facts.base import YARD
from dipmark.facts.document import Document
from dipmark.facts.errors import Refused
from dipmark.facts.people import YardSet
from dipmark.facts.work import Worked
from dipmark.office import enter
from dipmark.office.look import due_list
from dipmark.office.open import Office
from office.desk import at, clean_walk, desk, now, state
from office.taking import NOW, bodies

EARLY = at("2026-11-20T05:00")


def settle(office: Office, country: str) -> None:
    enter.enter(office, [office.fact(YARD, YardSet(country=country), EARLY.happened)])


def work(office: Office, *services: str, hours: Decimal | None = None) -> enter.Entered:
    return enter.work(office, "7", services, EARLY, hours=hours, text=None, left_out=(), minutes=None)


def test_noted_by_its_id_it_clears_the_truck() -> None:
    with desk() as office:
        settle(office, "GB")
        clean_walk(office, EARLY)
        assert state(office) == "out-of-service"
        work(office, "thorough-examination", hours=Decimal(40))
        assert state(office) == "checked"
        (fact,) = bodies(office, Document)
        paper = fact.body
        assert isinstance(paper, Document)
        assert (paper.what, paper.title, paper.fit) == ("examination", "Report", None)
        assert [(line.text, line.duty) for line in paper.lines] == [("Thorough examination", "thorough-examination")]
        assert bodies(office, Worked) == []
        row = next(row for row in due_list(office, NOW) if (row.truck, row.service) == ("7", "thorough-examination"))
        assert (str(row.due_date), row.state) == ("2027-11-20", "later")
        assert state(office, as_of=NOW + timedelta(days=366)) == "out-of-service"


def test_beside_a_service_both_are_written() -> None:
    with desk() as office:
        settle(office, "GB")
        work(office, "150h", "thorough-examination")
        (fact,) = bodies(office, Worked)
        assert isinstance(fact.body, Worked)
        assert fact.body.services == ("150h",)
        assert len(bodies(office, Document)) == 1


def test_what_is_no_examination_of_a_truck_is_refused_and_the_ids_are_named() -> None:
    with desk() as office:
        settle(office, "GB")
        for word in ("walk-round", "accessory-examination", "thorough"):
            with pytest.raises(Refused, match=r"8h, .*thorough-examination, inspection"):
                work(office, word)


def test_without_a_country_it_is_no_service_that_anybody_knows() -> None:
    with desk() as office:
        with pytest.raises(Refused, match="thorough-examination"):
            work(office, "thorough-examination")
        assert now(office).duties == ()
        assert office.yard.country is None

"""Who has had a truck, in words."""

from __future__ import annotations

from derive.builders import ENROLLED, KIND, ZONE, at, truck
from derive.test_custody import BACK, DRIVEN, HIRED, held
from dipmark.facts.base import PersonKey
from dipmark.views.custody import CustodyPage, custody_page


def page(text: str, as_of: str = "2026-03-02T00:00:00") -> CustodyPage:
    names = {PersonKey("p-dan"): "Dan"}
    return custody_page(truck(ENROLLED + text, as_of, KIND), names, at(as_of), ZONE)


def test_the_latest_comes_first_with_who_and_what_he_owed() -> None:
    found = page(HIRED + DRIVEN + BACK)
    assert [(one.who.split(", ")[-1], one.owes) for one in found.spans[1:3]] == [
        ("Dan", "150h, thorough-examination"),
        ("2026-02-28", "150h, thorough-examination"),
    ]
    assert (found.spans[0].end, found.waits) == ("", ())
    assert found.owed == ("150h: Quayside Hire",)
    assert page(held("2026-02-01T08:00", "driver", "  person p-x\n")).spans[0].who.endswith("p-x")


def test_what_is_not_the_yards_now_is_told_with_whose_it_is() -> None:
    driven = HIRED + DRIVEN
    assert page(driven, "2026-03-01T10:00:00").owed == ("8h: Dan", "150h: Quayside Hire")
    nobody = held("2026-02-01T08:00", "driver")
    assert page(nobody).owed == ("8h: driver",)
    assert page("").owed == ()


def test_past_its_day_it_says_so() -> None:
    assert "still here, 2 days over" in page(HIRED).over


def test_of_a_laid_up_truck_it_is_told_what_fell_due() -> None:
    found = page(held("2026-02-01T08:00", "laid-up", '  note "blocked up"\n'))
    assert found.waits[0].startswith("8h: ")
    assert found.spans[0].note == "blocked up"

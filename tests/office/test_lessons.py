"""Lessons from the store: every truck, its letters, its money."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import msgspec

from dipmark.derive.state import options_of
from dipmark.facts.base import YARD, BookId, Reading
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Money, Worked
from dipmark.office.lessons import learnt, lessons_of, page_for
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.views.compiled_sheet import letter_of, place_asked
from dipmark.views.lessons import Watcher
from dipmark.views.walk_round import check_list
from office.desk import LPG, at, desk
from office.taking import NOW

START = at("2026-01-05T08:00").happened


def right_letter(office: Office, number: int) -> str:
    """The letter that hangs at the place asked on that day."""
    one, rules = truck(office, "7", NOW), office.rules
    kind = rules.kinds[LPG]
    asked = check_list(rules, kind, options_of(one.counting, kind), ())
    return letter_of(one.book, place_asked(one.book, asked, (START + timedelta(days=number)).date()))


def write(office: Office, by: str, numbers: range, *, wrong: bool) -> None:
    """A walk-round a day of truck 7, with the right letter or another."""
    key = office.people.key_or_new(by)
    facts = []
    for number in numbers:
        right = right_letter(office, number)
        letter = ("A" if right != "A" else "C") if wrong else right
        body = WalkRound(
            answers=(Answer(check="engine-oil.level"),), rules=office.rules.digest, letter=letter,
            meter=Reading(hours=Decimal(5 * number)),
        )  # fmt: skip
        facts.append(office.fact(BookId("truck:7"), body, START + timedelta(days=number), by=key))
    office.append(facts)


def test_letters_are_held_against_the_plates() -> None:
    with desk() as office:
        write(office, "Lee", range(1, 41), wrong=False)
        write(office, "Kim", range(41, 81), wrong=True)
        kim = office.people.key_or_new("Kim")
        told: list[tuple[int, int]] = []
        page = lessons_of(
            office, NOW, Watcher(kim, all=True, on=True), progress=lambda done, of: told.append((done, of))
        )
    assert told == [(1, 3), (2, 3), (3, 3)]
    letters = [row for row in page.signs.own if row.numbers["sign"] == "letter"]
    assert [(row.said, row.numbers["marked"], row.numbers["of"]) for row in letters] == [(True, 40, 40)]
    assert page.unheard == ("12", "20")


def test_letters_of_unknown_kinds_and_other_rules_are_not_held_against_anything() -> None:
    with desk() as office:
        write(office, "Lee", range(1, 41), wrong=False)
        other = WalkRound(answers=(Answer(check="x"),), rules="0" * 64, letter="Z")
        book = BookId("truck:99")
        airship = office.fact(book, Enrolled(what="airship"), START)
        body = msgspec.structs.replace(other, rules=office.rules.digest)
        lee = office.people.key_or_new("Lee")
        more = [office.fact(BookId("truck:7"), other, START + timedelta(days=50 + day), by=lee) for day in range(9)]
        office.append([airship, office.fact(book, body, START), *more])
        page = lessons_of(office, NOW, Watcher(lee, on=True))
    assert not any(row.said for row in page.signs.own)


def test_keeping_is_priced_in_the_currency_of_the_yard() -> None:
    with desk() as office:
        cost = Money(amount=Decimal(900), currency="EUR")
        pounds = Money(amount=Decimal(9), currency="GBP")
        facts = [
            office.fact(BookId("truck:7"), Worked(cost=money, meter=Reading(hours=Decimal(hours))), START + since)
            for money, hours, since in ((cost, 2, timedelta(hours=5)), (cost, 90, timedelta(days=60)),
                                        (pounds, 95, timedelta(days=61)))
        ]  # fmt: skip
        office.append(facts)
        as_of = START + timedelta(days=370)
        bare = lessons_of(office, as_of, Watcher())
        page = lessons_of(office, as_of, Watcher(), price=30000, rate=0.1, loses=0.25)
    assert not any("costs least a year" in row.text for section in bare.sections for row in section.rows)
    (row,) = [row for section in page.sections if section.id == "upkeep" for row in section.rows]
    assert "It costs least a year kept 1 year, or longer: 11,400." in row.text


def test_a_yard_without_money_prices_nothing() -> None:
    with desk() as office:
        page = lessons_of(office, NOW, Watcher(), price=30000, rate=0.1)
    assert page.advice[0].startswith("There is nothing to learn from yet")


def test_it_is_learnt_of_some_trucks_only() -> None:
    with desk() as office:
        facts = [
            office.fact(BookId(book), Worked(meter=Reading(hours=Decimal(5 * day))), START + timedelta(days=day))
            for book in ("truck:7", "truck:12")
            for day in (1, 60)
        ]
        office.append(facts)
        found = learnt(office, NOW, only={BookId("truck:7"), YARD})
        page = page_for(office, found, NOW, Watcher())
    assert found.trucks == 1
    assert {row.numbers.get("truck", "7") for section in page.sections for row in section.rows} == {"7"}

"""What keeps breaking: advice first, tables and curves behind it, and who sees what of people."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD, BookId, Reading
from dipmark.facts.people import YardSet
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.office.enter import report_fault
from dipmark.office.open import Office
from faces.web.pages.test_truck import NOON
from faces.web.running import Client, enter_person, sign_in_as, text_of
from office.desk import LPG
from office.taking import NOW

HASTY = "40 of 40 sheets made too quickly to have walked"


def walks(office: Office, book: str, by: str, first: int, seconds: int) -> None:
    """Forty walk-rounds, one a day, ending before the first of the month."""
    key = enter_person(office, by, "driver")
    facts = [
        office.fact(
            BookId(book),
            WalkRound(
                answers=tuple(Answer(check=check) for check in ("horn.heard", "forks.cracks")),
                meter=Reading(hours=Decimal(100 + 5 * day)),
                seconds=seconds + day % 3,
            ),
            NOW - timedelta(days=200 - day),
            by=key,
        )
        for day in range(first, first + 40)
    ]
    office.append(facts)


def told(site: Site, country: str | None = "GB") -> None:
    """Truck 7 with an honest and a hasty driver, truck 12 with an honest one, and faults."""
    office = site.office
    if country is not None:
        office.append([office.fact(YARD, YardSet(country=country), NOW - timedelta(days=300))])
    walks(office, "truck:7", "Hal", 0, 1)
    walks(office, "truck:7", "Ann", 40, 240)
    walks(office, "truck:12", "Ann", 80, 240)
    for number in ("7", "12"):
        report_fault(office, number, "horn dumb", NOON, check="horn.heard")


def test_a_yard_that_has_nothing_to_learn_from_says_so(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    said = text_of(client.get("/lessons").text)
    assert "There is nothing to learn from yet" in said
    assert "a works council may have to agree first" in said


def test_advice_stands_first_then_each_question_with_its_table(client: Client, site: Site) -> None:
    told(site)
    sign_in_as(client, site, "Mo", "mechanic")
    page = client.get("/lessons").text
    said = text_of(page)
    at = [said.index(text) for text in ("Nothing in this record asks", "Does a truck wear out?", "What fails?")]
    assert at == sorted(at)
    assert said.index("a licensed or competent person decide") < at[1]
    assert '<th scope="row"><a href="/truck/12">12</a></th>' in page
    assert 'href="/lessons" aria-current="page"' in page
    assert '<polyline class="run"' in page
    assert "too few for limits" in said


def test_a_kind_of_truck_has_its_curves(client: Client, site: Site) -> None:
    told(site)
    sign_in_as(client, site, "Mo", "mechanic")
    assert f'href="/lessons/kind/{LPG}"' in client.get("/lessons").text
    page = client.get(f"/lessons/kind/{LPG}").text
    assert page.count('<polyline class="run"') == 2
    assert "horn" in text_of(page)
    assert "Are walk-rounds made?" not in page
    assert client.get("/lessons/kind/airship").status_code == 404


def test_each_sees_his_own_sheets_and_only_who_leads_those_of_others(client: Client, site: Site) -> None:
    told(site)
    seen = {}
    for name, role in (("Hal", "driver"), ("Ann", "driver"), ("Mo", "mechanic"), ("Lena", "lead"), ("Beth", "auditor")):
        sign_in_as(client, site, name, role)  # type: ignore[arg-type]
        seen[name] = f"Hal: {HASTY}" in text_of(client.get("/lessons").text)
    assert seen == {"Hal": True, "Ann": False, "Mo": False, "Lena": True, "Beth": False}


@pytest.mark.parametrize("country", ["DE", None])
def test_nobody_sees_any_where_a_works_council_must_agree(client: Client, site: Site, country: str | None) -> None:
    told(site, country)
    sign_in_as(client, site, "Lena", "lead")
    page = client.get("/lessons").text
    assert "Not shown: a works council" in page
    assert HASTY not in page
    assert "What is looked at" in page


def test_who_comes_from_outside_learns_of_his_trucks_only(client: Client, site: Site) -> None:
    told(site)
    sign_in_as(client, site, "Mo", "mechanic")
    assert "/truck/12" in client.get("/lessons").text
    sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    for path in ("/lessons", f"/lessons/kind/{LPG}", "/api/lessons"):
        answer = client.get(path)
        assert answer.status_code == 200
        assert "/truck/12" not in answer.text
        assert '"truck":"12"' not in answer.text
    assert '"truck":"7"' in client.get("/api/lessons").text


def test_it_is_worked_out_once_an_hour(client: Client, site: Site) -> None:
    told(site)
    sign_in_as(client, site, "Mo", "mechanic")
    before = client.get("/lessons").text
    report_fault(site.office, "7", "mast bent", NOON)
    assert text_of(client.get("/lessons").text) == text_of(before)
    site.office.clock = lambda: NOW + timedelta(hours=1)
    assert "Truck 7: not enough to tell: 1 fault in 395 h" in text_of(before)
    assert "Truck 7: not enough to tell: 2 faults in 395 h" in text_of(client.get("/lessons").text)


def test_in_spanish_it_is_spanish(client: Client, site: Site) -> None:
    told(site)
    sign_in_as(client, site, "Mo", "mechanic")
    client.cookies.set("dipmark_language", "es")
    said = text_of(client.get("/lessons").text)
    for text in (
        "Lo que más se rompe",
        "Nada en este registro pide un cambio",
        "bocina 1",
        "En 1.000 h",
        "¿Qué falla?",
    ):
        assert text in said

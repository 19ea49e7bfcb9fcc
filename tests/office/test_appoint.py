"""Roles, permits, day cards, and a name taken out of the register."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from dipmark.facts.base import PersonKey, truck_book
from dipmark.facts.errors import NotAllowed, NotFound, Refused
from dipmark.facts.incident import Incident
from dipmark.office.access import Asker
from dipmark.office.appoint import (
    PERMIT_BARE,
    PERSON_NAMELESS,
    ROLE_MISSING,
    Given,
    Post,
    blank,
    enter_new,
    known_person,
    people_of,
    permit,
    set_post,
)
from dipmark.office.people import BLANKED
from dipmark.views.people import person_row
from office.desk import LPG, at, desk
from office.taking import NOW

NOON = at("2026-11-20T05:30")
OWNER = Asker(person=PersonKey("owner"), name="Owner", roles=("owner",))
LEAD = Asker(person=PersonKey("lead"), name="Lead", roles=("lead",))
DRIVER = Asker(person=PersonKey("driver"), name="Driver", roles=("driver",))


def codes(refusal: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [problem.code for problem in refusal.value.problems]


def test_somebody_new_stands_in_the_register_and_in_the_yards_book() -> None:
    with desk() as office:
        key = enter_new(office, LEAD, " Nils  Berg ", Post(roles=("driver",), trucks=("7",)), NOON)
        assert office.people.names()[key] == "Nils Berg"
        assert known_person(office, key).books == (truck_book("7"),)
        with pytest.raises(Refused) as refusal:
            enter_new(office, LEAD, "nils berg", Post(roles=("driver",)), NOON)
        assert codes(refusal) == [PERSON_NAMELESS]
        with pytest.raises(Refused) as refusal:
            enter_new(office, LEAD, "  ", Post(roles=("driver",)), NOON)
        assert codes(refusal) == [PERSON_NAMELESS]


@pytest.mark.parametrize("roles", [(), ("king",)])
def test_without_a_known_role_nobody_is_entered(roles: tuple[str, ...]) -> None:
    with desk() as office, pytest.raises(Refused) as refusal:
        enter_new(office, LEAD, "Nils", Post(roles=roles), NOON)
    assert codes(refusal) == [ROLE_MISSING]


def test_nobody_gives_a_role_above_his_own_or_touches_its_holder() -> None:
    with desk() as office:
        with pytest.raises(NotAllowed):
            enter_new(office, LEAD, "Nils", Post(roles=("owner",)), NOON)
        with pytest.raises(NotAllowed):
            enter_new(office, DRIVER, "Nils", Post(roles=("driver",)), NOON)
        boss = enter_new(office, OWNER, "Boss", Post(roles=("owner",)), NOON)
        with pytest.raises(NotAllowed):
            set_post(office, LEAD, boss, Post(roles=("driver",)), NOON)
        with pytest.raises(NotFound):
            set_post(office, LEAD, PersonKey("nobody"), Post(roles=("driver",)), NOON)


def test_who_has_left_is_said_so() -> None:
    with desk() as office:
        key = enter_new(office, LEAD, "Nils", Post(roles=("driver",)), NOON)
        set_post(office, LEAD, key, Post(roles=("driver",), gone=True, firm="Tollgate", skills=("forks",)), NOON)
        known = known_person(office, key)
        assert (known.gone, known.firm, known.skills) == (True, "Tollgate", ("forks",))


def test_a_permit_names_both_days_or_a_trainer_or_why_it_ends() -> None:
    with desk() as office:
        key = enter_new(office, LEAD, "Nils", Post(roles=("driver",)), NOON)
        with pytest.raises(Refused) as refusal:
            permit(office, LEAD, key, Given(kind=LPG, trained=date(2026, 1, 1)), NOON)
        assert codes(refusal) == [PERMIT_BARE]
        with pytest.raises(NotAllowed):
            permit(office, DRIVER, key, Given(kind=LPG, under=LEAD.person), NOON)

        def may() -> bool:
            return person_row(people_of(office, NOW), key).permits[0].may

        permit(office, LEAD, key, Given(kind=LPG, trained=date(2026, 1, 1), evaluated=date(2026, 1, 2)), NOON)
        assert may()
        permit(office, LEAD, key, Given(kind=LPG, withdrawn="raised mast"), NOON)
        assert not may()
        permit(office, LEAD, key, Given(kind=LPG, under=LEAD.person), NOON)
        assert may()
        ends = datetime(2026, 11, 20, 5, 45, tzinfo=UTC)
        card = Given(
            kind=LPG, trained=date(2026, 1, 1), evaluated=date(2026, 1, 2), ends=ends, certificate="agency card 4711"
        )
        permit(office, LEAD, key, card, NOON)
        assert not may()


def test_hits_of_the_trucks_stand_beside_the_driver() -> None:
    with desk() as office:
        key = enter_new(office, LEAD, "Nils", Post(roles=("driver",)), NOON)
        body = Incident(what="hit", text="a rack", person=key)
        office.append([office.fact(truck_book("7"), body, NOON.happened)])
        assert [one.body for one in people_of(office, NOW).incidents] == [body]


def test_only_the_owner_blanks_a_name_and_the_record_keeps_its_key() -> None:
    with desk() as office:
        key = enter_new(office, LEAD, "Nils", Post(roles=("driver",)), NOON)
        with pytest.raises(NotAllowed):
            blank(office, LEAD, key)
        blank(office, OWNER, key)
        assert office.people.names()[key] == BLANKED
        assert known_person(office, key).gone
        assert office.store.verify() == ()
        with pytest.raises(NotFound):
            blank(office, OWNER, key)


def test_who_has_left_already_is_only_blanked() -> None:
    with desk() as office:
        key = enter_new(office, LEAD, "Nils", Post(roles=("driver",)), NOON)
        set_post(office, LEAD, key, Post(roles=("driver",), gone=True), NOON)
        before = len(office.book(office.store.books()[-1]))
        blank(office, OWNER, key)
        assert len(office.book(office.store.books()[-1])) == before


def test_a_day_card_needs_the_certificate_that_was_seen() -> None:
    """29 CFR 1910.178(l)(6): certified; that the yard sees it before an agency's driver drives: common practice."""
    with desk() as office:
        key = enter_new(office, LEAD, "Dan", Post(roles=("driver",), firm="Quay Hands"), NOON)
        ends = datetime(2026, 11, 20, 5, 45, tzinfo=UTC)
        card = Given(kind=LPG, trained=date(2026, 1, 1), evaluated=date(2026, 1, 2), ends=ends)
        with pytest.raises(Refused, match="expected the certificate that was seen") as refusal:
            permit(office, LEAD, key, card, NOON)
        assert codes(refusal) == ["certificate-unseen"]

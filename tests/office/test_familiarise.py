"""A newcomer knows a truck once he has walked round it and whoever led him has confirmed it too."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.errors import NotAllowed, Refused
from dipmark.facts.people import PersonSet
from dipmark.office.access import Asker, Role
from dipmark.office.familiarise import NOT_A_LEADER, NOT_WALKED, confirm, known_since, walked_today
from dipmark.office.open import Office
from dipmark.office.sign_in import set_passphrase
from office.cheap import cheap_secrets
from office.desk import at, clean_walk, desk, now

NOON = at("2026-11-20T05:30")
PHRASE = "four plain old words"


@pytest.fixture(autouse=True)
def _cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    cheap_secrets(monkeypatch)


def enter(office: Office, name: str, *roles: Role) -> Asker:
    key = office.people.key_or_new(name)
    office.append([office.fact(YARD, PersonSet(person=key, roles=roles), office.clock(), by=key)])
    set_passphrase(office, key, PHRASE)
    return Asker(person=key, name=name, roles=roles)


@pytest.fixture
def office() -> Iterator[Office]:
    """Ruth leads, Nils is new and signed in."""
    with desk() as found:
        enter(found, "Ruth", "lead")
        found.by = enter(found, "Nils", "driver").person
        yield found


def nils(office: Office) -> Asker:
    return Asker(person=office.by, name="Nils", roles=("driver",))


def test_both_confirm_and_it_is_a_fact(office: Office) -> None:
    assert known_since(office, nils(office), now(office)) is None
    clean_walk(office, NOON)
    entered = confirm(office, nils(office), "7", "Ruth", PHRASE, "here", NOON)
    (fact,) = entered.accepted
    assert fact.fact.book == YARD
    assert fact.fact.body.led_by == office.people.key_of("Ruth")  # type: ignore[attr-defined]
    known = known_since(office, nils(office), now(office))
    assert known is not None
    assert known_since(office, nils(office), now(office, "20")) is None


def test_without_a_walk_round_of_his_that_day_nothing_is_confirmed(office: Office) -> None:
    clean_walk(office, at("2026-11-19T05:30"))
    with pytest.raises(Refused) as refusal:
        confirm(office, nils(office), "7", "Ruth", PHRASE, "here", NOON)
    assert [problem.code for problem in refusal.value.problems] == [NOT_WALKED]
    assert walked_today(office, nils(office), now(office)) is None
    me = office.by
    office.by = PersonKey("somebody-else")
    clean_walk(office, NOON)
    office.by = me
    assert walked_today(office, nils(office), now(office)) is None


def test_only_a_lead_hand_confirms_and_nobody_himself(office: Office) -> None:
    clean_walk(office, NOON)
    enter(office, "Dora", "driver")
    for who in ("Dora", "Nils"):
        with pytest.raises(Refused) as refusal:
            confirm(office, nils(office), "7", who, PHRASE, "here", NOON)
        assert [problem.code for problem in refusal.value.problems] == [NOT_A_LEADER]


def test_a_wrong_secret_confirms_nothing_and_leaves_no_session(office: Office) -> None:
    clean_walk(office, NOON)
    with pytest.raises(NotAllowed):
        confirm(office, nils(office), "7", "Ruth", "not her words at all", "here", NOON)
    assert known_since(office, nils(office), now(office)) is None

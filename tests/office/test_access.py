"""Who may do what: the table as it is meant, role by role."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from dipmark.facts.base import YARD, BookId, PersonKey, truck_book
from dipmark.facts.errors import NotAllowed, NotFound
from dipmark.facts.people import PersonSet
from dipmark.office.access import ACTS, MAY, ROLES, Act, Asker, Role, asker_of, book_seen
from dipmark.office.open import Office
from office.desk import desk

LOOKS: frozenset[Act] = frozenset({"look", "account", "people", "set-aside"})


@pytest.fixture
def office() -> Iterator[Office]:
    with desk() as found:
        yield found


def person(*roles: Role, books: tuple[str, ...] = (), gone: bool = False, office: Office) -> Asker | None:
    key = office.people.key_or_new("Mo")
    body = PersonSet(person=key, roles=roles, books=tuple(BookId(book) for book in books), gone=gone)
    office.append([office.fact(YARD, body, office.clock(), by=key)])
    return asker_of(office.yard, key, "Mo")


def test_every_role_stands_in_the_table() -> None:
    assert set(MAY) == set(ROLES)
    assert all(MAY[role] <= set(ACTS) for role in ROLES)
    assert all({"look", "account"} <= MAY[role] for role in ROLES)


def test_the_owner_may_everything_and_only_he_takes_off_another_mans_lock() -> None:
    assert MAY["owner"] == set(ACTS)
    assert [role for role in ROLES if "except" in MAY[role]] == ["owner"]


@pytest.mark.parametrize("role", ["auditor", "examiner"])
def test_who_only_looks_writes_nothing(role: Role) -> None:
    assert MAY[role] <= LOOKS


def test_a_driver_releases_nothing_and_a_mechanic_does() -> None:
    assert "release" not in MAY["driver"]
    assert "mend" not in MAY["driver"]
    assert {"mend", "release"} <= MAY["mechanic"]
    assert "release" not in MAY["outside-mechanic"]


def test_only_who_leads_sees_signs_of_careless_sheets_of_others() -> None:
    assert [role for role in ROLES if "watch" in MAY[role]] == ["lead", "owner"]


def test_two_roles_may_what_either_may(office: Office) -> None:
    both = person("auditor", "driver", office=office)
    assert both is not None
    assert (both.may("walk"), both.may("people"), both.may("release")) == (True, True, False)
    with pytest.raises(NotAllowed, match="mechanic, lead, owner"):
        both.must("release")


def test_whoever_has_left_or_has_no_role_is_nobody(office: Office) -> None:
    assert person("lead", gone=True, office=office) is None
    assert person(office=office) is None
    assert asker_of(office.yard, PersonKey("p-unknown"), "?") is None


def test_who_comes_from_outside_sees_the_trucks_named_for_him_and_no_others(office: Office) -> None:
    outside = person("outside-mechanic", books=("truck:7",), office=office)
    assert outside is not None
    assert (outside.sees(truck_book("7")), outside.sees(truck_book("12"))) == (True, False)
    assert book_seen(office, outside, " 7 ") == "truck:7"
    for name in ("12", "99", "yard"):
        with pytest.raises(NotFound, match=f"No truck {name} is enrolled.$"):
            book_seen(office, outside, name)
    none = person("examiner", office=office)
    assert none is not None
    assert not none.sees(truck_book("7"))


def test_who_belongs_to_the_yard_sees_every_truck_unless_some_are_named(office: Office) -> None:
    driver = person("driver", office=office)
    assert driver is not None
    assert book_seen(office, driver, "12") == "truck:12"
    bound = person("driver", "outside-mechanic", books=("truck:12",), office=office)
    assert bound is not None
    assert not bound.sees(truck_book("7"))


def test_nobody_gives_a_role_above_his_own() -> None:
    lead = Asker(person=PersonKey("p"), name="L", roles=("lead",))
    lead.must_give(("driver", "mechanic", "lead"))
    with pytest.raises(NotAllowed):
        lead.must_give(("driver", "owner"))
    with pytest.raises(NotAllowed):
        Asker(person=PersonKey("p"), name="M", roles=("mechanic",)).must_give(("driver",))
    Asker(person=PersonKey("p"), name="O", roles=("owner",)).must_give(ROLES)

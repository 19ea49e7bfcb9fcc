"""Links that work once, and phones that are known."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest

from dipmark.facts.base import PersonKey
from dipmark.facts.errors import NotAllowed, NotFound, Refused
from dipmark.office.access import Asker
from dipmark.office.devices import (
    HOLDS,
    calendar_link,
    device_link,
    device_of,
    enrol_device,
    forget_device,
    link_of,
    owners_link,
    passphrase_link,
    use_first,
)
from dipmark.office.open import Office
from dipmark.office.sign_in import asker_in, digest_of, sign_in
from office.cheap import cheap_secrets
from office.test_sign_in import LEAD, PHRASE, Clock, enter


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    cheap_secrets(monkeypatch)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def office(clock: Clock) -> Iterator[Office]:
    from dipmark.adapters.rulefiles import read_rules
    from dipmark.adapters.store import open_store

    with Office(open_store(":memory:", clock=clock, create=True), read_rules(), clock) as found:
        yield found


def test_the_owners_link_makes_one_owner_and_signs_him_in(office: Office) -> None:
    token = owners_link(office)
    assert link_of(office, token).what == "owner"
    with pytest.raises(Refused):
        use_first(office, token, "Owen", "short")
    asker = asker_in(office, use_first(office, token, "Owen", PHRASE))
    assert asker is not None
    assert (asker.name, asker.roles) == ("Owen", ("owner",))
    with pytest.raises(NotFound, match="used already"):
        use_first(office, token, "Mallory", PHRASE)


def test_a_second_owners_link_ends_the_first(office: Office) -> None:
    first = owners_link(office)
    owners_link(office)
    with pytest.raises(NotFound):
        link_of(office, first)


@pytest.mark.parametrize("what", HOLDS)
def test_a_link_ends_by_the_clock(office: Office, clock: Clock, what: str) -> None:
    made = {
        "owner": lambda: owners_link(office),
        "passphrase": lambda: passphrase_link(office, LEAD, enter(office, "Dan", "driver")),
        "device": lambda: device_link(office, LEAD, "gate phone"),
        "calendar": lambda: calendar_link(office, LEAD, "plan"),
    }
    token = made[what]()
    hold = next(time for name, time in HOLDS.items() if name == what)
    clock.wait(hold - timedelta(seconds=1))
    assert link_of(office, token).what == what
    clock.wait(timedelta(seconds=1))
    with pytest.raises(NotFound):
        link_of(office, token)


def test_a_person_sets_his_passphrase_himself(office: Office) -> None:
    dan = enter(office, "Dan", "driver")
    token = passphrase_link(office, LEAD, dan)
    assert asker_in(office, use_first(office, token, "", PHRASE)) is not None
    assert sign_in(office, "Dan", PHRASE, "here")[1].person == dan
    with pytest.raises(NotAllowed):
        passphrase_link(office, LEAD, enter(office, "Owen", "owner"))


def test_a_phone_becomes_known_once_and_is_forgotten_when_lost(office: Office) -> None:
    token = device_link(office, LEAD, "  gate   phone ")
    assert digest_of(token) == link_of(office, token).token
    held, device = enrol_device(office, token)
    assert (device.name, device.by_key) == ("gate phone", LEAD.person)
    assert device_of(office, held) == device
    assert office.store.sign_ins.devices() == (device,)
    with pytest.raises(NotFound):
        enrol_device(office, token)
    forget_device(office, LEAD, device.id)
    assert device_of(office, held) is None
    with pytest.raises(NotFound):
        forget_device(office, LEAD, device.id)


@pytest.mark.parametrize("name", ["", "  ", "x" * 61])
def test_a_phone_has_a_name(office: Office, name: str) -> None:
    with pytest.raises(Refused):
        device_link(office, LEAD, name)


def test_only_who_appoints_makes_phones_known(office: Office) -> None:
    driver = Asker(person=PersonKey("p-d"), name="D", roles=("driver",))
    with pytest.raises(NotAllowed):
        device_link(office, driver, "mine")
    with pytest.raises(NotAllowed):
        forget_device(office, driver, "x")


def test_a_link_is_good_for_what_it_was_made_for(office: Office) -> None:
    with pytest.raises(NotFound):
        enrol_device(office, owners_link(office))
    with pytest.raises(NotFound):
        use_first(office, device_link(office, LEAD, "gate"), "Owen", PHRASE)

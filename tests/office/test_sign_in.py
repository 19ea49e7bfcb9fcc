"""Signing in: what fits, what does not, and what a phone gets to know."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from argon2 import PasswordHasher, Type

from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.errors import NotAllowed, NotFound, Paused, Refused
from dipmark.facts.people import PersonSet
from dipmark.office import sign_in as module
from dipmark.office.access import Asker, Role
from dipmark.office.open import Office
from dipmark.office.sign_in import (
    IDLE,
    ITERATIONS,
    LONGEST,
    asker_in,
    badge_digest,
    begin_session,
    change_passphrase,
    change_pin,
    has_owner,
    issue_badge,
    issue_pin,
    key_of_pin,
    make_owner,
    phone_people,
    proof_holds,
    set_passphrase,
    set_pin,
    sign_in,
    sign_out,
)
from office.cheap import cheap_secrets
from office.taking import NOW

OWNER = Asker(person=PersonKey("p-owner"), name="Owner", roles=("owner",))
LEAD = Asker(person=PersonKey("p-lead"), name="Lead", roles=("lead",))
PHRASE = "four plain old words"
HERE = "192.0.2.7"


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now

    def wait(self, much: timedelta) -> None:
        self.now += much


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    cheap_secrets(monkeypatch)


def test_the_cost_of_a_secret_is_what_is_recommended() -> None:
    # RFC 9106, section 4, second recommended option: argon2id, 3 passes, 64 MiB, 4 lanes (from memory); 600,000
    # rounds of PBKDF2-HMAC-SHA256: what is commonly recommended, from memory
    held = PasswordHasher()
    assert (held.time_cost, held.memory_cost, held.parallelism, held.type) == (3, 65536, 4, Type.ID)
    assert ITERATIONS == 600_000


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def office(clock: Clock) -> Iterator[Office]:
    with Office(open_store(":memory:", clock=clock, create=True), read_rules(), clock) as found:
        yield found


def enter(office: Office, name: str, *roles: Role, gone: bool = False) -> PersonKey:
    key = office.people.key_or_new(name)
    office.append([office.fact(YARD, PersonSet(person=key, roles=roles, gone=gone), office.clock(), by=key)])
    return key


def wrong(office: Office, who: str, secret: str = "wrong", address: str = HERE) -> None:
    with pytest.raises(NotAllowed) as refused:
        sign_in(office, who, secret, address)
    assert str(refused.value) == module.WRONG


def test_rounds_and_salt_are_those_that_browsers_know() -> None:
    # RFC 7914, section 11, the second vector: PBKDF2-HMAC-SHA-256, 80,000 rounds, 64 bytes; its first 32 are ours
    made = hashlib.pbkdf2_hmac("sha256", b"Password", b"NaCl", 80_000)
    assert made.hex() == "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"
    assert key_of_pin("Password", b"NaCl") == hashlib.pbkdf2_hmac("sha256", b"Password", b"NaCl", 10)


def test_a_name_and_its_passphrase_let_in_whatever_the_capitals(office: Office) -> None:
    key = enter(office, "Lena Holm", "lead")
    set_passphrase(office, key, PHRASE)
    token, asker = sign_in(office, "  lena  HOLM", PHRASE, HERE)
    assert (asker.person, asker.name, asker.roles) == (key, "Lena Holm", ("lead",))
    assert asker_in(office, token) == asker
    held = office.store.sign_ins.account(key)
    assert held is not None
    assert held.passphrase is not None
    assert held.passphrase.startswith("$argon2id$")
    sign_out(office, token)
    assert asker_in(office, token) is None


def test_a_badge_and_its_pin_let_in_and_a_pin_without_the_badge_does_not(office: Office) -> None:
    key = enter(office, "Dan", "driver")
    badge, pin = issue_badge(office, LEAD, key), issue_pin(office, LEAD, key)
    assert sign_in(office, badge.lower().replace("-", " "), pin, HERE)[1].person == key
    wrong(office, "Dan", pin)
    wrong(office, badge, "000000")
    second = issue_badge(office, LEAD, key)
    wrong(office, badge, pin)
    assert sign_in(office, second, pin, HERE)[1].person == key


def test_nothing_says_which_part_was_wrong(office: Office) -> None:
    key = enter(office, "Lena", "lead")
    set_passphrase(office, key, PHRASE)
    without = enter(office, "Mo", "driver")
    gone = enter(office, "Pete", "driver", gone=True)
    set_passphrase(office, gone, PHRASE)
    for who, secret in (("Lena", "wrong"), ("Nobody", PHRASE), ("", ""), ("Mo", ""), ("Pete", PHRASE)):
        wrong(office, who, secret)
    badge = issue_badge(office, LEAD, without)
    wrong(office, badge, "")


@pytest.mark.parametrize("who", ["Lena", "Nobody At All"])
def test_after_five_wrong_tries_nothing_is_heard_for_longer_and_longer(office: Office, clock: Clock, who: str) -> None:
    set_passphrase(office, enter(office, "Lena", "lead"), PHRASE)
    for _ in range(5):
        wrong(office, who)
    pauses = []
    for _ in range(9):
        with pytest.raises(Paused) as pause:
            sign_in(office, who, PHRASE, HERE)
        pauses.append(pause.value.until - clock.now)
        clock.now = pause.value.until - timedelta(microseconds=1)
        with pytest.raises(Paused):
            sign_in(office, who, PHRASE, "192.0.2.99")
        clock.now = pause.value.until
        wrong(office, who)
    half = timedelta(seconds=30)
    assert pauses == [half, half * 2, half * 4, half * 8, half * 16, half * 32, half * 64, *[timedelta(hours=1)] * 2]


def test_a_right_try_forgives_the_account_and_one_of_the_address(office: Office, clock: Clock) -> None:
    set_passphrase(office, enter(office, "Lena", "lead"), PHRASE)
    for _ in range(4):
        wrong(office, "Lena")
    sign_in(office, "Lena", PHRASE, HERE)
    for _ in range(4):
        wrong(office, "Lena")
    assert office.store.sign_ins.tries([f"address:{HERE}"])[f"address:{HERE}"][0] == 8


def test_one_address_that_guesses_at_many_is_paused_for_all(office: Office) -> None:
    set_passphrase(office, enter(office, "Lena", "lead"), PHRASE)
    for number in range(20):
        wrong(office, f"Nobody {number}")
    with pytest.raises(Paused):
        sign_in(office, "Lena", PHRASE, HERE)
    assert sign_in(office, "Lena", PHRASE, "192.0.2.8")[1].name == "Lena"


def test_wrong_tries_are_forgotten_after_a_day(office: Office, clock: Clock) -> None:
    for _ in range(5):
        wrong(office, "Lena")
    clock.wait(timedelta(days=1, seconds=1))
    wrong(office, "Lena")
    assert [wrong_ for wrong_, _ in office.store.sign_ins.tries([f"address:{HERE}"]).values()] == [1]


def test_a_session_ends_when_idle_and_after_the_longest_shift(office: Office, clock: Clock) -> None:
    key = enter(office, "Lena", "lead")
    token = begin_session(office, key)
    clock.wait(IDLE)
    assert asker_in(office, token) is not None
    clock.wait(IDLE + timedelta(seconds=1))
    assert asker_in(office, token) is None
    token, begun = begin_session(office, key), clock.now
    while clock.now - begun <= LONGEST - timedelta(hours=1):
        clock.wait(timedelta(hours=1))
        assert asker_in(office, token) is not None
    clock.wait(timedelta(hours=1, seconds=1))
    assert asker_in(office, token) is None
    assert asker_in(office, "never given") is None


def test_sessions_older_than_the_longest_shift_are_swept_away(office: Office, clock: Clock) -> None:
    key = enter(office, "Lena", "lead")
    old = begin_session(office, key)
    clock.wait(LONGEST + timedelta(seconds=1))
    begin_session(office, key)
    assert office.store.sign_ins.session(module.digest_of(old)) is None


def test_whoever_leaves_is_out_at_once(office: Office) -> None:
    key = enter(office, "Lena", "lead")
    token = begin_session(office, key)
    enter(office, "Lena", "lead", gone=True)
    assert asker_in(office, token) is None


@pytest.mark.parametrize("pin", ["", "123", "123456789", "12a4", "١٢٣٥", "1111", "1234", "87654321"])
def test_a_pin_is_four_to_eight_digits_that_are_not_guessed_first(office: Office, pin: str) -> None:
    with pytest.raises(Refused):
        set_pin(office, enter(office, "Dan", "driver"), pin)


@pytest.mark.parametrize("phrase", ["", "123456789", "x" * 201])
def test_a_passphrase_has_ten_characters_or_more(office: Office, phrase: str) -> None:
    with pytest.raises(Refused):
        set_passphrase(office, enter(office, "Dan", "driver"), phrase)
    with pytest.raises(Refused):
        make_owner(office, "Dan", phrase)


def test_a_lead_hand_gives_badges_and_pins_and_not_to_an_owner(office: Office) -> None:
    owner, driver = enter(office, "Owen", "owner"), enter(office, "Dan", "driver")
    mechanic = Asker(person=PersonKey("p-m"), name="M", roles=("mechanic",))
    for give in (issue_badge, issue_pin):
        assert give(office, OWNER, owner)
        assert give(office, LEAD, driver)
        for asker, person in ((LEAD, owner), (mechanic, driver)):
            with pytest.raises(NotAllowed):
                give(office, asker, person)
        with pytest.raises(NotFound):
            give(office, LEAD, PersonKey("p-nobody"))


def test_a_new_secret_ends_every_session_of_its_holder(office: Office) -> None:
    key = enter(office, "Dan", "driver")
    set_passphrase(office, key, PHRASE)
    held = begin_session(office, key)
    token = change_passphrase(office, key, PHRASE, "another one to keep", HERE)
    assert asker_in(office, held) is None
    assert asker_in(office, token) is not None
    set_pin(office, key, "2580")
    token = change_pin(office, key, "2580", "135791", HERE)
    assert asker_in(office, token) is not None
    with pytest.raises(NotAllowed):
        change_pin(office, key, "2580", "135792", HERE)
    badge = issue_badge(office, LEAD, key)
    assert sign_in(office, badge, "135791", HERE)[1].person == key


def test_the_first_owner_is_made_once_with_a_fact_in_the_yards_book(office: Office) -> None:
    assert not has_owner(office)
    key = make_owner(office, "Owen Marsh", PHRASE)
    assert has_owner(office)
    assert office.yard.people[key].roles == ("owner",)
    assert sign_in(office, "Owen Marsh", PHRASE, HERE)[1].may("except")
    lead = enter(office, "Lena", "lead")
    assert make_owner(office, "lena", PHRASE) == lead
    assert office.yard.people[lead].roles == ("lead", "owner")
    before = len(office.book(YARD))
    make_owner(office, "Lena", PHRASE)
    assert len(office.book(YARD)) == before
    with pytest.raises(Refused, match="no name"):
        make_owner(office, "  ", PHRASE)


def test_an_owner_without_a_secret_or_who_has_left_is_none(office: Office) -> None:
    enter(office, "Owen", "owner")
    assert not has_owner(office)
    key = make_owner(office, "Owen", PHRASE)
    enter(office, "Owen", "owner", gone=True)
    assert office.yard.people[key].gone
    assert not has_owner(office)


def test_a_phone_knows_whoever_may_walk_round_and_no_secret(office: Office) -> None:
    dan, beth = enter(office, "Dan", "driver"), enter(office, "Beth", "auditor")
    for one in (dan, beth):
        issue_badge(office, OWNER, one)
        set_pin(office, one, "2580")
    set_pin(office, enter(office, "No Badge", "driver"), "2580")
    (known,) = phone_people(office)
    held = office.store.sign_ins.account(dan)
    assert held is not None
    assert held.salt is not None
    assert held.pin_key is not None
    assert (known.person, known.name, known.iterations) == (dan, "Dan", module.ITERATIONS)
    assert known.badge == held.badge
    assert known.salt == held.salt.hex()
    assert known.check == hashlib.sha256(key_of_pin("2580", held.salt)).hexdigest()[:2]
    assert held.pin_key.hex() not in str(known)


def test_the_check_on_a_phone_leaves_one_pin_in_256_possible() -> None:
    # so it tells a finder nothing that lets him in: of 10,000 PINs about 39 fit
    salt = b"salt of one man."
    fits = [pin for pin in range(10_000) if hashlib.sha256(key_of_pin(f"{pin:04d}", salt)).digest()[0] == 0x5A]
    assert 15 < len(fits) < 70


def test_a_sheet_signed_with_the_pin_holds_and_a_wrong_one_is_a_wrong_try(office: Office, clock: Clock) -> None:
    dan = enter(office, "Dan", "driver")
    set_pin(office, dan, "2580")
    held = office.store.sign_ins.account(dan)
    assert held is not None
    assert held.salt is not None
    sheet = b'{"truck":"7"}'
    proof = hmac.new(key_of_pin("2580", held.salt), sheet, "sha256").hexdigest()
    assert proof_holds(office, dan, sheet, proof, "device-1")
    assert proof_holds(office, dan, sheet, proof.upper(), "device-1")
    for tried in (sheet + b" ", b""):
        assert not proof_holds(office, dan, tried, proof, "device-1")
    for bad in ("", "é", "00" * 32):
        assert not proof_holds(office, dan, sheet, bad, "device-1")
    with pytest.raises(Paused):
        proof_holds(office, dan, sheet, proof, "device-2")
    clock.wait(timedelta(minutes=1))
    assert proof_holds(office, dan, sheet, proof, "device-2")
    assert not proof_holds(office, PersonKey("p-nobody"), sheet, proof, "device-2")


def test_a_new_pin_lets_its_holder_try_again_at_once(office: Office) -> None:
    dan = enter(office, "Dan", "driver")
    badge = issue_badge(office, LEAD, dan)
    for _ in range(5):
        wrong(office, badge)
    pin = issue_pin(office, LEAD, dan)
    assert sign_in(office, badge, pin, HERE)[1].person == dan


def test_badges_are_read_as_people_type_them() -> None:
    assert badge_digest("ab2c-defg") == badge_digest(" AB2C DEFG ")
    assert badge_digest("") != badge_digest("A")

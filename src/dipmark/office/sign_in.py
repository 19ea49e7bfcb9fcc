"""Sign in: passphrase, or badge and PIN, on a phone without network as well; pauses after wrong tries."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import pairwise
from typing import Final

import msgspec
from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from dipmark.adapters.store import Account, Session
from dipmark.derive.meter import micros
from dipmark.facts.base import YARD, PersonKey, folded
from dipmark.facts.errors import NotAllowed, NotFound, Paused, Refused
from dipmark.facts.people import PersonSet
from dipmark.facts.problems import Problem, code
from dipmark.office.access import Asker, Role, asker_of
from dipmark.office.open import Office, told

PIN_UNFIT: Final = code("pin-unfit", "A PIN is not 4 to 8 digits, or is one that is guessed first.")
PASSPHRASE_UNFIT: Final = code("passphrase-unfit", "A passphrase is too short or too long.")

NAME_MISSING: Final = code("name-missing", "A person is to be made known without a name.")

ITERATIONS: Final = 600_000
"""Rounds of PBKDF2-HMAC-SHA256 that make a key of a PIN, on the server and on the phone."""

IDLE: Final = timedelta(hours=2)
LONGEST: Final = timedelta(hours=14)
"""A session ends when nothing was heard so long, and after the longest shift in any case."""

SEEN_EVERY: Final = timedelta(minutes=5)
"""So often a session's last sign of life is written down."""

FREE_TRIES: Final = {"account": 5, "address": 20}
"""Wrong tries before the first pause; behind one address there may be a whole yard."""

FIRST_PAUSE: Final = timedelta(seconds=30)
LONGEST_PAUSE: Final = timedelta(hours=1)

BADGE_SIGNS: Final = 16
"""Characters of a badge's code: 80 bits, in the 32 signs of RFC 4648."""

WRONG: Final = "That does not fit. Look at both lines and try again."
"""Never says which part was wrong, nor whether anybody of that name is here."""

WAIT: Final = "Too many wrong tries. Wait, or ask the lead hand for a new PIN."


@cache
def _hasher() -> PasswordHasher:
    return PasswordHasher()


@cache
def _nobody() -> str:
    """What a passphrase is held against where there is no account, so that it takes as long."""
    return _hasher().hash(secrets.token_hex(16))


def digest_of(token: str) -> str:
    """What is kept of a token: nobody can sign in with it."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_token() -> str:
    """A new token of 256 random bits."""
    return secrets.token_urlsafe(32)


def key_of_pin(pin: str, salt: bytes) -> bytes:
    """The key that a PIN makes with a salt."""
    return hashlib.pbkdf2_hmac("sha256", pin.encode(), salt, ITERATIONS)


# ---------------------------------------------------------------------- signing in


def sign_in(office: Office, who: str, secret: str, address: str) -> tuple[str, Asker]:
    """Sign in with a name and a passphrase, or with a badge's code and its PIN.

    Args:
        office: the yard.
        who: a name, or the code on a badge.
        secret: the passphrase, or the PIN.
        address: where it comes from.

    Returns:
        The token of a new session, and who it is.

    Raises:
        Paused: too many wrong tries; this one was not looked at.
        NotAllowed: it does not fit, or he has no business here.
    """
    account, by_badge = _account(office, who)
    named = account.person if account else digest_of(folded(who))[:32]
    keys = (f"account:{named}", f"address:{address}")
    _count(office, keys)
    if not _fits(account, secret, by_badge=by_badge) or account is None:
        raise NotAllowed(WRONG)
    asker = asker_of(office.yard, account.person, office.people.names().get(account.person, account.person))
    if asker is None:
        raise NotAllowed(WRONG)
    office.store.sign_ins.forgive(*keys)
    return begin_session(office, account.person), asker


def begin_session(office: Office, person: PersonKey) -> str:
    """Begin a session and give back its token."""
    token, now = new_token(), office.clock()
    us = micros(now)
    session = Session(token=digest_of(token), person=person, began_us=us, seen_us=us)
    office.store.sign_ins.begin(session, micros(now - LONGEST))
    return token


def asker_in(office: Office, token: str) -> Asker | None:
    """Who holds a session's token; None where it has ended or he has left."""
    session = office.store.sign_ins.session(digest_of(token))
    if session is None:
        return None
    now = micros(office.clock())
    if now - session.seen_us > IDLE // timedelta(microseconds=1):
        return None
    if now - session.began_us > LONGEST // timedelta(microseconds=1):
        return None
    if now - session.seen_us > SEEN_EVERY // timedelta(microseconds=1):
        office.store.sign_ins.seen(session.token, now)
    return asker_of(office.yard, session.person, office.people.names().get(session.person, session.person))


def sign_out(office: Office, token: str) -> None:
    """End a session."""
    office.store.sign_ins.end(digest_of(token))


def _account(office: Office, who: str) -> tuple[Account | None, bool]:
    """The account meant, and whether by its badge."""
    found = office.store.sign_ins.account_of_badge(badge_digest(who))
    if found is not None:
        return found, True
    person = office.people.key_of(who) if folded(who) else None
    return (None if person is None else office.store.sign_ins.account(person)), False


def _fits(account: Account | None, secret: str, *, by_badge: bool) -> bool:
    if by_badge and account is not None and account.pin_key and account.salt:
        return hmac.compare_digest(key_of_pin(secret, account.salt), account.pin_key)
    held = account.passphrase if account is not None else None
    try:
        _hasher().verify(held or _nobody(), secret)
    except (VerificationError, InvalidHashError):
        return False
    return held is not None


def _count(office: Office, keys: tuple[str, str]) -> None:
    until = office.store.sign_ins.count_try(keys, micros(office.clock()), _paused_until)
    if until:
        raise _pause(until)


def _pause(until_us: int) -> Paused:
    moment = datetime.fromtimestamp(until_us / 1_000_000, UTC)
    return Paused(WAIT, moment)


def _paused_until(who: str, wrong: int, last_us: int) -> int:
    """Nothing is heard for half a minute after so many wrong tries, and twice as long after each more."""
    over = wrong - FREE_TRIES[who.partition(":")[0]]
    if over < 0:
        return 0
    pause: timedelta = min(FIRST_PAUSE * 2 ** min(over, 20), LONGEST_PAUSE)
    return last_us + pause // timedelta(microseconds=1)


# ---------------------------------------------------------------------- passphrase, badge, PIN


def set_passphrase(office: Office, person: PersonKey, passphrase: str) -> None:
    """Set a person's passphrase; every session of his ends.

    Raises:
        Refused: it is shorter than 10 characters or longer than 200.
    """
    if problem := _passphrase_problem(passphrase):
        raise _refused(problem)
    kept = _kept(office, person)
    office.store.sign_ins.put_account(msgspec.structs.replace(kept, passphrase=_hasher().hash(passphrase)))


def _passphrase_problem(passphrase: str) -> Problem | None:
    if 10 <= len(passphrase) <= 200:
        return None
    expected = "10 to 200 characters: three or four words are easier than signs"
    return Problem(PASSPHRASE_UNFIT, f"{len(passphrase)} characters", expected)


def set_pin(office: Office, person: PersonKey, pin: str) -> None:
    """Set a person's PIN; every session of his ends, and phones learn of it when next in the network.

    Raises:
        Refused: it is not 4 to 8 digits, or one that is guessed first.
    """
    if not (pin.isascii() and pin.isdecimal() and 4 <= len(pin) <= 8):
        raise _refused(Problem(PIN_UNFIT, "something else", "4 to 8 digits"))
    if _guessed_first(pin):
        raise _refused(Problem(PIN_UNFIT, "one digit over and over, or digits in a row", "one that is not guessed"))
    salt = secrets.token_bytes(16)
    kept = msgspec.structs.replace(_kept(office, person), salt=salt, pin_key=key_of_pin(pin, salt))
    office.store.sign_ins.put_account(kept)
    office.store.sign_ins.forgive(f"account:{person}", "")


def _guessed_first(pin: str) -> bool:
    steps = {int(after) - int(before) for before, after in pairwise(pin)}
    return steps in ({0}, {1}, {-1})


def change_passphrase(office: Office, person: PersonKey, secret: str, new: str, address: str) -> str:
    """Change one's own passphrase; every session ends, and the token of a new one is given back.

    Args:
        office: the yard.
        person: who.
        secret: the passphrase or PIN he has, whichever.
        new: the passphrase.
        address: where it comes from.

    Raises:
        NotAllowed: the secret does not fit.
        Paused: too many wrong tries.
        Refused: the new one does not do.
    """
    _prove(office, person, secret, address)
    set_passphrase(office, person, new)
    return begin_session(office, person)


def change_pin(office: Office, person: PersonKey, secret: str, new: str, address: str) -> str:
    """Change one's own PIN; see `change_passphrase`."""
    _prove(office, person, secret, address)
    set_pin(office, person, new)
    return begin_session(office, person)


def _prove(office: Office, person: PersonKey, secret: str, address: str) -> None:
    keys = (f"account:{person}", f"address:{address}")
    _count(office, keys)
    account = office.store.sign_ins.account(person)
    if not any(_fits(account, secret, by_badge=by_badge) for by_badge in (False, True)):
        raise NotAllowed(WRONG)
    office.store.sign_ins.forgive(*keys)


def issue_pin(office: Office, asker: Asker, person: PersonKey) -> str:
    """Give a person a new PIN, shown once.

    Raises:
        NotAllowed: that is not for the one who asks to do.
    """
    must_set(office, asker, person)
    pin = "0000"
    while _guessed_first(pin):
        pin = f"{secrets.randbelow(1_000_000):06d}"
    set_pin(office, person, pin)
    return pin


def issue_badge(office: Office, asker: Asker, person: PersonKey) -> str:
    """Give a person a new badge, and back its code, shown once; the one before no longer opens anything.

    Raises:
        NotAllowed: that is not for the one who asks to do.
    """
    must_set(office, asker, person)
    badge = base64.b32encode(secrets.token_bytes(BADGE_SIGNS * 5 // 8)).decode()
    kept = msgspec.structs.replace(_kept(office, person), badge=badge_digest(badge))
    office.store.sign_ins.put_account(kept)
    return "-".join(badge[start : start + 4] for start in range(0, BADGE_SIGNS, 4))


def badge_digest(code_: str) -> str:
    """SHA-256 of a badge's code as people type it: capitals, blanks and hyphens do not matter."""
    return digest_of("".join(sign for sign in code_.upper() if sign.isalnum()))


def must_set(office: Office, asker: Asker, person: PersonKey) -> None:
    """Stop somebody who may not change how that person signs in.

    Raises:
        NotAllowed: he may not.
        NotFound: nobody of that key is in the yard.
    """
    asker.must("appoint")
    known = office.yard.people.get(person)
    if known is None:
        raise NotFound("Nobody of that key is in the yard.")
    asker.must_give(known.roles)


def _kept(office: Office, person: PersonKey) -> Account:
    return office.store.sign_ins.account(person) or Account(person=person)


def _refused(problem: Problem) -> Refused:
    return Refused(told([problem]), [problem])


# ---------------------------------------------------------------------- the first owner


def has_owner(office: Office) -> bool:
    """True where somebody who owns the yard can sign in."""
    people = office.yard.people
    return any(
        "owner" in people[one.person].roles and not people[one.person].gone
        for one in office.store.sign_ins.accounts()
        if one.person in people and (one.passphrase or one.pin_key)
    )


def make_owner(office: Office, name: str, passphrase: str, roles: tuple[Role, ...] = ("owner",)) -> PersonKey:
    """Make somebody the owner of the yard, with his passphrase.

    Raises:
        Refused: no name, or an unfit passphrase; nothing was written.
    """
    problem = _passphrase_problem(passphrase)
    if not folded(name):
        problem = Problem(NAME_MISSING, "no name", "the name by which you are known in the yard")
    if problem is not None:
        raise _refused(problem)
    person = office.people.key_or_new(name)
    known = office.yard.people.get(person)
    if known is None or known.gone or "owner" not in known.roles:
        body = PersonSet(person=person, roles=tuple(dict.fromkeys((*(known.roles if known else ()), *roles))))
        office.append([office.fact(YARD, body, office.clock().replace(microsecond=0), by=person)])
    set_passphrase(office, person, passphrase)
    return person


# ---------------------------------------------------------------------- on a phone without network


class PhonePerson(msgspec.Struct, frozen=True, kw_only=True):
    """What a phone needs to know one person without network, and no more.

    Args:
        person: his key.
        name: his name.
        badge: SHA-256 of the code on his badge.
        salt: of his PIN, in hexadecimal.
        iterations: rounds of PBKDF2-HMAC-SHA256.
        check: the first 8 bits of SHA-256 of the key, in hexadecimal: a slip of the finger shows, the PIN does not.
    """

    person: PersonKey
    name: str
    badge: str
    salt: str
    iterations: int
    check: str


def phone_people(office: Office) -> tuple[PhonePerson, ...]:
    """Everybody who may do a walk-round and has a badge and a PIN, as a known phone may hold them."""
    yard, names = office.yard, office.people.names()
    found = []
    for one in office.store.sign_ins.accounts():
        asker = asker_of(yard, one.person, names.get(one.person, one.person))
        if asker is not None and asker.may("walk") and one.badge and one.salt and one.pin_key:
            found.append(
                PhonePerson(
                    person=one.person,
                    name=asker.name,
                    badge=one.badge,
                    salt=one.salt.hex(),
                    iterations=ITERATIONS,
                    check=hashlib.sha256(one.pin_key).hexdigest()[:2],
                )
            )
    return tuple(found)


def proof_holds(office: Office, person: PersonKey, data: bytes, proof: str, device: str) -> bool:
    """Whether a sheet was signed with a person's PIN: HMAC-SHA256 under the key that the PIN makes.

    A wrong proof counts as a wrong try.

    Args:
        office: the yard.
        person: who is said to have signed.
        data: the bytes that were signed.
        proof: the signature, in hexadecimal.
        device: the id of the phone.

    Raises:
        Paused: too many wrong tries; this one was not looked at.
    """
    keys = (f"account:{person}", f"address:{device}")
    now = micros(office.clock())
    until = max((_paused_until(one, *said) for one, said in office.store.sign_ins.tries(keys).items()), default=0)
    if until > now:
        raise _pause(until)
    account = office.store.sign_ins.account(person)
    made = None if account is None or account.pin_key is None else hmac.digest(account.pin_key, data, "sha256").hex()
    if made is not None and proof.isascii() and hmac.compare_digest(made, proof.lower()):
        return True
    _count(office, keys)
    return False

"""Two people of the invented yard who can sign in: their secrets are drawn anew each time and no part of its record."""

from __future__ import annotations

import secrets
from typing import Final

import msgspec

from dipmark.demo.yard import NAMES
from dipmark.facts.base import PersonKey
from dipmark.facts.errors import NotFound
from dipmark.office.access import Asker
from dipmark.office.open import Office
from dipmark.office.sign_in import issue_badge, issue_pin, set_passphrase

LEAD: Final = "ruth"
DRIVER: Final = "dan"

WORDS: Final = (
    "amber", "anvil", "apron", "barrel", "basket", "beacon", "bolt", "bridge",
    "bucket", "button", "candle", "canvas", "cedar", "chalk", "copper", "corner",
    "cotton", "cradle", "crate", "ember", "fabric", "feather", "fender", "garden",
    "gravel", "hammer", "handle", "harbour", "hazel", "hinge", "kettle", "ladder",
    "lantern", "lever", "linen", "marble", "meadow", "mortar", "needle", "orchard",
    "paddle", "pebble", "pepper", "pillow", "plank", "pocket", "quarry", "rafter",
    "ribbon", "saddle", "shingle", "silver", "spindle", "spruce", "stable", "timber",
    "tunnel", "velvet", "wagon", "walnut", "whistle", "willow", "window", "winter",
)  # fmt: skip


class SignIn(msgspec.Struct, frozen=True):
    """What somebody types.

    Args:
        what: what he does in the yard.
        who: his name, or the code on his badge.
        secret: his passphrase, or his PIN.
    """

    what: str
    who: str
    secret: str


def make_sign_ins(office: Office) -> tuple[SignIn, ...]:
    """Let the lead hand sign in with a passphrase, lead hand and one driver with badge and PIN.

    Raises:
        NotFound: the store does not hold the invented yard.
    """
    owner = Asker(person=PersonKey("demo"), name="demo", roles=("owner",))
    phrase = " ".join(secrets.choice(WORDS) for _ in range(4))
    set_passphrase(office, _key(office, LEAD), phrase)
    found = [SignIn("lead hand", NAMES[LEAD], phrase)]
    for what, short in (("lead hand, by badge", LEAD), ("driver, by badge", DRIVER)):
        person = _key(office, short)
        found.append(SignIn(what, issue_badge(office, owner, person), issue_pin(office, owner, person)))
    return tuple(found)


def _key(office: Office, short: str) -> PersonKey:
    key = office.people.key_of(NAMES[short])
    if key is None:
        raise NotFound("This is not the invented yard.")
    return key

"""Links that can be used once, and the phones that a yard knows."""

from __future__ import annotations

from datetime import timedelta
from typing import Final, Literal

from dipmark.adapters.clock import new_id
from dipmark.adapters.store import Device, Link
from dipmark.derive.meter import micros
from dipmark.facts.base import UNNAMED, PersonKey, folded
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem, code
from dipmark.office.access import Asker
from dipmark.office.open import Office, told
from dipmark.office.sign_in import begin_session, digest_of, make_owner, must_set, new_token, set_passphrase

DEVICE_UNNAMED: Final = code("device-unnamed", "A phone is to be made known without a name, or with a long one.")

What = Literal["owner", "passphrase", "device", "calendar"]

LINK_GONE: Final = "This link was used already, or has ended. Ask the lead hand for a new one."

HOLDS: Final[dict[What, timedelta]] = {
    "owner": timedelta(days=2),
    "passphrase": timedelta(days=2),
    "device": timedelta(minutes=30),
    "calendar": timedelta(days=3660),
}
"""How long a link waits to be used; that of a calendar is used again and again, until another is made."""


def owners_link(office: Office) -> str:
    """A link's token by which the first owner sets his passphrase; made by whoever starts the server."""
    return _new_link(office, "owner", "", UNNAMED)


def passphrase_link(office: Office, asker: Asker, person: PersonKey) -> str:
    """A link's token by which a person sets his passphrase himself.

    Raises:
        NotAllowed: that is not for the one who asks to do.
    """
    must_set(office, asker, person)
    return _new_link(office, "passphrase", person, asker.person)


def device_link(office: Office, asker: Asker, name: str) -> str:
    """A link's token by which a phone becomes known; the phone opens it, by its QR code.

    Args:
        office: the yard.
        asker: who makes it known.
        name: what the yard will call it.

    Raises:
        NotAllowed: that is not for the one who asks to do.
        Refused: it has no name.
    """
    asker.must("appoint")
    name = " ".join(name.split())
    if not folded(name) or len(name) > 60:
        problem = Problem(DEVICE_UNNAMED, f"a name of {len(name)} characters", "1 to 60, such as: gate phone 2")
        raise Refused(told([problem]), [problem])
    return _new_link(office, "device", name, asker.person)


def _new_link(office: Office, what: What, subject: str, by: PersonKey) -> str:
    token, now = new_token(), office.clock()
    link = Link(token=digest_of(token), what=what, subject=subject, by_key=by, until_us=micros(now + HOLDS[what]))
    office.store.sign_ins.add_link(link, micros(now))
    return token


def link_of(office: Office, token: str) -> Link:
    """What a link is for, without using it up.

    Raises:
        NotFound: it was used, or has ended, or never was.
    """
    return _there(office.store.sign_ins.link(digest_of(token), micros(office.clock())))


def use_first(office: Office, token: str, name: str, passphrase: str) -> str:
    """Set a passphrase by a link, as the owner or as the one it was made for, and sign in.

    The link is used up only when everything fits.

    Returns:
        The token of a new session.

    Raises:
        NotFound: the link was used, or has ended, or never was.
        Refused: the passphrase does not do, or an owner gave no name.
    """
    link = link_of(office, token)
    if link.what == "owner":
        person = make_owner(office, name, passphrase)
    elif link.what == "passphrase":
        person = PersonKey(link.subject)
        set_passphrase(office, person, passphrase)
    else:
        raise _gone()
    _there(office.store.sign_ins.use_link(link.token, micros(office.clock())))
    return begin_session(office, person)


def enrol_device(office: Office, token: str) -> tuple[str, Device]:
    """Make a phone known by a link, and give back the token it holds from now on.

    Raises:
        NotFound: the link was used, or has ended, or never was.
    """
    now = micros(office.clock())
    if link_of(office, token).what != "device":
        raise _gone()
    link = _there(office.store.sign_ins.use_link(digest_of(token), now))
    held = new_token()
    device = Device(token=digest_of(held), id=str(new_id()), name=link.subject, by_key=link.by_key, made_us=now)
    office.store.sign_ins.add_device(device)
    return held, device


def device_of(office: Office, token: str) -> Device | None:
    """The phone that holds a token; None where the yard knows none."""
    return office.store.sign_ins.device(digest_of(token))


def forget_device(office: Office, asker: Asker, id_: str) -> None:
    """Know a phone no longer: one that was lost, or has left.

    Raises:
        NotAllowed: that is not for the one who asks to do.
        NotFound: it is not known.
    """
    asker.must("appoint")
    if not office.store.sign_ins.drop_device(id_):
        raise NotFound("No such phone is known.")


def calendar_link(office: Office, asker: Asker, subject: str) -> str:
    """A link's token by which calendar programs read a feed; the one before it holds no longer.

    Args:
        office: the yard.
        asker: who makes it.
        subject: what the feed is about: `due`, `plan`, or the key of a mechanic or firm whose part of the plan it is.

    Raises:
        NotAllowed: that is not for the one who asks to do.
    """
    asker.must("plan")
    return _new_link(office, "calendar", subject, asker.person)


def end_calendar(office: Office, asker: Asker, subject: str) -> None:
    """Let a feed be read no longer.

    Raises:
        NotAllowed: that is not for the one who asks to do.
    """
    asker.must("plan")
    office.store.sign_ins.drop_links("calendar", subject)


def _there(link: Link | None) -> Link:
    if link is None:
        raise _gone()
    return link


def _gone() -> NotFound:
    return NotFound(LINK_GONE)

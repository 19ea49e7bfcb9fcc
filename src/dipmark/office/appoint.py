"""Who is in the yard: roles, permits, day cards; and a name taken out of the register."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final, cast, get_args

import msgspec

from dipmark.derive.past import Counted, past
from dipmark.facts.base import YARD, PersonKey, folded
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.incident import Incident
from dipmark.facts.people import Permit, PersonSet
from dipmark.facts.problems import Problem, Where, code
from dipmark.office.access import Asker, Role
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import book_of, trucks
from dipmark.office.open import Office, told
from dipmark.views.people import People

ROLE_MISSING: Final = code("role-missing", "Somebody is to be in the yard without a role, or with one that is none.")
PERSON_NAMELESS: Final = code("person-nameless", "Somebody is to be entered without a name, or by one that is taken.")
PERMIT_BARE: Final = code("permit-bare", "A permit names neither training with evaluation, nor a trainer.")
CERTIFICATE_UNSEEN: Final = code(
    "certificate-unseen", "A day card is given and nobody says which certificate was seen."
)

ROLES: Final = frozenset(get_args(Role))


def people_of(office: Office, now: datetime) -> People:
    """What the yard knows of its people; see `views.people`."""
    standing = trucks(office, now)
    found: list[Counted] = []
    for one in standing:
        found += [fact for fact in past(office.book(one.book), now) if isinstance(fact.body, Incident)]
    return People(
        book=past(office.book(YARD), now),
        yard=office.yard,
        rules=office.rules,
        names=office.people.names(),
        kinds=frozenset(one.enrolled.what for one in standing),
        incidents=tuple(found),
        as_of=now,
        zone=office.zone,
    )


class Post(msgspec.Struct, frozen=True, kw_only=True):
    """What somebody does in the yard.

    Args:
        roles: what he may do.
        firm: the outside firm he comes from.
        gone: he has left.
        skills: the work he can do.
        shifts: those he works; empty: any.
        trucks: numbers of the only trucks he sees; empty: all that his roles allow.
    """

    roles: tuple[str, ...]
    firm: str | None = None
    gone: bool = False
    skills: tuple[str, ...] = ()
    shifts: tuple[str, ...] = ()
    trucks: tuple[str, ...] = ()


def enter_new(office: Office, asker: Asker, name: str, post: Post, when: When) -> PersonKey:
    """Enter somebody new by his name, which the register then holds.

    Raises:
        NotAllowed: the one who asks does not give such roles.
        Refused: no name, one that is taken, or no role; nothing was written.
    """
    asker.must("appoint")
    if not folded(name) or office.people.key_of(name) in office.yard.people:
        found = f"the name {name!r}" if folded(name) else "no name"
        hint = "Two of one name are told apart by more of it."
        problem = Problem(PERSON_NAMELESS, found, "a name that nobody else here has", hint, Where(column="name"))
        raise Refused(told([problem]), [problem])
    body = _body(office, asker, office.people.key_or_new(name), post)
    names = office.people.new_names([body.person])
    fact = office.fact(YARD, body, when.happened, whole_day=when.whole_day)
    office.append([fact], names)
    office.people.written([body.person])
    return body.person


def set_post(office: Office, asker: Asker, person: PersonKey, post: Post, when: When) -> Entered:
    """Say anew what somebody does here.

    Raises:
        NotAllowed: the one who asks does not give such roles, or may not change how that person stands.
        NotFound: nobody of that key is in the yard.
        Refused: no role; nothing was written.
    """
    known = known_person(office, person)
    asker.must("appoint")
    asker.must_give(known.roles)
    body = _body(office, asker, person, post)
    return enter(office, [office.fact(YARD, body, when.happened, whole_day=when.whole_day)])


def _body(office: Office, asker: Asker, person: PersonKey, post: Post) -> PersonSet:
    unknown = [role for role in post.roles if role not in ROLES]
    if unknown or not post.roles:
        found = ", ".join(unknown) or "no role"
        problem = Problem(ROLE_MISSING, found, "at least one role", "Choose.", Where(column="roles"))
        raise Refused(told([problem]), [problem])
    roles = cast("tuple[Role, ...]", post.roles)
    asker.must_give(roles)
    books = tuple(book_of(office, name) for name in post.trucks)
    return PersonSet(
        person=person,
        roles=roles,
        firm=post.firm,
        gone=post.gone,
        skills=post.skills,
        shifts=post.shifts,
        books=books,
    )


def known_person(office: Office, person: PersonKey) -> PersonSet:
    """What somebody does here.

    Raises:
        NotFound: nobody of that key is in the yard.
    """
    known = office.yard.people.get(person)
    if known is None:
        raise NotFound("Nobody of that key is in the yard.")
    return known


class Given(msgspec.Struct, frozen=True, kw_only=True):
    """A permit as it is given.

    Args:
        kind: of truck.
        trained: day the training was completed.
        evaluated: day of the evaluation.
        by: who trained or evaluated.
        until: last day, where the yard sets one.
        ends: the instant a day card ends.
        under: the trainer, of somebody still learning.
        certificate: what was seen of his training; a day card is given on nothing less.
        withdrawn: why it no longer holds.
    """

    kind: str
    trained: date | None = None
    evaluated: date | None = None
    by: PersonKey | None = None
    until: date | None = None
    ends: datetime | None = None
    under: PersonKey | None = None
    certificate: str | None = None
    withdrawn: str | None = None


def permit(office: Office, asker: Asker, person: PersonKey, given: Given, when: When) -> Entered:
    """Give or withdraw a permit for a kind of truck; a day card ends with its shift.

    Raises:
        NotAllowed: that is not for the one who asks to do.
        NotFound: nobody of that key is in the yard.
        Refused: it names neither training and evaluation nor a trainer, or is a day card and no certificate was seen;
            nothing was written.
    """
    asker.must("appoint")
    known_person(office, person)
    whole = given.trained and given.evaluated
    if not (whole or given.under or given.withdrawn):
        hint = "Give both days, or name the trainer who stays beside him."
        problem = Problem(
            PERMIT_BARE, "a permit without its days", "training and evaluation", hint, Where(column="trained")
        )
        raise Refused(told([problem]), [problem])
    if given.ends is not None and not given.certificate:
        hint = "See it before he drives: its kind, number and date."
        problem = Problem(
            CERTIFICATE_UNSEEN, "a day card", "the certificate that was seen", hint, Where(column="certificate")
        )
        raise Refused(told([problem]), [problem])
    body = Permit(
        person=person,
        what=given.kind,
        trained=given.trained,
        evaluated=given.evaluated,
        by=given.by,
        until=given.until,
        ends=given.ends,
        trainee_under=given.under,
        certificate=given.certificate,
        withdrawn=given.withdrawn,
    )
    return enter(office, [office.fact(YARD, body, when.happened, whole_day=when.whole_day)])


def blank(office: Office, asker: Asker, person: PersonKey) -> None:
    """Take a name out of the register, as its owner asks for; the record keeps the key, and every chain verifies.

    Whoever has lost his name has left, and signs in no more.

    Raises:
        NotAllowed: only the owner does this.
        NotFound: the register has no such name.
    """
    asker.must("except")
    known = known_person(office, person)
    name = office.store.names().get(person)
    if name is None:
        raise NotFound("That name is blank already.")
    if not known.gone:
        body = msgspec.structs.replace(known, gone=True)
        office.append([office.fact(YARD, body, office.clock().replace(microsecond=0))])
    office.people.blank(name)

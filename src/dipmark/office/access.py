"""Who may do what: one table of roles and acts, and whose trucks somebody sees."""

from __future__ import annotations

from typing import Final, Literal, get_args

import msgspec

from dipmark.derive.yard import YardNow
from dipmark.facts.base import YARD, BookId, PersonKey, folded, name_of
from dipmark.facts.errors import NotAllowed, NotFound
from dipmark.facts.people import PersonSet
from dipmark.office.look import book_of
from dipmark.office.open import Office
from dipmark.office.standings import is_truck

Role = Literal["driver", "mechanic", "lead", "auditor", "owner", "outside-mechanic", "examiner"]

Act = Literal[
    "look",  # key board, truck, logbook, faults, what is due, rules, search
    "account",  # one's own passphrase and PIN
    "walk",  # a walk-round, a meter reading, a fault, the out-of-service card: whatever a driver sees and says
    "hold",  # who has the key
    "mend",  # repair, test, service, personal lock, measured values, what stands on the plate
    "release",  # give a truck back to its drivers
    "correct",  # put a wrong entry right, withdraw one
    "enrol",  # trucks come and go
    "people",  # who is in the yard, permits, familiarity
    "appoint",  # roles, permits, badges, PINs, devices
    "watch",  # signs of careless sheets of other people
    "set-aside",  # what was refused from a phone: look
    "settle",  # the same: decide
    "stores",  # what lies on the shelf: count, receive, issue, order
    "plan",  # the fortnight: publish and move; what the workshop has, how parts are bought
    "rules",  # the yard's own rules, shifts and settings
    "except",  # take off another man's lock
]

ACTS: Final[tuple[Act, ...]] = get_args(Act)
ROLES: Final[tuple[Role, ...]] = get_args(Role)

MAY: Final[dict[Role, frozenset[Act]]] = {
    "driver": frozenset({"look", "account", "walk", "hold"}),
    "mechanic": frozenset({"look", "account", "walk", "hold", "mend", "release", "correct", "stores"}),
    "lead": frozenset(ACTS) - {"except"},
    "auditor": frozenset({"look", "account", "people", "set-aside"}),
    "owner": frozenset(ACTS),
    "outside-mechanic": frozenset({"look", "account", "walk", "mend"}),
    "examiner": frozenset({"look", "account"}),
}
"""The table. Nobody may what does not stand here."""

OUTSIDE: Final[frozenset[Role]] = frozenset({"outside-mechanic", "examiner"})
"""Who has no other role sees the trucks that are named for him, and no others."""

GIVES: Final[dict[Role, frozenset[Role]]] = {"lead": frozenset(ROLES) - {"owner"}, "owner": frozenset(ROLES)}
"""Which roles somebody may give to others, and whose badge, PIN and passphrase he may set."""


class Asker(msgspec.Struct, frozen=True, kw_only=True):
    """Somebody who is known and asks for something.

    Args:
        person: who.
        name: as the register has it.
        roles: what he does here.
        books: the trucks he sees; None: every one.
    """

    person: PersonKey
    name: str
    roles: tuple[Role, ...]
    books: frozenset[BookId] | None = None

    def may(self, act: Act) -> bool:
        """True where one of his roles may do that."""
        return any(act in MAY[role] for role in self.roles)

    def sees(self, book: BookId) -> bool:
        """True where that truck is his to see."""
        return self.books is None or book in self.books

    def must(self, act: Act) -> None:
        """Stop somebody who may not do that.

        Raises:
            NotAllowed: none of his roles may.
        """
        if not self.may(act):
            roles = ", ".join(role for role in ROLES if act in MAY[role])
            raise NotAllowed(f"That is not for you to do here. It is for: {roles}.")

    def must_give(self, roles: tuple[Role, ...]) -> None:
        """Stop somebody who would give, or act upon, a role above his own.

        Raises:
            NotAllowed: none of his roles gives them.
        """
        given: frozenset[Role] = frozenset().union(*(GIVES.get(role, frozenset()) for role in self.roles))
        if not given.issuperset(roles):
            raise NotAllowed("Only the owner gives that role, or changes how its holder signs in.")


def asker_of(yard: YardNow, person: PersonKey, name: str) -> Asker | None:
    """A person with his roles as the yard's book has them; None for one who has left or never had any.

    Args:
        yard: the yard now.
        person: who.
        name: as the register has it.
    """
    known: PersonSet | None = yard.people.get(person)
    if known is None or known.gone or not known.roles:
        return None
    bound = known.books or OUTSIDE.issuperset(known.roles)
    books = frozenset((YARD, *known.books)) if bound else None
    return Asker(person=person, name=name, roles=known.roles, books=books)


def book_seen(office: Office, asker: Asker, name: str) -> BookId:
    """The book of a truck by its number, for somebody; what is not his to see is as if it were not there.

    Raises:
        NotFound: none of that number is his to see.
    """
    if asker.books is None:
        return book_of(office, name)
    for book in asker.books:
        if is_truck(book) and folded(name_of(book)) == folded(name):
            return book
    raise NotFound(f"No truck {name} is enrolled.")

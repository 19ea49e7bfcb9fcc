"""Getting to know a truck: the newcomer and whoever led him round both confirm it."""

from __future__ import annotations

from typing import Final

from dipmark.derive.days import local_day
from dipmark.derive.past import Counted, past
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import YARD
from dipmark.facts.errors import Refused
from dipmark.facts.people import Familiarised
from dipmark.facts.problems import Problem, code
from dipmark.facts.walk_round import WalkRound
from dipmark.office.access import Asker
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told
from dipmark.office.sign_in import sign_in, sign_out

NOT_WALKED: Final = code("not-walked", "Somebody is to know a truck without having done a walk-round of it that day.")
NOT_A_LEADER: Final = code("not-a-leader", "Whoever confirms a newcomer is no lead hand, or is the newcomer himself.")


def confirm(office: Office, newcomer: Asker, name: str, who: str, secret: str, address: str, when: When) -> Entered:
    """Both confirm that the newcomer was led round this truck and did a walk-round of it.

    Args:
        office: the yard.
        newcomer: signed in.
        name: the truck.
        who: name or badge of whoever led him round.
        secret: his passphrase, or the PIN with the badge.
        address: where the page is open.
        when: when.

    Raises:
        NotAllowed: what the second one typed does not fit.
        Paused: too many wrong tries.
        Refused: no walk-round of his today, or the second one may not confirm it; nothing was written.
    """
    now = truck(office, name, office.clock())
    token, leader = sign_in(office, who, secret, address)
    sign_out(office, token)
    problems = []
    if not leader.may("appoint") or leader.person == newcomer.person:
        found, expected = f"{leader.name} to confirm {newcomer.name}", "a lead hand or the owner, and another person"
        problems.append(Problem(NOT_A_LEADER, found, expected, "Whoever leads round signs here himself."))
    if walked_today(office, newcomer, now) is None:
        found, expected = (
            f"no walk-round of truck {now.name} by {newcomer.name} today",
            "one, with the lead hand beside",
        )
        problems.append(Problem(NOT_WALKED, found, expected, "Do the walk-round first, then confirm."))
    if problems:
        raise Refused(told(problems), problems)
    body = Familiarised(person=newcomer.person, truck=now.book, led_by=leader.person)
    return enter(office, [office.fact(YARD, body, when.happened, whole_day=when.whole_day)])


def walked_today(office: Office, newcomer: Asker, now: TruckNow) -> Counted | None:
    """His last walk-round of this truck today."""
    today = local_day(office.clock(), office.zone)
    for one in reversed(now.counting):
        mine = isinstance(one.body, WalkRound) and bool(one.body.answers) and one.by == newcomer.person
        if mine and one.day(office.zone) == today:
            return one
    return None


def known_since(office: Office, newcomer: Asker, now: TruckNow) -> Counted | None:
    """The last time he was led round this truck; None: never."""
    for one in reversed(past(office.book(YARD), office.clock())):
        if isinstance(one.body, Familiarised) and (one.body.person, one.body.truck) == (newcomer.person, now.book):
            return one
    return None

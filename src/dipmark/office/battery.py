"""The battery room: a charge, an equalising charge or water is noted in the battery's own book."""

from __future__ import annotations

from datetime import datetime
from typing import Final, get_args

from dipmark.derive.charging import Room, room_now
from dipmark.derive.item import ItemNow
from dipmark.facts.base import Body
from dipmark.facts.charging import Charged, ChargeKind
from dipmark.facts.errors import Refused
from dipmark.facts.measure import ToppedUp
from dipmark.facts.problems import Problem, code
from dipmark.facts.quantity import Quantity, parse_quantity, value_of
from dipmark.office.enter import Entered, When, enter
from dipmark.office.items import item, meters_for
from dipmark.office.look import book_of
from dipmark.office.measure import AMOUNT_UNFIT
from dipmark.office.open import Office, told

NOT_A_BATTERY: Final = code("not-a-battery", "A charge or water is noted of something that is no traction battery.")
CHARGE_UNFIT: Final = code("charge-unfit", "A charge is of no known kind, or what was left before it is no per cent.")

WATER: Final = "distilled water"
FULL: Final = 100


def room_of(office: Office, now: ItemNow, as_of: datetime) -> Room | None:
    """What the battery room's log says of a battery at the instant it was derived for; None of anything else."""
    if now.enrolled.what != "traction-battery":
        return None
    meters = meters_for(office, now, as_of)
    trucks = [(stay, meters[stay.truck][0]) for stay in now.stays]
    return room_now(now.counting, office.rules.subjects["battery"], as_of, office.rules.word, trucks)


def note_charge(
    office: Office,
    name: str,
    what: str,
    when: When,
    *,
    percent: str = "",
    charger: str = "",
    water: str = "",
    begun: str = "",
) -> Entered:
    """Note a charge of a battery, and the water that went in after it.

    Args:
        office: the yard.
        name: the battery.
        what: ``charge``, ``equalise`` or ``opportunity``; empty: only water.
        when: when the charge had ended, or the water went in.
        percent: what was left before, as typed; empty: not read.
        charger: its name; empty: not said.
        water: how much went in, such as ``2.5 l``; empty: none.
        begun: when the charge began, as typed; empty: not said.

    Raises:
        Refused: it is no battery, or something typed is not what it should be; nothing was written.
        NotFound: no charger is called so.
    """
    now = item(office, name, max(office.clock(), when.happened))
    problems: list[Problem] = []
    bodies: list[Body] = []
    if now.enrolled.what != "traction-battery":
        problems.append(Problem(NOT_A_BATTERY, f"{now.name}: {now.enrolled.what}", "a traction battery", "Choose one."))
    if what:
        kind = next((one for one in get_args(ChargeKind) if one == what), None)
        left = int(percent) if percent.strip().isdecimal() and int(percent) <= FULL else None
        if kind is None or (percent.strip() and left is None):
            expected = f"one of {', '.join(get_args(ChargeKind))}, and 0 to {FULL} % left before"
            problems.append(
                Problem(CHARGE_UNFIT, f"{what!r}, {percent!r} %", expected, "Leave blank what was not read.")
            )
        else:
            book = book_of(office, charger, "item") if charger.strip() else None
            start = office.instant(begun) if begun.strip() else None
            bodies.append(Charged(what=kind, begun=start, percent=left, charger=book))
    if water.strip() or not what:
        amount = parse_quantity(water, "volume")
        if isinstance(amount, Quantity) and amount.value <= 0:
            amount = Problem(AMOUNT_UNFIT, f"{amount}", "more than nothing", "Write what went in.")
        if isinstance(amount, Problem):
            problems.append(amount)
        else:
            went = value_of(amount, WATER)
            bodies.append(ToppedUp(fluid=WATER, amount=went.value, unit=went.unit))
    if problems:
        raise Refused(told(problems), problems)
    facts = [office.fact(now.book, one, when.happened, whole_day=when.whole_day) for one in bodies]  # type: ignore[arg-type]
    return enter(office, facts)

"""The battery room: a charge, an equalising charge or water is noted in the battery's own book."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final, get_args

from dipmark.derive.charging import Room, room_now
from dipmark.derive.item import ItemNow
from dipmark.facts.charging import Charged, ChargeKind
from dipmark.facts.errors import Refused
from dipmark.facts.measure import ToppedUp
from dipmark.facts.problems import Problem, code
from dipmark.facts.quantity import parse_quantity, value_of
from dipmark.office.enter import Entered, When, enter
from dipmark.office.items import item, meters_for
from dipmark.office.look import book_of
from dipmark.office.measure import AMOUNT_UNFIT
from dipmark.office.open import Office, told
from dipmark.views.battery import BatteryLog, room_row
from dipmark.views.items import item_row

NOT_A_BATTERY: Final = code("not-a-battery", "A charge or water is noted of something that is no traction battery.")
CHARGE_UNFIT: Final = code("charge-unfit", "A charge is of no known kind, or what was left before it is no per cent.")

BATTERY: Final = "traction-battery"
WATER: Final = "distilled water"
FULL: Final = 100


def room_of(office: Office, now: ItemNow, as_of: datetime) -> Room | None:
    """What the battery room's log says of a battery at the instant it was derived for; None of anything else."""
    if now.enrolled.what != BATTERY:
        return None
    meters = meters_for(office, now, as_of)
    trucks = [(stay, meters[stay.truck][0]) for stay in now.stays]
    return room_now(now.counting, office.rules.subjects["battery"], as_of, office.rules.word, trucks)


def battery_logs(office: Office, found: Iterable[ItemNow], as_of: datetime) -> tuple[BatteryLog, ...]:
    """The battery room: those of some items that are charged and have not left, each with its log."""
    rules, word = office.rules.subjects["battery"], office.rules.word
    rooms = ((one, room_of(office, one, as_of)) for one in found if one.retired is None)
    return tuple(
        BatteryLog(one.name, item_row(one, office.zone, word).where, room_row(room, rules, office.zone, word))
        for one, room in rooms
        if room is not None
    )


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
    found: list[Charged | ToppedUp | Problem] = []
    if now.enrolled.what != BATTERY:
        found.append(Problem(NOT_A_BATTERY, f"{now.name}: {now.enrolled.what}", "a traction battery", "Choose one."))
    if what:
        found.append(_charge(office, what, percent, charger, begun))
    if water.strip() or not what:
        found.append(_water(water))
    if problems := [one for one in found if isinstance(one, Problem)]:
        raise Refused(told(problems), problems)
    bodies = [one for one in found if not isinstance(one, Problem)]
    return enter(office, [office.fact(now.book, one, when.happened, whole_day=when.whole_day) for one in bodies])


def _charge(office: Office, what: str, percent: str, charger: str, begun: str) -> Charged | Problem:
    """A charge as typed, or what is wrong with it."""
    kind = next((one for one in get_args(ChargeKind) if one == what), None)
    left = int(percent) if percent.strip().isdecimal() and int(percent) <= FULL else None
    if kind is None or (percent.strip() and left is None):
        expected = f"one of {', '.join(get_args(ChargeKind))}, and 0 to {FULL} % left before"
        return Problem(CHARGE_UNFIT, f"{what!r}, {percent!r} %", expected, "Leave blank what was not read.")
    book = book_of(office, charger, "item") if charger.strip() else None
    start = office.instant(begun) if begun.strip() else None
    return Charged(what=kind, since=start, percent=left, charger=book)


def _water(text: str) -> ToppedUp | Problem:
    """Water as typed, or what is wrong with it."""
    amount = parse_quantity(text, "volume")
    if isinstance(amount, Problem):
        return amount
    if amount.value <= 0:
        return Problem(AMOUNT_UNFIT, f"{amount}", "more than nothing", "Write what went in.")
    went = value_of(amount, WATER)
    return ToppedUp(fluid=WATER, amount=went.value, unit=went.unit)

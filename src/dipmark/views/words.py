"""The words that people read, one for each code."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from decimal import Decimal
from typing import Final

from dipmark.derive.due import DueState
from dipmark.derive.faults import FaultNow
from dipmark.derive.state import StateCode
from dipmark.facts.base import Seriousness, iso_day
from dipmark.facts.said import Word, says
from dipmark.rules.duty import Lapsed
from dipmark.rules.symptoms import SENSES

STATE: Final[dict[StateCode, str]] = {
    "out-of-service": says("Out of service"),
    "not-checked": says("Not checked"),
    "restricted": says("Restricted"),
    "checked": says("Checked, nothing found"),
}

VERDICT: Final[dict[StateCode, str]] = {
    "out-of-service": says("Take the key out, lock it away, tell the lead hand."),
    "not-checked": says("Leave the key where it is until the truck is checked."),
    "restricted": says("The key may be turned; tell the lead hand."),
    "checked": says("The key may be turned."),
}
"""What to do with the key, one word for each state."""

SERIOUSNESS: Final[dict[Seriousness, str]] = {
    "now": says("Don't start"),
    "stop": says("Out of service"),
    "repair-by": says("Repair by"),
    "watch": says("Watch"),
}

DUE: Final[dict[DueState, str]] = {
    "later": says("later"),
    "open": says("may be done now"),
    "due": says("due"),
    "late": says("late"),
    "unknown": says("not known: ask"),
}

CAUTION: Final = says(
    "The maker's manual, local rules and a licensed or competent person decide. A check here is not an examination."
)

LAPSED: Final[dict[Lapsed, str]] = {
    "out-of-service": says("the truck is out of service"),
    "not-checked": says("the truck is not checked"),
    "not-you": says("not you: the driver may not drive it"),
    "nothing": says("it is late, the state of the truck stays"),
}
"""What follows when a duty has lapsed."""

WATCHED: Final = says("Checked, nothing that stops it")
UNTIL: Final = says("until")
SINCE: Final = says("since")
COVER: Final = says("walk-round")
OVER: Final = says("over")
DUE_NOW: Final = says("due now")
PAST: Final = says("past by {}")

AFTER: Final = {
    "hit": says("after a hit"),
    "rest": says("after it was laid up"),
    "leaving": says("before it is sold or scrapped"),
    "wheel": says("after a wheel was put on"),
}
"""What calls for a service that no hours and no days bring."""

KEY: Final = {
    "hook": says("on its hook"),
    "box": says("in the locked box"),
    "driver": says("driver"),
    "hired-in": says("hired in"),
    "hired-out": says("hired out"),
    "other-site": says("other site"),
    "laid-up": says("laid up"),
}
"""Where a key is, or who has it."""

MEASURED: Final = {
    "in": says("In its limits"),
    "none": says("No limit exists"),
    "unjudged": says("Not judged"),
    "renewed": says("Renewed or mended since: measure again."),
}
"""What is said of a reading beside how serious it is."""

RULES: Final = (
    says("Normal: {}."),
    says("Where fitted: {}."),
    says("Asks for {} in {}."),
    says("Full list only."),
    says("On the spot: {}."),
    says("Includes {}."),
    says("Sources"),
    says("read by {} on {}"),
    says("Repair within {} days"),
    says("Repair within {} day"),
    says("by date"),
    says("every {}"),
    says("once after {}"),
    says("1 month"),
    says("{} months"),
    says("or {}, whichever first"),
    says("early {} %, late {} %"),
    says("each shift"),
    says("no fixed rhythm"),
    says("every {} for {}"),
    says("By whom: {}. Kept: {}. When lapsed: {}."),
    says("For: {}."),
    says("Look first: {}."),
    says("Likely: {}."),
    *map(says, SENSES),
)
"""What stands between the rules where they are printed; braces stand for a rule's own words."""


def hours(value: Decimal | None) -> str:
    """Hours of a meter with their unit, thousands set apart; a dash where they are not known.

    Example:
        >>> hours(Decimal("12345.5")), hours(Decimal("150.00")), hours(None)
        ('12,345.5 h', '150 h', '–')
    """
    if value is None:
        return "–"
    text = f"{value:,f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) + " h"


def day(value: date | None, word: Word = str) -> str:
    """A date with its weekday, in the reader's language; a dash where there is none."""
    return "–" if value is None else iso_day(value, word)


def moment(value: datetime, zone: tzinfo, word: Word = str) -> str:
    """An instant as the yard's clock showed it, to the minute, with its weekday in the reader's language.

    Example:
        >>> from datetime import UTC
        >>> moment(datetime(2026, 11, 20, 6, 5, tzinfo=UTC), UTC)
        'Fri 2026-11-20 06:05'
    """
    local = value.astimezone(zone)
    return f"{iso_day(local.date(), word)} {local:%H:%M}"


def distance(value: date, today: date) -> str:
    """How far a day is from today.

    Example:
        >>> [distance(date(2026, 11, at), date(2026, 11, 20)) for at in (6, 19, 20, 21, 30)]
        ['14 days ago', 'yesterday', 'today', 'tomorrow', 'in 10 days']
    """
    days = (value - today).days
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    return near.get(days) or (f"in {days} days" if days > 0 else f"{-days} days ago")


def serious(fault: FaultNow, word: Word = str) -> str:
    """How serious a fault is, with its date, in the reader's language."""
    said = word(SERIOUSNESS[fault.seriousness])
    return said if fault.deadline is None else f"{said} {iso_day(fault.deadline, word)}"

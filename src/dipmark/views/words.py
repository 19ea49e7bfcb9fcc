"""The words that people read, one for each code."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from decimal import Decimal
from typing import Final

from dipmark.derive.due import DueState
from dipmark.derive.faults import FaultNow
from dipmark.derive.state import StateCode
from dipmark.facts.base import Seriousness, iso_day
from dipmark.rules.duty import Lapsed
from dipmark.rules.symptoms import SENSES

STATE: Final[dict[StateCode, str]] = {
    "out-of-service": "Out of service",
    "not-checked": "Not checked",
    "restricted": "Restricted",
    "checked": "Checked, nothing found",
}

VERDICT: Final[dict[StateCode, str]] = {
    "out-of-service": "Take the key out, lock it away, tell the lead hand.",
    "not-checked": "Leave the key where it is until the truck is checked.",
    "restricted": "The key may be turned; tell the lead hand.",
    "checked": "The key may be turned.",
}
"""What to do with the key, one word for each state."""

SERIOUSNESS: Final[dict[Seriousness, str]] = {
    "now": "Don't start",
    "stop": "Out of service",
    "repair-by": "Repair by",
    "watch": "Watch",
}

DUE: Final[dict[DueState, str]] = {
    "later": "later",
    "open": "may be done now",
    "due": "due",
    "late": "late",
    "unknown": "not known: ask",
}

CAUTION: Final = (
    "The maker's manual, local rules and a licensed or competent person decide. A check here is not an examination."
)

LAPSED: Final[dict[Lapsed, str]] = {
    "out-of-service": "the truck is out of service",
    "not-checked": "the truck is not checked",
    "not-you": "not you: the driver may not drive it",
    "nothing": "it is late, the state of the truck stays",
}
"""What follows when a duty has lapsed."""

WATCHED: Final = "Checked, nothing that stops it"
UNTIL: Final = "until"
SINCE: Final = "since"
COVER: Final = "walk-round"
OVER: Final = "over"
DUE_NOW: Final = "due now"
PAST: Final = "past by {}"

KEY: Final = {
    "hook": "on its hook",
    "box": "in the locked box",
    "driver": "driver",
    "hired-in": "hired in",
    "hired-out": "hired out",
    "other-site": "other site",
    "laid-up": "laid up",
}
"""Where a key is, or who has it."""

MEASURED: Final = {
    "in": "In its limits",
    "none": "No limit exists",
    "unjudged": "Not judged",
    "renewed": "Renewed or mended since: measure again.",
}
"""What is said of a reading beside how serious it is."""

RULES: Final = (
    "Normal: {}.",
    "Where fitted: {}.",
    "Asks for {} in {}.",
    "Full list only.",
    "On the spot: {}.",
    "Includes {}.",
    "Sources",
    "read by {} on {}",
    "Repair within {} days",
    "Repair within {} day",
    "by date",
    "every {}",
    "once after {}",
    "1 month",
    "{} months",
    "or {}, whichever first",
    "early {} %, late {} %",
    "each shift",
    "no fixed rhythm",
    "every {} for {}",
    "By whom: {}. Kept: {}. When lapsed: {}.",
    "For: {}.",
    "Look first: {}.",
    "Likely: {}.",
    *SENSES,
)
"""What stands between the rules where they are printed; braces stand for a rule's own words."""

WORDS: Final = (
    *STATE.values(),
    *VERDICT.values(),
    *SERIOUSNESS.values(),
    *DUE.values(),
    *LAPSED.values(),
    WATCHED,
    UNTIL,
    SINCE,
    COVER,
    OVER,
    DUE_NOW,
    PAST,
    *KEY.values(),
    *MEASURED.values(),
    CAUTION,
    *RULES,
)
"""All that screens and sheets say beside the rules, to be said in other languages."""


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


def day(value: date | None) -> str:
    """A date with its weekday; a dash where there is none."""
    return "–" if value is None else iso_day(value)


def moment(value: datetime, zone: tzinfo) -> str:
    """An instant as the yard's clock showed it, to the minute, with its weekday.

    Example:
        >>> from datetime import UTC
        >>> moment(datetime(2026, 11, 20, 6, 5, tzinfo=UTC), UTC)
        'Fri 2026-11-20 06:05'
    """
    local = value.astimezone(zone)
    return f"{iso_day(local.date())} {local:%H:%M}"


def distance(value: date, today: date) -> str:
    """How far a day is from today.

    Example:
        >>> [distance(date(2026, 11, at), date(2026, 11, 20)) for at in (6, 19, 20, 21, 30)]
        ['14 days ago', 'yesterday', 'today', 'tomorrow', 'in 10 days']
    """
    days = (value - today).days
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    return near.get(days) or (f"in {days} days" if days > 0 else f"{-days} days ago")


def serious(fault: FaultNow) -> str:
    """How serious a fault is, with its date."""
    word = SERIOUSNESS[fault.seriousness]
    return word if fault.deadline is None else f"{word} {iso_day(fault.deadline)}"

"""What should alarm the lead hand: a truck that ran while it was out of service, or without a walk-round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Final

from dipmark.derive.because import Because
from dipmark.derive.faults import Card, FaultNow
from dipmark.derive.meter import MeterLife
from dipmark.derive.state import WalkDone
from dipmark.facts.said import Word, says

SHUNTED: Final = Decimal("0.5")
"""Hours that a truck may be moved about to be washed, mended and tested. Common practice, no source."""

P1: Final = "us-178-p1"
Q7: Final = "us-178-q7"

RAN_OUT: Final = says(
    "The truck ran at least {} h while it was out of service. Find out who drove it, and take the key."
)
RAN_UNCHECKED: Final = says(
    "The truck ran at least {} h since the last walk-round covered it. Walk round it, and ask who drove it."
)


def alarms_now(
    meters: Sequence[MeterLife],
    walk: WalkDone | None,
    faults: Sequence[FaultNow],
    cards: Sequence[Card],
    as_of: datetime,
    word: Word = str,
) -> tuple[Because, ...]:
    """What should alarm, most pressing first; nothing is alarmed that the readings do not prove.

    Args:
        meters: the truck's hour meters.
        walk: its last walk-round; None: nobody says when it was last checked, and nothing can be counted.
        faults: its faults, open and closed.
        cards: cards that hang.
        as_of: the instant.
        word: says a sentence in the reader's language.

    *Edge*: `SHUNTED` hours exactly are no alarm yet; at the very instant its cover ends a walk-round no longer covers.
    *Source*: 29 CFR 1910.178(p)(1): out of service until restored; (q)(7): examined before being placed in service.
    """
    stopped = [card.since for card in cards]
    stopped += [fault.since for fault in faults if fault.open and fault.stops]
    stopped += [fault.due for fault in faults if fault.open and fault.due is not None and fault.due <= as_of]
    found: list[Because] = []
    if stopped:
        found += _ran(meters, min(stopped), "alarm.out-of-service", P1, word(RAN_OUT))
    elif walk is not None and walk.until <= as_of:
        found += _ran(meters, walk.until, "alarm.unchecked", Q7, word(RAN_UNCHECKED))
    return tuple(found)


def _ran(meters: Sequence[MeterLife], since: datetime, rule: str, source: str, text: str) -> Iterator[Because]:
    """Hours that a meter has surely run since an instant, whatever the roundings and the days of its readings."""
    for life in meters:
        sure = life.sure_at(since)
        if sure is None or life.hours is None:
            continue
        hours = life.hours - sure.high
        if hours > SHUNTED:
            yield Because(text.format(f"{hours:f}"), rule, source, (life.good[-1].fact,))

"""Every open fault of the yard, the most serious first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, tzinfo
from typing import Final

import msgspec

from dipmark.derive.standing import Standing
from dipmark.facts.base import RANK, PersonKey
from dipmark.facts.said import Word
from dipmark.views.truck import FaultRow, fault_row
from dipmark.views.words import moment


class YardFault(msgspec.Struct, frozen=True):
    """An open fault with its truck.

    Args:
        truck: its number.
        place: where it works.
        fault: the fault.
    """

    truck: str
    place: str | None
    fault: FaultRow


class YardCard(msgspec.Struct, frozen=True):
    """An out-of-service card that hangs, with its truck.

    Args:
        truck: its number.
        text: the reason.
        since: since when, by the yard's clock.
        by: who hung it.
    """

    truck: str
    text: str
    since: str
    by: str


FAR: Final = date.max
"""Behind every deadline."""


def yard_faults(
    trucks: Sequence[Standing], names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str
) -> tuple[YardFault, ...]:
    """Every open fault: the most serious first, then by deadline, then the oldest.

    Args:
        trucks: the yard.
        names: of people, by key.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    live = [(truck, fault) for truck in trucks for fault in truck.faults if fault.open]
    live.sort(key=lambda pair: (-RANK[pair[1].seriousness], pair[1].deadline or FAR, pair[1].since))
    return tuple(
        YardFault(truck.name, truck.enrolled.place, fault_row(fault, names, zone, word)) for truck, fault in live
    )


def yard_cards(
    trucks: Sequence[Standing], names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str
) -> tuple[YardCard, ...]:
    """Every card that hangs, the oldest first; see `yard_faults` for the arguments."""
    cards = sorted(((truck, card) for truck in trucks for card in truck.cards), key=lambda pair: pair[1].since)
    return tuple(
        YardCard(truck.name, card.text, moment(card.since, zone, word), names.get(card.by, card.by))
        for truck, card in cards
    )

"""The out-of-service card that hangs on a truck: why, since when, and who may take it off."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import tzinfo

import msgspec

from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey
from dipmark.rules.model import Rules
from dipmark.views.paper import Head
from dipmark.views.words import VERDICT, moment


class OutCard(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the card.

    Args:
        head: of the card.
        out: False where the truck is not out of service: then the reasons are written by hand.
        reasons: why, each in a sentence.
        cards: each card that hangs: its reason, since when, by whom.
        retests: faults whose repair needs a recorded test before the release.
        verdict: what to do with the key.
    """

    head: Head
    out: bool
    reasons: tuple[str, ...]
    cards: tuple[tuple[str, str, str], ...]
    retests: tuple[str, ...]
    verdict: str


def out_card(truck: TruckNow, rules: Rules, names: Mapping[PersonKey, str], head: Head, zone: tzinfo) -> OutCard:
    """The card of one truck.

    Args:
        truck: as it stands.
        rules: of today, in the language of the card.
        names: of people, by key.
        head: of the card.
        zone: the yard's.
    """
    out = truck.state.code == "out-of-service"
    return OutCard(
        head=head,
        out=out,
        reasons=tuple(because.text for because in truck.state.reasons) if out else (),
        cards=tuple(
            (card.text, moment(card.since, zone, rules.word), names.get(card.by, card.by)) for card in truck.cards
        ),
        retests=tuple(fault.text for fault in truck.faults if fault.open and fault.retest and not fault.tested),
        verdict=rules.word(VERDICT["out-of-service"]),
    )

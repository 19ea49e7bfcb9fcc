"""The out-of-service card that hangs on a truck: why, since when, and who may take it off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
        release: who may release it just now; empty: nobody in this shift.
        telephone: at which one of them is reached; empty: none is known.
        instead: the trucks to take instead.
    """

    head: Head
    out: bool
    reasons: tuple[str, ...]
    cards: tuple[tuple[str, str, str], ...]
    retests: tuple[str, ...]
    verdict: str
    release: tuple[str, ...]
    telephone: str
    instead: tuple[str, ...]


def out_card(
    truck: TruckNow,
    rules: Rules,
    names: Mapping[PersonKey, str],
    head: Head,
    zone: tzinfo,
    release: Sequence[str] = (),
    telephone: str | None = None,
    instead: Sequence[str] = (),
) -> OutCard:
    """The card of one truck.

    Args:
        truck: as it stands.
        rules: of today, in the language of the card.
        names: of people, by key.
        head: of the card.
        zone: the yard's.
        release: who may release it just now.
        telephone: at which one of them is reached.
        instead: the trucks that stand in for it.
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
        release=tuple(release),
        telephone=telephone or "",
        instead=tuple(instead),
    )

"""The day card of somebody who drives for one shift: what he may drive, what was seen of his training, until when."""

from __future__ import annotations

import msgspec

from dipmark.views.paper import Head
from dipmark.views.people import PersonRow


class CardLine(msgspec.Struct, frozen=True):
    """A kind of truck he may drive.

    Args:
        kind: its name for people.
        ends: the instant at which the card ends.
        seen: the certificate, and who saw it.
        asks: what is wanted although he may.
    """

    kind: str
    ends: str
    seen: str
    asks: tuple[str, ...]


class DayCard(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the card.

    Args:
        head: of the card.
        name: whose.
        firm: the agency he comes from; empty: nobody has named one.
        lines: what he may drive; empty: nothing, and the card says so.
        led: the trucks he was led round, with when and by whom.
        telephone: at which somebody who may release is reached; empty: none is known.
    """

    head: Head
    name: str
    firm: str
    lines: tuple[CardLine, ...]
    led: tuple[str, ...]
    telephone: str


def day_card(person: PersonRow, telephone: str | None, head: Head) -> DayCard:
    """The day card of one person.

    Args:
        person: with his permits as they stand.
        telephone: of the shift that is on, else the yard's.
        head: of the card.

    *Edge*: at the instant it ends a card has ended, and is not printed any more.
    *Source*: 29 CFR 1910.178(l)(1), (l)(6): trained, evaluated and certified before he drives; that it ends with the
    shift: common practice, no source.
    """
    lines = (
        CardLine(one.text, one.ends, one.seen, tuple(reason.text for reason in one.asks))
        for one in person.permits
        if one.may and one.ends is not None
    )
    led = tuple(f"{one.truck}: {one.when}, {one.by}" for one in person.led)
    return DayCard(
        head=head, name=person.name, firm=person.firm or "", lines=tuple(lines), led=led, telephone=telephone or ""
    )

"""Who has had a truck, in words; what is over, what waits while it is laid up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, tzinfo

import msgspec

from dipmark.derive.custody import Span, fell_due, off_hire, owes, spans_of
from dipmark.derive.due import WALK_ROUND
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey
from dipmark.facts.said import Word
from dipmark.views.words import KEY, moment


class SpanRow(msgspec.Struct, frozen=True):
    """A time in which one had it.

    Args:
        start: since when.
        end: until when; empty: it lasts.
        who: who, in words.
        owes: what the firm of a hire or loan owed meanwhile; empty: all stayed with the yard.
        note: anything else.
    """

    start: str
    end: str
    who: str
    owes: str
    note: str


class CustodyPage(msgspec.Struct, frozen=True):
    """Who has had a truck.

    Args:
        spans: the latest first.
        owed: what is not the yard's now: the duty or service, and whose it is.
        over: that a hired or lent truck is past its day; empty: it is not.
        waits: what fell due while it has been laid up; empty: nothing, or it is not laid up.
    """

    spans: tuple[SpanRow, ...]
    owed: tuple[str, ...]
    over: str
    waits: tuple[str, ...]


def custody_page(
    truck: TruckNow, names: Mapping[PersonKey, str], as_of: datetime, zone: tzinfo, word: Word = str
) -> CustodyPage:
    """Who has had a truck, as people read it.

    Args:
        truck: as it stands.
        names: of people, by key.
        as_of: the instant.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    spans = spans_of(truck.counting)
    over = off_hire(spans, truck.meters, as_of, zone, word)
    waits = fell_due(spans, (*truck.dues, *(one.due for one in truck.duties)), as_of)
    return CustodyPage(
        spans=tuple(span_row(one, names, zone, word) for one in reversed(spans)),
        owed=tuple(_owed(truck, spans, names, as_of, word)),
        over="" if over is None else over.text,
        waits=tuple(f"{one.service}: {one.because.text}" for one in waits),
    )


def _owed(
    truck: TruckNow, spans: Sequence[Span], names: Mapping[PersonKey, str], as_of: datetime, word: Word
) -> Iterator[str]:
    """What falls to a driver or a firm now; all else is the yard's."""
    there = (*(one.service for one in truck.dues), *(one.duty.id for one in truck.duties))
    for what in dict.fromkeys((WALK_ROUND, *there)):
        whose = owes(spans, what, as_of) if what else None
        if whose is not None and whose.who != "yard":
            who = names.get(whose.person, whose.person) if whose.person else word(KEY["driver"])
            yield f"{what}: {whose.firm or who}"


def span_row(span: Span, names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str) -> SpanRow:
    """A time in which one had it, as people read it.

    Args:
        span: as derived.
        names: of people, by key.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    held = span.held
    person = held.person if held else None
    parts = [
        word(KEY[held.who if held and held.who != "yard" else "hook"]),
        names.get(person, person) if person else None,
        held.firm if held else None,
        held.place if held else None,
        held.until.isoformat() if held and held.until else None,
    ]
    return SpanRow(
        start=moment(span.start, zone, word),
        end="" if span.end is None else moment(span.end, zone, word),
        who=", ".join(part for part in parts if part),
        owes=", ".join(span.agreed.owes) if span.agreed else "",
        note=(held.note or "") if held else "",
    )

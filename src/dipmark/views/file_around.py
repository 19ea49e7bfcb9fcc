"""What stands in a truck's file of all that was around it: hits with every step after, what hung on it, who had it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.custody import spans_of
from dipmark.derive.impact import Hit
from dipmark.derive.makeup import Hung, ran
from dipmark.derive.papers import lines_now
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import BookId, FactId, PersonKey, name_of
from dipmark.facts.said import Word, says
from dipmark.rules.items import ITEMS
from dipmark.views.custody import span_row
from dipmark.views.hits import hit_row
from dipmark.views.items import worked
from dipmark.views.log import LogRow
from dipmark.views.people import PersonRow
from dipmark.views.words import moment

HITS: Final = says("Hits and near misses, and what followed")
HUNG: Final = says("What hung on it")
HAD: Final = says("Who had it")
LINES: Final = says("Papers, line by line")

LOOKED: Final = says("Looked over: the list ticked off whole")
NOT_LOOKED: Final = says("The list after a hit is not ticked off")
RELEASED: Final = says("Released")
NOT_RELEASED: Final = says("Not released")
EXAMINED: Final = says("Examined anew, found fit: {}")
NOT_EXAMINED: Final = says("No report of an examination after it")
DRIVER: Final = says("Driver {}: {}")
NO_MORE: Final = says("nothing more is asked of him")
ANSWERED: Final = says("answered")
OPEN: Final = says("NOT ANSWERED")
THEIRS: Final = says("theirs meanwhile: {}")


class FileLine(msgspec.Struct, frozen=True):
    """A line: when, what, and how it ended or who says so."""

    when: str
    text: str
    end: str


class FilePart(msgspec.Struct, frozen=True):
    """A heading with its lines."""

    title: str
    lines: tuple[FileLine, ...]


class Around(msgspec.Struct, frozen=True):
    """What the parts are made from, beside the truck itself.

    Args:
        hits: of the truck, the latest first.
        stays: of every item on this truck.
        kinds: of those items, by book.
        people: everybody of the yard.
    """

    hits: tuple[Hit, ...]
    stays: tuple[Hung, ...]
    kinds: Mapping[BookId, str]
    people: Sequence[PersonRow]


def file_around(
    truck: TruckNow,
    around: Around,
    facts: Mapping[FactId, LogRow],
    names: Mapping[PersonKey, str],
    zone: tzinfo,
    word: Word = str,
) -> tuple[FilePart, ...]:
    """The parts of a truck's file about what was around it; a part of which nothing is recorded has no lines.

    Args:
        truck: as it stands.
        around: what the parts are made from.
        facts: rows of its logbook, by id.
        names: of people, by key.
        zone: the yard's.
        word: says a word in the reader's language.

    *Source*: 29 CFR 1910.178(p)(1), (l)(4)(ii); LOLER 1998, regulation 9(3)(a)(iv): what has to follow a hit.
    """
    spans = (span_row(one, names, zone, word) for one in reversed(spans_of(truck.counting)))
    return (
        FilePart(
            word(HITS),
            tuple(line for hit in around.hits for line in _hit(hit, truck, around, facts, names, zone, word)),
        ),
        FilePart(word(HUNG), tuple(_stay(one, truck, around.kinds, zone, word) for one in reversed(around.stays))),
        FilePart(
            word(HAD),
            tuple(
                FileLine(f"{one.start} – {one.end}", one.who, word(THEIRS).format(one.owes) if one.owes else one.note)
                for one in spans
            ),
        ),
        FilePart(word(LINES), tuple(_lines(truck, zone, word))),
    )


def _hit(
    hit: Hit,
    truck: TruckNow,
    around: Around,
    facts: Mapping[FactId, LogRow],
    names: Mapping[PersonKey, str],
    zone: tzinfo,
    word: Word,
) -> Iterator[FileLine]:
    """Everything from the hit to the last thing that has to follow it, each with who says so."""
    row = hit_row(hit, names, zone, word)
    by = facts[hit.one.id].by
    yield FileLine(row.title, "; ".join(one for one in (row.text, row.struck, row.ran) if one), by)
    yield FileLine("", row.seal, "")
    if hit.body.what == "near-miss":
        return
    yield _step(hit.looked, LOOKED, NOT_LOOKED, facts, word)
    paper = next((one.body for one in truck.counting if one.id == hit.examined), None)
    named = f"{getattr(paper, 'title', '')} {getattr(paper, 'number', None) or ''}".strip()
    yield _step(hit.examined, EXAMINED, NOT_EXAMINED, facts, word, named)
    yield _step(hit.released, RELEASED, NOT_RELEASED, facts, word)
    if hit.body.person is not None:
        yield FileLine("", word(DRIVER).format(row.driver, _asked(hit.body.person, truck, around.people, word)), "")


def _step(
    fact: FactId | None, done: str, missing: str, facts: Mapping[FactId, LogRow], word: Word, named: str = ""
) -> FileLine:
    if fact is None:
        return FileLine("", word(missing), "")
    return FileLine(facts[fact].when, word(done).format(named), facts[fact].by)


def _asked(driver: PersonKey, truck: TruckNow, people: Sequence[PersonRow], word: Word) -> str:
    """What is wanted of a driver for this kind of truck, or why he may not drive it."""
    permits = [one for person in people if person.person == driver for one in person.permits]
    said = [
        reason.text
        for one in permits
        if one.kind == truck.enrolled.what
        for reason in (*one.asks, *(() if one.may else one.reasons))
    ]
    return " ".join(said) or word(NO_MORE)


def _stay(stay: Hung, truck: TruckNow, kinds: Mapping[BookId, str], zone: tzinfo, word: Word) -> FileLine:
    kind = kinds.get(stay.item, "")
    what = " ".join(one for one in (name_of(stay.item), word(ITEMS.get(kind, kind)), stay.position) if one)
    end = "" if stay.end is None else moment(stay.end, zone, word)
    return FileLine(f"{moment(stay.start, zone, word)} – {end}", what, worked(ran(stay, truck.meters), word))


def _lines(truck: TruckNow, zone: tzinfo, word: Word) -> Iterator[FileLine]:
    for one in reversed(lines_now(truck.counting, truck.faults)):
        title = " ".join(part for part in (one.paper.title, one.paper.number, one.paper.issuer) if part)
        yield FileLine(
            moment(one.one.effective, zone, word), f"{title}: {one.line.text}", word(ANSWERED if one.answered else OPEN)
        )

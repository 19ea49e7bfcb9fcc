"""Makes the invented yard."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from random import Random
from typing import Final

import msgspec

from dipmark.demo import hung, life, meters, papers
from dipmark.demo.pen import Calendar, Pen, Written
from dipmark.demo.services import write_services
from dipmark.demo.story import Story
from dipmark.demo.troubles import standing_days, write_troubles
from dipmark.demo.trucks import SPECS, Truck
from dipmark.demo.workshop import write_workshop
from dipmark.demo.yard import NAMES, write_yard
from dipmark.facts.base import FIRST, Accepted, BookId
from dipmark.facts.codec import accept, book_code
from dipmark.facts.errors import Refused
from dipmark.facts.incident import Incident
from dipmark.facts.problems import Problem, code
from dipmark.office.open import Office
from dipmark.rules.model import Rules

NOT_EMPTY: Final = code("store-not-empty", "The invented yard goes into an empty store only.")
NO_SUCH_TIME: Final = code("demo-time", "The invented yard cannot be set at that time.")

YEARS: Final = (1980, 2150)
"""The years in which the invented yard may be set."""


def demo_facts(as_of: datetime, seed: int, rules: Rules) -> tuple[tuple[Written, ...], Pen]:
    """The facts of the invented yard in the order of their receipt, and the pen with its names and pictures.

    Args:
        as_of: the instant at which every state is to be seen; the record goes back two years from it.
        seed: the same seed, instant and rules make the same record, byte for byte.
        rules: those of its trucks.
    """
    calendar = Calendar(as_of)
    pen = Pen(calendar, _chance(seed, "pen"), NAMES)
    standing = standing_days(calendar)
    trucks = {
        spec.name: Truck(spec, calendar, standing.get(spec.name, frozenset()), _chance(seed, spec.name))
        for spec in SPECS
    }
    story = Story(pen, calendar, rules, trucks, _chance(seed, "story"))
    meters.change_meters(story)
    write_yard(story)
    life.enrol(story)
    hung.hang(story)
    life.hit(story)
    write_troubles(story)
    write_services(story)
    papers.work(story)
    life.hold(story)
    papers.file_papers(story)
    meters.read_meters(story)
    meters.slip(story)
    meters.amend(story)
    story.daily()
    write_workshop(story)
    return tuple(sealed(pen.in_order())), pen


def sealed(written: Iterable[Written]) -> Iterator[Written]:
    """Every hit with the code of its book as it stood, as the yard's own form seals it.

    Args:
        written: facts in the order of their receipt.
    """
    last: dict[BookId, Accepted] = {}
    for one in written:
        fact, before = one.fact, last.get(one.fact.book)
        if isinstance(fact.body, Incident) and before is not None:
            seal = book_code(before.seq, before.digest)
            fact = msgspec.structs.replace(fact, body=msgspec.structs.replace(fact.body, seal=seal))
        seq, prev = (1, FIRST) if before is None else (before.seq + 1, before.digest)
        last[fact.book] = accept(fact, one.received, seq, prev)
        yield msgspec.structs.replace(one, fact=fact)


def make_demo(
    office: Office, as_of: datetime, seed: int = 20261, progress: Callable[[int, int], None] | None = None
) -> int:
    """Fill an empty store with the invented yard, in one transaction, and give back how many facts it holds.

    Args:
        office: the yard with the empty store.
        as_of: the instant at which every state is to be seen.
        seed: where its chances come from.
        progress: told how many facts are written, of how many.

    Raises:
        Refused: the store holds facts already, or the instant is out of range; nothing was written.
    """
    if office.store.books():
        found = f"{len(office.store.books())} books in {office.store.address}"
        raise _refused(Problem(NOT_EMPTY, found, "an empty store", "Give another with --store."))
    if not YEARS[0] <= as_of.year <= YEARS[1]:
        expected = f"a year from {YEARS[0]} to {YEARS[1]}"
        raise _refused(Problem(NO_SUCH_TIME, f"the year {as_of.year}", expected))
    written, pen = demo_facts(as_of, seed, office.rules)
    if progress is not None:
        progress(0, len(written))
    office.append([one.fact for one in written], pen.names, received=[one.received for one in written], blobs=pen.blobs)
    if progress is not None:
        progress(len(written), len(written))
    return len(written)


def _chance(seed: int, what: str) -> Random:
    return Random(f"{seed} {what}")  # noqa: S311  the same chances every time are wanted, and they guard nothing


def _refused(problem: Problem) -> Refused:
    return Refused(problem.message, [problem])

"""Search the yard: trucks, people, faults, words of the logbooks, serial numbers, rules."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from dipmark.derive.past import past
from dipmark.facts.base import folded
from dipmark.office.access import Asker
from dipmark.office.look import trucks
from dipmark.office.open import Office
from dipmark.views.found import (
    MOST,
    Hit,
    faults_found,
    log_found,
    people_found,
    rules_found,
    trucks_found,
)


def find(office: Office, asker: Asker, wanted: str) -> dict[str, tuple[Hit, ...]]:
    """What is found, by what it is; of each the first `MOST`.

    Args:
        office: the yard.
        asker: whoever asks; what is not his to see is not found.
        wanted: as typed; every word must be there.
    """
    words = folded(wanted).split()
    if not words:
        return {}
    now = office.clock()
    seen = [one for one in trucks(office, now) if asker.sees(one.book)]
    people = office.yard.people if asker.may("people") else {asker.person: office.yard.people[asker.person]}
    names = {key: name for key, name in office.people.names().items() if key in people}
    firms = {key: one.firm for key, one in people.items() if one.firm}

    def logs() -> Iterator[Hit]:
        hits: list[Hit] = []
        for one in seen:
            book = past(office.book(one.book), now)
            hits += islice(log_found(words, one.name, book, office.zone, office.rules.word), MOST)
        yield from sorted(hits, key=lambda hit: hit.when or now, reverse=True)

    found = {
        "truck": trucks_found(words, seen, office.rules),
        "fault": faults_found(words, seen),
        "person": people_found(words, names, {str(key): firm for key, firm in firms.items()}),
        "log": logs(),
        "rule": rules_found(words, office.rules),
    }
    taken = {sort: tuple(islice(hits, MOST)) for sort, hits in found.items()}
    return {sort: hits for sort, hits in taken.items() if hits}

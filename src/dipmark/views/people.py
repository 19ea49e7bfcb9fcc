"""The people of the yard: what each does, what he may drive and until when, which trucks he was led round."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date, datetime, tzinfo

import msgspec

from dipmark.derive.driver import driver_now, evaluated_for
from dipmark.derive.past import Counted, Counting
from dipmark.derive.yard import YardNow
from dipmark.facts.base import PersonKey, name_of
from dipmark.facts.people import Familiarised, Permit, PersonSet
from dipmark.rules.model import Rules
from dipmark.views.words import moment
from dipmark.views.yard import Reason, reason


class PermitRow(msgspec.Struct, frozen=True):
    """A person and a kind of truck.

    Args:
        kind: its key.
        text: its name for people.
        may: True where he may drive it.
        reasons: why, or why not.
        asks: what is wanted although he may.
        until: the last day it holds.
        ends: the instant a day card ends, by the yard's clock.
        under: the trainer who must be with him.
        seen: the certificate that was seen, and by whom; empty: nobody has said.
    """

    kind: str
    text: str
    may: bool
    reasons: tuple[Reason, ...]
    asks: tuple[Reason, ...]
    until: date | None
    ends: str | None
    under: str | None
    seen: str = ""


class LedRow(msgspec.Struct, frozen=True):
    """A truck that somebody was led round.

    Args:
        truck: its number.
        by: who led him.
        when: by the yard's clock.
    """

    truck: str
    by: str
    when: str


class PersonRow(msgspec.Struct, frozen=True):
    """Somebody of the yard.

    Args:
        person: his key.
        name: as the register has it.
        roles: what he does here.
        firm: where he comes from, if from outside.
        gone: True once he has left.
        skills: the work he can do.
        shifts: those he works; empty: any.
        trucks: the only ones he sees; empty: all that his roles allow.
        permits: by kind of truck.
        led: trucks he was led round, by number.
    """

    person: PersonKey
    name: str
    roles: tuple[str, ...]
    firm: str | None
    gone: bool
    skills: tuple[str, ...]
    shifts: tuple[str, ...]
    trucks: tuple[str, ...]
    permits: tuple[PermitRow, ...]
    led: tuple[LedRow, ...]


class People(msgspec.Struct, frozen=True):
    """What rows are made from.

    Args:
        book: the yard's own book.
        yard: its settings now.
        rules: of today.
        names: of people, by key.
        kinds: keys of the kinds of truck in the yard.
        incidents: facts of trucks' books in which drivers are named.
        as_of: the instant.
        zone: the yard's.
    """

    book: Counting
    yard: YardNow
    rules: Rules
    names: Mapping[PersonKey, str]
    kinds: Collection[str]
    incidents: tuple[Counted, ...]
    as_of: datetime
    zone: tzinfo

    def name(self, person: PersonKey) -> str:
        """A name to show."""
        return self.names.get(person, person)


def person_rows(people: People, first: PersonKey) -> tuple[PersonRow, ...]:
    """Everybody by name, whoever asks first, those who have left at the end.

    Args:
        people: what the yard knows.
        first: whoever asks: each sees his own before all others.
    """
    rows = [person_row(people, one.person) for one in people.yard.people.values()]
    return tuple(sorted(rows, key=lambda row: (row.person != first, row.gone, row.name.casefold())))


def person_row(people: People, person: PersonKey) -> PersonRow:
    """One person; one whom the yard's book does not name has no role and no permit."""
    known = people.yard.people.get(person) or PersonSet(person=person, roles=())
    return PersonRow(
        person=person,
        name=people.name(person),
        roles=known.roles,
        firm=known.firm,
        gone=known.gone,
        skills=known.skills,
        shifts=known.shifts,
        trucks=tuple(name_of(book) for book in known.books),
        permits=tuple(_permits(people, known)),
        led=tuple(_led(people, person)),
    )


def _permits(people: People, known: PersonSet) -> Iterator[PermitRow]:
    """Every kind he has a permit of, or had; of a driver every other kind of the yard as well."""
    said = {body.what: (one, body) for one, body in _permits_of(people, known.person)}
    words = {kind: body for kind, (_, body) in said.items()}
    kinds = dict.fromkeys((*words, *(sorted(people.kinds) if "driver" in known.roles else ())))
    months = evaluated_for(people.rules, people.yard.country)
    for kind in kinds:
        incidents = _of(known.person, people.incidents)
        now = driver_now(
            people.book, known.person, kind, months, people.as_of, people.zone, incidents, people.rules.word
        )
        ends = words[kind].ends if kind in words else None
        found = people.rules.kind(kind)
        yield PermitRow(
            kind=kind,
            text=found.text if found else kind,
            may=now.may,
            reasons=tuple(reason(because, people.rules) for because in now.reasons),
            asks=tuple(reason(because, people.rules) for because in now.asks),
            until=now.until,
            ends=None if ends is None else moment(ends, people.zone, people.rules.word),
            under=None if now.under is None else people.name(now.under),
            seen=_seen(people, *said[kind]) if kind in said else "",
        )


def _seen(people: People, one: Counted, permit: Permit) -> str:
    """The certificate, and who says that he saw it."""
    return f"{permit.certificate} ({people.name(PersonKey(one.by))})" if permit.certificate else ""


def _permits_of(people: People, person: PersonKey) -> Iterator[tuple[Counted, Permit]]:
    for one in people.book:
        if isinstance(one.body, Permit) and one.body.person == person:
            yield one, one.body


def _of(person: PersonKey, incidents: Iterable[Counted]) -> tuple[Counted, ...]:
    return tuple(one for one in incidents if getattr(one.body, "person", None) == person)


def _led(people: People, person: PersonKey) -> Iterator[LedRow]:
    """The last time for each truck."""
    last: dict[str, LedRow] = {}
    for one in people.book:
        if isinstance(one.body, Familiarised) and one.body.person == person:
            truck = name_of(one.body.truck)
            last[truck] = LedRow(
                truck, people.name(one.body.led_by), moment(one.effective, people.zone, people.rules.word)
            )
    yield from (last[truck] for truck in sorted(last, key=lambda name: (len(name), name)))

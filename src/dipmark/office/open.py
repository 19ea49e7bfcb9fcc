"""Open a yard: its store, its rules, its settings, and whoever is asking."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from copy import copy
from datetime import UTC, datetime, time, timedelta, tzinfo
from pathlib import Path
from types import TracebackType
from typing import Self
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from dipmark.adapters.clock import new_id, system_clock
from dipmark.adapters.languages import in_language, yard_words
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import Appended, Blob, Store, open_store
from dipmark.derive.yard import YardNow, yard_now
from dipmark.facts.base import UNNAMED, YARD, Accepted, BookId, Fact, PersonKey
from dipmark.facts.errors import Refused
from dipmark.facts.kinds import AnyBody
from dipmark.facts.problems import Problem, code
from dipmark.office.people import People
from dipmark.rules.model import Rules

ZONE_UNKNOWN = code("zone-unknown", "The time zone is not one of the IANA time zone database.")


class Office:
    """One yard, opened.

    Args:
        store: its record.
        rules: what its trucks are held to.
        clock: what time it is.
        by: the person who is asking.
    """

    def __init__(self, store: Store, rules: Rules, clock: Callable[[], datetime], by: PersonKey = UNNAMED) -> None:
        self.store = store
        self.rules = rules
        self.clock = clock
        self.by = by
        self.people = People(store)
        self._read: dict[BookId, tuple[Accepted, ...]] = {}

    def book(self, book: BookId) -> tuple[Accepted, ...]:
        """All facts of a book: those read before, and what anybody has added since."""
        known = self._read.get(book, ())
        added = self.store.book(book, after=len(known))
        if not added:
            return known
        whole = (*known, *added)
        if len(whole) > len(self._read.get(book, ())):  # another thread may have read further meanwhile
            self._read[book] = whole
        return whole

    def asked_by(self, by: PersonKey, rules: Rules | None = None) -> Self:
        """The same yard, for one person; many may ask at once.

        Args:
            by: who asks or writes.
            rules: the same in his language; None: as they are.
        """
        office = copy(self)
        office.by, office.rules = by, rules or self.rules
        return office

    @property
    def yard(self) -> YardNow:
        """Settings of the yard now."""
        return yard_now(self.book(YARD), self.clock())

    @property
    def zone(self) -> tzinfo:
        """The yard's time zone."""
        return zone_of(self.yard.zone)

    def fact(
        self, book: BookId, body: AnyBody, happened: datetime, *, whole_day: bool = False, by: PersonKey | None = None
    ) -> Fact:
        """A new fact, recorded here, with a new id."""
        return Fact(id=new_id(), book=book, happened=happened, by=by or self.by, body=body, whole_day=whole_day)

    def append(
        self,
        facts: Sequence[Fact],
        names: dict[PersonKey, str] | None = None,
        *,
        received: Sequence[datetime] | None = None,
        blobs: Sequence[Blob] = (),
    ) -> Appended:
        """Write facts in one transaction, with the names of people met for the first time; see `Store.append`."""
        keys = {fact.by for fact in facts}
        told_names = {**self.people.new_names(keys), **(names or {})}
        appended = self.store.append(facts, received=received, names=told_names, blobs=blobs)
        self.people.written(keys)
        return appended

    def instant(self, text: str) -> datetime:
        """An instant from its text: ISO 8601; without zone the yard's, a date alone is the end of that local day.

        Raises:
            Refused: it is none, or its year lies outside 1900 to 2199.
        """
        try:
            moment = datetime.fromisoformat(text.strip())
        except ValueError:
            moment = datetime.max.replace(tzinfo=UTC)
        offset = moment.utcoffset()
        if not 1900 <= moment.year <= 2199 or (offset is not None and offset % timedelta(minutes=1)):
            expected = "a time such as 2026-11-20T06:00 or a date such as 2026-11-20"
            problem = Problem(TIME_UNREADABLE, f"time {text!r}", expected, "Write it so.")
            raise Refused(problem.message, [problem])
        if is_day(text):
            return datetime.combine(moment.date(), time.max, tzinfo=self.zone)
        return moment if moment.tzinfo is not None else moment.replace(tzinfo=self.zone)

    def close(self) -> None:
        """Close the store."""
        self.store.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()


TIME_UNREADABLE = code("instant-unreadable", "A time given on the command line cannot be read.")


def is_day(text: str) -> bool:
    """True where a time as written is a date alone."""
    return re.fullmatch(r"\d{4}-?\d\d-?\d\d|\d{4}-?W\d\d(-?\d)?", text.strip()) is not None


def zone_of(name: str) -> tzinfo:
    """The time zone of an IANA name.

    Raises:
        Refused: there is none of that name.
    """
    try:
        return UTC if name == "UTC" else ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        problem = Problem(
            ZONE_UNKNOWN, f"time zone {name!r}", "an IANA name such as Europe/Madrid", "Look it up there."
        )
        raise Refused(problem.message, [problem]) from None


def open_office(
    address: str,
    *,
    create: bool,
    by: str | None = None,
    clock: Callable[[], datetime] = system_clock,
    own_rules: Path | None = None,
    language: str | None = None,
) -> Office:
    """Open a yard by the address of its store.

    Args:
        address: path of a SQLite file or address of a PostgreSQL database.
        create: True makes the store where there is none.
        by: name of the person who is asking; None is nobody in particular.
        clock: tells the time.
        own_rules: folder with the yard's own rules, laid over the shipped ones.
        language: IETF tag of what rules and states are said in; None: the yard's first that there are words of.

    Raises:
        NotFound: there is no store and create is False, or there are no words of the language.
        RulesError: the yard's own rules cannot be used.
    """
    rules = read_rules(own_rules)
    if language is not None:
        rules = in_language(rules, language, own_rules)
    office = Office(open_store(address, clock=clock, create=create), rules, clock)
    if language is None:
        try:
            office.rules = yard_words(rules, office.yard.languages, own_rules)
        except BaseException:
            office.close()
            raise
    if by is not None:
        office.by = office.people.key_or_new(by)
    return office


def told(problems: Sequence[Problem]) -> str:
    """Problems as lines for a person."""
    return "\n".join(str(problem) for problem in problems)

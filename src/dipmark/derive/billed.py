"""Bills as they lie in a truck's book: what each is of, the days its work may be of, the work that may be it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.due import holds
from dipmark.derive.duty import paper_day
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FactId
from dipmark.facts.document import Document
from dipmark.facts.work import Worked
from dipmark.rules.model import Kind

LATE: Final = timedelta(days=62)
"""So long after the work its bill may come in, where it does not say of which day it is. Common practice, no source."""

NEAR: Final = timedelta(days=3)
"""So far from the day on the bill the yard may have noted the work. Common practice, no source."""


class Question(msgspec.Struct, frozen=True):
    """Something to ask the firm about a bill.

    Args:
        one: the bill's fact.
        paper: what it says.
        because: what was found, what the record lets one expect, by how much, and what to ask.
    """

    one: Counted
    paper: Document
    because: Because


class Bill(msgspec.Struct, frozen=True):
    """A bill.

    Args:
        one: its fact.
        paper: what it says.
        since: the first day its work may be of.
        day: the last day its work may be of, and where it says so the day itself.
        first: the first day the yard may have noted the work.
        last: the last day the yard may have noted it; all four days are included.
        services: on it, by id, each once.
    """

    one: Counted
    paper: Document
    since: date
    day: date
    first: date
    last: date
    services: tuple[str, ...]

    @property
    def name(self) -> str:
        """As people call it."""
        return named(self.paper)

    def is_of(self, one: Counted, zone: tzinfo) -> bool:
        """Whether work may be what it bills: another paper is not named for it, and the days fit."""
        document = one.body.document if isinstance(one.body, Worked) else None
        return document == self.one.id or (document is None and self.first <= one.day(zone) <= self.last)

    def asks(self, rule: str, text: str, *facts: FactId, source: str | None = None) -> Question:
        """A question about it."""
        return Question(self.one, self.paper, Because(text, f"bill.{rule}", source, (self.one.id, *facts)))


class Job(msgspec.Struct, frozen=True):
    """A service as billed.

    Args:
        bill: on which it stands.
        work: the work noted for it; None: nobody has noted any.
        done: that work, else a stand-in as the bill has it.
        day: it is of.
    """

    bill: Bill
    work: Counted | None
    done: Counted
    day: date


def named(paper: Document) -> str:
    """A paper as people call it: title, number, firm.

    Args:
        paper: any.
    """
    return ", ".join(part for part in (f"{paper.title} {paper.number or ''}".strip(), paper.issuer) if part)


def bills_of(counting: Counting, zone: tzinfo) -> tuple[Bill, ...]:
    """The job sheets of a book that bill something: parts, minutes, a cost or a service; in the order of their days.

    Args:
        counting: the truck's record.
        zone: the yard's.

    *Source*: `LATE` and `NEAR`: common practice, no source.
    """
    found: list[Bill] = []
    for one in counting:
        paper = one.body
        if isinstance(paper, Document) and paper.what == "job-sheet":
            services = tuple(dict.fromkeys(line.service for line in paper.lines if line.service is not None))
            if services or paper.parts or paper.minutes is not None or paper.cost is not None:
                day = paper_day(one, paper, zone)
                since, first, last = (
                    (day, day - NEAR, day + NEAR) if paper.valid_from else (day - LATE, day - LATE, day)
                )
                found.append(Bill(one, paper, since, day, first, last, services))
    return tuple(sorted(found, key=lambda bill: (bill.day, bill.one.order)))


def told_by(one: Counted, bills: Collection[FactId]) -> bool:
    """Whether a fact is one of some bills, or work noted from one of them.

    Args:
        one: the fact.
        bills: their facts.
    """
    return one.id in bills or (isinstance(one.body, Worked) and one.body.document in bills)


def jobs_of(
    bills: Sequence[Bill], counting: Counting, kind: Kind | None, zone: tzinfo
) -> dict[tuple[FactId, str], Job]:
    """Each service billed, with the latest work that may be it and belongs to no bill before.

    Args:
        bills: of `bills_of`.
        counting: the truck's record.
        kind: its rules; None: a service is only what is called so.
        zone: the yard's.

    Returns:
        By the bill's fact and the service's id.
    """
    taken: set[tuple[FactId, str]] = set()
    jobs: dict[tuple[FactId, str], Job] = {}
    for bill in bills:
        for service in bill.services:
            fits = [
                one
                for one in counting
                if (one.id, service) not in taken and bill.is_of(one, zone) and did(one, service, kind)
            ]
            work = max(fits, key=lambda one: (told_by(one, {bill.one.id}), one.order), default=None)
            if work is None:
                start = datetime.combine(bill.day, time(), tzinfo=zone)
                claim = Worked(services=(service,))
                done = msgspec.structs.replace(bill.one, body=claim, happened=start, whole_day=True, effective=start)
                jobs[bill.one.id, service] = Job(bill, None, done, bill.day)
            else:
                taken.add((work.id, service))
                jobs[bill.one.id, service] = Job(bill, work, work, work.day(zone))
    return jobs


def did(one: Counted, service: str, kind: Kind | None) -> bool:
    """Whether work was that service, or one that counts for it.

    Args:
        one: the fact.
        service: by id.
        kind: of the truck; None: a service is only what is called so.
    """
    if not isinstance(one.body, Worked):
        return False
    rule = kind.service(service) if kind else None
    higher = {more.id for more in kind.services if holds(kind, more, rule)} if kind and rule else {service}
    return bool(higher & set(one.body.services))

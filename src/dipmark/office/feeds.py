"""Calendars that other programs read: what falls due, and the published plan, of all or of one mechanic."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

from dipmark.adapters.exporting.calendar import Entry, calendar
from dipmark.derive.days import local_day
from dipmark.derive.meter import micros
from dipmark.derive.workshop import workshop_now
from dipmark.derive.yard import yard_now
from dipmark.facts.base import YARD, name_of
from dipmark.facts.errors import NotFound
from dipmark.office.devices import LINK_GONE
from dipmark.office.look import due_list
from dipmark.office.open import Office
from dipmark.office.sign_in import digest_of
from dipmark.office.workshop import workshop_of
from dipmark.views.words import CAUTION
from dipmark.views.workshop import DUE_NAME, KIT, METER, PLAN_NAME, TRUCK

DUE: Final = "due"
PLAN: Final = "plan"


def feed_of(office: Office, token: str) -> bytes:
    """The feed of a link.

    Raises:
        NotFound: the link holds no longer, or never did.
    """
    now = office.clock()
    link = office.store.sign_ins.link(digest_of(token), micros(now))
    if link is None or link.what != "calendar":
        raise NotFound(LINK_GONE)
    if link.subject == DUE:
        return due_feed(office, now)
    return plan_feed(office, now, None if link.subject == PLAN else link.subject)


def due_feed(office: Office, as_of: datetime) -> bytes:
    """What falls due, each on the day it is expected about; what is due or late, today.

    Args:
        office: the yard.
        as_of: the instant.
    """
    return calendar(office.rules.word(DUE_NAME), _due(office, as_of), as_of)


def _due(office: Office, as_of: datetime) -> Iterator[Entry]:
    today, word = local_day(as_of, office.zone), office.rules.word
    changed = as_of.replace(hour=0, minute=0, second=0, microsecond=0)  # told anew each day
    for row in due_list(office, as_of):
        pressing = row.state in {"due", "late"}
        about = today if pressing else row.expected.about if row.expected else row.due_date
        if row.service is None or row.state == "unknown" or row.resting or about is None:
            continue
        said = [row.expected.words] if row.expected else []
        yield Entry(
            uid=f"due-{row.truck}-{row.service}@dipmark".replace(" ", "-"),
            title=word(TRUCK).format(row.truck, row.service.replace("-", " ")),
            text="\n".join((*said, row.reason.text, word(METER), word(CAUTION))),
            start=about,
            end=about,
            changed=changed,
        )


def plan_feed(office: Office, as_of: datetime, who: str | None = None) -> bytes:
    """The published plan, one after another in each mechanic's shift.

    Args:
        office: the yard.
        as_of: the instant.
        who: the mechanic or firm; None: all.
    """
    return calendar(office.rules.word(PLAN_NAME), _planned(office, as_of, who), as_of)


def _planned(office: Office, as_of: datetime, who: str | None) -> Iterator[Entry]:
    record = office.book(YARD)
    plan = workshop_now(record, as_of).plan
    if plan is None:
        return
    now, yard, word = workshop_of(office, as_of), yard_now(record, as_of), office.rules.word
    jobs = {job.id: job for job in now.jobs}
    starts = {shift.name: shift.start for shift in yard.shifts}
    spent: dict[tuple[str, object, str], int] = {}
    for visit in plan.plan.visits:
        mechanic = visit.firm or str(visit.person)
        key = mechanic, visit.day, visit.shift
        minutes = now.room.set_up + sum(jobs[job].minutes for job in visit.jobs if job in jobs)
        start = spent.get(key, 0)
        spent[key] = start + minutes
        if (who is not None and mechanic != who) or visit.shift not in starts:
            continue
        begin = datetime.combine(visit.day, starts[visit.shift], tzinfo=office.zone) + timedelta(minutes=start)
        truck = name_of(visit.truck)
        texts = [now.texts.get(job, job.partition(" ")[2]) for job in visit.jobs]
        parts = [part.name for job in visit.jobs if job in jobs for part in jobs[job].parts]
        yield Entry(
            uid=f"plan-{truck}-{'-'.join(visit.jobs)}@dipmark".replace(" ", "-"),
            title=word(TRUCK).format(truck, ", ".join(texts)),
            text="\n".join((*([word(KIT).format(", ".join(parts))] if parts else []), word(CAUTION))),
            start=begin,
            end=begin + timedelta(minutes=minutes),
            place=now.names.get(mechanic, mechanic),
            changed=plan.since,
        )

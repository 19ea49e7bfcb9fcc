"""Prepare what is printed: reads the record as it stood, and keeps each sheet that is read back from a photo."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final
from urllib.parse import quote

import msgspec

from dipmark.derive.days import local_day
from dipmark.derive.due import WALK_ROUND
from dipmark.derive.truck import TruckNow
from dipmark.derive.yard import YardNow, telephone_now, yard_now
from dipmark.facts.base import YARD, BookId, FactId, PersonKey
from dipmark.facts.codec import book_code
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem
from dipmark.facts.work import Worked
from dipmark.office.access import MAY, ROLES
from dipmark.office.ahead import forecasts
from dipmark.office.appoint import people_of
from dipmark.office.battery import battery_logs
from dipmark.office.hit import hits
from dipmark.office.instead import instead_of
from dipmark.office.items import items, kind_of_item, stays
from dipmark.office.lessons import lessons_of
from dipmark.office.look import log_of, truck, trucks
from dipmark.office.open import Office
from dipmark.office.parts import parts_page
from dipmark.office.plan import published
from dipmark.office.plate import sheet_of
from dipmark.office.settings import who_releases
from dipmark.office.sheet_names import Sheet
from dipmark.rules.model import Kind
from dipmark.views.card import TruckCard, truck_card
from dipmark.views.day_card import DayCard, day_card
from dipmark.views.due_list import DueList, due_list
from dipmark.views.file_around import Around
from dipmark.views.items import item_row
from dipmark.views.items_sheet import ItemsSheet
from dipmark.views.job_sheet import JobSheet, job_sheet
from dipmark.views.labels import Labels, labels
from dipmark.views.lessons import Watcher
from dipmark.views.lessons_sheet import LessonsSheet, lessons_sheet
from dipmark.views.out_card import OutCard, out_card
from dipmark.views.paper import Head, ServicePaper, service_paper, truck_head, yard_head
from dipmark.views.people import person_rows
from dipmark.views.planning_sheets import PartsSheet, WorkshopSheet
from dipmark.views.release_list import ReleaseList, release_list
from dipmark.views.sheet_geometry import Paper, bytes_of
from dipmark.views.truck_file import TruckFile, truck_file
from dipmark.views.week_sheet import WeekSheet, one_shift, shifts_of_week, week_sheet

Doc = (
    WeekSheet
    | TruckCard
    | OutCard
    | ServicePaper
    | DueList
    | TruckFile
    | Labels
    | ReleaseList
    | LessonsSheet
    | WorkshopSheet
    | PartsSheet
    | JobSheet
    | DayCard
    | ItemsSheet
)

RULED: Final[frozenset[Sheet]] = frozenset({"week", "shift", "card", "service"})
"""These are made of the rules of the truck's kind."""

KEPT_AS: Final = "application/json"


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be printed.

    Args:
        sheet: which.
        as_of: the instant it speaks of.
        trucks: their numbers; empty: every truck.
        paper: size of the paper.
        day: of a single shift, or any of a week; None: that of `as_of`.
        service: of a service sheet; None: what presses most on each truck.
        fact: the work of a job sheet; None: the last on each truck.
        person: whose day card; None: everybody's who has one now.
        alone: no other truck is named, for somebody who sees some trucks only.
        address: where the yard is served, for the labels; None: they name the book alone.
    """

    sheet: Sheet
    as_of: datetime
    trucks: tuple[str, ...] = ()
    paper: Paper = "a4"
    day: date | None = None
    service: str | None = None
    fact: FactId | None = None
    person: PersonKey | None = None
    alone: bool = False
    address: str | None = None


def sheets(office: Office, asked: Asked) -> tuple[Doc, ...]:
    """Everything that was asked for, in the order of the trucks.

    Raises:
        NotFound: no such truck, no such service, or its kind has no rules for such a sheet.
        Refused: there is no truck or no plan, or nothing falls due on one whose service sheet was asked for.
    """
    if asked.sheet == "release":
        may = tuple(role for role in ROLES if "release" in MAY[role])
        return (release_list(_yard(office, asked), may, office.people.names(), _yard_head(office, asked)),)
    if asked.sheet == "day":
        return _day_cards(office, asked)
    if asked.sheet == "items":
        return (_items(office, asked),)
    if asked.sheet == "lessons":
        return (lessons_sheet(lessons_of(office, asked.as_of, Watcher()), _yard_head(office, asked)),)
    if asked.sheet == "parts":
        return (PartsSheet(head=_yard_head(office, asked), page=parts_page(office, asked.as_of)),)
    if asked.sheet == "workshop":
        page = published(office, asked.as_of)
        if page is None:
            raise Refused("No plan has been published yet: dipmark plan --publish, or the page Workshop.")
        return (WorkshopSheet(head=_yard_head(office, asked), page=page, parts=parts_page(office, asked.as_of)),)
    found = tuple(truck(office, number, asked.as_of) for number in asked.trucks or _every(office, asked))
    if not found:
        raise Refused("No truck is enrolled that has such a sheet: there is nothing to print.")
    if asked.sheet == "due":
        ahead, today = forecasts(office, found, asked.as_of), local_day(asked.as_of, office.zone)
        return (due_list(found, office.rules, _yard(office, asked).country, _yard_head(office, asked), ahead, today),)
    problems = office.store.verify() if asked.sheet == "file" else ()
    docs = tuple(_one(office, now, asked, problems) for now in found)
    for doc in docs:
        if isinstance(doc, WeekSheet):
            office.store.put_blob(bytes_of(doc.printed), KEPT_AS)
    return docs


def _every(office: Office, asked: Asked) -> tuple[str, ...]:
    """The trucks of the yard that have such a sheet."""
    standing = trucks(office, asked.as_of)
    return tuple(one.name for one in standing if asked.sheet not in RULED or office.rules.kind(one.enrolled.what))


def _one(office: Office, now: TruckNow, asked: Asked, problems: Sequence[Problem]) -> Doc:
    head, names, rules = _truck_head(office, now, asked), office.people.names(), office.rules
    match asked.sheet:
        case "out":
            reach = who_releases(office)
            return out_card(
                now,
                rules,
                names,
                head,
                office.zone,
                reach.names,
                reach.telephone,
                () if asked.alone else instead_of(office, now, asked.as_of),
            )
        case "labels":
            return labels(now, rules.kind(now.enrolled.what), head, _opens(now, asked.address))
        case "service":
            return service_paper(now, sheet_of(office, now.name, _service(now, asked.service), asked.as_of), head)
        case "job":
            return _job(office, now, head, asked)
        case "file":
            return _file(office, now, head, asked, problems)
        case "card":
            return truck_card(now, _kind(office, now), rules, names, head)
        case _:
            return _week(office, now, head, asked)


def _week(office: Office, now: TruckNow, head: Head, asked: Asked) -> WeekSheet:
    day, single = asked.day or local_day(asked.as_of, office.zone), asked.sheet == "shift"
    shifts = one_shift(day) if single else shifts_of_week(_yard(office, asked), day)
    return week_sheet(now, _kind(office, now), office.rules, head, asked.paper, shifts, single=single)


def _job(office: Office, now: TruckNow, head: Head, asked: Asked) -> JobSheet:
    done = [(one, one.body) for one in now.counting if isinstance(one.body, Worked) and asked.fact in {None, one.id}]
    if not done:
        found = f"entry {asked.fact}" if asked.fact else "no work"
        raise Refused(f"Found {found} on truck {now.name}; expected a service or a repair in its record.")
    one, work = done[-1]
    known = _yard(office, asked).people.get(PersonKey(one.by))
    firm = known.firm if known else None
    return job_sheet(now, one, work, office.rules, office.people.names(), head, office.zone, firm)


def _items(office: Office, asked: Asked) -> ItemsSheet:
    here = [one for one in items(office, asked.as_of) if one.retired is None]
    rows = tuple(item_row(one, office.zone, office.rules.word) for one in here)
    return ItemsSheet(head=_yard_head(office, asked), rows=rows, batteries=battery_logs(office, here, asked.as_of))


def _day_cards(office: Office, asked: Asked) -> tuple[DayCard, ...]:
    """The day cards that hold, or the one that was asked for."""
    people = msgspec.structs.replace(people_of(office, asked.as_of), yard=_yard(office, asked))
    telephone = telephone_now(people.yard, asked.as_of, office.zone)
    rows = [row for row in person_rows(people, office.by) if asked.person in {None, row.person}]
    cards = tuple(day_card(row, telephone, _yard_head(office, asked)) for row in rows)
    held = tuple(one for one in cards if one.lines or asked.person)
    if not held:
        raise Refused("No day card holds now. Give one on the page People, with the certificate that was seen.")
    return held


def _file(office: Office, now: TruckNow, head: Head, asked: Asked, problems: Sequence[Problem]) -> TruckFile:
    people = msgspec.structs.replace(people_of(office, asked.as_of), yard=_yard(office, asked))
    here = [one for one in problems if one.where.book in {None, now.book}]
    log = log_of(office, now.name, asked.as_of)
    rows = person_rows(people, office.by)
    hung = tuple(one for one in stays(office, asked.as_of) if one.truck == now.book)
    kinds = {one: kind_of_item(office, one) for one in {stay.item for stay in hung}}
    around = Around(hits(office, now), hung, kinds, rows)
    return truck_file(now, office.rules, office.people.names(), head, office.zone, log, around, here)


def _service(now: TruckNow, wanted: str | None) -> str:
    """The service asked for; else the one that presses most: the first by hours that a mechanic does."""
    if wanted is not None:
        return wanted
    rank = {"late": 0, "due": 1, "open": 2, "later": 3, "unknown": 4}
    due = [one for one in now.dues if one.service not in {None, WALK_ROUND}]
    due.sort(key=lambda one: (rank[one.state], one.hours is None, (one.hours or 0) - (one.now or 0)))
    if not due or due[0].service is None:
        raise Refused(f"Truck {now.name} has no service in its rules. Name one with --service.")
    return due[0].service


def _kind(office: Office, now: TruckNow) -> Kind:
    kind = office.rules.kind(now.enrolled.what)
    if kind is None:
        raise NotFound(f"Trucks of the kind {now.enrolled.what} have no rules yet: no such sheet of {now.name} exists.")
    return kind


def _opens(now: TruckNow, address: str | None) -> str:
    name = quote(now.name, safe="")
    return f"truck:{name}" if address is None else f"{address.rstrip('/')}/phone#truck={name}"


def _yard(office: Office, asked: Asked) -> YardNow:
    """The yard as it was at the instant asked for, whatever the clock says now."""
    return yard_now(office.book(YARD), asked.as_of)


def _code(office: Office, book: BookId) -> str:
    heads = office.store.heads()
    return book_code(*heads[book]) if book in heads else "0"


def _truck_head(office: Office, now: TruckNow, asked: Asked) -> Head:
    return truck_head(now, _code(office, now.book), office.yard.name, office.rules, asked.as_of, office.zone)


def _yard_head(office: Office, asked: Asked) -> Head:
    return yard_head(YARD, _code(office, YARD), office.yard.name, office.rules, asked.as_of, office.zone)

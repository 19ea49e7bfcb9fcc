"""The jobs and the room of a fortnight, from the record: what there is to do, and who, when and where can do it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from math import ceil
from typing import Final

import msgspec

from dipmark.adapters.days_off import days_off
from dipmark.derive.days import local_day
from dipmark.derive.driver import driver_now, evaluated_for
from dipmark.derive.due import Due
from dipmark.derive.expected import Expected, Forecast
from dipmark.derive.past import past
from dipmark.derive.standing import Standing
from dipmark.derive.stock import Shelf
from dipmark.derive.workshop import WorkshopNow
from dipmark.derive.yard import YardNow, yard_now
from dipmark.facts.base import YARD, BookId, PersonKey, folded
from dipmark.facts.people import Permit
from dipmark.facts.work import Money
from dipmark.office.ahead import forecasts
from dipmark.office.look import trucks
from dipmark.office.open import Office
from dipmark.office.parts import LEAD, Stores, services_ahead, stores_of
from dipmark.plan.fortnight import Placed
from dipmark.plan.jobs import Job, Part, Spread, Visit
from dipmark.plan.room import Bay, Group, Mechanic, Need, Room, Shift, Stretch
from dipmark.rules.model import Kind, Rules, Service
from dipmark.views.gauge import Gauge
from dipmark.views.yard import due_gauge

DAYS: Final = 14
"""A fortnight."""

UNSAID: Final = 60
"""Minutes of a repair or an examination of which nobody has said how long it takes. Common practice, no source."""

HOUR: Final = 3_000
"""Cents an hour costs in which a wanted truck is in the workshop, where nobody has said. Project rule."""

EXTRA: Final = 4_500
"""Cents an hour of overtime costs, where nobody has said. Project rule."""

DAY: Final = 8
"""Such hours a truck out of service costs a day: those of a shift. Project rule."""

EXAMINER: Final = "examiner"
"""Who examines, where no firm is named for it."""


class Workshop(msgspec.Struct, frozen=True):
    """All that a plan is made of, and what its jobs are called.

    Args:
        jobs: what there is to do.
        room: what there is to do it with.
        published: the plan people go by; empty: none yet.
        texts: of each job, what is done.
        gauges: of each service, what is left.
        names: of trucks by book and of people by key, and of firms.
        guessed: True where no bays, firms or needs have been told: the page says so.
    """

    jobs: tuple[Job, ...]
    room: Room
    published: tuple[Placed, ...]
    texts: dict[str, str]
    gauges: dict[str, Gauge]
    names: dict[str, str]
    guessed: bool


def workshop_of(office: Office, as_of: datetime) -> Workshop:
    """The jobs and the room of the fortnight that begins today.

    Args:
        office: the yard.
        as_of: the instant.
    """
    found = [one for one in trucks(office, as_of) if not one.resting]
    ahead = forecasts(office, found, as_of)
    stores = stores_of(office, as_of, found, ahead)
    yard = yard_now(office.book(YARD), as_of)
    made = _Jobs(office.rules, stores, yard)
    for truck in found:
        made.services(truck, ahead.get(truck.book))
        made.duties(truck)
        made.faults(truck)
    made.parts()
    room = _room(office, as_of, found, yard, stores.workshop, made.standing())
    plan = stores.workshop.plan
    published = tuple(
        Placed(Visit(one.truck, one.jobs), one.day, one.shift, one.firm or str(one.person))
        for one in (plan.plan.visits if plan else ())
    )
    room = _from_now(room, yard, as_of.astimezone(office.zone), published, {job.id: job.minutes for job in made.jobs})
    names = {str(truck.book): truck.name for truck in found} | {
        str(key): name for key, name in office.people.names().items()
    }
    told = stores.workshop.told
    guessed = not (told.bays or told.firms or told.wanted)
    return Workshop(tuple(made.jobs), room, published, made.texts, made.gauges, names, guessed)


class _Jobs:
    """The jobs, gathered truck by truck."""

    def __init__(self, rules: Rules, stores: Stores, yard: YardNow) -> None:
        self.rules, self.stores, self.yard = rules, stores, yard
        self.today = stores.today
        self.told = stores.workshop.told
        self.hour = _cents(self.told.hour, HOUR)
        self.jobs: list[Job] = []
        self.texts: dict[str, str] = {}
        self.gauges: dict[str, Gauge] = {}
        self.kits: dict[str, tuple[tuple[str, int], ...]] = {}

    def add(self, truck: Standing, subject: str, text: str, job: Job) -> None:
        """A job with what it asks for; what cannot begin in this fortnight is not in it."""
        if job.opens > self.today + timedelta(days=DAYS - 1) and job.latest > self.today + timedelta(days=DAYS - 1):
            return
        asked = [one for one in self.told.asks or () if one.of in {subject, truck.enrolled.what}]
        firm = next((one.firm for one in self.told.firms or () if subject in one.work), job.firm)
        self.texts[job.id] = text
        self.jobs.append(
            msgspec.structs.replace(
                job,
                firm=firm,
                bay=next((one.bay for one in asked if one.bay), None) if firm is None else None,
                skills=frozenset(one.skill for one in asked if one.skill) if firm is None else frozenset(),
                permits=frozenset(one.permit for one in asked if one.permit) if firm is None else frozenset(),
            )
        )

    def services(self, truck: Standing, forecast: Forecast | None) -> None:
        """What is due, and what may fall due; what a larger service holds comes with it."""
        kind = self.rules.kind(truck.enrolled.what)
        dues = {due.service: due for due in truck.dues}
        for service, expected in services_ahead(truck, self.rules, forecast, self.today):
            due = dues[service.id]
            if expected.early is None or kind is None:
                continue
            spread = _spread(expected)
            if due.state == "late":
                past_day = due.day is not None and due.day < self.today
                spread = Spread.on(due.day if past_day and due.day else self.today - timedelta(days=1))
            minutes = self.minutes(truck, kind, service)
            early, late, whole = _window(due, spread, self.today)
            opens = spread.about - timedelta(days=early) if due.state == "later" else self.today
            id_ = f"{truck.name} {service.id}"
            if due.hours is not None:
                self.gauges[id_] = due_gauge(due, due.now, self.rules.word)
            self.kits[id_] = self.stores.kits.get((truck.book, service.id), ())
            job = Job(
                id=id_,
                truck=truck.book,
                work="service",
                subject=service.id,
                minutes=minutes,
                due=spread,
                opens=max(opens, self.today),
                grace=late,
                hard=service.state_when_late == "out-of-service",
                late_a_day=self.hour,
                early_a_day=ceil(minutes * self.hour / 60 / whole),
            )
            self.add(truck, service.id, service.text, job)

    def minutes(self, truck: Standing, kind: Kind, service: Service) -> int:
        """Of all its tasks on this truck."""
        fitted = kind.fitted(truck.enrolled.options, truck.enrolled.fuel)
        return sum(task.minutes for task in kind.all_tasks(service, fitted)) or UNSAID

    def duties(self, truck: Standing) -> None:
        """Legal examinations: never late, by whoever comes for them."""
        for duty in truck.duties:
            due = duty.due
            if due.day is None or due.service is None:
                continue
            standing = duty.stops is not None
            day = min(due.day, self.today) if standing else due.day
            job = Job(
                id=f"{truck.name} {due.service}",
                truck=truck.book,
                work="examination",
                subject=due.service,
                minutes=UNSAID,
                due=Spread.on(day),
                opens=max(self.today, due.opens_day or self.today),
                hard=True,
                firm=EXAMINER,
                late_a_day=self.hour,
                standing=standing,
                standing_a_day=DAY * self.hour,
            )
            self.add(truck, due.service, self.rules.word(duty.duty.name), job)

    def faults(self, truck: Standing) -> None:
        """Open faults that stop the truck or have a date; what is only watched is not planned."""
        for fault in truck.faults:
            if not fault.open or fault.mended is not None or not (fault.stops or fault.deadline):
                continue
            job = Job(
                id=f"{truck.name} {fault.ref[-60:]}",
                truck=truck.book,
                work="fault",
                subject=fault.check or "fault",
                minutes=UNSAID,
                due=Spread.on(self.today if fault.stops or fault.deadline is None else fault.deadline),
                opens=self.today,
                hard=not fault.stops,
                late_a_day=self.hour,
                standing=fault.stops,
                standing_a_day=DAY * self.hour,
            )
            self.add(truck, fault.check or "fault", fault.text, job)

    def standing(self) -> frozenset[BookId]:
        """Trucks that wait for a job of theirs."""
        return frozenset(BookId(job.truck) for job in self.jobs if job.standing)

    def parts(self) -> None:
        """The shelf serves the most urgent job first; the rest waits for what comes, or for what would be ordered."""
        left = {name: shelf.there for name, shelf in self.stores.shelves.items()}
        for at, job in sorted(enumerate(self.jobs), key=lambda pair: (pair[1].latest, pair[1].id)):
            parts = []
            for part, quantity in self.kits.get(job.id, ()):
                shelf = self.stores.shelves.get(folded(part))
                if shelf is None:
                    continue
                left[folded(part)] -= quantity
                if left[folded(part)] < 0:
                    parts.append(Part(part, self.comes(shelf, -left[folded(part)])))
            self.jobs[at] = msgspec.structs.replace(job, parts=tuple(parts))

    def comes(self, shelf: Shelf, short: Decimal) -> date | None:
        """The day by which so many more have come."""
        for one in shelf.coming:
            short -= one.quantity
            if short <= 0:
                return None if one.expected is None else max(one.expected, self.today)
        lead = LEAD[1] if shelf.bought is None else max(shelf.bought.lead_days, shelf.bought.lead_most or 0)
        return self.today + timedelta(days=lead)


def _spread(expected: Expected) -> Spread:
    early = expected.early or date.max
    about = expected.about or early
    return Spread(early, about, expected.late or about + 2 * (about - early))


def _window(due: Due, spread: Spread, today: date) -> tuple[int, int, int]:
    """Days it may be done before, days it is in time after, and days from one to the next; all of the expected pace."""
    if due.hours is not None and due.now is not None and due.start is not None and due.hours > due.now:
        days = max(1, (spread.about - today).days)
        whole = days * (due.hours - due.start) / (due.hours - due.now)
        early = whole * (due.hours - (due.opens or due.hours)) / (due.hours - due.start)
        late = whole * ((due.latest or due.hours) - due.hours) / (due.hours - due.start)
        return int(early), int(late), max(1, int(whole))
    if due.day is not None and due.opens_day is not None and due.latest_day is not None:
        early_days, late_days = (due.day - due.opens_day).days, (due.latest_day - due.day).days
        return early_days, late_days, max(1, 10 * early_days)
    return 0, 0, 30


def _cents(money: Money | None, usual: int) -> int:
    return usual if money is None else int(money.amount * 100)


def _room(
    office: Office,
    as_of: datetime,
    found: Sequence[Standing],
    yard: YardNow,
    workshop: WorkshopNow,
    standing: frozenset[BookId],
) -> Room:
    today, told = local_day(as_of, office.zone), workshop.told
    days = [today + timedelta(days=at) for at in range(DAYS)]
    shut = {*yard.closed, *days_off(yard.country, today.year, today.year + 1)}
    groups, needs = _groups(found, workshop, standing)
    bays = tuple(Bay(one.kind, one.count) for one in told.bays or ())
    worked = [
        (day, shift.name) for day in days if day not in shut for shift in yard.shifts if day.isoweekday() in shift.days
    ]
    shifts = tuple(Shift(day, name, bays, tuple(_wanted(needs, name))) for day, name in worked)
    mechanics, stretches = _people(office, as_of, yard, workshop, worked)
    return Room(
        first=today,
        days=DAYS,
        shifts=shifts,
        stretches=tuple(stretches),
        mechanics=tuple(mechanics),
        groups=groups,
        set_up=told.set_up if told.set_up is not None else 15,
    )


def _from_now(
    room: Room, yard: YardNow, now: datetime, published: Sequence[Placed], minutes: Mapping[str, int]
) -> Room:
    """The room left: none in a shift that is over, in the one that is worked its rest or what is planned in it."""
    shifts = {shift.name: shift for shift in yard.shifts}
    left: dict[tuple[date, str], int] = {}
    for one in room.shifts:
        its = shifts[one.name]
        end = datetime.combine(one.day + timedelta(days=its.end <= its.start), its.end, tzinfo=now.tzinfo)
        left[one.day, one.name] = (end.astimezone(UTC) - now.astimezone(UTC)) // timedelta(minutes=1)
    spent: Counter[tuple[date, str, str]] = Counter()
    for visit in published:
        own = [minutes[job] for job in visit.visit.jobs if job in minutes]
        spent[visit.day, visit.shift, visit.mechanic] += room.set_up + sum(own) if own else 0
    return msgspec.structs.replace(
        room,
        shifts=tuple(one for one in room.shifts if left[one.day, one.name] > 0),
        stretches=tuple(
            msgspec.structs.replace(one, minutes=min(one.minutes, max(rest, spent[one.day, one.shift, one.mechanic])))
            for one in room.stretches
            if (rest := left[one.day, one.shift]) > 0
        ),
    )


def _people(
    office: Office, as_of: datetime, yard: YardNow, workshop: WorkshopNow, worked: Sequence[tuple[date, str]]
) -> tuple[list[Mechanic], list[Stretch]]:
    """Our own mechanics in their shifts, in the first of a day where nobody has said which; and firms on their days."""
    told = workshop.told
    minutes, overtime = told.minutes or 0, told.overtime or 0
    extra = ceil(_cents(told.extra, EXTRA) / 60)
    first = dict(reversed(worked))
    mechanics, stretches = [], []
    for person, known in sorted(yard.people.items()):
        if known.gone or known.firm or "mechanic" not in known.roles:
            continue
        mechanics.append(
            Mechanic(person, frozenset(known.skills), _permits(office, yard, person, as_of), overtime=extra)
        )
        for day, name in worked:
            his = name in known.shifts if known.shifts else name == first[day]
            if his and workshop.works(person, day):
                stretches.append(Stretch(person, day, name, minutes, overtime))
    for firm in told.firms or ():
        mechanics.append(Mechanic(firm.firm, firm=firm.firm))
        stretches += [
            Stretch(firm.firm, day, name, firm.minutes)
            for day, name in worked
            if name == first[day] and day.isoweekday() in firm.days
        ]
    return mechanics, stretches


def _permits(office: Office, yard: YardNow, person: PersonKey, as_of: datetime) -> frozenset[str]:
    """The kinds of truck somebody may drive now by himself."""
    record, months = past(office.book(YARD), as_of), evaluated_for(office.rules, yard.country)
    kinds = {one.body.what for one in record if isinstance(one.body, Permit) and one.body.person == person}
    found = ((kind, driver_now(record, person, kind, months, as_of, office.zone)) for kind in kinds)
    return frozenset(kind for kind, now in found if now.may and now.under is None)


def _groups(
    found: Sequence[Standing], workshop: WorkshopNow, standing: frozenset[BookId]
) -> tuple[tuple[Group, ...], list[tuple[str | None, Need]]]:
    """Trucks that stand in for one another: those of each need, and the rest by kind."""
    hour = _cents(workshop.told.hour, HOUR)
    free = {one.book: one for one in found if one.held is None or one.held.what.who in {"yard", "driver", "hired-in"}}
    groups: list[Group] = []
    needs: list[tuple[str | None, Need]] = []
    for want in workshop.told.wanted or ():
        own = [
            book
            for book, one in free.items()
            if one.enrolled.what == want.what
            and (want.capacity_kg is None or (one.enrolled.capacity_kg or 0) >= want.capacity_kg)
        ]
        name = want.what if want.capacity_kg is None else f"{want.what} {want.capacity_kg:f} kg"
        if any(group.id == name for group in groups):
            needs.append((want.shift, Need(name, want.trucks, 4 * hour, ceil(hour / 60))))
            continue
        for book in own:
            del free[book]
        groups.append(Group(name, frozenset(own), standing & frozenset(own)))
        needs.append((want.shift, Need(name, want.trucks, 4 * hour, ceil(hour / 60))))
    for kind in sorted({one.enrolled.what for one in free.values()}):
        rest = frozenset(book for book, one in free.items() if one.enrolled.what == kind)
        name = kind if all(group.id != kind for group in groups) else f"{kind} +"
        groups.append(Group(name, rest, standing & rest))
        needs.append((None, Need(name, 0, 0, ceil(hour / 60))))
    return tuple(groups), needs


def _wanted(needs: Sequence[tuple[str | None, Need]], shift: str) -> Iterator[Need]:
    """One need for each group: that of the shift, else that of every shift."""
    chosen: dict[str, Need] = {}
    for name, need in needs:
        if name == shift or (name is None and need.group not in chosen):
            chosen[need.group] = need
    yield from chosen.values()

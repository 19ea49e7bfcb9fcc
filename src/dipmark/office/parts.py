"""The stores: looked at, and written: counted, received, issued, ordered, thrown away; how a part is bought."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from math import ceil, floor
from typing import Final, Literal

import msgspec

from dipmark.derive.days import local_day
from dipmark.derive.due import WALK_ROUND
from dipmark.derive.expected import Expected, Forecast
from dipmark.derive.past import Counting, past
from dipmark.derive.standing import Standing
from dipmark.derive.stock import PIECE, Shelf, shelves
from dipmark.derive.workshop import WorkshopNow, workshop_now
from dipmark.facts.base import YARD, BookId, folded, name_of
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, code
from dipmark.facts.stock import PartSet, Stock
from dipmark.facts.work import Worked
from dipmark.office.ahead import forecasts
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import trucks
from dipmark.office.open import Office, told
from dipmark.plan.intermittent import by_chance
from dipmark.plan.orders import Store, Use, buy, orders
from dipmark.rules.model import Kind, Rules, Service
from dipmark.views.expected import near_day
from dipmark.views.parts import KitLine, KitRow, PartsPage, kit_row, order_row, part_row

LEAD: Final = (7, 14)
"""Days from the order to the shelf where nobody has said: as a rule, and one time in ten longer. Project rule."""

SOON: Final = timedelta(days=14)
"""Services so near each other are one stop. Project rule."""

WEEKS: Final = 104
"""So many weeks back what breaks is counted."""

AMOUNT_UNFIT: Final = code("shelf-amount-unfit", "An amount for the shelf is nought or less, or no number.")
PART_NAMELESS: Final = code("part-nameless", "Something is noted for the shelf without the name of a part.")
LESS_THERE: Final = code("less-there", "More leaves the shelf than is known to lie there.")
LEAD_UNFIT: Final = code("lead-unfit", "The longer time a part takes to come is shorter than the usual one.")

What = Literal["counted", "received", "issued", "ordered", "thrown-away"]


class Stores(msgspec.Struct, frozen=True):
    """The stores as they stand.

    Args:
        shelves: by folded name of the part.
        stores: the same with what is asked for, in the same order.
        kits: what each service of a truck takes, by truck and service.
        workshop: as it stands.
        today: the yard's day.
    """

    shelves: dict[str, Shelf]
    stores: tuple[Store, ...]
    kits: dict[tuple[BookId, str], tuple[tuple[str, int], ...]]
    workshop: WorkshopNow
    today: date


def stores_of(
    office: Office,
    as_of: datetime,
    found: Sequence[Standing] | None = None,
    ahead: Mapping[BookId, Forecast] | None = None,
) -> Stores:
    """What lies on the shelf, and what will be asked for.

    Args:
        office: the yard.
        as_of: the instant.
        found: its trucks, where they are known already.
        ahead: what lies ahead of them, where that is known already.
    """
    found = trucks(office, as_of) if found is None else found
    ahead = forecasts(office, found, as_of) if ahead is None else ahead
    today, record = local_day(as_of, office.zone), office.book(YARD)
    facts = {truck.book: past(office.book(truck.book), as_of) for truck in found}
    kept = {folded(shelf.part): shelf for shelf in shelves(record, facts.values(), as_of, office.zone)}
    kits: dict[tuple[BookId, str], tuple[tuple[str, int], ...]] = {}
    uses: dict[str, list[Use]] = {}
    for truck in found:
        used = _used(facts[truck.book])
        for service, expected in services_ahead(truck, office.rules, ahead.get(truck.book), today):
            parts = tuple((part, ceil(used.get(folded(part), 1))) for part in kit_of(truck, service, office.rules))
            kits[truck.book, service.id] = parts
            if expected.early is None or expected.about is None or truck.resting:
                continue
            days = (
                expected.early,
                expected.about,
                expected.late or expected.about + 2 * (expected.about - expected.early),
            )
            for part, quantity in parts:
                uses.setdefault(folded(part), []).append(Use(f"{truck.name} {service.id}", quantity, *days))
    stores = tuple(_store(shelf, tuple(uses.get(name, ())), today) for name, shelf in kept.items())
    return Stores(kept, stores, kits, workshop_now(record, as_of), today)


def kit_of(truck: Standing, service: Service, rules: Rules) -> tuple[str, ...]:
    """The parts and fluids a service of a truck asks for, by name."""
    kind = rules.kind(truck.enrolled.what)
    if kind is None:
        return ()
    tasks = kind.all_tasks(service, kind.fitted(truck.enrolled.options, truck.enrolled.fuel))
    return tuple(dict.fromkeys(part for task in tasks for part in (*task.parts, *task.fluids)))


def services_ahead(
    truck: Standing, rules: Rules, forecast: Forecast | None, today: date
) -> Iterator[tuple[Service, Expected]]:
    """The services ahead that bring their parts; what a larger one about that time holds comes with it."""
    kind = rules.kind(truck.enrolled.what)
    if kind is None:
        return
    days: dict[str, Expected] = {}
    for due in truck.dues:
        if due.service is None or due.service == WALK_ROUND or due.state == "unknown":
            continue
        now = due.state in {"due", "late"}
        found = Expected(today, today, today) if now else forecast.dues.get(due.service) if forecast else None
        if found is not None:
            days[due.service] = found
    for name, expected in days.items():
        if not _held(kind, name, expected, days):
            service = kind.service(name)
            if service is not None:
                yield service, expected


def _held(kind: Kind, name: str, expected: Expected, days: Mapping[str, Expected]) -> bool:
    for other, when in days.items():
        larger = kind.service(other)
        if larger is not None and name in larger.includes and expected.about and when.about:
            if abs(when.about - expected.about) <= SOON:
                return True
    return False


def _used(facts: Counting) -> dict[str, Decimal]:
    """How much of each part the truck took the last time it took any."""
    return {
        folded(part.part): part.quantity for one in facts if isinstance(one.body, Worked) for part in one.body.parts
    }


def _store(shelf: Shelf, uses: tuple[Use, ...], today: date) -> Store:
    bought = shelf.bought
    lead = LEAD[0] if bought is None else bought.lead_days
    most = LEAD[1] if bought is None else max(lead, bought.lead_most or lead)
    weekly = [0.0] * WEEKS
    broken = [one for one in shelf.taken if not one.planned]
    for one in broken:
        week = (today - one.day).days // 7
        if 0 <= week < WEEKS:
            weekly[WEEKS - 1 - week] += float(one.quantity)
    pack = 1 if bought is None or bought.pack is None else max(1, ceil(bought.pack))
    size = round(sum(float(one.quantity) for one in broken) / len(broken)) if broken else 1
    return Store(
        part=shelf.part,
        there=floor(shelf.there),
        coming=tuple((one.expected or today + timedelta(days=most), floor(one.quantity)) for one in shelf.coming),
        uses=uses,
        rate=by_chance(weekly, 0.05, 0.05).rate / 7,
        size=max(1, size),
        lead=lead,
        lead_most=most,
        pack=pack,
        shelf_days=None if bought is None else bought.shelf_days,
        level=None if bought is None or bought.level is None else bought.level / 100,
        price=float(shelf.price.amount) if shelf.price and shelf.price.amount > 0 else 1.0,
    )


def parts_page(office: Office, as_of: datetime) -> PartsPage:
    """The stores as people read them; see `views.parts`.

    Args:
        office: the yard.
        as_of: the instant.
    """
    now, word = stores_of(office, as_of), office.rules.word
    level = now.workshop.told.level or 95
    wanted = {store.part: store.position + more for store, more in _bought(now, level)}
    rows = tuple(
        part_row(shelf, store, now.today, wanted[store.part], word)
        for shelf, store in zip(now.shelves.values(), now.stores, strict=True)
    )
    lines = tuple(
        order_row(order, now.shelves[folded(order.part)], now.today, word)
        for order in orders(now.stores, now.today, level / 100)
    )
    return PartsPage(rows, lines, tuple(_kits(office, now)), level, now.today)


def _bought(now: Stores, level: int) -> list[tuple[Store, int]]:
    bought = buy(now.stores, now.today, level / 100)
    return [(store, bought.get(store.part, 0)) for store in now.stores]


def _kits(office: Office, now: Stores) -> Iterator[KitRow]:
    """The kits of the published visits, and of what is due without one."""
    planned: set[tuple[BookId, str]] = set()
    plan = now.workshop.plan
    for visit in plan.plan.visits if plan else ():
        own = [(visit.truck, job.removeprefix(f"{name_of(visit.truck)} ")) for job in visit.jobs]
        names = [name for name in own if name in now.kits]
        planned |= set(names)
        if visit.day >= now.today and any(now.kits[name] for name in names):
            day = near_day(visit.day, now.today, office.rules.word)
            yield kit_row(name_of(visit.truck), ", ".join(job for _, job in names), day, _lines(names, now))
    for name in now.kits:
        due = any(use.what == f"{name_of(name[0])} {name[1]}" and use.about <= now.today for use in _uses(now))
        if name not in planned and due and now.kits[name]:
            yield kit_row(name_of(name[0]), name[1], "", _lines([name], now))


def _uses(now: Stores) -> list[Use]:
    return [use for store in now.stores for use in store.uses]


def _lines(names: Sequence[tuple[BookId, str]], now: Stores) -> list[KitLine]:
    asked: dict[str, int] = {}
    for name in names:
        for part, quantity in now.kits[name]:
            asked[part] = max(asked.get(part, 0), quantity)
    known = {part: now.shelves.get(folded(part)) for part in asked}
    return [
        KitLine(part, quantity, None if (shelf := known[part]) is None else shelf.there)
        for part, quantity in sorted(asked.items())
    ]


def note(office: Office, told_of: Stock, when: When) -> Entered:
    """Note what happened on the shelf.

    Args:
        office: the yard.
        told_of: what; a part that is kept keeps its name, and its unit where none is said; an order that nobody has
            said a day for is expected after the usual time, where that is known.
        when: it happened.

    Returns:
        What was written; a doubt where more leaves than is known to be there.

    Raises:
        Refused: no name, or an amount that cannot be; nothing was written.
    """
    problems, quantity = [], told_of.quantity
    if not told_of.part.strip():
        problems.append(Problem(PART_NAMELESS, "no name", "the name of a part", "Name the part."))
    if quantity < 0 or (quantity == 0 and told_of.what != "counted"):
        problems.append(Problem(AMOUNT_UNFIT, f"{quantity}", "more than nought", "Write how many."))
    if problems:
        raise Refused(told(problems), problems)
    shelf = _shelf_of(office, told_of.part, when.happened)
    body = msgspec.structs.replace(told_of, part=told_of.part.strip())
    if shelf is not None:
        unit = body.unit or (None if shelf.unit == PIECE else shelf.unit)
        body = msgspec.structs.replace(body, part=shelf.part, unit=unit)
        if body.what == "ordered" and body.expected is None and shelf.bought is not None:
            comes = local_day(when.happened, office.zone) + timedelta(days=shelf.bought.lead_days)
            body = msgspec.structs.replace(body, expected=comes)
    done = enter(office, [office.fact(YARD, body, when.happened, whole_day=when.whole_day)])
    there = shelf.there + shelf.past_day if shelf is not None else Decimal(0)
    if body.what in {"issued", "thrown-away"} and quantity > there:
        found = f"{quantity}, {there} known to be there"
        doubt = Problem(LESS_THERE, found, f"{there} at most", "Count the shelf.", hard=False)
        return msgspec.structs.replace(done, doubts=(*done.doubts, doubt))
    return done


def set_part(office: Office, told_of: PartSet, when: When) -> Entered:
    """Say how a part is bought.

    Raises:
        Refused: no name, or the longer time is the shorter one; nothing was written.
    """
    problems = []
    if not told_of.part.strip():
        problems.append(Problem(PART_NAMELESS, "no name", "the name of a part", "Name the part."))
    if told_of.lead_most is not None and told_of.lead_most < told_of.lead_days:
        expected = f"{told_of.lead_days} days or more"
        problems.append(Problem(LEAD_UNFIT, f"{told_of.lead_most} days", expected, "Say both in days."))
    if problems:
        raise Refused(told(problems), problems)
    shelf = _shelf_of(office, told_of.part, when.happened)
    body = told_of if shelf is None else msgspec.structs.replace(told_of, part=shelf.part)
    return enter(office, [office.fact(YARD, body, when.happened, whole_day=when.whole_day)])


def _shelf_of(office: Office, part: str, as_of: datetime) -> Shelf | None:
    every = shelves(office.book(YARD), (), max(as_of, office.clock()), office.zone)
    return next((shelf for shelf in every if folded(shelf.part) == folded(part)), None)

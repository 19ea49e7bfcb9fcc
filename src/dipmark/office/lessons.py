"""What keeps breaking: every truck that is or was there, derived, and what their records teach together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from datetime import datetime

from dipmark.derive.lessons.upkeep import Priced
from dipmark.derive.lessons.yard import lessons
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import yard_now
from dipmark.facts.base import YARD, FactId
from dipmark.facts.document import Document
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked
from dipmark.office.open import Office, zone_of
from dipmark.office.standings import by_number, is_truck
from dipmark.views.compiled_sheet import letter_of, place_asked
from dipmark.views.lessons import LessonsPage, Watcher, lessons_page
from dipmark.views.walk_round import check_list


def lessons_of(
    office: Office,
    as_of: datetime,
    watcher: Watcher,
    *,
    price: float | None = None,
    rate: float = 0.0,
    loses: float = 1.0,
    progress: Callable[[int, int], None] | None = None,
) -> LessonsPage:
    """What the record of the yard teaches at an instant; see `views.lessons`.

    Args:
        office: the yard.
        as_of: the instant.
        watcher: who asks, and what he may see of people.
        price: of a new truck, in the currency in which most costs are written down; None: keeping or replacing is left
            out.
        rate: interest a year.
        loses: the share of its value that a truck loses each year.
        progress: told how many of how many trucks are derived.
    """
    yard, rules = yard_now(office.book(YARD), as_of), office.rules
    zone = zone_of(yard.zone)
    books = sorted(filter(is_truck, office.store.books()), key=by_number)
    trucks: list[TruckNow] = []
    for done, book in enumerate(books, start=1):
        truck = truck_now(office.book(book), rules, yard, zone, as_of)
        trucks += [] if truck is None else [truck]
        if progress is not None:
            progress(done, len(books))
    wrong = {fact for truck in trucks for fact in _wrong_letters(office, truck)}
    currency = _currency(trucks)
    priced = Priced(price, rate, currency, loses) if price is not None and currency is not None else None
    found = lessons(trucks, rules, yard, as_of, zone, wrong, priced)
    return lessons_page(found, rules, office.people.names(), yard.country, watcher)


def _wrong_letters(office: Office, truck: TruckNow) -> Iterator[FactId]:
    """Walk-rounds by today's rules whose letter is not the one that hung at the place asked that day."""
    rules, kind = office.rules, office.rules.kind(truck.enrolled.what)
    walks = [
        (one, one.body.letter)
        for one in truck.counting
        if isinstance(one.body, WalkRound) and one.body.letter is not None and one.body.rules == rules.digest
    ]
    if kind is None or not walks:
        return
    asked = check_list(rules, kind, options_of(truck.counting, kind), truck.enrolled.uses)
    for one, letter in walks:
        if letter != letter_of(truck.book, place_asked(truck.book, asked, one.happened.date())):
            yield one.id


def _currency(trucks: list[TruckNow]) -> str | None:
    """The currency in which most costs are written down."""
    bodies = (one.body for truck in trucks for one in truck.counting)
    told = Counter(body.cost.currency for body in bodies if isinstance(body, Worked | Document) and body.cost)
    return told.most_common(1)[0][0] if told else None

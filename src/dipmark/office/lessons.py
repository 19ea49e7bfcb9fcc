"""What keeps breaking: every truck that is or was there, derived, and what their records teach together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterator
from datetime import datetime

from dipmark.derive.lessons.upkeep import Priced
from dipmark.derive.lessons.yard import Lessons, lessons
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import yard_now
from dipmark.facts.base import YARD, BookId, FactId
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
    """What the record of the yard teaches at an instant, as somebody may see it; see `views.lessons`.

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
    found = learnt(office, as_of, price=price, rate=rate, loses=loses, progress=progress)
    return page_for(office, found, as_of, watcher)


def page_for(office: Office, found: Lessons, as_of: datetime, watcher: Watcher) -> LessonsPage:
    """The page of what was learnt, as somebody may see it.

    Args:
        office: the yard.
        found: see `learnt`.
        as_of: the instant of that.
        watcher: who asks, and what he may see of people.
    """
    country = yard_now(office.book(YARD), as_of).country
    return lessons_page(found, office.rules, office.people.names(), country, watcher)


def learnt(
    office: Office,
    as_of: datetime,
    *,
    only: Collection[BookId] | None = None,
    price: float | None = None,
    rate: float = 0.0,
    loses: float = 1.0,
    progress: Callable[[int, int], None] | None = None,
) -> Lessons:
    """What the record teaches, whoever asks; names of people stand in it by their keys.

    Args:
        office: the yard.
        as_of: the instant.
        only: books of the trucks it is asked of; None: every one.
        price: as in `lessons_of`, like the rest.
        rate: likewise.
        loses: likewise.
        progress: likewise.
    """
    yard, rules = yard_now(office.book(YARD), as_of), office.rules
    zone = zone_of(yard.zone)
    seen = (book for book in office.store.books() if is_truck(book) and (only is None or book in only))
    books = sorted(seen, key=by_number)
    trucks: list[TruckNow] = []
    for done, book in enumerate(books, start=1):
        truck = truck_now(office.book(book), rules, yard, zone, as_of)
        trucks += [] if truck is None else [truck]
        if progress is not None:
            progress(done, len(books))
    wrong = {fact for truck in trucks for fact in _wrong_letters(office, truck)}
    currency = _currency(trucks)
    priced = Priced(price, rate, currency, loses) if price is not None and currency is not None else None
    return lessons(trucks, rules, yard, as_of, zone, wrong, priced)


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

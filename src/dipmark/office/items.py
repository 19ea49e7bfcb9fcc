"""Items with books of their own: enrolled, fitted, taken off; and what a truck carries now."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Final

from dipmark.derive.combination import Combination, combination_now
from dipmark.derive.item import ItemNow, item_now
from dipmark.derive.makeup import Hung, hung_of, makeup_at
from dipmark.derive.meter import MeterLife, meters_of
from dipmark.derive.past import Counting, enrolled_in, past
from dipmark.derive.truck import TruckNow
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import YARD, BookId, folded, name_of
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.measure import Measured
from dipmark.facts.problems import Problem, code
from dipmark.facts.truck import Enrolled, Retired
from dipmark.office.access import Asker
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import book_of, truck
from dipmark.office.open import Office
from dipmark.office.standings import by_number
from dipmark.rules.items import ITEMS, ON_THE_PLATE
from dipmark.views.items import ItemPage, item_page

ITEM_ELSEWHERE: Final = code("item-elsewhere", "The item hangs on another truck, or is no longer in the yard.")
ITEM_NOT_THERE: Final = code("item-not-there", "The item does not hang on that truck.")
ITEM_UNFIT: Final = code("item-unfit", "An item has no name, or is of no known kind.")

WEIGHED: Final = ON_THE_PLATE | {"traction-battery"}
"""What is looked up on the truck's plate; all other items only stop a truck where they are stopped themselves."""

TELLS: Final = (Fitted, Removed, Retired, Corrected, Withdrawn)
READS: Final = (Measured, Corrected, Withdrawn)


def stays(office: Office, as_of: datetime) -> tuple[Hung, ...]:
    """Every stay of every item on every truck up to an instant; see `derive.makeup`."""
    books = [book for book in office.store.books() if book != YARD]
    if not any(map(is_item, books)):  # then no book need be read
        return ()
    return hung_of({book: _counted(office, book, TELLS, as_of) for book in books})


def _counted(office: Office, book: BookId, kinds: tuple[type, ...], as_of: datetime) -> Counting:
    """The facts of some kinds that count in a book."""
    return past([one for one in office.book(book) if isinstance(one.fact.body, kinds)], as_of)


def items(office: Office, as_of: datetime) -> tuple[ItemNow, ...]:
    """Every item enrolled at an instant, by name; those that have left as well."""
    hung = stays(office, as_of)
    books = sorted((book for book in office.store.books() if is_item(book)), key=by_number)
    found = (_item(office, book, as_of, hung) for book in books)
    return tuple(one for one in found if one is not None)


def items_seen(office: Office, asker: Asker, as_of: datetime) -> tuple[ItemNow, ...]:
    """The items that are somebody's to see: all, or those that are named for him or hang on trucks that are."""
    found = items(office, as_of)
    return tuple(one for one in found if asker.sees(one.book) or (one.on is not None and asker.sees(one.on.truck)))


def item(office: Office, name: str, as_of: datetime) -> ItemNow:
    """One item by its name, as people write it.

    Raises:
        NotFound: none of that name is enrolled at that instant; the text names those that come near.
    """
    found = _item(office, book_of(office, name, "item"), as_of, stays(office, as_of))
    if found is None:
        raise NotFound(f"Item {name} was not enrolled yet at {as_of.isoformat()}.")
    return found


def names_item(office: Office, name: str) -> bool:
    """True where an item is called so, and no truck is."""
    names = {(one.partition(":")[0], folded(name_of(one))) for one in office.store.books() if one != YARD}
    return ("item", folded(name)) in names and ("truck", folded(name)) not in names


def kind_of_item(office: Office, book: BookId) -> str:
    """The kind of an item by its book; empty where it was never enrolled."""
    enrolled = enrolled_in(past(office.book(book), office.clock()))
    return enrolled.what if enrolled else ""


def item_of(office: Office, name: str, as_of: datetime) -> ItemPage:
    """The page of one item at an instant; see `views.items`.

    Raises:
        NotFound: none of that name is enrolled at that instant.
    """
    now = item(office, name, as_of)
    return item_page(now, meters_for(office, now, as_of), office.zone, office.rules.word)


def is_item(book: BookId) -> bool:
    """True for the book of an item."""
    return book.startswith("item:")


def _item(office: Office, book: BookId, as_of: datetime, hung: tuple[Hung, ...]) -> ItemNow | None:
    trucks = {one.truck for one in hung if one.item == book}
    told = [one for truck in trucks for one in _counted(office, truck, READS, as_of)]
    return item_now(office.book(book), office.rules, office.yard.country, office.zone, as_of, hung, told)


def meters_for(office: Office, now: ItemNow, as_of: datetime) -> Mapping[BookId, tuple[MeterLife, ...]]:
    """The hour meters of every truck that an item has hung on."""
    books = {one.truck for one in now.stays}
    return {book: meters_of(past(office.book(book), as_of), office.zone) for book in books}


def carries(office: Office, now: TruckNow, as_of: datetime) -> Combination:
    """What hangs on a truck at an instant, and whether it may work so; see `derive.combination`."""
    hung = stays(office, as_of)
    found = (_item(office, one.item, as_of, hung) for one in makeup_at(hung, now.book, as_of))
    on = [one for one in found if one is not None]
    return combination_now(now, on, office.rules, office.yard.country, as_of, office.zone)


def not_so(office: Office, as_of: datetime) -> dict[str, tuple[str, ...]]:
    """The trucks that may not work with what hangs on them, by number, and why; the trucks' own state is apart."""
    told = [one for one in items(office, as_of) if one.on is not None and (one.stops or one.enrolled.what in WEIGHED)]
    found = {}
    for name in dict.fromkeys(name_of(one.on.truck) for one in told if one.on is not None):
        if stops := carries(office, truck(office, name, as_of), as_of).stops:
            found[name] = tuple(one.text for one in stops)
    return found


def enrol_item(office: Office, name: str, what: str, when: When, serial: str | None = None) -> Entered:
    """Enrol an item by its name.

    Raises:
        Refused: it has no name, is of no known kind, or is enrolled already; nothing was written.
    """
    name = " ".join(name.split())
    if not name or what not in ITEMS:
        problem = Problem(ITEM_UNFIT, f"{name!r}, {what!r}", f"a name and one of {', '.join(ITEMS)}", "Give both.")
        raise Refused(problem.message, [problem])
    try:
        book = book_of(office, name, "item")
    except NotFound:
        book = BookId(f"item:{name}")
    body = Enrolled(what=what, serial=serial)
    return enter(office, [office.fact(book, body, when.happened, whole_day=when.whole_day)])


def fit(
    office: Office,
    name: str,
    thing: str,
    when: When,
    *,
    hours: Decimal | None = None,
    position: str | None = None,
    what: str | None = None,
) -> Entered:
    """Note that an item hangs on a truck from now on.

    Args:
        office: the yard.
        name: the truck.
        thing: the item.
        when: since when.
        hours: on the truck's meter.
        position: where on it.
        what: its kind; it gets a book where it has none.

    Raises:
        Refused: it is of another kind, hangs on another truck, or has left the yard; nothing was written.
    """
    now = truck(office, name, office.clock())
    if what is not None:
        _given_a_book(office, thing, what, when)
    one = item(office, thing, max(office.clock(), when.happened))
    expected = "an item that hangs nowhere"
    if one.retired is not None:
        problem = Problem(ITEM_ELSEWHERE, f"{one.name}: {one.retired.how}", expected, "Its book is closed.")
        raise Refused(problem.message, [problem])
    if one.on is not None and one.on.truck != now.book:
        found = (
            f"{one.name} on truck {name_of(one.on.truck)} since {one.on.start.astimezone(office.zone):%Y-%m-%d %H:%M}"
        )
        problem = Problem(ITEM_ELSEWHERE, found, expected, "Take it off there first.")
        raise Refused(problem.message, [problem])
    body = Fitted(item=one.book, what=one.enrolled.what, position=position, meter=now.reading(hours))
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])


def _given_a_book(office: Office, name: str, what: str, when: When) -> None:
    """An item of that kind has a book: it had one, or gets it.

    Raises:
        Refused: it is of another kind, or of none that is known.
    """
    try:
        known = item(office, name, max(office.clock(), when.happened)).enrolled.what
    except NotFound:
        enrol_item(office, name, what, when)
        return
    if known != what:
        problem = Problem(ITEM_UNFIT, f"{name}: {known}", what, "Leave its kind out, or give it another name.")
        raise Refused(problem.message, [problem])


def take_off(
    office: Office, name: str, thing: str, when: When, *, hours: Decimal | None = None, note: str | None = None
) -> Entered:
    """Note that an item hangs on a truck no longer.

    Raises:
        Refused: it does not hang there; nothing was written.
    """
    now = truck(office, name, office.clock())
    one = item(office, thing, max(office.clock(), when.happened))
    if one.on is None or one.on.truck != now.book:
        where = "on no truck" if one.on is None else f"on truck {name_of(one.on.truck)}"
        problem = Problem(ITEM_NOT_THERE, f"{one.name} {where}", f"it on truck {now.name}", "See where it hangs.")
        raise Refused(problem.message, [problem])
    body = Removed(item=one.book, meter=now.reading(hours), note=note)
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])

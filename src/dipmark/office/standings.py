"""Where every truck stands, kept in the store: derived anew only where facts, the yard, rules or words have changed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Final

import msgspec

from dipmark.adapters.store import KeptTruck
from dipmark.derive.meter import micros
from dipmark.derive.standing import Standing, kept_of
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import yard_now
from dipmark.facts.base import YARD, BookId, folded, name_of
from dipmark.facts.errors import StoreError
from dipmark.office.open import Office, zone_of

FOREVER: Final = 1 << 62
"""Later than any instant, in µs."""

FORM: Final = "3"
"""Changes with the form of what is kept; what another program kept is derived again."""

_encode: Final = msgspec.msgpack.Encoder().encode
_decode: Final = msgspec.msgpack.Decoder(Standing).decode


def standings(
    office: Office, as_of: datetime, progress: Callable[[int, int], None] | None = None
) -> tuple[Standing, ...]:
    """Every truck enrolled at an instant, in the order of their numbers, retired ones as well.

    What is kept of a truck in the language of the rules serves as long as its book and the yard's have the same last
    number, the rules are the same and in the same words, and the instant lies inside the time for which it holds. What
    was derived for a time before the last fact is not kept: a later fact would change it.

    Args:
        office: the yard.
        as_of: the instant.
        progress: told how many of how many are done.
    """
    rules, moment = office.rules, micros(as_of)
    heads, kept = office.store.heads(), office.store.kept.all(rules.language)
    base = f"{FORM}:{heads.get(YARD, (0, ''))[0]}:{rules.digest}:{rules.wording}"
    books = sorted(filter(is_truck, heads), key=by_number)
    found: list[Standing] = []
    new: list[KeptTruck] = []
    for done, book in enumerate(books, start=1):
        key = f"{heads[book][0]}:{base}"
        known = kept.get(book)
        if known is not None and known.key == key and known.from_us <= moment < known.until_us:
            found.append(decoded(known))
        else:
            for standing in derived(office, book, as_of):
                found.append(standing)
                new.extend(_to_keep(office, standing, key, as_of))
        if progress is not None:
            progress(done, len(books))
    _keep(office, new)
    return tuple(found)


def decoded(kept: KeptTruck) -> Standing:
    """What is kept of a truck."""
    return _decode(kept.data)


def derived(office: Office, book: BookId, as_of: datetime) -> Iterator[Standing]:
    """A truck derived from its whole book; nothing where it was not enrolled yet."""
    yard = yard_now(office.book(YARD), as_of)
    truck = truck_now(office.book(book), office.rules, yard, zone_of(yard.zone), as_of)
    if truck is not None:
        yield kept_of(truck)


def _to_keep(office: Office, standing: Standing, key: str, as_of: datetime) -> Iterator[KeptTruck]:
    """What may be kept: all known facts must count already."""
    last = max(
        item.effective for book in (standing.book, YARD) for item in office.book(book) or office.book(standing.book)
    )
    if last <= as_of:
        until = standing.state.holds_until
        end = FOREVER if until is None else micros(until)
        yield KeptTruck(standing.book, office.rules.language, key, micros(as_of), end, _encode(standing))


def _keep(office: Office, new: list[KeptTruck]) -> None:
    """Looking never fails because nothing can be written."""
    try:
        office.store.kept.keep(new)
    except StoreError:
        return


def is_truck(book: BookId) -> bool:
    """True for the book of a truck."""
    return book.startswith("truck:")


def by_number(book: BookId) -> list[tuple[int, int, str]]:
    """Sorts names as people count: 2 before 10."""
    parts = re.findall(r"\d+|\D+", folded(name_of(book)))
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts]

"""An item with a book of its own: where it hangs, what is wrong with it, which examinations it owes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, tzinfo
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.duty import DutyNow, duties_now, unfit_by
from dipmark.derive.faults import Card, FaultNow, cards_now, faults_now
from dipmark.derive.makeup import Hung
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.measures import Measure, latest, measures_now
from dipmark.derive.past import Counted, Counting, enrolled_in, past
from dipmark.facts.base import Accepted, BookId, FactId, name_of
from dipmark.facts.measure import Measured
from dipmark.facts.said import Word, says
from dipmark.facts.truck import Enrolled, Retired
from dipmark.rules.model import Rules

P1: Final = "us-178-p1"

STAYS_OFF: Final = says("{}. It stays off every truck until it is mended and released.")


class ItemNow(msgspec.Struct, frozen=True, kw_only=True):
    """An item at an instant.

    Args:
        book: its book.
        enrolled: what it is.
        counting: the facts that count.
        stays: where it has hung, in order.
        measures: all that was measured on it, judged by the limits that hold on a truck too.
        faults: its faults.
        duties: its legal examinations.
        stops: why nothing may work with it; empty: nothing in the record forbids it.
        retired: how it left; None: it is here.
    """

    book: BookId
    enrolled: Enrolled
    counting: Counting
    stays: tuple[Hung, ...]
    measures: tuple[Measure, ...]
    faults: tuple[FaultNow, ...]
    duties: tuple[DutyNow, ...]
    stops: tuple[Because, ...]
    retired: Retired | None = None

    @property
    def name(self) -> str:
        """Its number or name."""
        return name_of(self.book)

    @property
    def on(self) -> Hung | None:
        """Where it hangs now; None: on no truck."""
        return self.stays[-1] if self.stays and self.stays[-1].end is None else None


def item_now(
    record: Sequence[Accepted],
    rules: Rules,
    country: str | None,
    zone: tzinfo,
    as_of: datetime,
    stays: Sequence[Hung] = (),
    told: Sequence[Counted] = (),
) -> ItemNow | None:
    """Derive one item: wear, faults and examinations stand in its own book and follow it from truck to truck.

    Args:
        record: its book, whole.
        rules: of today.
        country: the yard's; None: no legal duty is known.
        zone: the yard's.
        as_of: the instant.
        stays: of `makeup.hung_of` at that instant; those of other items are left out.
        told: readings in the books of trucks; those of this item are taken, so that its wear follows it.

    Returns:
        None where it was not enrolled yet.

    *Edge*: facts effective exactly at as_of count; the last day of an examination still holds, as on a truck.
    *Source*: 29 CFR 1910.178(p)(1); LOLER 1998, regulation 9(3)(a)(i): what lifts people or loads, every six months.
    """
    own = past(record, as_of)
    if (enrolled := enrolled_in(own)) is None:
        return None
    counting = _with_readings(own, book := record[0].fact.book, told)
    measures = measures_now(counting, rules, None, zone)
    faults = faults_now(counting, None, zone, measures, rules.word)
    duties = duties_now(counting, enrolled.what, enrolled.uses, rules, country, as_of, zone, about="item")
    stops = (
        *_stopped(cards_now(counting, rules.word), faults, as_of, rules.word),
        *_worn_out(measures, rules.word),
        *unfit_by(counting, zone, rules.word),
        *(one.stops for one in duties if one.stops is not None),
    )
    return ItemNow(
        book=book,
        enrolled=enrolled,
        counting=counting,
        stays=tuple(one for one in stays if one.item == book),
        measures=measures,
        faults=faults,
        duties=duties,
        stops=stops,
        retired=next((one.body for one in counting if isinstance(one.body, Retired)), None),
    )


def _with_readings(counting: Counting, book: BookId, told: Sequence[Counted]) -> Counting:
    """What counts in an item's book, with what was read of it on trucks."""
    read = [one for one in told if isinstance(one.body, Measured) and one.body.item == book]
    return Counting(tuple(sorted((*counting, *read), key=lambda one: one.order)))


def _worn_out(measures: Sequence[Measure], word: Word) -> Iterator[Because]:
    """What was measured of the item itself, such as a battery's cells, and is past a limit that stops it."""
    for one in latest(measures):
        fair = one.judged
        if MEASUREMENTS[one.name].of == "item" and fair is not None and fair.verdict in {"now", "stop"}:
            yield Because(
                word(STAYS_OFF).format(fair.because.rstrip(".")), f"item.{one.name}", fair.source, (one.fact,)
            )


def _stopped(cards: Sequence[Card], faults: Sequence[FaultNow], as_of: datetime, word: Word) -> Iterator[Because]:
    for card in cards:
        yield Because(word(STAYS_OFF).format(card.text), "item.card", P1, (FactId(card.ref),))
    for one in faults:
        if one.open and (one.stops or (one.due is not None and one.due <= as_of)):
            yield Because(word(STAYS_OFF).format(one.text), one.check or "item.fault", one.source or P1, (one.fact,))

"""What lies ahead of every truck, kept for the day: derived anew where facts, yard, rules or what is learnt changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date, datetime, timedelta
from typing import Final

import msgspec

from dipmark.adapters.days_off import days_off
from dipmark.adapters.store import KeptTruck
from dipmark.derive.days import day_end, local_day
from dipmark.derive.expected import Forecast, forecast_of
from dipmark.derive.meter import micros
from dipmark.derive.past import past
from dipmark.derive.standing import Standing
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.usage.calendar import Calendar, calendar_of
from dipmark.derive.usage.learn import FEWEST
from dipmark.derive.usage.many import learnt_from
from dipmark.derive.usage.prior import Prior
from dipmark.derive.yard import yard_now
from dipmark.facts.base import YARD, BookId, Key
from dipmark.facts.errors import StoreError
from dipmark.facts.people import ShiftPattern
from dipmark.office.open import Office

FORM: Final = "ahead 1"
"""Changes with the form of what is kept."""

WEEK: Final = timedelta(days=7)
"""So long what was learnt of a kind of truck serves."""

NUMBERS: Final = ""
"""The language of what is said in none."""

_encode: Final = msgspec.msgpack.Encoder().encode
_forecast: Final = msgspec.msgpack.Decoder(Forecast).decode
_prior: Final = msgspec.msgpack.Decoder(Prior).decode


def forecasts(
    office: Office, trucks: Sequence[Standing], as_of: datetime, progress: Callable[[int, int], None] | None = None
) -> dict[BookId, Forecast]:
    """What lies ahead of trucks; see `derive.expected`.

    What is kept of a truck serves for the yard's day as long as its book, the yard's, the rules and what was learnt of
    its kind are the same.

    Args:
        office: the yard.
        trucks: as they stand at the instant.
        as_of: the instant.
        progress: told how many of how many are done.
    """
    return _Ahead(office, as_of).all([one for one in trucks if one.retired is None], progress)


def forecast(office: Office, truck: TruckNow, as_of: datetime) -> Forecast:
    """What lies ahead of one truck that is derived already."""
    ahead = _Ahead(office, as_of)
    return forecast_of(truck, office.rules, ahead.calendar, ahead.prior(truck.enrolled.what, ()), as_of, office.zone)


class _Ahead:
    """One look ahead."""

    def __init__(self, office: Office, as_of: datetime) -> None:
        self.office, self.as_of = office, as_of
        self.zone = office.zone
        self.today = local_day(as_of, self.zone)
        self.heads = office.store.heads()
        self.kept = office.store.kept.all(NUMBERS)
        self.calendar = _calendar(office, as_of, self.today)
        self.priors: dict[str, Prior] = {}
        self.derived: dict[BookId, TruckNow] = {}
        self.new: list[KeptTruck] = []

    def all(self, trucks: Sequence[Standing], progress: Callable[[int, int], None] | None) -> dict[BookId, Forecast]:
        found: dict[BookId, Forecast] = {}
        for done, truck in enumerate(trucks, start=1):
            found[truck.book] = self.one(truck, trucks)
            if progress is not None:
                progress(done, len(trucks))
        with suppress(StoreError):  # looking never fails because nothing can be written
            self.office.store.kept.keep(self.new)
        return found

    def one(self, truck: Standing, trucks: Sequence[Standing]) -> Forecast:
        prior, moment = self.prior(truck.enrolled.what, trucks), micros(self.as_of)
        base = f"{self.heads[truck.book][0]}:{self.heads.get(YARD, (0, ''))[0]}:{self.office.rules.digest}"
        key, known = f"{FORM}:{base}:{prior.digest}", self.kept.get(truck.book)
        if known is not None and known.key == key and known.from_us <= moment < known.until_us:
            return _forecast(known.data)
        now = self.truck(truck.book)
        made = forecast_of(now, self.office.rules, self.calendar, prior, self.as_of, self.zone)
        if all(item.effective <= self.as_of for item in self.office.book(truck.book)):
            end = micros(day_end(self.today, self.zone))
            self.new.append(KeptTruck(truck.book, NUMBERS, key, moment, end, _encode(made)))
        return made

    def truck(self, book: BookId) -> TruckNow:
        if book not in self.derived:
            yard = yard_now(self.office.book(YARD), self.as_of)
            now = truck_now(self.office.book(book), self.office.rules, yard, self.zone, self.as_of)
            if now is None:  # a standing truck is enrolled
                raise LookupError(book)
            self.derived[book] = now
        return self.derived[book]

    def prior(self, kind: Key, trucks: Sequence[Standing]) -> Prior:
        """What is known of a kind: kept, else learnt from its trucks where there are enough."""
        if kind not in self.priors:
            self.priors[kind] = self._prior(kind, trucks)
        return self.priors[kind]

    def _prior(self, kind: Key, trucks: Sequence[Standing]) -> Prior:
        book, moment = BookId(f"kind:{kind}"), micros(self.as_of)
        known = self.kept.get(book)
        if known is not None and known.key == FORM and known.from_us <= moment < known.until_us:
            return _prior(known.data)
        own = [one.book for one in trucks if one.enrolled.what == kind]
        if len(own) < FEWEST:
            return Prior()
        found = learnt_from(
            [(now.meters[0], now.counting) for now in map(self.truck, own)], self.calendar, self.as_of, self.zone
        )
        until = micros(self.as_of + WEEK)
        self.new.append(KeptTruck(book, NUMBERS, FORM, moment, until, _encode(found)))
        return found


def _calendar(office: Office, as_of: datetime, today: date) -> Calendar:
    """The yard's shifts as they came to hold, its closed days, and the holidays of its country."""
    record = office.book(YARD)
    patterns = [
        (local_day(one.effective, office.zone), one.body)
        for one in past(record, as_of)
        if isinstance(one.body, ShiftPattern)
    ]
    first = min((item.effective.year for item in record), default=today.year)
    return calendar_of(patterns, days_off(yard_now(record, as_of).country, min(first, today.year - 3), today.year + 5))

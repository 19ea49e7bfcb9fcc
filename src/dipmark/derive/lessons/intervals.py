"""Does an interval pay? Faults against the hours since the service, and what service and fault cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import fmean, median, variance
from typing import Final, Literal

import msgspec

from dipmark.derive.due import WALK_ROUND
from dipmark.derive.lessons.watched import Job, Watched, resets_of
from dipmark.derive.reliability.evidence import rate_limits, rise_of
from dipmark.rules.model import Kind, Rules, Service

FEWEST: Final = 10
"""With fewer faults between services nothing is said of an interval."""

FEWEST_LONGER: Final = 30
"""And with fewer than these never that it could be longer: rare faults may be the dear ones. Common practice."""

KNOWN: Final = 3
"""So many services and repairs with their labour or cost must be written down."""

SHORTEST: Final = 1.0
"""A spell between two services shorter than this is one visit, in h."""

Leans = Literal["shorter", "longer"]


class Price(msgspec.Struct, frozen=True):
    """What a service costs in terms of a fault.

    Args:
        service: the mean of a service.
        fault: the mean of a repair of a fault.
        unit: ``min`` of labour, or the currency.
        error: standard error of service over fault.
    """

    service: float
    fault: float
    unit: str
    error: float

    @property
    def ratio(self) -> float:
        """Faults that a service is worth."""
        return self.service / self.fault


class Interval(msgspec.Struct, frozen=True, kw_only=True):
    """A service of a kind of truck, by what its record shows.

    Args:
        kind: the kind.
        service: its id.
        ruled: its interval in the rules, in h.
        done: how long the spells between two are as a rule, in h; None where none has ended.
        spells: how many there are, the running ones counted.
        hours: of all spells.
        faults: in them; those found in the course of work are left out.
        early: faults in 1000 h in the first half of a spell, with limits.
        late: the same in the second half.
        steady: the chance of faults that lean as much to one half where they come steadily.
        price: what a service costs; None where too little of it is written down.
        best: the interval at which services and faults together cost least, in h, if the rate rises straight; None
            where it does not rise.
        low: lower limit of that; None: none.
        high: upper limit; None: there is none.
        leans: to which side of `done` the best interval lies; None where there is too little to say.
        chance: of figures as far from the interval's being right where it is right; None where there is too little.
        more: about so many hours more of such trucks, and an interval twice too long would show; None where it would
            now, or where no fault was seen.
        said: True where the page may say so.
    """

    kind: str
    service: str
    ruled: float
    done: float | None
    spells: int
    hours: float
    faults: int
    early: tuple[float, float, float]
    late: tuple[float, float, float]
    steady: float
    price: Price | None
    best: float | None
    low: float | None
    high: float | None
    leans: Leans | None
    chance: float | None
    more: float | None
    said: bool = False


def intervals(trucks: Sequence[Watched], rules: Rules) -> tuple[Interval, ...]:
    """Every service with an interval in hours, of every kind of truck in the yard; the walk-round is none.

    Args:
        trucks: all of the yard.
        rules: of today.
    """
    found: list[Interval] = []
    for key in sorted({truck.kind for truck in trucks}):
        kind = rules.kind(key)
        if kind is not None:
            same = [truck for truck in trucks if truck.kind == key]
            found += [one for service in kind.services for one in _interval(kind, service, same)]
    return tuple(found)


def _interval(kind: Kind, service: Service, trucks: Sequence[Watched]) -> Iterator[Interval]:
    if service.interval_hours is None or service.id == WALK_ROUND or service.once or service.after:
        return
    resets = resets_of(service, kind.services)
    spells: list[tuple[float, list[float]]] = []
    lengths: list[float] = []
    for truck in trucks:
        for begin, end, ended in truck.spells(resets):
            if end - begin >= SHORTEST:
                spells.append((end - begin, [one.hours - begin for one in truck.in_use if begin < one.hours <= end]))
                lengths += [end - begin] if ended else []
    if spells:
        done = median(lengths) if lengths else None
        price = _price([job for truck in trucks for job in truck.jobs], service)
        yield _judged(Asked(kind.key, service.id, float(service.interval_hours), done, spells, price))


class Asked(msgspec.Struct, frozen=True):
    """What an interval is judged by; see `Interval`."""

    kind: str
    service: str
    ruled: float
    done: float | None
    spells: list[tuple[float, list[float]]]
    price: Price | None

    @property
    def faults(self) -> int:
        """In all spells."""
        return sum(len(places) for _, places in self.spells)

    @property
    def hours(self) -> float:
        """Of all spells."""
        return sum(length for length, _ in self.spells)

    def half(self, *, late: bool) -> tuple[float, float, float]:
        """Faults in 1000 h in one half of the spells, with limits."""
        count = sum((2 * at > length) == late for length, places in self.spells for at in places)
        low, high = rate_limits(count, self.hours / 2)
        return 2000 * count / self.hours, 1000 * low, 1000 * high


def _judged(asked: Asked) -> Interval:
    """Least cost is where ``κ t²`` is what a service is worth in faults: it then costs what it saves."""
    rise, price, done = rise_of(asked.spells), asked.price, asked.done
    steady = 1.0 if rise is None else rise.against(0)[1]
    best = low = high = more = None
    leans: Leans | None = None
    chance: float | None = None
    if rise is not None and price is not None and done is not None and asked.faults >= FEWEST:
        right = price.ratio / done**2
        away, chance = rise.against(right, price.error / done**2)
        leans = "shorter" if away > 0 else "longer"
        least, most = rise.limits()
        best, low, high = (_at(price.ratio, one) for one in (rise.value, most, least))
        more = asked.hours * ((rise.se / right) ** 2 - 1) if rise.se > right else None
        if leans == "longer" and asked.faults < FEWEST_LONGER:
            leans, chance = None, 1.0
            more = asked.hours * (FEWEST_LONGER / asked.faults - 1)
    elif asked.faults:
        more = max(0.0, FEWEST - asked.faults) * asked.hours / asked.faults or None
    return Interval(
        kind=asked.kind,
        service=asked.service,
        ruled=asked.ruled,
        done=done,
        spells=len(asked.spells),
        hours=asked.hours,
        faults=asked.faults,
        early=asked.half(late=False),
        late=asked.half(late=True),
        steady=steady,
        price=price,
        best=best,
        low=low,
        high=high,
        leans=leans,
        chance=chance,
        more=more,
    )


def _at(ratio: float, rise: float) -> float | None:
    return (ratio / rise) ** 0.5 if rise > 0 else None


def _price(jobs: Sequence[Job], service: Service) -> Price | None:
    """By money where enough is written down in one currency, else by labour."""
    services = [job for job in jobs if service.id in job.work.services and not job.work.mends]
    repairs = [job for job in jobs if job.work.mends and not job.work.services]
    currencies = {job.work.cost.currency for job in (*services, *repairs) if job.work.cost is not None}
    for unit in (*sorted(currencies), "min"):
        served, mended = ([one for job in some for one in _spent(job, unit)] for some in (services, repairs))
        if len(served) >= KNOWN and len(mended) >= KNOWN:
            ratio = fmean(served) / fmean(mended)
            spread = sum(variance(some) / len(some) / fmean(some) ** 2 for some in (served, mended))
            return Price(fmean(served), fmean(mended), unit, ratio * spread**0.5)
    return None


def _spent(job: Job, unit: str) -> Iterator[float]:
    work = job.work
    if unit == "min":
        if work.minutes:
            yield float(work.minutes)
    elif work.cost is not None and work.cost.currency == unit and work.cost.amount > 0:
        yield float(work.cost.amount)

"""A made-up yard whose services and breakdowns take parts off the shelf for years, and two ways of ordering for it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Final

import msgspec
import numpy as np

from dipmark.plan.intermittent import by_chance
from dipmark.plan.orders import REVIEW, Store, Use, buy

START: Final = date(2020, 1, 6)
SPREAD: Final = 1.2816
"""Nine in ten of a normal law lie below so many deviations; from memory."""

Rule = Callable[["Shelf", date], dict[str, int]]
"""What to order on a day of looking."""


class Kept(msgspec.Struct, frozen=True):
    """A part: which services of a truck take how many, how often it breaks, how it is bought."""

    name: str
    every: int
    quantity: int
    breaks: float
    lead: int
    lead_most: int
    pack: int


def parts_of(rng: np.random.Generator, count: int = 24) -> list[Kept]:
    """Filters and fluids taken by every first to twelfth service, and what only breaks."""
    made = []
    for number in range(count):
        only_breaks = number % 4 == 3
        lead = int(rng.integers(2, 15))
        made.append(
            Kept(
                f"part {number}",
                0 if only_breaks else int(rng.choice([1, 1, 3, 6, 12])),
                int(rng.integers(1, 3)),
                float(rng.uniform(0.003, 0.03)) if only_breaks else float(rng.uniform(0.0, 0.004)),
                lead,
                lead + int(rng.integers(0, 10)),
                int(rng.choice([1, 1, 1, 2])),
            )
        )
    return made


class Truck:
    """Its hours run; every 150 h it is serviced."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.a_day = float(rng.uniform(2, 9))
        self.left = float(rng.uniform(0, 150))
        self.number = int(rng.integers(0, 12))

    def run(self, rng: np.random.Generator) -> int | None:
        """A day; the number of the service that fell due."""
        self.left -= float(rng.gamma(3, self.a_day / 3))
        if self.left > 0:
            return None
        self.left += 150
        self.number += 1
        return self.number

    def ahead(self, today: date, days: int) -> list[tuple[int, date, date, date]]:
        """Its next services with three days each: hours are gamma, about normal over weeks."""
        found, hours, number = [], self.left, self.number
        while hours / self.a_day < days:
            number += 1
            about = hours / self.a_day
            sd = (about / 3) ** 0.5
            early, late = max(1, round(about - SPREAD * sd)), max(1, round(about + SPREAD * sd))
            day = [today + timedelta(days=at) for at in (early, max(1, round(about)), late)]
            found.append((number, day[0], day[1], day[2]))
            hours += 150
        return found


class Shelf:
    """The yard: trucks, shelf, orders on their way, and what has been asked for."""

    def __init__(self, seed: int, trucks: int = 18) -> None:
        self.rng = np.random.default_rng(seed)
        self.parts = parts_of(self.rng)
        self.trucks = [Truck(self.rng) for _ in range(trucks)]
        self.there = {part.name: 4 for part in self.parts}
        self.waiting = {part.name: 0 for part in self.parts}
        self.coming: dict[str, list[tuple[date, date, int]]] = {part.name: [] for part in self.parts}
        self.broken: dict[str, list[int]] = {part.name: [] for part in self.parts}
        self.taken: dict[str, list[int]] = {part.name: [] for part in self.parts}
        self.asked = self.had = self.held = 0

    def year(self, years: int, rule: Rule, warm: int = 1) -> tuple[float, float]:
        """Service and mean stock after a year to warm up."""
        days = 0
        for number in range((years + warm) * 364):
            if number == warm * 364:
                self.asked = self.had = self.held = 0
                days = 0
            today = START + timedelta(days=number)
            self.day(today)
            days += 1
            if number % REVIEW == 0:
                for name, quantity in rule(self, today).items():
                    self.order(name, quantity, today)
        return self.had / self.asked, self.held / days

    def day(self, today: date) -> None:
        """What comes, what is asked for."""
        for part in self.parts:
            for due, expected, quantity in [one for one in self.coming[part.name] if one[0] <= today]:
                self.coming[part.name].remove((due, expected, quantity))
                self.there[part.name] += quantity
        services = [service for truck in self.trucks if (service := truck.run(self.rng)) is not None]
        for part in self.parts:
            planned = sum(part.quantity for service in services if part.every and service % part.every == 0)
            broken = int(self.rng.poisson(part.breaks))
            self.broken[part.name].append(broken)
            self.taken[part.name].append(planned + broken)
            clear = min(self.waiting[part.name], self.there[part.name])
            self.there[part.name] -= clear
            self.waiting[part.name] -= clear
            given = min(self.there[part.name], planned + broken)
            self.there[part.name] -= given
            self.waiting[part.name] += planned + broken - given
            self.asked += planned + broken
            self.had += given
            self.held += self.there[part.name]

    def order(self, name: str, quantity: int, today: date) -> None:
        """It comes after its lead time, three times in ten after the longer one, and never before an earlier order."""
        part = next(part for part in self.parts if part.name == name)
        lead = part.lead_most if self.rng.random() < 0.3 else part.lead
        earlier = max((due for due, *_ in self.coming[name]), default=today)
        self.coming[name].append(
            (max(earlier, today + timedelta(days=lead)), today + timedelta(days=part.lead), quantity)
        )

    def position(self, name: str) -> int:
        """There and on its way, less what is waited for."""
        return self.there[name] - self.waiting[name] + sum(quantity for *_, quantity in self.coming[name])


def ours(level: float) -> Rule:
    """By what falls due, and by what broke."""

    def rule(shelf: Shelf, today: date) -> dict[str, int]:
        ahead = [one for truck in shelf.trucks for one in truck.ahead(today, 60)]
        stores = []
        for part in shelf.parts:
            weeks = np.array(shelf.broken[part.name]).reshape(-1)[-728:]
            weekly = [int(weeks[at : at + 7].sum()) for at in range(0, len(weeks) - 6, 7)]
            stores.append(
                Store(
                    part=part.name,
                    there=shelf.there[part.name] - shelf.waiting[part.name],
                    coming=tuple((expected, quantity) for _, expected, quantity in shelf.coming[part.name]),
                    uses=tuple(
                        Use(f"service {number}", part.quantity, *days)
                        for number, *days in ahead
                        if part.every and number % part.every == 0
                    ),
                    rate=by_chance(weekly, 0.05, 0.05).rate / 7,
                    lead=part.lead,
                    lead_most=part.lead_most,
                    pack=part.pack,
                )
            )
        return buy(stores, today, level)

    return rule


def two_weeks(shelf: Shelf, today: date) -> dict[str, int]:
    """Two weeks' average of the last year kept beyond the lead time and the week to the next look."""
    found = {}
    for part in shelf.parts:
        taken = shelf.taken[part.name][-364:]
        mean = sum(taken) / max(1, len(taken))
        short = round(mean * (part.lead + REVIEW + 14)) - shelf.position(part.name)
        if short > 0:
            found[part.name] = -(-short // part.pack) * part.pack
    return found

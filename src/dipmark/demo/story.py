"""What every part of the story needs, and the walk-rounds that run through it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Final

import msgspec

from dipmark.demo.pen import SHIFTS, ZONE, Calendar, Pen
from dipmark.demo.trucks import LPG, Truck
from dipmark.derive.called import wheel_on
from dipmark.derive.days import local_day
from dipmark.derive.yard import covered_until
from dipmark.facts.base import RANK, FactId, FaultRef
from dipmark.facts.measure import ToppedUp
from dipmark.facts.walk_round import Answer, OpenFault, WalkRound
from dipmark.facts.work import Tested, Worked
from dipmark.office.walk import answer
from dipmark.rules.model import Check, Kind, Rules
from dipmark.views.compiled_sheet import letter_of, place_asked
from dipmark.views.walk_round import CheckList, check_list

UNREAD: Final = ("11",)
"""Trucks whose sheets leave the meter out, so that nothing says which of two readings is the slip."""

DAILY: Final = 60
"""Days back to which every shift's walk-round is in the record; before, one paper sheet a week was typed in."""

MISREAD: Final = 53
"""One day in so many the letters are written down from memory."""

DRIVERS: Final = ("dan", "leila", "sam", "marta", "joe", "nadia")


class Story:
    """The yard while it is written.

    Args:
        pen: writes its facts.
        calendar: its days.
        rules: those of its trucks.
        trucks: by number.
        rng: where chance comes from.
    """

    def __init__(self, pen: Pen, calendar: Calendar, rules: Rules, trucks: dict[str, Truck], rng: Random) -> None:
        self.pen = pen
        self.calendar = calendar
        self.rules = rules
        self.trucks = trucks
        self.rng = rng
        self.kind: Kind = rules.kinds[LPG]
        self.lists: dict[frozenset[str], CheckList] = {}

    def called(self, service: str, text: str, tests: Sequence[str], minutes: int) -> Worked:
        """A list that something has called for, ticked whole."""
        asked = self.kind.service(service)
        return Worked(
            services=(service,),
            tasks=asked.tasks if asked else (),
            text=text,
            tests=tuple(Tested(test=one, passed=True) for one in tests),
            minutes=minutes,
        )

    def recheck(self, truck: Truck, body: Worked, when: datetime) -> None:
        """The nuts of a wheel that was put on, checked again three hours later."""
        again, kind = when + timedelta(hours=3), self.rules.kind(truck.spec.what)
        if kind is not None and wheel_on(body, kind) and again < self.calendar.as_of:
            done = msgspec.structs.replace(self.called("nut-recheck", "none moved", (), 10), meter=truck.read(again))
            self.pen.write(truck.book, done, again, "carl")

    def fault(self, check: str, symptom: str, text: str, put_right: str | None = None) -> Answer:
        """An answer that found a fault, as serious as the rules say."""
        return answer(self._check(check), "fault", symptom=symptom, text=text, put_right=put_right)

    def _check(self, name: str) -> Check:
        return next(check for check in self.kind.checks if check.id == name)

    def walk(
        self,
        truck: Truck,
        instant: datetime,
        by: str,
        *,
        found: Sequence[Answer] = (),
        changed: Sequence[OpenFault] = (),
        full: bool = False,
        after_hit: bool = False,
    ) -> FactId:
        """Write a walk-round on today's rules: what was found, all else in order, open faults the same but for some."""
        answers = self._answers(truck, instant, found, full=full or after_hit)
        told = {one.fault: one for one in changed}
        same = [OpenFault(fault=ref, now="same") for ref in truck.open_at(instant) if ref not in told]
        body = WalkRound(
            answers=answers,
            rules=self.rules.digest,
            sheet="after-hit" if after_hit else "full" if full else "shift",
            open_faults=(*told.values(), *same),
            meter=truck.read(instant),
            seconds=self.rng.randint(190, 420) * (2 if full or after_hit else 1),
            letter=self._letter(truck, instant),
            verdict=_verdict(answers),
        )
        truck.last_walk = max(instant, truck.last_walk or instant)
        return self.pen.write(truck.book, body, instant, by)

    def _letter(self, truck: Truck, instant: datetime) -> str:
        """The letter on the plate of the place that has its turn, now and then read wrongly."""
        options = frozenset(truck.spec.options)
        if options not in self.lists:
            self.lists[options] = check_list(self.rules, self.kind, options)
        day, drawn = instant.astimezone(ZONE).date(), self.rng.choice("ACEHKMRT")
        misread = day.toordinal() % MISREAD == 0
        return drawn if misread else letter_of(truck.book, place_asked(truck.book, self.lists[options], day))

    def _answers(self, truck: Truck, instant: datetime, found: Sequence[Answer], *, full: bool) -> tuple[Answer, ...]:
        bad = {one.check: one for one in found}
        answers = []
        for check in self.kind.checks_for(truck.spec.options):
            if check.id in bad:
                answers.append(bad[check.id])
            elif full or check.shift:
                value = None
                if check.asked and check.asked.unit == "h":
                    value = truck.shown(instant)
                elif check.asked and self.rng.random() < 0.3:
                    value = Decimal(80 + self.rng.randint(0, 3)).scaleb(-1)
                answers.append(answer(check, "ok", value=value))
        return tuple(answers)

    def daily(self) -> None:
        """Write the walk-rounds of every truck, shift by shift."""
        recent = self.calendar.ago(DAILY)
        for truck in self.trucks.values():
            if truck.spec.what != LPG:
                continue
            home = self.rng.randrange(len(DRIVERS))
            for number, (begin, _, _) in enumerate(truck.spans):
                by = DRIVERS[(home + number % 2 * 3 + (self.rng.random() < 0.2)) % len(DRIVERS)]
                day = local_day(begin, ZONE)
                instant = begin - timedelta(seconds=self.rng.randint(120, 720))
                early = local_day(begin, ZONE).isoweekday() == 1 and begin.astimezone(ZONE).hour < 12
                if (day in truck.walked and begin.astimezone(ZONE).hour < 12) or instant >= self.calendar.as_of:
                    continue
                if day > recent:
                    self.walk(truck, instant, by, found=self._on_the_spot(truck, instant, by), full=early)
                elif early:
                    self._paper(truck, instant, by)
        self._now()
        self._sheets(recent)

    def _sheets(self, recent: date) -> None:
        """Paper sheets of trucks of the other kinds, typed in at the end of the day; today's are not in yet."""
        for truck in (one for one in self.trucks.values() if one.spec.what != LPG):
            for number, (begin, _, _) in enumerate(truck.spans):
                if recent < local_day(begin, ZONE) < self.calendar.today:
                    instant, by = begin - timedelta(seconds=self.rng.randint(120, 720)), DRIVERS[number % len(DRIVERS)]
                    meter = None if truck.spec.name in UNREAD else truck.read(instant)
                    body = WalkRound(meter=meter, paper=True, sheet="shift")
                    self.pen.write(truck.book, body, instant, by, received=begin + timedelta(hours=5))

    def _on_the_spot(self, truck: Truck, instant: datetime, by: str) -> list[Answer]:
        """Now and then the driver puts something right himself."""
        chance = self.rng.random()
        if chance < 0.02:
            text = "front left from 7.1 to 8.0 bar"
            return [self.fault("tyres.pressure", "low", "front left soft after the weekend", text)]
        if chance < (0.09 if truck.spec.name == "5" else 0.03):
            amount = Decimal(self.rng.randint(3, 8)).scaleb(-1)
            meter = truck.read(instant)
            body = ToppedUp(fluid="engine oil", amount=amount, unit="l", check="engine-oil.level", meter=meter)
            self.pen.write(truck.book, body, instant + timedelta(minutes=2), by)
            return [self.fault("engine-oil.level", "low", "just under the low mark", f"topped up {amount} l")]
        return []

    def _paper(self, truck: Truck, instant: datetime, by: str) -> None:
        """A paper sheet of the time before, typed in the next afternoon."""
        typed = instant + timedelta(hours=33, seconds=self.rng.randint(0, 3000))
        body = WalkRound(meter=truck.read(instant), paper=True, sheet="shift")
        self.pen.write(truck.book, body, instant, by, received=typed)

    def _now(self) -> None:
        """Trucks that run now and whose last walk-round covers no longer have been walked round just now."""
        as_of = self.calendar.as_of
        for truck, by in zip((one for one in self.trucks.values() if one.spec.idle is None), DRIVERS, strict=False):
            fresh = [as_of - timedelta(minutes=minutes) for minutes in (41, 23, 11, 5, 2, 1, 0)]
            done = [truck.last_walk] if truck.last_walk else []
            instant = next(one for one in (*done, *fresh) if as_of < covered_until(SHIFTS, one, ZONE))
            if instant != truck.last_walk:
                self.walk(truck, instant, by)


def _verdict(answers: Sequence[Answer]) -> str:
    worst = max((RANK[one.seriousness] for one in answers if one.seriousness and not one.put_right), default=-1)
    return {2: "out-of-service", 3: "out-of-service", 1: "restricted"}.get(worst, "checked")


def ref(walk: FactId, check: str) -> FaultRef:
    """The reference of a fault found in a walk-round."""
    return FaultRef(f"{walk}#{check}")

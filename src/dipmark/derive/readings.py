"""What a record says of the parts of a truck: readings as they were written, and what stays the same of each part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import msgspec

from dipmark.derive.judging import MISSING, NONSENSE, Given, Input, Measurement, Read, outside
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import BookId, FaultRef, Value
from dipmark.facts.measure import Measured
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, quantity_of
from dipmark.facts.truck import PlateRead, PlateText, PlateValue
from dipmark.facts.units import UNITS, WRITTEN
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Kind

AT: Final = "@"
"""Stands behind the name of a value for what it was read at, such as the temperature of a viscosity."""

Part = tuple[str, BookId | None]
"""What is measured: the measurement and the item, None for the truck itself."""

NOTHING: Final = Given({})


class Reading(msgspec.Struct, frozen=True):
    """One reading as it was written.

    Args:
        one: the fact.
        measurement: what was measured.
        item: the item measured.
        life: which part it was read on: 0 for the first, 1 after it was renewed, and so on.
        values: as written, conditions with them.
        words: as chosen.
        answer: the answer of a walk-round that it is.
    """

    one: Counted
    measurement: Measurement
    item: BookId | None
    life: int
    values: tuple[Value, ...]
    words: dict[str, str]
    answer: Answer | None = None

    @property
    def part(self) -> Part:
        """What was measured."""
        return self.measurement.name, self.item

    @property
    def ref(self) -> FaultRef:
        """Its reference as a fault."""
        return FaultRef(self.one.id if self.answer is None else f"{self.one.id}#{self.answer.check}")

    @property
    def given(self) -> Given:
        """What it says itself, as far as the measurement asks for it."""
        read: dict[str, tuple[Read, ...]] = {}
        words: dict[str, str] = {}
        for asked in self.measurement.inputs:
            ats = [at for _, at in _quantities(self.values, asked.name + AT, asked.at)]
            for index, (place, value) in enumerate(_quantities(self.values, asked.name, asked.dimension)):
                at = ats[index] if index < len(ats) else None
                if at is not None or not asked.at:
                    read[asked.name] = (*read.get(asked.name, ()), Read(value, place, at))
            word = self.words.get(asked.name)
            if word is not None and not asked.dimension and (not asked.words or word in asked.words):
                words[asked.name] = word
        return Given(read, words)


def _quantities(values: Sequence[Value], name: str, dimension: str) -> Iterator[tuple[str | None, Quantity]]:
    for value in values:
        if value.quantity == name and value.unit in UNITS and UNITS[value.unit].dimension == dimension:
            yield value.place, quantity_of(value)


def reading_of(measurement: Measurement) -> Input:
    """The value that a walk-round asks for: the first that changes from one reading to the next.

    Args:
        measurement: what is measured.
    """
    changing = [asked for asked in measurement.inputs if not asked.kept]
    return next((asked for asked in changing if asked.dimension), changing[0])


class Readings(msgspec.Struct, frozen=True):
    """All readings of a truck.

    Args:
        all: in order.
        lives: how many times each part was renewed.
        kept: what was said of each part, in each of its lives, that stays the same.
        plates: what stands on the truck's plate or in its manual, by name.
    """

    all: list[Reading]
    lives: dict[Part, int]
    kept: dict[tuple[Part, int], Given]
    plates: dict[str, PlateValue | PlateText]

    def known(self, measurement: Measurement, item: BookId | None, life: int | None = None) -> Given:
        """What is known of a part and stays the same: as last said of it, else as the truck's plate says.

        Args:
            measurement: what is measured.
            item: the item measured.
            life: which part; None: the one that is there now.
        """
        part = (measurement.name, item)
        said = self.kept.get((part, self.lives.get(part, 0) if life is None else life), NOTHING)
        read, words = dict(said.read), dict(said.words)
        kept = [asked for asked in measurement.inputs if asked.kept]
        for asked in kept:
            names = [f"{measurement.name}.{asked.name}", *([measurement.name] if asked is kept[0] else [])]
            for plate in (self.plates[name] for name in names if name in self.plates):
                if isinstance(plate, PlateText) and not asked.dimension:
                    words.setdefault(asked.name, plate.text.casefold() if asked.words else plate.text)
                elif isinstance(plate, PlateValue):
                    unit = WRITTEN.get((plate.unit or "count").casefold(), "")
                    value = Value(quantity=asked.name, value=plate.value, unit=unit)
                    for _, quantity in _quantities((value,), asked.name, asked.dimension):
                        read.setdefault(asked.name, (Read(quantity),))
        return Given(read, words)

    def whole(self, reading: Reading) -> Given | tuple[Problem, ...]:
        """All that a reading is judged by, or what is missing or cannot be true.

        Args:
            reading: one of `all`.
        """
        own, more = reading.given, self.known(reading.measurement, reading.item, reading.life)
        given = Given({**more.read, **own.read}, {**more.words, **own.words})
        where, problems = Where(fact=reading.one.id), []
        for asked in reading.measurement.inputs:
            if asked.needed and asked.name not in given.read and asked.name not in given.words:
                hint = f"Measure again with {asked.name}."
                problems.append(Problem(MISSING, f"no {asked.name}", asked.text, hint, where))
            for read in given.all(asked.name):
                if (bound := outside(asked, read.value)) is not None:
                    found, hint = f"{asked.name} {read.value}", "Correct it, or withdraw it."
                    problems.append(Problem(NONSENSE, found, bound, hint, where))
        return tuple(problems) if problems else given

    def take(
        self,
        one: Counted,
        measurement: Measurement,
        values: tuple[Value, ...],
        words: dict[str, str],
        answer: Answer | None = None,
    ) -> Reading:
        """Add a reading.

        Args:
            one: the fact.
            measurement: what was measured.
            values: as written.
            words: as chosen.
            answer: the answer of a walk-round that it is.
        """
        item = one.body.item if isinstance(one.body, Measured) else None
        part = (measurement.name, item)
        life = self.lives.setdefault(part, 0)
        reading = Reading(one, measurement, item, life, values, words, answer)
        self.all.append(reading)
        kept = {asked.name for asked in measurement.inputs if asked.kept}
        before, given = self.kept.get((part, life), NOTHING), reading.given
        self.kept[part, life] = Given(
            {**before.read, **{name: read for name, read in given.read.items() if name in kept}},
            {**before.words, **{name: word for name, word in given.words.items() if name in kept}},
        )
        return reading


def readings_of(counting: Counting, kind: Kind | None) -> Readings:
    """All readings of a truck: those measured, and the values that its walk-rounds asked for.

    Args:
        counting: the truck's record.
        kind: the rules of its kind of truck, by which an answer is known for a measured value.

    *Edge*: a part is renewed by work that mends one of its faults, or that names it, or its subject, among the parts
    that went in.
    """
    asked, book = _asked(kind), Readings([], {}, {}, {})
    refs: dict[str, Part] = {}
    for one in counting:
        body = one.body
        if isinstance(body, Measured) and body.subject in MEASUREMENTS:
            words = {chosen.quantity: chosen.word for chosen in body.chosen}
            reading = book.take(one, MEASUREMENTS[body.subject], (*body.values, *body.conditions), words)
            refs[reading.ref] = reading.part
        elif isinstance(body, WalkRound) and asked:
            for answer in body.answers:
                if answer.value is not None and answer.check in asked:
                    measurement = asked[answer.check]
                    value = Value(quantity=reading_of(measurement).name, value=answer.value, unit=answer.unit or "")
                    reading = book.take(one, measurement, (value,), {}, answer)
                    refs[reading.ref] = reading.part
        elif isinstance(body, Worked):
            new = {part.part for part in body.parts}
            renewed = [part for part in book.lives if new & {part[0], MEASUREMENTS[part[0]].subject}]
            for part in {*renewed, *(refs[ref] for ref in body.mends if ref in refs)}:
                book.lives[part] += 1
        elif isinstance(body, PlateRead):
            book.plates.update({plate.name: plate for plate in body.values})
            book.plates.update({plate.name: plate for plate in body.texts})
    return book


def _asked(kind: Kind | None) -> dict[str, Measurement]:
    """The checks of a walk-round that ask for a measured value."""
    checks = kind.checks if kind is not None else ()
    named = {check.id: check.asked.quantity for check in checks if check.asked is not None}
    return {check: MEASUREMENTS[name] for check, name in named.items() if name in MEASUREMENTS}

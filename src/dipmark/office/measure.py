"""Measure: a reading by itself, or into a truck's record; a laboratory's sheet; what was topped up."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.days import local_day
from dipmark.derive.judging import Given, Judged, Measurement, fit
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.measures import Measure
from dipmark.derive.readings import AT, readings_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import Body, BookId, Seriousness, Value
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.measure import Chosen, Measured, Sampled, ToppedUp
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import Quantity, parse_quantity, value_of
from dipmark.facts.said import Word
from dipmark.facts.units import UNITS, WRITTEN
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told
from dipmark.rules.limits import Subject
from dipmark.rules.model import Rules
from dipmark.views.measures import use_words

PAIR_UNFIT: Final = code("pair-unfit", "A result of a laboratory's sheet is not NAME=VALUE with its unit.")
AMOUNT_UNFIT: Final = code("amount-unfit", "What was topped up is nothing, or less.")


class Gauged(msgspec.Struct, frozen=True):
    """A reading judged, with the subject whose limits and cautions hold for it."""

    judged: Judged
    subject: Subject
    given: Given


def measurement_of(name: str) -> Measurement:
    """A measurement by its name.

    Raises:
        NotFound: there is none; the text names those that come near.
    """
    if name in MEASUREMENTS:
        return MEASUREMENTS[name]
    near = difflib.get_close_matches(name, MEASUREMENTS, n=3) or [one for one in MEASUREMENTS if name in one][:3]
    hint = f" Is it {' or '.join(near)}?" if near else ""
    raise NotFound(f"Nothing is measured under the name {name}.{hint} All names: dipmark gauge")


def gauge(rules: Rules, name: str, said: Mapping[str, Sequence[str]], known: Given | None = None) -> Gauged:
    """Judge a reading.

    Args:
        rules: with their limits.
        name: of the measurement.
        said: texts by the name of the input, as people write them.
        known: what is known of the part already.

    Raises:
        NotFound: nothing is measured under that name.
        Refused: something is missing, cannot be read, or cannot be true.
    """
    measurement = measurement_of(name)
    subject = rules.subjects[measurement.subject]
    given = fit(measurement, said, known)
    if not isinstance(given, Given):
        raise Refused(told([_plainly(one) for one in given]), given)
    judged = measurement.judge(given, subject)
    if not isinstance(judged, Judged):
        raise Refused(told([_plainly(one) for one in judged]), judged)
    return Gauged(judged, subject, given)


def _plainly(problem: Problem) -> Problem:
    """At a desk the sentence names the value itself; a place of its own says nothing more."""
    return msgspec.structs.replace(problem, where=Where())


def measure(
    office: Office,
    name: str,
    what: str,
    said: Mapping[str, Sequence[str]],
    when: When,
    *,
    until: date | None = None,
    instrument: str | None = None,
    hours: Decimal | None = None,
    item: str | None = None,
    note: str | None = None,
) -> tuple[Entered, Gauged]:
    """Judge a reading of a truck and write it; what is known of the part already need not be said again.

    Args:
        office: the yard.
        name: the truck's number.
        what: the measurement.
        said: texts by the name of the input.
        when: when it was read.
        until: the day by which a competent person wants the part renewed.
        instrument: with what it was read.
        hours: on the hour meter.
        item: the item measured, such as ``forks-1``; None: the one that was measured last.
        note: anything else.

    Raises:
        Refused: something is missing or cannot be true; nothing was written.
    """
    now = truck(office, name, office.clock())
    body, found = measured(office, now, what, said, item)
    told_too = {"until": until, "instrument": instrument, "meter": now.reading(hours), "note": note}
    return _enter(office, now, msgspec.structs.replace(body, **told_too), when), found


def measured(
    office: Office, now: TruckNow, what: str, said: Mapping[str, Sequence[str]], item: str | None = None
) -> tuple[Measured, Gauged]:
    """Judge a reading of a truck as it is to be written; see `measure`, which writes it.

    Raises:
        Refused: something is missing or cannot be true.
    """
    measurement = measurement_of(what)
    book = _item(now, what) if item is None else BookId(f"item:{item}")
    kind = office.rules.kind(now.enrolled.what)
    known = readings_of(now.counting, kind).known(measurement, book)
    found = gauge(office.rules, what, said, known)
    own = {asked for asked, texts in said.items() if any(text.strip() for text in texts)}
    kept = {asked.name for asked in measurement.inputs if asked.kept}
    body = Measured(
        subject=what,
        values=tuple(_values(found.given, own - kept)),
        conditions=tuple(_values(found.given, own & kept)),
        chosen=tuple(Chosen(quantity=asked, word=word) for asked, word in found.given.words.items() if asked in own),
        item=book,
        seriousness=_serious(found.judged),
    )
    return body, found


def _item(now: TruckNow, what: str) -> BookId | None:
    """The item that was measured last; None where it was the truck itself, or nothing yet."""
    return next((one.item for one in reversed(now.measures) if one.name == what), None)


def _values(given: Given, names: set[str]) -> Iterator[Value]:
    for name, reads in given.read.items():
        for read in reads if name in names else ():
            yield value_of(read.value, name, read.place)
            if read.at is not None:
                yield value_of(read.at, name + AT, read.place)


def _serious(judged: Judged) -> Seriousness | None:
    return None if judged.verdict is None or judged.verdict == "in" else judged.verdict


def _enter(office: Office, now: TruckNow, body: Body, when: When) -> Entered:
    fact = office.fact(now.book, body, when.happened, whole_day=when.whole_day)  # type: ignore[arg-type]
    return enter(office, [fact])


def sample(
    office: Office,
    name: str,
    fluid: str,
    pairs: Sequence[str],
    when: When,
    *,
    fluid_hours: Decimal | None = None,
    laboratory: str | None = None,
    number: str | None = None,
    reported: date | None = None,
    hours: Decimal | None = None,
) -> tuple[Entered, tuple[Measure, ...]]:
    """Write a laboratory's sheet; each result is held against its limit and against the truck's earlier sheets.

    Args:
        office: the yard.
        name: the truck's number.
        fluid: which.
        pairs: results as NAME=VALUE, such as ``iron=45ppm``.
        when: when the sample was drawn.
        fluid_hours: hours on the fluid.
        laboratory: whose sheet.
        number: its number.
        reported: the day on the sheet.
        hours: on the hour meter.

    Raises:
        Refused: a result cannot be read or cannot be true; nothing was written.
    """
    now, problems = truck(office, name, office.clock()), list[Problem]()
    results = tuple(value for pair in pairs for value in _result(pair, problems))
    if problems:
        raise Refused(told(problems), problems)
    body = Sampled(
        fluid=fluid,
        results=results,
        laboratory=laboratory,
        number=number,
        reported=reported,
        fluid_hours=fluid_hours,
        meter=now.reading(hours),
    )
    entered = _enter(office, now, body, when)
    new = {item.fact.id for item in entered.accepted}
    after = truck(office, name, max(office.clock(), when.happened))
    return entered, tuple(one for one in after.measures if one.fact in new)


def _result(pair: str, problems: list[Problem]) -> Iterator[Value]:
    name, equals, text = (part.strip() for part in pair.partition("="))
    value = _any(text)
    asked = MEASUREMENTS["oil-sheet"].input(name)
    if asked is not None and equals:
        given = fit(MEASUREMENTS["oil-sheet"], {name: [text]})
        if isinstance(given, Given):
            yield value_of(given.one(name), name)
        else:
            problems.extend(_plainly(one) for one in given)
    elif not (name and equals) or value is None:
        hint = "Write the result with its unit."
        problems.append(Problem(PAIR_UNFIT, f"{pair!r}", "NAME=VALUE, such as iron=45ppm", hint))
    else:
        yield value_of(value, name)


def _any(text: str) -> Quantity | None:
    """A value in any unit; a number alone is a count."""
    unit = WRITTEN.get(" ".join(text.lstrip("+-0123456789.,/ ").split()).casefold(), "count")
    value = parse_quantity(text, UNITS[unit].dimension, "count")
    return value if isinstance(value, Quantity) else None


def top_up(
    office: Office, name: str, fluid: str, amount: str, when: When, *, hours: Decimal | None = None, note: str | None
) -> tuple[Entered, str | None]:
    """Write what was topped up; and what the truck uses in 100 h, with an alarm where that has doubled.

    Args:
        office: the yard.
        name: the truck's number.
        fluid: which.
        amount: how much, such as ``1.2l``.
        when: when.
        hours: on the hour meter.
        note: anything else.

    Raises:
        Refused: the amount cannot be read, or is none; nothing was written.
    """
    now, value = truck(office, name, office.clock()), parse_quantity(amount, "volume")
    if isinstance(value, Quantity) and value.value <= 0:
        value = Problem(AMOUNT_UNFIT, f"{value}", "more than nothing", "Write what went in.")
    if isinstance(value, Problem):
        raise Refused(value.message, [value])
    went = value_of(value, fluid)
    body = ToppedUp(fluid=fluid, amount=went.value, unit=went.unit, meter=now.reading(hours), note=note)
    entered = _enter(office, now, body, when)
    after = truck(office, name, max(office.clock(), when.happened))
    return entered, use_of_truck(after, fluid, went.unit, office.rules.word)


def use_of_truck(now: TruckNow, fluid: str, unit: str, word: Word = str) -> str | None:
    """What a truck uses of a fluid, in words; None where too little is known.

    Args:
        now: the truck.
        fluid: which.
        unit: in which it is told.
        word: says a sentence in the reader's language.
    """
    from dipmark.derive.wear import use_of_fluid

    use = use_of_fluid(now.counting, now.meters, fluid, unit, word)
    return None if use is None else use_words(use)


def day_of_text(office: Office, text: str) -> date:
    """A day as people write it.

    Raises:
        Refused: it is none.
    """
    return local_day(office.instant(text), office.zone)

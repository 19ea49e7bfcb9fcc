"""What is to be done at a service of one truck, with what has been read on that very truck, or a blank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.judging import Measurement
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.past import Counted, Counting
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey, iso_day
from dipmark.facts.said import Word, says
from dipmark.facts.truck import PlateRead, PlateValue
from dipmark.rules.limits import Subject
from dipmark.rules.model import Rules, Task

BLANK: Final = says("____________ from the plate or the manual")
"""Stands where nobody has counted or read it on that truck: never a number from memory."""

HOW: Final = {
    "plate": says("read off the plate by"),
    "manual": says("read in its manual by"),
    "counted": says("counted by"),
}


class PlateLine(msgspec.Struct, frozen=True):
    """One thing that stands on the truck's plate, in its manual, or was counted on it.

    Args:
        name: what.
        text: as it is printed: values with their places, by whom and when; or a blank.
        known: False for a blank.
    """

    name: str
    text: str
    known: bool


class MeasureLine(msgspec.Struct, frozen=True):
    """Room to write one measured value.

    Args:
        name: the measurement, as it is noted afterwards.
        text: what it is, for people.
        last: what was read last, with its day; None: nothing yet.
    """

    name: str
    text: str
    last: str | None


class MeasureBox(msgspec.Struct, frozen=True):
    """What is measured of one subject.

    Args:
        lines: what is written.
        how: where, with what and how it is measured.
        limits: what follows past which limit.
        cautions: what can hurt while measuring.
    """

    lines: tuple[MeasureLine, ...]
    how: tuple[str, ...]
    limits: tuple[str, ...]
    cautions: tuple[str, ...]


class SheetTask(msgspec.Struct, frozen=True):
    """One task on the sheet.

    Args:
        id: its id.
        text: what to do.
        minutes: one trained person.
        parts: what is fitted new.
        fluids: what is filled.
        plate: what belongs to it of this very truck.
        boxes: what is measured, each with room to write, how and the limits.
        cautions: what can hurt.
        retest: it needs a recorded test before release.
    """

    id: str
    text: str
    minutes: int
    parts: tuple[str, ...]
    fluids: tuple[str, ...]
    plate: tuple[PlateLine, ...]
    boxes: tuple[MeasureBox, ...]
    cautions: tuple[str, ...]
    retest: bool


class ServiceSheet(msgspec.Struct, frozen=True):
    """All that is to be done at a service of one truck.

    Args:
        truck: its number.
        service: the service.
        text: its name for people.
        minutes: the sum of its tasks.
        tasks: in the order of the rules.
    """

    truck: str
    service: str
    text: str
    minutes: int
    tasks: tuple[SheetTask, ...]


def service_sheet(truck: TruckNow, service: str, rules: Rules, names: Mapping[PersonKey, str]) -> ServiceSheet | None:
    """The sheet of a service; None where the rules of this kind of truck have no such service.

    Args:
        truck: the truck as derived.
        service: id of the service.
        rules: of today.
        names: of people, by key.

    *Source*: litres, torques, pressures and counts are never printed from memory: project rule, common practice.
    """
    kind = rules.kind(truck.enrolled.what)
    found = kind.service(service) if kind else None
    if kind is None or found is None:
        return None
    tasks = kind.all_tasks(found, kind.fitted(truck.enrolled.options, truck.enrolled.fuel))
    rows = tuple(_task(task, truck, rules, names) for task in tasks)
    return ServiceSheet(truck.name, found.id, found.text, sum(task.minutes for task in tasks), rows)


def _task(task: Task, truck: TruckNow, rules: Rules, names: Mapping[PersonKey, str]) -> SheetTask:
    plate = tuple(plate_line(name, truck.counting, names, rules.word) for name in task.plate)
    measured = [MEASUREMENTS[name] for name in task.measures]
    subjects = dict.fromkeys(one.subject for one in measured)
    boxes = tuple(
        _box(rules.subjects[id], [one for one in measured if one.subject == id], truck, rules) for id in subjects
    )
    return SheetTask(
        task.id, task.text, task.minutes, task.parts, task.fluids, plate, boxes, task.cautions, task.retest
    )


def _box(subject: Subject, measured: Sequence[Measurement], truck: TruckNow, rules: Rules) -> MeasureBox:
    """Room for all that is measured of one subject, with what belongs to it."""
    return MeasureBox(
        lines=tuple(_line(one, truck, rules) for one in measured),
        how=subject.how,
        limits=tuple(limit.text for limit in subject.limits.values()),
        cautions=tuple(caution.text for caution in subject.cautions),
    )


def _line(one: Measurement, truck: TruckNow, rules: Rules) -> MeasureLine:
    last = next((read for read in reversed(truck.measures) if read.name == one.name), None)
    said = None if last is None else f"{', '.join(last.said)}, {iso_day(last.day, rules.word)}"
    return MeasureLine(one.name, rules.word(one.text), said)


def plate_line(name: str, counting: Counting, names: Mapping[PersonKey, str], word: Word = str) -> PlateLine:
    """What is known on this truck under a name and under ``name.place``: the last of each place, and their sum.

    Args:
        name: such as ``grease-fittings``.
        counting: the truck's record.
        names: of people, by key.
        word: says a word in the reader's language.
    """
    last: dict[str, tuple[PlateValue, Counted]] = {}
    words: dict[str, str] = {}
    for one in counting:
        if isinstance(one.body, PlateRead):
            for value in one.body.values:
                if value.name == name or value.name.startswith(f"{name}."):
                    last[value.name] = value, one
            for text in one.body.texts:
                if text.name == name:
                    words[text.name] = f"{text.text} ({_who(text.source, one, names, word)})"
    label = word(name.replace("-", " "))
    if not last and not words:
        return PlateLine(name, f"{label}: {word(BLANK)}", known=False)
    parts = [_group(label, list(last.values()), name, names, word)] if last else []
    return PlateLine(name, "; ".join([*parts, *(f"{label}: {text}" for text in words.values())]), known=True)


def _group(
    label: str, read: list[tuple[PlateValue, Counted]], name: str, names: Mapping[PersonKey, str], word: Word
) -> str:
    units = {value.unit for value, _ in read}
    places = [value for value, _ in read if value.name != name]
    said = ", ".join(f"{value.name.removeprefix(name + '.').replace('-', ' ')} {_amount(value)}" for value in places)
    who = "; ".join(dict.fromkeys(_who(value.source, one, names, word) for value, one in read))
    if len(places) == len(read) and units == {None}:
        total = sum((value.value for value in places), Decimal(0))
        return f"{label}: {total:f} ({said}; {who})"
    whole = ", ".join(_amount(value) for value, _ in read if value.name == name)
    return f"{label}: {', '.join(part for part in (whole, said) if part)} ({who})"


def _amount(value: PlateValue) -> str:
    return f"{value.value:f}" + (f" {value.unit}" if value.unit else "")


def _who(source: str, one: Counted, names: Mapping[PersonKey, str], word: Word) -> str:
    return f"{word(HOW[source])} {names.get(one.by, one.by)}, {iso_day(one.happened.date(), word)}"

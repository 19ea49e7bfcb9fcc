"""The hydraulic oil: codes of cleanliness by table against a target, classes by older standards, water, acid."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from msgspec.structs import replace

from dipmark.derive.judging import (
    MISSING,
    NONSENSE,
    WORD,
    Given,
    Input,
    Judged,
    Measurement,
    Read,
    judged,
    past,
    worked_out,
)
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Rows, Subject

COUNTED: Final = says("Over {} µm(c): {} in 1 ml: {}.")
TOO_FEW: Final = says("≥: fewer than {} were counted; take a larger volume.")
OVER: Final = says("over {} µm")
AS4059: Final = says("By AS4059 in 100 ml: {}. Classes are not converted into other codes.")
NAS1638: Final = says("By NAS 1638 in 100 ml: {}; the worst counts.")
WATER: Final = says("{} of water.")
SATURATED: Final = says("{} of water, saturated at {}.")
RISEN: Final = says("{} where {} mg/g was new.")

SIZES: Final = ("4", "6", "14")
"""µm(c) of the three codes of ISO 4406, each counting this size and larger."""

FEW: Final = 20
"""Below so many particles really counted a code is marked ≥ (ISO 4406, secondary)."""

LETTERS: Final = tuple("ABCDEF")
PER: Final = {"per-100ml": 100, "per-ml": 1}
"""The fields that hold counts, with the ml that they are for."""

_TARGET: Final = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{1,2})")


def code_of(count: Fraction, table: Rows) -> str:
    """The code of a count: the first row whose upper limit is not below it.

    Args:
        count: particles in 1 ml.
        table: of ISO 4406.

    *Edge*: the limit itself still belongs to its row: 160 is 14, 160.1 is 15.

    *Source*: ISO 4406 (secondary). Its limits are rounded powers of two: a logarithm gives another code near them.
    """
    return _class_of(count, table, "most")


def _class_of(count: Fraction, table: Rows, column: str) -> str:
    """The first row that holds a count; classes under 0 are written 00 and 000."""
    classes = table.column(table.columns[0])
    for number, most in zip(classes, table.column(column), strict=True):
        if count <= most:
            return "0" * int(1 - number) if number < 0 else f"{int(number)}"
    return f">{int(classes[-1])}"


def judge_cleanliness(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The ISO 4406 code of three counts, size by size against a target.

    Args:
        given: ``per-100ml`` or ``per-ml``: the counts over 4, 6 and 14 µm(c), in this order; ``counted``: the volume
            that was counted; ``target``.
        subject: the table.

    *Edge*: each code at or below its target passes.
    """
    by = [name for name in PER if name in given.read]
    if len(by) != 1:
        told, where = " and ".join(by) or "no counts", Where(column="per-100ml")
        return (Problem(MISSING, told, " or ".join(PER), "Give one of the two.", where),)
    named = _named(given.all(by[0]), SIZES, by[0], every=True, falling=True)
    if isinstance(named, tuple):
        return named
    said = given.words.get("target")
    target = _TARGET.fullmatch(said) if said else None
    if said and target is None:
        where = Where(column="target")
        return (Problem(WORD, ascii(said)[:60], "three codes", "Write it as 19/17/14.", where),)
    counts = [named[size] / PER[by[0]] for size in SIZES]
    table, volume = subject.rows["iso-4406"], given.maybe("counted")
    codes = [code_of(one, table) for one in counts]
    few = [volume is not None and one * volume.in_("ml") < FEW for one in counts]
    value = "/".join(f"{'≥' if marked else ''}{one}" for one, marked in zip(codes, few, strict=True))
    because = subject.say(COUNTED, ", ".join(SIZES), ", ".join(f"{plain(one)}" for one in counts), value)
    notes = (subject.say(TOO_FEW, FEW),) if any(few) else ()
    found = Judged(
        subject="cleanliness", value=value, unit=None, verdict=None, because=because, source=table.source, notes=notes
    )
    return found if target is None else _held(found, codes, target, subject)


def _held(found: Judged, codes: Sequence[str], target: re.Match[str], subject: Subject) -> Judged:
    """Codes held against a target, size by size; what is over every code of the table is over every target."""
    limit = subject.limits["target"]
    over = [
        subject.say(OVER, size)
        for size, one, most in zip(SIZES, codes, target.groups(), strict=True)
        if not one.isdecimal() or int(one) > int(most)
    ]
    return replace(
        found,
        verdict=limit.verdict if over else "in",
        limit=target[0],
        rule=f"hydraulic.{limit.id}",
        source=limit.source,
        because=f"{found.because} {', '.join(over).capitalize()}: {limit.text}" if over else found.because,
    )


def judge_as4059(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The AS4059 class of each size that was counted.

    Args:
        given: ``per-100ml``: six counts from A on, or some as ``B=38900``, each of its size and larger.
        subject: the table.

    *Edge*: the limit itself still belongs to its class.
    """
    named = _named(given.all("per-100ml"), LETTERS, "per-100ml", every=False, falling=True)
    if isinstance(named, tuple):
        return named
    table = subject.rows["as-4059"]
    classes = {size: _class_of(one, table, size) for size, one in named.items()}
    value = "/".join(f"{one}{size}" for size, one in classes.items())
    because = subject.say(AS4059, value)
    return Judged(subject="as4059", value=value, unit=None, verdict=None, because=because, source=table.source)


def judge_nas1638(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The NAS 1638 class: the worst of the five sizes.

    Args:
        given: ``per-100ml``: five counts, each between two sizes, smallest first.
        subject: the table.

    *Edge*: the limit itself still belongs to its class.
    """
    table = subject.rows["nas-1638"]
    named = _named(given.all("per-100ml"), table.columns[1:], "per-100ml", every=True, falling=False)
    if isinstance(named, tuple):
        return named
    classes = {size: _class_of(one, table, size) for size, one in named.items()}
    worst = max(classes.values(), key=_rank)
    because = subject.say(NAS1638, ", ".join(f"{size} µm {one}" for size, one in classes.items()))
    return Judged(subject="nas1638", value=worst, unit=None, verdict=None, because=because, source=table.source)


def _rank(one: str) -> tuple[int, int]:
    """Where a class stands among the others: 00 before 0, 12 before more than 12."""
    return (0, -len(one)) if set(one) == {"0"} else (int(one.removeprefix(">")), one.startswith(">"))


def _named(
    read: Sequence[Read], sizes: Sequence[str], field: str, *, every: bool, falling: bool
) -> dict[str, Fraction] | tuple[Problem, ...]:
    """Counts by their size, smallest first: as named, else in order; or what is wrong with them."""
    named: dict[str, Fraction] = {}
    where, expected = Where(column=field), f"each size once: {', '.join(sizes)}"
    for index, one in enumerate(read):
        told = one.place or (sizes[index] if index < len(sizes) else "one count too many")
        size = next((size for size in sizes if size.casefold() == told.casefold()), None)
        if size is None or size in named:
            return (Problem(WORD, ascii(told)[:60], expected, "Name every count, or give all in order.", where),)
        named[size] = one.value.value
    if every and len(named) < len(sizes):
        return (Problem(MISSING, f"{len(named)} counts", expected, "Give all, smallest size first.", where),)
    named = {size: named[size] for size in sizes if size in named}
    if falling and any(large > small for small, large in pairwise(named.values())):
        found, hint = ", ".join(f"{plain(one)}" for one in named.values()), "Each counts its size and larger."
        return (Problem(NONSENSE, found, "counts that do not rise, smallest size first", hint, where),)
    return named


def judge_water(given: Given, subject: Subject) -> Judged:
    """The water in the oil.

    Args:
        given: ``water``, and ``saturation`` of this oil, where it is known.
        subject: the limits.

    *Edge*: 400 and 500 ppm still pass; half of the saturation does not.
    """
    water, full = given.one("water"), given.maybe("saturation")
    held = [subject.limits["drain"], subject.limits["filter"]]
    because = subject.say(WATER, water)
    if full is not None:
        half = subject.limits["half"]
        held.append(worked_out(half, full.in_("ppm") * half.exact / 100, "ppm"))
        because = subject.say(SATURATED, water, full)
    passed = [one for one in held if past(water, one.exact, one.unit, one.edge)]
    return judged("hydraulic-water", subject, water.in_("ppm"), "ppm", because, held=held, passed=passed)


def judge_acid(given: Given, subject: Subject) -> Judged:
    """How far the acid number has risen since the oil was new.

    Args:
        given: ``new`` and ``now``.
        subject: the limits.

    *Edge*: a rise of 1.0 exactly is past the limit.
    """
    new, now, limit = given.one("new").in_("mg/g"), given.one("now"), subject.limits["acid"]
    passed = [limit] if past(now, new + limit.exact, limit.unit, limit.edge) else []
    because = subject.say(RISEN, now, plain(new))
    return judged("hydraulic-acid", subject, now.in_("mg/g") - new, "mg/g", because, held=[limit], passed=passed)


def _particles(name: str, text: str, *, needed: bool) -> Input:
    return Input(name, text, "count", "count", many=True, needed=needed, least="0 count", most="1000000000 count")


def _share(name: str, text: str, *, kept: bool = False, needed: bool = True) -> Input:
    return Input(name, text, "share", kept=kept, needed=needed, least="0 ppm", most="100000 ppm")


def _acid(name: str, text: str, *, kept: bool = False) -> Input:
    return Input(name, text, "acidity", "mg/g", kept=kept, least="0 mg/g", most="50 mg/g")


MEASUREMENTS: Final = tuple(
    Measurement(name=name, subject="hydraulic", text=text, judge=judge, inputs=inputs)
    for name, text, judge, inputs in (
        (
            "cleanliness",
            "Hydraulic oil: ISO 4406 code",
            judge_cleanliness,
            (
                _particles("per-100ml", "particles in 100 ml over 4, 6 and 14 µm(c)", needed=False),
                _particles("per-ml", "particles in 1 ml over 4, 6 and 14 µm(c)", needed=False),
                Input("counted", "volume that was really counted", "volume", "ml", needed=False, over="0 ml"),
                Input("target", "the manual's code, such as 19/17/14", kept=True, needed=False),
            ),
        ),
        (
            "as4059",
            "Hydraulic oil: AS4059 classes",
            judge_as4059,
            (_particles("per-100ml", "particles in 100 ml by size: A to F in order, or as B=38900", needed=True),),
        ),
        (
            "nas1638",
            "Hydraulic oil: NAS 1638 class",
            judge_nas1638,
            (_particles("per-100ml", "particles in 100 ml in five steps of size, smallest first", needed=True),),
        ),
        (
            "hydraulic-water",
            "Hydraulic oil: water",
            judge_water,
            (
                _share("water", "water in the oil"),
                _share("saturation", "water this oil holds at most", kept=True, needed=False),
            ),
        ),
        (
            "hydraulic-acid",
            "Hydraulic oil: rise of the acid number",
            judge_acid,
            (_acid("new", "acid number when new", kept=True), _acid("now", "acid number now")),
        ),
    )
)

"""Made-up readings for any measurement, drawn from what it asks for."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import ceil, floor
from typing import Final

from hypothesis import strategies as st

from dipmark.derive.judging import Given, Input, Measurement, Read
from dipmark.facts.problems import Problem
from dipmark.facts.quantity import Quantity, parse_quantity
from dipmark.facts.units import UNITS, convert

MOST: Final = Fraction(1000)
"""Where an input has no upper bound: so much, in the unit of its lower one."""

STEPS: Final = tuple(Fraction(1, 10**places) for places in range(4))

FREE_WORDS: Final = (
    *(
        "BL523",
        "LH1623",
        "BL823",
        "XX",
        "15W-40",
        "5w30",
        "40",
        "SAE 30",
        "W",
        "19/17/14",
        "24/24/24",
        "1/2",
        "//",
        "0",
    ),
    *("a b", "é", "½", "١٢", "-", "=", "@", "9" * 50),
)
"""Words where any is allowed: designations, grades and codes, right and wrong."""

NONSENSE: Final = (
    *("", " ", "x", "NaN", "-1", "0", "1e9", "inf", "12,345", "1/2", "1/3 in", "-5mm", "1800C", "12.65", "12.65sg"),
    *(
        "99999999999 kg",
        "0.000001mm",
        "0%",
        "100.0001%",
        "1 2 3",
        "=",
        "@",
        "a=b=5mm",
        "5mm@",
        "@5C",
        "5mm@5C",
        "2cSt@40C",
    ),
    *(
        "32cSt@-273C",
        "32 cSt @ 1800 C",
        "25²mm",
        "½",
        "\u0663mm",
        "\u202e5mm",
        "\x00",
        "yes",
        "no",
        "1\u00a0mm",
        "999999999999V",
    ),
)
"""What people write by mistake, or to see what happens."""


def alike(dimension: str) -> list[str]:
    """The units of a dimension."""
    return [name for name, unit in UNITS.items() if unit.dimension == dimension]


@cache
def _ranges(asked: Input) -> list[tuple[str, Fraction, Fraction]]:
    """Lowest and highest value of an input in each unit that a person might read it in, with few digits."""
    low, high = (
        parse_quantity(text, asked.dimension) if text else None for text in (asked.over or asked.least, asked.most)
    )
    assert not isinstance(low, Problem)
    assert not isinstance(high, Problem)
    base = next((bound.unit for bound in (low, high) if bound), alike(asked.dimension)[0])
    least = low.in_(base) if low else -MOST
    most = high.in_(base) if high else least + MOST
    found = [(unit, convert(least, base, unit), convert(most, base, unit)) for unit in alike(asked.dimension)]
    return [one for one in found if one[2] - one[1] > Fraction(1, 10) and abs(one[2]) <= 10**9]


@st.composite
def quantities(draw: st.DrawFn, asked: Input) -> Quantity:
    """A value that an input may have, in any unit, read to any decimal."""
    unit, least, most = draw(st.sampled_from(_ranges(asked)))
    steps = [step for step in STEPS if floor(most / step) - ceil(least / step) > 1]
    step = draw(st.sampled_from(steps))
    first = floor(least / step) + 1 if asked.over else ceil(least / step)
    return Quantity(draw(st.integers(first, floor(most / step))) * step, unit, step)


@st.composite
def reads(draw: st.DrawFn, asked: Input) -> Read:
    """One reading of an input."""
    place = draw(st.sampled_from([None, "left", "right", "front left"])) if asked.many else None
    at = Input("at", "", asked.at, least="-40 C", most="150 C")
    return Read(draw(quantities(asked)), place, draw(quantities(at)) if asked.at else None)


@st.composite
def givens(draw: st.DrawFn, one: Measurement) -> Given:
    """All that a measurement needs, and now and then what it may have."""
    read: dict[str, tuple[Read, ...]] = {}
    words: dict[str, str] = {}
    for asked in one.inputs:
        if not (asked.needed or draw(st.booleans())):
            continue
        if asked.dimension:
            count = draw(st.integers(1, 5)) if asked.many else 1
            read[asked.name] = tuple(draw(reads(asked)) for _ in range(count))
        else:
            words[asked.name] = draw(st.sampled_from(asked.words or FREE_WORDS))
    return Given(read, words)


def written(quantity: Quantity) -> str:
    """A quantity as a person writes it: number and unit, the last digit the step it was read in."""
    exact = Decimal(quantity.value.numerator) / Decimal(quantity.value.denominator)
    step = Decimal(quantity.resolution.numerator) / Decimal(quantity.resolution.denominator)
    return f"{exact.quantize(step):f} {quantity.unit}"


def texts_of(given: Given) -> dict[str, list[str]]:
    """What a person would write to give all this."""
    said = {name: [word] for name, word in given.words.items()}
    for name, read in given.read.items():
        said[name] = [
            (f"{one.place}=" if one.place else "") + written(one.value) + (f"@{written(one.at)}" if one.at else "")
            for one in read
        ]
    return said

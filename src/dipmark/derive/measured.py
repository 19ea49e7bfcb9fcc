"""Everything that can be measured, by name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from dipmark.derive.condition import (
    battery,
    belt,
    brakes,
    chain,
    coolant,
    forks,
    grease,
    hydraulic,
    hydrogen,
    intake,
    leaks,
    mast,
    nuts,
    oil,
    tyres,
    viscosity,
)
from dipmark.derive.judging import Measurement
from dipmark.facts.said import says

MEASUREMENTS: Final[dict[str, Measurement]] = {
    one.name: one
    for subject in (
        chain,
        forks,
        tyres,
        brakes,
        mast,
        leaks,
        nuts,
        belt,
        intake,
        grease,
        battery,
        hydrogen,
        oil,
        viscosity,
        hydraulic,
        coolant,
    )
    for one in subject.MEASUREMENTS
}
"""Every measurement, by its name."""


def _words() -> Iterator[str]:
    for one in MEASUREMENTS.values():
        yield from (one.text, one.name.replace("-", " "))
        for asked in one.inputs:
            yield from (asked.text, *(code.replace("-", " ") for code in (asked.name, *asked.words)))


WORDS: Final = tuple(says(word) for word in dict.fromkeys(_words()))
"""What measurements, their values and the words to choose from are called, to be said in other languages."""

WEARS: Final = frozenset({"chain", "chain-plate", "fork-heel", "fork-shank", "cushion-tyre", "tyre-line"})
"""What only ever wears: a reading the other way is doubtful unless the part was renewed, and its hours can be told."""

"""Everything that can be measured, by name."""

from __future__ import annotations

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

WORDS: Final = tuple(
    dict.fromkeys(text for one in MEASUREMENTS.values() for text in (one.text, *(asked.text for asked in one.inputs)))
)
"""What measurements and their values are called, to be said in other languages."""

WEARS: Final = frozenset({"chain", "chain-plate", "fork-heel", "fork-shank", "cushion-tyre", "tyre-line"})
"""What only ever wears: a reading the other way is doubtful unless the part was renewed, and its hours can be told."""

"""What the parts of a truck are called: the first word of the checks that are made of them."""

from __future__ import annotations

from typing import Final

from dipmark.facts.said import Word, says

PARTS: Final = tuple(map(says, (
    "card", "hours", "ground", "truck", "surroundings", "extinguisher", "forks", "carriage", "mast", "chain",
    "cylinders", "hoses", "guards", "backrest", "attachment", "tyres", "wheels", "steps", "counterweight", "tow pin",
    "hydraulic oil", "battery", "charger", "plate", "labels", "manual", "mirrors", "seat", "seat belt", "pedals",
    "brake fluid", "guard", "cab", "lamps", "lights", "beacon", "emergency", "horn", "alarm", "noise", "hour meter",
    "display", "presence", "wiper", "lift", "load", "chains", "tilt", "side shift", "hydraulics", "steering",
    "direction", "brake", "speed", "platform", "braking", "park", "handover", "charging", "radiator", "exhaust",
    "fuel", "cylinder", "lpg", "engine oil", "coolant", "transmission", "belts", "air cleaner", "wiring", "bonnet",
    "water trap", "oil pressure", "temperature", "engine", "starting", "inching", "clutch", "gas", "harness",
    "descent", "gates", "turret", "guidance", "lifting", "tiller", "reach", "quick coupler", "air tank", "camera",
    "frame", "stabilisers", "boom", "chart", "load moment", "coupler", "trailers", "other",
)))  # fmt: skip
"""Of every kind of truck that is known; the last of what belongs to no check."""


def part_named(part: str, word: Word = str) -> str:
    """A part as people call it; one of the yard's own stands as it was written.

    Args:
        part: the first word of its checks.
        word: says a word in the reader's language.

    Example:
        >>> part_named("air-cleaner")
        'air cleaner'
    """
    return word(part.replace("-", " "))

"""Which trucks stand in for one another: same kind, capacity, attachment, and height where it is noted."""

from __future__ import annotations

from typing import Final

from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.truck import PlateRead
from dipmark.rules.model import Kind

HANGS: Final = frozenset({"attachment", "side-shift"})
"""Options by which one truck does not stand in for another."""


def like_of(truck: TruckNow, kind: Kind | None) -> str:
    """What another truck must be to stand in for it; equal on trucks that do.

    Args:
        truck: as it stands.
        kind: its rules.

    Returns:
        Empty where nobody can say: a kind without rules, or no rated capacity.

    *Source*: common practice, no source.
    """
    if kind is None or truck.enrolled.capacity_kg is None:
        return ""
    hangs = sorted(HANGS & options_of(truck.counting, kind))
    plates = [one.body for one in truck.counting if isinstance(one.body, PlateRead)]
    heights = [value.value for plate in plates for value in plate.values if value.name == "lift-height"]
    height = f"{heights[-1].normalize():f}" if heights else ""
    return "|".join([kind.key, f"{truck.enrolled.capacity_kg.normalize():f}", *hangs, height])

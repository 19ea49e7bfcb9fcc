"""What moves between trucks and has a book of its own."""

from __future__ import annotations

from typing import Final

from dipmark.facts.said import says

ITEMS: Final[dict[str, str]] = {
    "fork-pair": says("pair of forks"),
    "attachment": says("attachment"),
    "lifting-hook": says("lifting hook"),
    "work-platform": says("work platform"),
    "wheel-set": says("set of wheels"),
    "traction-battery": says("traction battery"),
    "charger": says("charger"),
    "lpg-cylinder": says("gas cylinder"),
    "trailer": says("trailer"),
    "harness": says("harness"),
}
"""Every kind of item, and what it is called."""

ON_THE_PLATE: Final = frozenset({"attachment", "lifting-hook", "work-platform"})
"""What changes the capacity of a truck, so that a plate must name it. 29 CFR 1910.178(a)(4), (a)(5)."""

FOR_PEOPLE: Final = frozenset({"work-platform"})
"""What people are lifted in."""

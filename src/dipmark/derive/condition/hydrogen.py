"""Hydrogen where lead-acid batteries are charged: how much air, how large an opening, how large a room."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from dipmark.derive.judging import MISSING, Given, Input, Judged, Measurement
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

NEEDS: Final = says(
    "{} cells, {} A that make gas: {} m3/h of air, openings of {} cm2 in and out, or a fan; a room of at least {} m3."
)

CHARGERS: Final = ("iu", "iui", "w")


def air(cells: Fraction, current: Fraction) -> Fraction:
    """The air that keeps hydrogen below what can burn, m³/h.

    Args:
        cells: in series.
        current: that makes gas at the end of the charge, in all, A.

    *Source*: EN 62485-3: Q = v q s n I, with dilution v 24, q 0.42 l/Ah of hydrogen and safety s 5: 0.05 n I (seen in
    a maker's page).

    Example:
        >>> air(Fraction(24), Fraction(30))
        Fraction(36, 1)
    """
    return Fraction("0.05") * cells * current


def judge_hydrogen(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The air, the opening and the room that a charging place needs; there is no limit to hold them against.

    Args:
        given: ``cells``, and ``total-current``, or ``capacity`` with ``charger``.
        subject: currents by kind of charger.

    *Edge*: where the total current is given, it counts, not the kind of charger.

    *Source*: EN 62485-3: opening 28 cm² for each m³/h, room 2.5 m³ for each (seen in a maker's page).
    """
    cells, capacity, total = given.one("cells").value, given.maybe("capacity"), given.maybe("total-current")
    charger = given.words.get("charger")
    if total is not None:
        current = total.in_("A")
    elif capacity is not None and charger is not None:
        current = subject.rows["chargers"].column(f"{charger} A")[0] * capacity.in_("Ah") / 100
    else:
        expected, hint = "total-current, or capacity and charger", "Read the charger's plate."
        return (Problem(MISSING, "no current", expected, hint, Where(column="total-current")),)
    needed = air(cells, current)
    opening, room = plain(28 * needed, 1), plain(Fraction("2.5") * needed, 1)
    return Judged(
        subject="hydrogen",
        value=plain(needed),
        unit="m3/h",
        verdict=None,
        source=subject.rows["chargers"].source,
        because=subject.say(NEEDS, plain(cells), plain(current), plain(needed, 1), opening, room),
        more={"opening": opening, "room": room, "gassing": plain(current)},
    )


MEASUREMENTS: Final = (
    Measurement(
        name="hydrogen",
        subject="hydrogen",
        text="Charging place: air against hydrogen",
        judge=judge_hydrogen,
        of="item",
        inputs=(
            Input("cells", "cells in series", "count", "count", least="1 count", most="1000 count"),
            Input("capacity", "capacity of the battery", "charge", "Ah", needed=False, over="0 Ah", most="10000 Ah"),
            Input("total-current", "current that makes gas, in all", "current", "A", needed=False, over="0 A"),
            Input("charger", "kind of charger: iu, iui or w", words=CHARGERS, needed=False),
        ),
    ),
)

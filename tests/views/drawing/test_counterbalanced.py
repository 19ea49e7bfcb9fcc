"""Five counterbalanced trucks: one family, each with the mark of what drives it."""

from __future__ import annotations

from typing import Final

import pytest

from dipmark.views.drawing.shapes import Role, bounds
from views.drawing.rounds import drawn, is_one_truck, of

TELLTALES: Final[dict[str, set[Role]]] = {
    "electric-counterbalanced": {"battery"},
    "engine-cushion": {"exhaust"},
    "engine-pneumatic-petrol": {"exhaust"},
    "engine-pneumatic-lpg": {"gas"},
    "engine-pneumatic-diesel": {"exhaust"},
}


@pytest.mark.parametrize("kind", TELLTALES)
def test_it_has_mast_forks_guard_seat_and_counterweight(kind: str) -> None:
    is_one_truck(of(kind))
    shared: set[Role] = {"mast", "fork", "seat", "weight", "tyre", "wheel"}
    assert {stroke.role for stroke in of(kind).side} >= {*shared, "guard", "chain"}
    assert {stroke.role for stroke in of(kind).plan} >= {*shared, "roof"}


@pytest.mark.parametrize(("kind", "roles"), TELLTALES.items())
def test_what_drives_it_is_seen_from_both_views_and_nothing_else_is(kind: str, roles: set[Role]) -> None:
    all_powers: tuple[Role, ...] = ("battery", "gas", "exhaust")
    assert {role for role in all_powers if drawn(of(kind).side, role)} == roles
    assert {role for role in all_powers if drawn(of(kind).plan, role)} == roles


def test_the_gas_cylinder_lies_on_the_counterweight_behind_the_guard() -> None:
    side = of("engine-pneumatic-lpg").side
    cylinder, weight, guard = (bounds(drawn(side, role)) for role in ("gas", "weight", "guard"))
    assert cylinder[1] >= weight[3]
    assert guard[2] < cylinder[0]
    assert cylinder[2] <= weight[2]


def test_the_diesel_pipe_goes_above_the_roof_and_the_petrol_pipe_stays_low() -> None:
    diesel, petrol = of("engine-pneumatic-diesel").side, of("engine-pneumatic-petrol").side
    assert bounds(drawn(diesel, "exhaust"))[3] > bounds(drawn(diesel, "guard"))[3]
    assert bounds(drawn(petrol, "exhaust"))[3] < bounds(drawn(petrol, "seat"))[1]


def test_solid_tyres_are_thinner_than_those_with_air() -> None:
    def share(kind: str) -> float:
        tyre, rim = (bounds(drawn(of(kind).side, role))[1] for role in ("tyre", "rim"))
        return rim - tyre

    assert share("engine-cushion") < share("engine-pneumatic-lpg")


@pytest.mark.parametrize("kind", TELLTALES)
def test_the_engine_or_the_battery_is_looked_at_never_both(kind: str) -> None:
    electric = kind == "electric-counterbalanced"
    assert ("battery" in of(kind).spots) == electric
    assert ("engine-bay" in of(kind).spots) == (not electric)

"""The reach truck has legs ahead of its mast and forks that stand out between them."""

from __future__ import annotations

from dipmark.views.drawing.shapes import bounds
from views.drawing.rounds import drawn, is_one_truck, of


def test_it_is_a_reach_truck() -> None:
    outline = of("reach")
    is_one_truck(outline)
    legs, forks, mast = (bounds(drawn(outline.plan, role)) for role in ("leg", "fork", "mast"))
    assert forks[0] < legs[0] < mast[0]
    assert legs[1] < forks[1]
    assert forks[3] < legs[3]
    assert not drawn(outline.side, "weight")
    assert drawn(outline.side, "battery")
    assert bounds(drawn(outline.side, "mast"))[3] > bounds(drawn(outline.side, "guard"))[3]

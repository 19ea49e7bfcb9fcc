"""The telescopic truck has a boom instead of a mast, a cab beside it and stabilisers before its wheels."""

from __future__ import annotations

from dipmark.views.drawing.shapes import bounds
from views.drawing.rounds import drawn, is_one_truck, of


def test_it_is_a_telescopic_truck() -> None:
    outline = of("telescopic")
    is_one_truck(outline)
    boom, legs, tyres = (bounds(drawn(outline.side, role)) for role in ("boom", "leg", "tyre"))
    assert boom[2] - boom[0] > 400
    assert legs[1] == 0
    assert legs[0] < tyres[0]
    assert drawn(outline.side, "glass")
    assert bounds(drawn(outline.plan, "seat"))[1] > bounds(drawn(outline.plan, "boom"))[3]
    assert len(drawn(outline.plan, "leg")) == 4

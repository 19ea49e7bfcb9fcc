"""The rough-terrain truck stands high on lugged tyres that are wider apart than its body."""

from __future__ import annotations

from dipmark.views.drawing.shapes import bounds
from views.drawing.rounds import drawn, is_one_truck, of


def test_it_is_a_rough_terrain_truck() -> None:
    outline = of("rough-terrain")
    is_one_truck(outline)
    tyres, body = (bounds(drawn(outline.plan, role)) for role in ("tyre", "body"))
    assert tyres[1] < body[1]
    assert body[3] < tyres[3]
    assert bounds(drawn(outline.side, "body"))[1] > 40
    assert len(drawn(outline.side, "rim")) > 20
    assert drawn(outline.side, "mast")

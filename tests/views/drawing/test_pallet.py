"""The pallet truck has low forks, a tiller and nobody on it."""

from __future__ import annotations

from dipmark.views.drawing.shapes import bounds
from views.drawing.rounds import drawn, is_one_truck, of


def test_it_is_a_pallet_truck() -> None:
    outline = of("pallet")
    is_one_truck(outline)
    tiller, body = (bounds(drawn(outline.side, role)) for role in ("tiller", "body"))
    assert tiller[2] > body[2]
    assert tiller[3] > body[3]
    for role in ("mast", "guard", "seat"):
        assert not drawn(outline.side, role)
    assert drawn(outline.plan, "tiller")
    assert len(drawn(outline.plan, "fork")) == 2

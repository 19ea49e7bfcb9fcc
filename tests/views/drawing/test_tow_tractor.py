"""The tow tractor has a seat and a coupler, and neither mast nor forks."""

from __future__ import annotations

from dipmark.views.drawing.shapes import bounds
from views.drawing.rounds import drawn, is_one_truck, of


def test_it_is_a_tow_tractor() -> None:
    outline = of("tow-tractor")
    is_one_truck(outline)
    for view in (outline.side, outline.plan):
        assert bounds(drawn(view, "coupler"))[2] > bounds(drawn(view, "tyre"))[2]
        assert drawn(view, "seat")
        assert not drawn(view, "mast") + drawn(view, "fork")

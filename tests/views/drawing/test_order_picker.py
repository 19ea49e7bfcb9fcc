"""The order picker lifts its driver: platform, rail and roof go up with the forks."""

from __future__ import annotations

from dipmark.views.drawing.order_picker import UP
from dipmark.views.drawing.shapes import bounds
from views.drawing.rounds import drawn, is_one_truck, of


def test_it_is_an_order_picker() -> None:
    outline = of("order-picker")
    is_one_truck(outline)
    rail, roof, battery = (bounds(drawn(outline.side, role)) for role in ("rail", "guard", "battery"))
    assert rail[1] >= UP
    assert roof[3] > UP + 200
    assert rail[2] < battery[0]
    assert not drawn(outline.side, "seat")

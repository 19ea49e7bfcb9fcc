"""Every kind of truck with its outline."""

from __future__ import annotations

from typing import Final

from dipmark.views.drawing import counterbalanced, order_picker, pallet, reach, rough_terrain, telescopic, tow_tractor
from dipmark.views.drawing.counterbalanced import Lengths
from dipmark.views.drawing.shapes import Outline

OUTLINES: Final[dict[str, Outline]] = {
    "electric-counterbalanced": counterbalanced.outline(
        Lengths(power="battery", rear=214, width=108, axles=(32, 178), radii=(28, 23), rim=0.6, deck=96, roof=208)
    ),
    "reach": reach.outline(),
    "order-picker": order_picker.outline(),
    "pallet": pallet.outline(),
    "engine-cushion": counterbalanced.outline(
        Lengths(power="engine", rear=216, width=106, axles=(32, 182), radii=(26, 21), rim=0.72, deck=92, roof=206)
    ),
    "engine-pneumatic-petrol": counterbalanced.outline(Lengths(power="petrol", rear=240)),
    "engine-pneumatic-lpg": counterbalanced.outline(Lengths(power="lpg", rear=244)),
    "engine-pneumatic-diesel": counterbalanced.outline(
        Lengths(power="diesel", rear=254, width=126, axles=(40, 208), radii=(38, 30), deck=104, roof=218)
    ),
    "tow-tractor": tow_tractor.outline(),
    "rough-terrain": rough_terrain.outline(),
    "telescopic": telescopic.outline(),
}
"""By key of kind; all lengths are invented."""

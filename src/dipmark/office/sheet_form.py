"""A page as it was printed, told to whoever reads it back from a picture."""

from __future__ import annotations

from itertools import groupby

from dipmark.adapters.vision import form
from dipmark.adapters.vision.form import Form
from dipmark.views import sheet_geometry
from dipmark.views.sheet_geometry import Page, ticks


def form_of(page: Page) -> Form:
    """The page as a form: its boxes in the order of `ticks`, then a row of rings for each digit."""
    found = tuple(ticks(page))
    rings = (one for one in found if one.what == "digit")
    upper_left, upper_right, lower_right, lower_left = map(_area, page.corners)
    return Form(
        width=page.width,
        height=page.height,
        corners=(upper_left, upper_right, lower_right, lower_left),
        code=_area(page.code),
        boxes=tuple(_area(one.area) for one in found if one.what != "digit"),
        digits=tuple(
            tuple(_area(one.area) for one in digit) for _, digit in groupby(rings, lambda one: (one.shift, one.at))
        ),
    )


def _area(area: sheet_geometry.Area) -> form.Area:
    return form.Area(area.x, area.y, area.w, area.h)

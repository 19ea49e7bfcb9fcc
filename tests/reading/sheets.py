"""Week sheets as they come out of the printer: one picture a page, 300 dots to the inch, and what is printed where."""

from __future__ import annotations

from functools import cache
from typing import Final, NamedTuple

import msgspec
import numpy as np
import pypdfium2

from dipmark.adapters.vision.form import Form
from dipmark.adapters.vision.pictures import Grey
from dipmark.faces.paper import press
from dipmark.office.sheet_form import form_of
from dipmark.rules.model import Rules
from dipmark.views.paper import truck_head
from dipmark.views.sheet_geometry import Page, Paper, Tick, ticks
from dipmark.views.week_sheet import WeekSheet, shifts_of_week, week_sheet
from faces.paper.trucks import CODE, NOW, SHIFTS, YARD, ZONE, truck_of

DOTS: Final = 300

LAYOUTS: Final[tuple[tuple[str, str, Paper, int], ...]] = (
    ("en", "engine-pneumatic-lpg", "a4", 2),
    ("es", "reach", "letter", 3),
    ("en-US", "electric-counterbalanced", "letter", 1),
    ("en", "telescopic", "a4", 3),
    ("es", "pallet", "a4", 2),
)
"""Language, kind of truck, paper, shifts a day."""


class Sheet(NamedTuple):
    """A page before anybody wrote on it."""

    layout: Page
    form: Form
    marks: tuple[Tick, ...]
    code: str
    clean: Grey


@cache
def printed(layout: int) -> tuple[Sheet, ...]:
    """The pages of one of the layouts."""
    language, key, paper, shifts = LAYOUTS[layout]
    now, rules, kind, _ = truck_of(language, key)
    yard = msgspec.structs.replace(YARD, shifts=SHIFTS[:shifts])
    head = truck_head(now, CODE, yard.name, rules, NOW, ZONE)
    week = week_sheet(now, kind, rules, head, paper, shifts_of_week(yard, NOW.date()))
    return pictured(week, rules, paper)


def pictured(week: WeekSheet, rules: Rules, paper: Paper) -> tuple[Sheet, ...]:
    """The pages of a sheet, set and drawn."""
    document = pypdfium2.PdfDocument(press.press([week], rules, paper, NOW))
    drawn = [page.render(scale=DOTS / 72, grayscale=True).to_numpy() for page in document]
    document.close()
    return tuple(
        Sheet(page.layout, form_of(page.layout), tuple(ticks(page.layout)), page.code, np.array(clean))
        for page, clean in zip(week.pages, drawn, strict=True)
    )

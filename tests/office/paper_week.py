"""A week sheet printed, ticked by hand and photographed."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

import numpy as np

from dipmark.office.open import Office
from dipmark.office.print_sheets import Asked, sheets
from dipmark.views.week_sheet import WeekSheet
from office.taking import NOW
from reading.damage import Damage, photograph
from reading.filling import ticked
from reading.sheets import Sheet, pictured

MILD = Damage(
    slant=12, turn=188, dots=200, blur=0.4, shake=0, shade=0, uneven=0.15, folds=1, curl=0, noise=2, quality=75
)
"""Upside down, from a slant, folded: as it comes."""

STRAIGHT = Damage(
    slant=0, turn=0, dots=200, blur=0.3, shake=0, shade=0, uneven=0.05, folds=0, curl=0, noise=2, quality=85
)
"""As from a scanner."""


def week_of(office: Office, truck: str = "7", as_of: datetime = NOW) -> tuple[WeekSheet, tuple[Sheet, ...]]:
    """The sheet of a week, and its pages."""
    (week,) = sheets(office, Asked(sheet="week", as_of=as_of, trucks=(truck,)))
    assert isinstance(week, WeekSheet)
    return week, pictured(week, office.rules, "a4")


def photos(
    pages: Collection[Sheet],
    good: Collection[tuple[int, int]],
    fault: Collection[tuple[int, int]] = (),
    hours: str = "",
    damage: Damage = MILD,
) -> list[tuple[str, bytes]]:
    """Each page ticked and photographed, by the name of its file."""
    rng = np.random.default_rng(5)
    return [
        (f"page-{number}.jpg", photograph(ticked(page, good, fault, hours), damage, rng))
        for number, page in enumerate(pages, 1)
    ]


def column(week: WeekSheet, shift: int, *left_out: str) -> list[tuple[int, int]]:
    """Every line of a shift that is a check and is not left out."""
    lines = week.printed.lines
    return [(shift, at) for at, line in enumerate(lines) if line not in (*left_out, *week.printed.faults)]

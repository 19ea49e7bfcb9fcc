"""What printed sheets are called; known without loading what they are made of."""

from __future__ import annotations

from typing import Final, Literal, get_args

Sheet = Literal[
    "week",
    "shift",
    "card",
    "out",
    "service",
    "due",
    "file",
    "labels",
    "release",
    "lessons",
    "workshop",
    "parts",
    "job",
    "day",
    "items",
]

SHEETS: Final[tuple[Sheet, ...]] = get_args(Sheet)

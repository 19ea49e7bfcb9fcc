"""The fortnight and the stores on paper."""

from __future__ import annotations

import msgspec

from dipmark.views.paper import Head
from dipmark.views.parts import PartsPage
from dipmark.views.workshop import PlanPage


class WorkshopSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The published plan: the fortnight, and a page for each mechanic.

    Args:
        head: of its pages.
        page: the plan.
        parts: the stores, for the kits.
    """

    head: Head
    page: PlanPage
    parts: PartsPage


class PartsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """What to order, the kits to lay out, and the shelf to be counted.

    Args:
        head: of its pages.
        page: the stores.
    """

    head: Head
    page: PartsPage

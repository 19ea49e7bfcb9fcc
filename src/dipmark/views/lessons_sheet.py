"""What keeps breaking, on paper: once a year, to be talked over and kept; nobody is named."""

from __future__ import annotations

import msgspec

from dipmark.views.lessons import LessonsPage, Section
from dipmark.views.paper import Head


class LessonsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The lessons of a yard on paper.

    Args:
        head: of its pages.
        advice: plain sentences, the surest first.
        method: how often it may be wrong.
        sections: the figures behind it.
        note: what signs of careless sheets are, and are not; or why nothing of them is shown.
        yard: how often each sign is seen in the whole yard.
        posted: what is looked at, for everybody to know.
        unheard: trucks without hours, of which nothing can be learnt.
        caution: who decides.
    """

    head: Head
    advice: tuple[str, ...]
    method: str
    sections: tuple[Section, ...]
    note: str
    yard: tuple[str, ...]
    posted: tuple[str, ...]
    unheard: tuple[str, ...]
    caution: str


def lessons_sheet(page: LessonsPage, head: Head) -> LessonsSheet:
    """The lessons of a yard with the head of their pages; signs of any single person are left out.

    Args:
        page: of the whole yard.
        head: of its pages.
    """
    return LessonsSheet(
        head=head,
        advice=page.advice,
        method=page.method,
        sections=page.sections,
        note=page.signs.note,
        yard=page.signs.yard,
        posted=page.signs.posted,
        unheard=page.unheard,
        caution=page.caution,
    )

"""How far before and after its mark a task may be done."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from dipmark.rules.value import Value

HUNDRED: Final = Decimal(100)


class Window(Value, frozen=True, kw_only=True):
    """How far before and after its mark a task may be done.

    Args:
        early_percent: of the interval, 0 to 50.
        late_percent: of the interval, 0 to 50.
        late_most_hours: the late part is never longer than this, hours; None: no further bound.

    *Edge*: both edges belong to the window: done exactly at `late_hours` after the mark is still in time.
    """

    early_percent: Decimal
    late_percent: Decimal
    late_most_hours: Decimal | None = None

    def early_hours(self, interval: Decimal) -> Decimal:
        """Hours before the mark from which the task may be done.

        Example:
            >>> oil = Window(early_percent=Decimal(10), late_percent=Decimal(10), source="cp", mark="common practice")
            >>> oil.early_hours(Decimal(150))
            Decimal('15')
        """
        return interval * self.early_percent / HUNDRED

    def late_hours(self, interval: Decimal) -> Decimal:
        """Hours after the mark up to and including which the task is still in time.

        *Source*: project rule, common practice: 10 %, at most 25 h, for oil and grease; 0 where safety hangs on it.
        """
        late = interval * self.late_percent / HUNDRED
        return late if self.late_most_hours is None else min(late, self.late_most_hours)

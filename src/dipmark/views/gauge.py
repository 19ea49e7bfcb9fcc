"""The dip gauge: a thin stick, two marks, a filled length. It shows what is left and empties towards the limit."""

from __future__ import annotations

from decimal import Decimal

import msgspec


class Gauge(msgspec.Struct, frozen=True):
    """What is left of something.

    Args:
        what: of what.
        empty: the value at the empty mark: nothing left.
        full: the value at the full mark.
        value: what it reads; None where nobody knows.
        doubt: half the width of what is uncertain, in `unit`.
        unit: unit of all four.
        word: stands beside a gauge that is outside its marks or not known.
    """

    what: str
    empty: Decimal
    full: Decimal
    value: Decimal | None
    doubt: Decimal = Decimal(0)
    unit: str = "h"
    word: str = ""

    @property
    def left(self) -> Decimal | None:
        """The distance to the empty mark, in `unit`; negative past it."""
        if self.value is None:
            return None
        return self.value - self.empty if self.full >= self.empty else self.empty - self.value

    @property
    def outside(self) -> bool:
        """True where the value lies past a mark; exactly at the empty mark nothing is left, and it is outside."""
        return self.left is not None and not 0 < self.left <= abs(self.full - self.empty)

    def cells(self, width: int) -> tuple[int, int, int]:
        """Cells of a stick of so many that are filled, in doubt, and empty.

        Example:
            >>> Gauge("150h", Decimal(0), Decimal(150), Decimal(75), Decimal(15)).cells(10)
            (4, 2, 4)
        """
        span = abs(self.full - self.empty)
        if self.left is None or span == 0:
            return 0, 0, width
        low = _cell(self.left - self.doubt, span, width)
        high = _cell(self.left + self.doubt, span, width)
        return low, high - low, width - high


def _cell(left: Decimal, span: Decimal, width: int) -> int:
    return min(width, max(0, int(left * width / span)))

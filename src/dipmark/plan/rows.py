"""A mixed-integer model as it is put together: columns with their costs, rows with their bounds."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf

import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int32]


class Arrays(msgspec.Struct, frozen=True, eq=False):
    """A model as a solver takes it: rows one after another, each from `start` up to the next in `column` and `value`.

    Args:
        cost: of each column.
        lower: bound of each column.
        upper: bound of each column.
        integer: which columns must be whole.
        row_lower: bound of each row.
        row_upper: bound of each row.
        start: where each row begins; one more at the end.
        column: of each entry.
        value: of each entry.
    """

    cost: Floats
    lower: Floats
    upper: Floats
    integer: NDArray[np.bool_]
    row_lower: Floats
    row_upper: Floats
    start: Whole
    column: Whole
    value: Floats


class Rows:
    """Columns from nought up, and rows over them."""

    def __init__(self) -> None:
        self._columns: list[tuple[int, float, bool]] = []
        self._rows: list[tuple[float, float]] = []
        self._start: list[int] = [0]
        self._column: list[int] = []
        self._value: list[int] = []

    def yes_or_no(self, cost: int) -> int:
        """A column that is 0 or 1; returns its number."""
        self._columns.append((cost, 1.0, True))
        return len(self._columns) - 1

    def amount(self, cost: int, most: float) -> int:
        """A column from 0 to some most; returns its number."""
        self._columns.append((cost, most, False))
        return len(self._columns) - 1

    def row(self, entries: Iterable[tuple[int, int]], least: float = -inf, most: float = inf) -> None:
        """A row: columns with what each counts, and between what their sum has to lie; each column once."""
        for column, value in entries:
            self._column.append(column)
            self._value.append(value)
        self._start.append(len(self._column))
        self._rows.append((least, most))

    def arrays(self) -> Arrays:
        """The model as it stands."""
        return Arrays(
            np.array([cost for cost, _, _ in self._columns], np.float64),
            np.zeros(len(self._columns)),
            np.array([most for _, most, _ in self._columns], np.float64),
            np.array([whole for _, _, whole in self._columns], np.bool_),
            np.array([least for least, _ in self._rows], np.float64),
            np.array([most for _, most in self._rows], np.float64),
            np.array(self._start, np.int32),
            np.array(self._column, np.int32),
            np.array(self._value, np.float64),
        )

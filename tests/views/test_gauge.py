"""The gauge shows what is left and empties towards the limit."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.views.gauge import Gauge

D = Decimal


def gauge(value: str | None, *, empty: str = "0", full: str = "150", doubt: str = "0") -> Gauge:
    return Gauge("150h", D(empty), D(full), None if value is None else D(value), D(doubt))


def test_left_is_the_distance_to_the_empty_mark_whichever_way_it_runs() -> None:
    assert gauge("40").left == 40
    assert gauge("38.0", empty="36.0", full="40.0").left == D("2.0")
    assert gauge("1.4", empty="3", full="0").left == D("1.6")
    assert gauge(None).left is None


@pytest.mark.parametrize(
    ("value", "outside"),
    [("0.1", False), ("0", True), ("-0.1", True), ("150", False), ("150.1", True), (None, False)],
)
def test_at_the_empty_mark_nothing_is_left(value: str | None, outside: bool) -> None:
    assert gauge(value).outside is outside


@pytest.mark.parametrize(
    ("value", "doubt", "cells"),
    [
        ("150", "0", (10, 0, 0)),
        ("75", "15", (4, 2, 4)),
        ("5", "30", (0, 2, 8)),
        ("-20", "0", (0, 0, 10)),
        ("400", "0", (10, 0, 0)),
        (None, "0", (0, 0, 10)),
    ],
)
def test_cells_fill_the_stick(value: str | None, doubt: str, cells: tuple[int, int, int]) -> None:
    assert gauge(value, doubt=doubt).cells(10) == cells


def test_a_stick_of_no_length_is_empty() -> None:
    assert gauge("5", empty="3", full="3").cells(10) == (0, 0, 10)

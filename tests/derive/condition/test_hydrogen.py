"""Hydrogen: what it needs to know, what it says, what is refused."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.hydrogen import MEASUREMENTS

(HYDROGEN,) = MEASUREMENTS


def test_there_is_no_limit_to_hold_it_against() -> None:
    found = gauge(HYDROGEN, cells="24", total_current="30A")
    assert (found.value, found.unit, found.verdict, found.limit) == (Decimal(36), "m3/h", None, None)
    assert found.source == "charge-room"
    assert "36 m3/h" in found.because


def test_the_current_in_all_counts_before_the_kind_of_charger() -> None:
    said = {"cells": "12", "capacity": "400Ah", "charger": "W"}
    assert gauge(HYDROGEN, **said).more["gassing"] == 28
    assert gauge(HYDROGEN, **said, total_current="10A").more["gassing"] == 10


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ({"cells": "24"}, [("measure-missing", "total-current")]),
        ({"cells": "24", "capacity": "500Ah"}, [("measure-missing", "total-current")]),
        ({"cells": "24", "charger": "iu"}, [("measure-missing", "total-current")]),
        ({"cells": "0", "capacity": "500 V", "charger": "ui"}, [
            ("measure-nonsense", "cells"), ("quantity-unit", "capacity"), ("measure-word", "charger"),
        ]),
        ({"total_current": "-30A"}, [("measure-missing", "cells"), ("measure-nonsense", "total-current")]),
    ],
)  # fmt: skip
def test_nonsense_says_what_to_do(said: dict[str, str], found: list[tuple[str, str]]) -> None:
    assert refused(HYDROGEN, **said) == found

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.facts.codec import encode_body
from dipmark.facts.work import PartUsed, Worked
from facts.bodies import FACT, PICTURE, READING, held, refused

WORKED = {
    "kind": "worked",
    "services": ["150h"],
    "tasks": ["oil.change"],
    "left_out": ["belt.look"],
    "mends": [f"{FACT}#horn", f"{FACT}#2"],
    "text": "done",
    "meter": READING,
    "parts": [{"part": "oil-filter", "quantity": "2", "serial": "7", "unit": "piece"}, {"part": "gasket"}],
    "values": [{"quantity": "oil-level", "unit": "%", "value": "90"}],
    "tests": [{"passed": False, "test": "brake-test", "text": "pulls left"}],
    "minutes": 0,
    "cost": {"amount": "120.00", "currency": "EUR"},
    "firm": "outside",
    "document": FACT,
    "pictures": [PICTURE],
}


def test_worked() -> None:
    held(WORKED)


@pytest.mark.parametrize(
    "change",
    [
        {"minutes": -1},
        {"minutes": 10**9},
        {"minutes": 10**30},
        {"minutes": 1.5},
        {"cost": {"amount": "120.00"}},
        {"tests": [{"test": "brake-test"}]},
        {"parts": [{"quantity": "1"}]},
        {"services": "150h"},
        {"services": [150]},
    ],
)
def test_unfit_work_is_refused(change: dict[str, object]) -> None:
    assert next(iter(change)) in refused({**WORKED, **change})


def test_one_part_is_left_unsaid_and_one_point_nought_is_not() -> None:
    said = [encode_body(Worked(parts=(PartUsed(part="v-belt", quantity=Decimal(text)),))) for text in ("1", "1.0")]
    assert said == [
        b'{"kind":"worked","parts":[{"part":"v-belt"}]}',
        b'{"kind":"worked","parts":[{"part":"v-belt","quantity":"1.0"}]}',
    ]


def test_the_personal_lock() -> None:
    held({"kind": "work-begun", "text": "mast", "place": "bay 2"})
    held({"kind": "work-ended", "begun": FACT, "left": "not-clear", "owners_exception": "man in hospital"})
    assert "left" in refused({"kind": "work-ended", "begun": FACT, "left": "tidy"})

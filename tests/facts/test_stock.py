from __future__ import annotations

from facts.bodies import FACT, held, refused


def test_stock() -> None:
    full = {
        "kind": "stock",
        "part": "oil-filter",
        "what": "issued",
        "quantity": "2",
        "unit": "piece",
        "place": "shelf 3",
        "price": {"amount": "9.80", "currency": "EUR"},
        "use_by": "2030-01-31",
        "expected": "2026-12-01",
        "work": FACT,
        "note": "for truck 7",
    }
    held(full)
    assert "what" in refused({**full, "what": "lent"})


def test_part_set() -> None:
    full = {
        "kind": "part-set",
        "part": "oil-filter",
        "lead_days": 5,
        "lead_most": 9,
        "pack": "6",
        "unit": "piece",
        "shelf_days": 900,
        "level": 95,
        "supplier": "Parts Counter",
    }
    held(full)
    assert "level" in refused({**full, "level": 100})

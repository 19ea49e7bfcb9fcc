from __future__ import annotations

from facts.bodies import held, refused


def test_workshop_set() -> None:
    money = {"amount": "40", "currency": "EUR"}
    full = {
        "kind": "workshop-set",
        "minutes": 360,
        "overtime": 60,
        "set_up": 15,
        "bays": [{"kind": "pit", "count": 2}],
        "asks": [{"of": "900h", "bay": "pit", "skill": "gas", "permit": "reach"}],
        "wanted": [{"what": "reach", "trucks": 3, "capacity_kg": "1600", "shift": "early"}],
        "firms": [{"firm": "Outside", "work": ["thorough-examination"], "days": [2, 4], "minutes": 300}],
        "hour": money,
        "extra": money,
        "level": 95,
    }
    held(full)
    assert "count" in refused({**full, "bays": [{"kind": "pit", "count": -1}]})


def test_away() -> None:
    held({"kind": "away", "person": "p-1", "first": "2026-12-01", "last": "2026-12-02", "why": "leave"})


def test_planned() -> None:
    visit = {
        "truck": "truck:7",
        "jobs": ["150h"],
        "day": "2026-12-01",
        "shift": "early",
        "person": "p-1",
        "firm": "Outside",
    }
    full = {"kind": "planned", "first": "2026-12-01", "days": 14, "visits": [visit], "note": "short week"}
    held(full)
    assert "days" in refused({**full, "days": 0})

from __future__ import annotations

import pytest

from dipmark.facts.truck import Enrolled, Meter
from facts.bodies import held, read, refused

ENROLLED = {
    "kind": "enrolled",
    "what": "engine-pneumatic-lpg",
    "commissioned": "2019-03-04",
    "start_hours": "12.0",
    "meters": [{"counts": "engine", "digits": 5, "name": "engine"}, {"name": "lift"}],
    "options": ["seat-belt"],
    "uses": ["harsh"],
    "fuel": "lpg",
    "tyres": "solid",
    "serial": "000123",
    "built": 2018,
    "capacity_kg": "2500",
    "place": "dock",
    "note": "null",
}


def test_enrolled() -> None:
    held(ENROLLED)


def test_a_truck_without_more_said_has_what_its_kind_has() -> None:
    assert read({"kind": "enrolled", "what": "reach"}) == Enrolled(what="reach")
    assert Meter().name == "main"


@pytest.mark.parametrize(
    "change",
    [
        {"meters": [{"counts": "tow"}]},
        {"meters": [{"digits": -1}]},
        {"meters": [{"digits": 10**9}]},
        {"meters": {"name": "main"}},
        {"commissioned": "04.03.2019"},
        {"commissioned": "2019-02-29"},
        {"built": "2018"},
        {"built": True},
        {"what": ""},
        {"what": "x" * 121},
        {"note": "x" * 4001},
        {"start_hours": "12,0"},
    ],
)
def test_unfit_enrolments_are_refused(change: dict[str, object]) -> None:
    assert next(iter(change)) in refused({**ENROLLED, **change})


def test_plate_read() -> None:
    full = {
        "kind": "plate-read",
        "values": [{"name": "grease-fittings.rear-wheel-left", "source": "counted", "unit": "count", "value": "2"}],
        "texts": [{"name": "type-mark", "source": "manual", "text": "LP"}],
        "fitted": ["side-shift"],
    }
    held(full)
    assert "source" in refused({**full, "values": [{"name": "oil", "source": "heard", "value": "4.5"}]})


def test_retired() -> None:
    held({"kind": "retired", "how": "scrapped", "note": "gas purged"})
    assert "how" in refused({"kind": "retired", "how": "forgotten"})

from __future__ import annotations

import pytest

from facts.bodies import held, read, refused

SHIFT = {"days": [1, 2, 7], "end": "06:00:00", "name": "night", "start": "22:00:00", "telephone": "417"}


def test_yard_set() -> None:
    full = {
        "kind": "yard-set",
        "zone": "Europe/Madrid",
        "country": "ES",
        "units": "metric",
        "languages": ["es", "en-GB"],
        "name": "The yard",
        "telephone": "+34 910 000 000",
    }
    held(full)
    read({**full, "country": "CA-ON", "languages": []})


@pytest.mark.parametrize("country", ["es", "ESP", "E", "CA-", "CA-ONTA", "ES\n", ""])
def test_a_country_is_a_code(country: str) -> None:
    assert "country" in refused({"kind": "yard-set", "country": country})


@pytest.mark.parametrize("number", ["", "12", "112", "+34 910 000 000", "1 2 3 4 5 6 7 8 9 0 1 2 3 4 5"])
def test_a_telephone_is_what_is_dialled(number: str) -> None:
    read({"kind": "yard-set", "telephone": number})


@pytest.mark.parametrize(
    "number",
    ["1", "+", " 12", "12 ", "1  2", "12-34", "+44 (0)20", "*#06#", "12;ext=1", "1234567890123456", "12\n", "٣٤٥"],
)
def test_anything_else_is_no_telephone(number: str) -> None:
    assert "telephone" in refused({"kind": "yard-set", "telephone": number})


def test_shift_pattern() -> None:
    full = {"kind": "shift-pattern", "shifts": [SHIFT], "closed": ["2026-12-25"]}
    held(full)


@pytest.mark.parametrize(
    "change", [{"days": [0]}, {"days": [8]}, {"start": "22:00:00+01:00"}, {"start": "24:00:00"}, {"end": "22"}]
)
def test_a_shift_has_weekdays_and_the_yards_own_clock(change: dict[str, object]) -> None:
    assert f"shifts[0].{next(iter(change))}" in refused({"kind": "shift-pattern", "shifts": [{**SHIFT, **change}]})


def test_person_set() -> None:
    full = {
        "kind": "person-set",
        "person": "bo",
        "roles": ["outside-mechanic"],
        "firm": "outside",
        "gone": True,
        "skills": ["mast"],
        "shifts": ["night"],
        "books": ["truck:7"],
    }
    held(full)
    assert "roles" in refused({**full, "roles": ["boss"]})


def test_permit() -> None:
    held(
        {
            "kind": "permit",
            "person": "ana",
            "what": "reach",
            "trained": "2025-01-10",
            "evaluated": "2025-01-12",
            "by": "bo",
            "until": "2028-01-11",
            "ends": "2026-11-20T06:00:00+01:00",
            "trainee_under": "bo",
            "certificate": "agency card 4711 of 2025-01-12",
            "withdrawn": "gone to another yard",
        }
    )
    assert "ends" in refused({"kind": "permit", "person": "ana", "what": "reach", "ends": "2026-11-20T06:00:00"})


def test_familiarised() -> None:
    held({"kind": "familiarised", "person": "ana", "truck": "truck:7", "led_by": "bo"})

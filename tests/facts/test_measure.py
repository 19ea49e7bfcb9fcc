from __future__ import annotations

from decimal import Decimal

from dipmark.facts.measure import Chosen, Measured
from facts.bodies import FACT, PICTURE, READING, held, read, refused

VALUE = {"place": "left", "quantity": "chain-length", "unit": "mm", "value": "313.94"}


def test_measured() -> None:
    full = {
        "kind": "measured",
        "subject": "chain",
        "values": [VALUE],
        "conditions": [{"quantity": "pitch", "unit": "mm", "value": "25.4"}],
        "chosen": [{"place": "left", "quantity": "designation", "word": "BL823"}],
        "instrument": "rule",
        "item": "item:forks 3",
        "check": "chain.left",
        "seriousness": "watch",
        "until": "2026-12-24",
        "meter": READING,
        "picture": PICTURE,
        "note": "12 pitches",
    }
    held(full)
    assert "unit" in refused({**full, "values": [{"quantity": "chain-length", "value": "313.94"}]})
    assert "word" in refused({**full, "chosen": [{"quantity": "designation"}]})


def test_the_step_of_a_reading_stands_beside_it_where_its_digits_do_not_tell() -> None:
    in_eighths = {**VALUE, "resolution": "0.125", "unit": "in", "value": "12.375"}
    body = read({"kind": "measured", "subject": "chain", "values": [in_eighths, VALUE]})
    assert isinstance(body, Measured)
    assert [one.resolution for one in body.values] == [Decimal("0.125"), None]
    odd = {**VALUE, "resolution": "an eighth"}
    assert "resolution" in refused({"kind": "measured", "subject": "chain", "values": [odd]})


def test_what_was_chosen_reads_back() -> None:
    word = {"quantity": "scale", "word": "council"}
    body = read({"kind": "measured", "subject": "battery-sg", "values": [], "chosen": [word]})
    assert isinstance(body, Measured)
    assert body.chosen == (Chosen(quantity="scale", word="council"),)


def test_a_measurement_without_a_value_is_written_as_one() -> None:
    held_body = held(
        {
            "kind": "sampled",
            "fluid": "engine-oil",
            "results": [],
            "laboratory": "yard bench",
            "number": "0042",
            "reported": "2026-11-19",
            "fluid_hours": "148.0",
            "meter": READING,
        }
    )
    assert getattr(held_body, "results", None) == ()


def test_topped_up() -> None:
    held(
        {
            "kind": "topped-up",
            "fluid": "coolant",
            "amount": "0.50",
            "unit": "l",
            "check": FACT,
            "meter": READING,
            "note": "cold",
        }
    )

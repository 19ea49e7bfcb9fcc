"""What was noticed becomes a fault, as serious as the rules have it."""

from __future__ import annotations

import pytest

from dipmark.facts.errors import NotFound
from dipmark.office.wrong import asked_of, report_trouble, trouble_of
from office.desk import airship, at, desk, now, state

NOON = at("2026-11-20T05:30")


def test_a_soft_pedal_takes_the_truck_out_of_service() -> None:
    with desk() as office:
        report_trouble(office, "7", "brakes", "soft", "  since  this morning ", NOON)
        assert state(office) == "out-of-service"
        (fault,) = now(office).faults
        trouble = office.rules.systems["brakes"].trouble("soft")
        assert trouble is not None
        assert fault.text == f"{trouble.text} since this morning"
        assert (fault.seriousness, fault.affects_safety) == (trouble.seriousness, trouble.affects_safety)


def test_without_words_of_his_own_the_rules_words_stand() -> None:
    with desk() as office:
        report_trouble(office, "7", "brakes", "soft", " ", NOON)
        trouble = office.rules.systems["brakes"].trouble("soft")
        assert trouble is not None
        assert now(office).faults[0].text == trouble.text


def test_what_a_truck_has_not_is_not_asked() -> None:
    with desk() as office:
        lpg = {row.id for row in asked_of(office, now(office))}
        reach = {row.id for row in asked_of(office, now(office, "12"))}
        assert "gas" in lpg - reach
        with pytest.raises(NotFound):
            trouble_of(asked_of(office, now(office, "12")), "gas", "smell")
        with pytest.raises(NotFound):
            report_trouble(office, "7", "brakes", "no such thing", "", NOON)


def test_a_truck_without_rules_is_asked_what_every_truck_is() -> None:
    with desk() as office:
        assert asked_of(office, now(office, airship(office)))

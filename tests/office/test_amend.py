"""A wrong entry is put right by a new fact; the old one stays in the log."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.meter import MeterRead
from dipmark.facts.work import Worked
from dipmark.office.amend import correct_hours, withdraw
from dipmark.office.enter import read_meter, stop, work
from dipmark.office.look import log_of
from office.desk import at, desk, now, state
from office.taking import NOW

D = Decimal


def test_hours_put_right_count_and_the_wrong_ones_stay_in_the_log() -> None:
    with desk() as office:
        (wrong,) = read_meter(office, "7", D("500"), at("2026-02-05T08:00")).accepted
        assert now(office).hours == D("500")
        correct_hours(office, "7", wrong.fact.id[-6:], D("50.0"), "misread", at("2026-02-06T08:00"))
        assert now(office).hours == D("50.0")
        rows = {row.id: row for row in log_of(office, "7", NOW)}
        assert rows[wrong.fact.id].body["hours"] == 500
        assert len(rows[wrong.fact.id].corrected_by) == 1
        assert isinstance(wrong.fact.body, MeterRead)


def test_hours_of_a_service_are_put_right_and_its_rest_stays() -> None:
    with desk() as office:
        done = work(office, "7", ["150h"], at("2026-02-05T08:00"), hours=D("610"), text="oil", left_out=(), minutes=40)
        correct_hours(office, "7", done.accepted[0].fact.id, D("160"), "swapped", at("2026-02-06T08:00"))
        body = next(one.body for one in now(office).counting if isinstance(one.body, Worked))
        assert body.meter is not None
        assert (body.meter.hours, body.text, body.services) == (D("160"), "oil", ("150h",))


def test_what_never_was_is_withdrawn() -> None:
    with desk() as office:
        (card,) = stop(office, "7", "leak", at("2026-02-05T08:00")).accepted
        assert state(office) == "out-of-service"
        withdraw(office, "7", card.fact.id, "other truck", at("2026-02-05T09:00"))
        assert state(office) == "not-checked"


def test_a_fact_without_hours_is_refused_and_an_unknown_id_is_not_found() -> None:
    with desk() as office:
        (card,) = stop(office, "7", "leak", at("2026-02-05T08:00")).accepted
        with pytest.raises(Refused, match="without hours"):
            correct_hours(office, "7", card.fact.id, D("90"), "misread", at("2026-02-06T08:00"))
        for unknown in ("ffffffff-ffff-ffff", "12", ""):
            with pytest.raises(NotFound, match="no fact of truck 7"):
                withdraw(office, "7", unknown, "why", at("2026-02-06T08:00"))

"""A service sheet filled in: each task by itself, and everything that is wrong at once."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.facts.errors import Refused
from dipmark.facts.measure import Measured
from dipmark.facts.work import Worked
from dipmark.office.open import Office
from dipmark.office.plate import sheet_of
from dipmark.office.service import NOTHING_DONE, RETEST_MISSING, WHY_LEFT_OUT, Done, record
from dipmark.views.service_sheet import ServiceSheet
from office.desk import at, desk, now
from office.taking import NOW

NOON = at("2026-11-20T05:30")


def sheet(office: Office, service: str = "150h") -> ServiceSheet:
    return sheet_of(office, "7", service, NOW)


def every(asked: ServiceSheet) -> tuple[str, ...]:
    return tuple(task.id for task in asked.tasks)


def test_all_of_it_done_counts_as_the_service() -> None:
    with desk() as office:
        asked = sheet(office)
        done = Done(
            ticked=every(asked),
            tests=("road-test",),
            parts=("oil filter",),
            hours=Decimal(150),
            minutes=40,
            text=" ok ",
        )
        (accepted,) = record(office, asked, done, NOON).accepted
        body = accepted.fact.body
        assert isinstance(body, Worked)
        assert (body.services, body.tasks, body.left_out, body.minutes, body.text) == (
            ("150h",),
            every(asked),
            (),
            40,
            "ok",
        )
        assert [part.part for part in body.parts] == ["oil filter"]
        due = next(one for one in now(office).dues if one.service == "150h")
        assert due.start == Decimal(150)


def test_what_is_not_ticked_is_left_out_and_wants_a_word() -> None:
    with desk() as office:
        asked = sheet(office)
        first, *rest = every(asked)
        with pytest.raises(Refused) as refusal:
            record(office, asked, Done(ticked=(first,)), NOON)
        assert [problem.code for problem in refusal.value.problems] == [WHY_LEFT_OUT]
        (accepted,) = record(office, asked, Done(ticked=(first,), text="no oil there"), NOON).accepted
        assert accepted.fact.body.left_out == tuple(rest)  # type: ignore[attr-defined]


def test_nothing_ticked_is_no_service() -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            record(office, sheet(office), Done(ticked=()), NOON)
        assert [problem.code for problem in refusal.value.problems] == [NOTHING_DONE]


def test_what_needs_a_test_wants_one_and_what_was_measured_is_judged_with_the_rest() -> None:
    with desk() as office:
        asked = sheet(office, "450h")
        boxes = {line.name for task in asked.tasks for box in task.boxes for line in box.lines}
        assert "chain" in boxes
        bad = {"chain": {"length": ("left=31 miles",)}, "tyre-pressure": {"now": (" ",)}}
        with pytest.raises(Refused) as refusal:
            record(office, asked, Done(ticked=every(asked), measured=bad), NOON)
        found = refusal.value.problems
        assert RETEST_MISSING in {problem.code for problem in found}
        assert "chain" in {problem.where.column for problem in found}
        good = {"chain": {"length": ("left=308 mm",), "new-length": ("304.8 mm",), "pitches": ("12",)}}
        done = Done(ticked=every(asked), tests=("lift-test",), measured=good, hours=Decimal(450))
        try:
            accepted = record(office, asked, done, NOON).accepted
        except Refused as refused:
            pytest.fail(str(refused))
        assert [type(one.fact.body) for one in accepted] == [Worked, Measured]
        assert accepted[1].fact.body.meter is not None  # type: ignore[attr-defined]

"""Measuring at a desk: judged at once, written with what is known, refused whole where it cannot be true."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.facts.base import BookId
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.measure import Chosen, Measured, Sampled, ToppedUp
from dipmark.office import enter
from dipmark.office.measure import day_of_text, gauge, measure, measurement_of, sample, top_up, use_of_truck
from dipmark.office.open import Office
from office.desk import at, desk, now, state
from office.taking import bodies

MORNING, LATER = at("2026-11-20T05:00"), at("2026-11-20T05:30")


def codes_of(refusal: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [problem.code for problem in refusal.value.problems]


def written(office: Office) -> list[Measured]:
    return [fact.body for fact in bodies(office, Measured) if isinstance(fact.body, Measured)]


HEEL = {"new": ["40mm"], "now": ["left=37.0mm", "right=37.2 mm"]}


def test_a_reading_without_a_record() -> None:
    with desk() as office:
        found = gauge(office.rules, "fork-heel", {"new": ["40mm"], "now": ["35.9mm"]})
        assert (found.judged.verdict, found.judged.value, found.subject.id) == ("stop", Decimal("89.75"), "forks")
        assert written(office) == []


def test_what_cannot_be_is_refused_all_at_once() -> None:
    with desk() as office, pytest.raises(Refused) as refusal:
        gauge(office.rules, "fork-heel", {"now": ["-3mm"], "dragon": ["1"]})
    assert codes_of(refusal) == ["measure-not-asked", "measure-missing", "measure-nonsense"]
    assert "column" not in str(refusal.value)


def test_what_a_judge_refuses_is_refused() -> None:
    with desk() as office, pytest.raises(Refused) as refusal:
        gauge(office.rules, "fork-heel", {"new": ["40mm"], "now": ["45mm"]})
    assert codes_of(refusal) == ["measure-nonsense"]


@pytest.mark.parametrize(
    ("name", "near"), [("fork-hele", "Is it fork-heel"), ("heel", "Is it fork-heel"), ("zzz", "zzz. All names")]
)
def test_an_unknown_name_is_told_with_those_near_it(name: str, near: str) -> None:
    with pytest.raises(NotFound, match=near):
        measurement_of(name)


def test_a_reading_is_written_as_it_was_read() -> None:
    with desk() as office:
        entered, found = measure(
            office,
            "7",
            "fork-heel",
            HEEL,
            MORNING,
            instrument="fork caliper",
            hours=Decimal(1200),
            item="forks-1",
            note="greasy",
        )
        (body,) = written(office)
        assert [(value.quantity, value.value, value.unit, value.place) for value in body.values] == [
            ("now", Decimal("37.0"), "mm", "left"),
            ("now", Decimal("37.2"), "mm", "right"),
        ]
        assert [(value.quantity, value.value) for value in body.conditions] == [("new", Decimal(40))]
        assert (body.instrument, body.item, body.note, body.seriousness) == (
            "fork caliper",
            BookId("item:forks-1"),
            "greasy",
            None,
        )
        assert body.meter is not None
        assert body.meter.hours == Decimal(1200)
        assert (len(entered.accepted), entered.doubts, found.judged.verdict) == (1, (), "in")


def test_what_is_known_need_not_be_said_again_and_the_item_is_the_last_one() -> None:
    with desk() as office:
        measure(office, "7", "fork-heel", HEEL, MORNING, item="forks-1")
        measure(office, "7", "fork-heel", {"now": ["left=36.9mm"]}, LATER)
        body = written(office)[-1]
        assert (body.conditions, body.item) == ((), BookId("item:forks-1"))
        judged = [one.judged for one in now(office).measures]
        assert [one.verdict if one else None for one in judged] == ["in", "in"]


def test_words_and_what_stands_behind_the_at_are_written() -> None:
    with desk() as office:
        measure(office, "7", "battery-sg", {"reading": ["1.250"], "at": ["20F"], "scale": ["council"]}, MORNING)
        points = ["32@40C", "5.4@100C"]
        measure(office, "7", "viscosity", {"point": points, "at": ["80C"]}, LATER)
        first, second = written(office)
        assert first.chosen == (Chosen(quantity="scale", word="council"),)
        assert [value.quantity for value in second.values] == ["point", "point@", "point", "point@", "at"]
        assert all(one.judged is not None for one in now(office).measures)


def test_a_bad_reading_takes_the_truck_out_of_service_at_once() -> None:
    with desk() as office:
        entered, found = measure(office, "7", "fork-heel", {"new": ["40mm"], "now": ["35.9mm"]}, MORNING)
        assert (found.judged.verdict, written(office)[0].seriousness) == ("stop", "stop")
        assert state(office) == "out-of-service"
        assert entered.doubts == ()
        enter.repair(office, "7", ["fork-heel"], "forks renewed", LATER, tests=["lift-test"], hours=None)
        enter.release(office, "7", LATER, tests=[], note=None)
        assert state(office) == "not-checked"
        with pytest.raises(Refused) as refusal:
            measure(office, "7", "fork-heel", {"now": ["40mm"]}, LATER)
        assert codes_of(refusal) == ["measure-missing"]


@pytest.mark.parametrize(("day", "code"), [(date(2027, 2, 20), None), (date(2027, 2, 21), "until-unfit")])
def test_a_day_is_set_within_three_months(day: date, code: str | None) -> None:
    chain = {"length": ["519.0mm"], "pitches": ["20"], "pitch": ["25.4mm"]}
    with desk() as office:
        if code is None:
            measure(office, "7", "chain", chain, MORNING, until=day)
            assert now(office).faults[0].deadline == day
        else:
            with pytest.raises(Refused) as refusal:
                measure(office, "7", "chain", chain, MORNING, until=day)
            assert (codes_of(refusal), written(office)) == ([code], [])


def test_a_reading_that_goes_back_is_written_and_asked_about_unless_it_was_renewed() -> None:
    with desk() as office:
        measure(office, "7", "fork-heel", HEEL, at("2026-11-19T05:00"))
        better = {"now": ["left=38.5mm", "right=38.5mm"], "new": ["40mm"]}
        entered, _ = measure(office, "7", "fork-heel", better, MORNING)
        assert [problem.code for problem in entered.doubts] == ["measure-doubtful"]
        done = {"hours": None, "text": None, "left_out": (), "minutes": None}
        enter.work(office, "7", [], MORNING, renewed=["fork-heel"], **done)  # type: ignore[arg-type]
        entered, _ = measure(office, "7", "fork-heel", {**better, "now": ["left=40mm", "right=40mm"]}, LATER)
        assert entered.doubts == ()


def test_what_was_renewed_may_be_said_with_the_repair() -> None:
    with desk() as office:
        enter.report_fault(office, "7", "chain squeaks", MORNING)
        enter.repair(office, "7", [], "new chain", LATER, tests=[], hours=None, renewed=["chain"])
        measure(office, "7", "chain", {"length": ["519.0mm"], "pitches": ["20"], "pitch": ["25.4mm"]}, MORNING)
        assert [one.renewed for one in now(office).measures] == [True]


# --- laboratory's sheets


def test_a_sheet_is_written_and_each_result_judged() -> None:
    with desk() as office:
        entered, found = sample(
            office,
            "7",
            "engine oil",
            ["water=0.2%", "iron = 45", "odd=3 mm", "particles=7"],
            MORNING,
            fluid_hours=Decimal(140),
            laboratory="Fallow",
            number="F-1",
            reported=date(2026, 11, 19),
            hours=Decimal(900),
        )
        (fact,) = bodies(office, Sampled)
        body = fact.body
        assert isinstance(body, Sampled)
        assert [(value.quantity, value.value, value.unit) for value in body.results] == [
            ("water", Decimal("0.2"), "%"),
            ("iron", Decimal(45), "ppm"),
            ("odd", Decimal(3), "mm"),
            ("particles", Decimal(7), "count"),
        ]
        assert (body.laboratory, body.number, body.reported, body.fluid_hours) == (
            "Fallow",
            "F-1",
            date(2026, 11, 19),
            Decimal(140),
        )
        assert len(entered.accepted) == 1
        assert [one.judged.verdict if one.judged else "" for one in found] == ["watch", "in", None, None]


@pytest.mark.parametrize(
    ("pair", "code"),
    [("water", "pair-unfit"), ("=3", "pair-unfit"), ("odd=x", "pair-unfit"), ("water=180%", "measure-nonsense")],
)
def test_a_result_that_cannot_be_read_is_refused(pair: str, code: str) -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            sample(office, "7", "engine oil", ["iron=3ppm", pair], MORNING)
        assert codes_of(refusal) == [code]
        assert bodies(office, Sampled) == []


# --- top-ups


def test_a_top_up_is_written_and_says_what_is_used() -> None:
    use = None
    with desk() as office:
        for month in range(5, 10):
            when, hours = at(f"2026-0{month}-10T05:00"), Decimal(100 * month)
            _, use = top_up(office, "7", "engine oil", "0.5 l", when, hours=hours, note="cold")
        assert use == "It uses 0.50 l in 100 h: 4 top-ups in 400 h."
        body = bodies(office, ToppedUp)[0].body
        assert isinstance(body, ToppedUp)
        assert (body.fluid, body.amount, body.unit, body.note) == ("engine oil", Decimal("0.5"), "l", "cold")


def test_a_first_top_up_says_nothing_of_the_use() -> None:
    with desk() as office:
        _, use = top_up(office, "7", "engine oil", "0.5 l", MORNING, note=None)
        assert use is None
        assert use_of_truck(now(office), "coolant", "l") is None


@pytest.mark.parametrize(
    ("amount", "code"),
    [("0 l", "amount-unfit"), ("-1 l", "amount-unfit"), ("3 mm", "quantity-unit"), ("x", "quantity-unreadable")],
)
def test_an_amount_that_cannot_be_is_refused(amount: str, code: str) -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            top_up(office, "7", "engine oil", amount, MORNING, note=None)
        assert codes_of(refusal) == [code]
        assert bodies(office, ToppedUp) == []


def test_a_day_as_people_write_it() -> None:
    with desk() as office:
        assert day_of_text(office, "2026-12-24") == date(2026, 12, 24)
        with pytest.raises(Refused):
            day_of_text(office, "Christmas")

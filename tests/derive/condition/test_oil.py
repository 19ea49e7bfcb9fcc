"""Engine oil: a sheet with and without its history, what is used up, a drop on paper."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import msgspec
import pytest

from derive.condition.gauging import SUBJECTS, gauge, refused
from dipmark.derive.condition.oil import MEASUREMENTS, judge_sheet
from dipmark.derive.judging import Judged
from dipmark.facts.base import Value
from dipmark.facts.measure import Sampled
from dipmark.rules.limits import Subject

SHEET, USE, BLOTTER = MEASUREMENTS
OIL = SUBJECTS["oil"]
ONE_SAMPLE = "One sample decides nothing: the next one shows where it goes."


def values(**results: str) -> tuple[Value, ...]:
    """Results such as ``iron="12 ppm"``."""
    split = {name.replace("_", "-"): text.split() for name, text in results.items()}
    return tuple(Value(quantity=name, value=Decimal(number), unit=unit) for name, (number, unit) in split.items())


def sample(hours: str | None, fluid: str = "engine oil", **results: str) -> Sampled:
    return Sampled(fluid=fluid, results=values(**results), fluid_hours=None if hours is None else Decimal(hours))


def judge(now: Sampled, history: Sequence[Sampled] = (), subject: Subject = OIL) -> dict[str, Judged]:
    found = judge_sheet(now.results, now.fluid, history, subject, now.fluid_hours)
    return {one.subject: one for one in found}


def stricter(limit: str, **changes: object) -> Subject:
    limits = {**OIL.limits, limit: msgspec.structs.replace(OIL.limits[limit], **changes)}
    return msgspec.structs.replace(OIL, limits=limits)


def test_each_result_has_its_verdict_its_limit_and_its_source() -> None:
    found = judge(sample("100", fuel_dilution="3.1 %", iron="40 ppm"))
    fuel, iron = found["fuel-dilution"], found["iron"]
    assert (fuel.verdict, fuel.value, fuel.unit, fuel.limit) == ("watch", Decimal("3.1"), "%", Decimal("2.5"))
    assert (fuel.rule, fuel.source) == ("oil.fuel-dilution", "oil-tester")
    assert fuel.because.startswith("Fuel: 3.1 %. Fuel in the oil")
    assert (iron.verdict, iron.limit) == ("in", Decimal(100))
    assert ONE_SAMPLE in fuel.notes


@pytest.mark.parametrize(
    ("water", "verdict", "limit"),
    [
        ("0.1 %", "in", "0.1"),
        ("1000 ppm", "in", "1000"),
        ("1001 ppm", "watch", "1000"),
        ("0.1001 %", "watch", "0.1"),
    ],
)
def test_the_unit_changes_no_verdict(water: str, verdict: str, limit: str) -> None:
    found = judge(sample("100", water=water))["water"]
    assert (found.verdict, found.limit) == (verdict, Decimal(limit))


def test_flash_point_in_fahrenheit() -> None:
    # 190 °C is 374 °F
    assert judge(sample("100", flash_open="374 F"))["flash-open"].verdict == "in"
    assert judge(sample("100", flash_open="373 F"))["flash-open"].verdict == "watch"


def test_a_rise_on_this_oil_for_each_100_h_and_the_hours_left() -> None:
    found = judge(sample("250", iron="60 ppm"))["iron"]
    assert found.more == {"per-100h": Decimal(24), "hours-left": Decimal("166.667")}
    assert "Hours left are for planning only; the limit decides." in found.notes


def test_a_rise_counts_from_the_new_oil_where_that_is_known() -> None:
    # boron 15 in the new oil, 18 after 200 h: 1.5 in 100 h, 2 more to 20
    for known in (
        judge(sample("200", boron="18 ppm", boron_new="15 ppm")),
        judge(sample("200", boron="18 ppm"), [sample("90", boron_new="15 ppm")]),
        judge(sample("200", boron="18 ppm"), [sample("0", boron="15 ppm")]),
    ):
        assert known["boron"].more == {"per-100h": Decimal("1.5"), "hours-left": Decimal("133.333")}
        assert list(known) == ["boron"]
    # a value when new in another dimension is none
    found = judge(sample("200", boron="18 ppm", boron_new="15 cSt"))["boron"]
    assert found.more["per-100h"] == 9


def test_without_hours_on_the_oil_there_is_no_rise() -> None:
    for hours in (None, "0"):
        assert judge(sample(hours, iron="60 ppm"))["iron"].more == {}


def test_a_change_from_new_needs_the_new_oil() -> None:
    missing = judge(sample("100", viscosity_100="12.1 cSt"))["viscosity-100"]
    assert (missing.verdict, missing.limit, missing.more) == (None, None, {})
    assert any("viscosity-100-new" in note for note in missing.notes)
    thin = judge(sample("100", viscosity_100="12.6 cSt", viscosity_100_new="14.0 cSt"))["viscosity-100"]
    assert (thin.verdict, thin.limit, thin.rule) == ("watch", Decimal("12.6"), "oil.viscosity-100-low")
    assert thin.because.startswith("Viscosity at 100 °C: 12.6 cSt, new 14 cSt. Thinner")
    assert thin.more == {"per-100h": Decimal("-1.4")}
    falling = judge(sample("100", viscosity_100="13.3 cSt", viscosity_100_new="14.0 cSt"))["viscosity-100"]
    assert falling.more == {"per-100h": Decimal("-0.7"), "hours-left": Decimal(100)}
    rising = judge(sample("100", viscosity_100="15.4 cSt", viscosity_100_new="14.0 cSt"))["viscosity-100"]
    assert rising.more == {"per-100h": Decimal("1.4"), "hours-left": Decimal(50)}
    # where nothing has changed, nothing is ahead
    same = judge(sample("100", viscosity_100="14.0 cSt", viscosity_100_new="14.0 cSt"))["viscosity-100"]
    assert same.more == {"per-100h": Decimal(0)}


def test_one_sample_past_a_limit_is_a_watch_until_the_next_is_past_it_too() -> None:
    subject = stricter("iron", verdict="stop")
    high, low = sample("100", iron="120 ppm"), sample("100", iron="90 ppm")
    assert judge(high, [], subject)["iron"].verdict == "watch"
    assert judge(high, [low], subject)["iron"].verdict == "watch"
    assert judge(high, [high, low], subject)["iron"].verdict == "watch"
    assert judge(high, [low, high], subject)["iron"].verdict == "stop"
    assert judge(low, [high], subject)["iron"].verdict == "in"
    # a sheet without the result does not count, nor does another fluid's
    assert judge(high, [high, sample("100", tin="1 ppm")], subject)["iron"].verdict == "stop"
    other = sample("100", fluid="hydraulic oil", iron="120 ppm")
    assert judge(high, [other], subject)["iron"].verdict == "watch"
    # read to the same limit in another unit
    assert judge(high, [sample("100", iron="0.012 %")], subject)["iron"].verdict == "stop"


def usual(*irons: str) -> list[Sampled]:
    return [sample("100", iron=f"{iron} ppm") for iron in irons]


@pytest.mark.parametrize(
    ("iron", "hours", "verdict"),
    [
        # the usual rise is 25 in 100 h, the median of three; at 50 in 100 h it is twice that
        ("49", "100", "in"),
        ("50", "100", "watch"),
        ("51", "100", "watch"),
        # as fast, but half of the way to 100 is not gone
        ("49.9", "50", "in"),
        # past the limit itself
        ("101", "100", "watch"),
        ("60", "200", "in"),
    ],
)
def test_it_is_held_against_its_own_history(iron: str, hours: str, verdict: str) -> None:
    found = judge(sample(hours, iron=f"{iron} ppm"), usual("20", "80", "25"))["iron"]
    assert found.verdict == verdict
    assert found.more["usual"] == 25
    assert found.notes.count(ONE_SAMPLE) == 0


def test_a_fast_rise_names_its_own_rule_and_no_limit_of_the_value() -> None:
    found = judge(sample("100", iron="55 ppm"), usual("20", "30", "25"))["iron"]
    assert (found.rule, found.limit, found.more["of-usual"]) == ("oil.rise", None, Decimal(220))
    assert "twice its usual rate" in found.because
    past = judge(sample("100", iron="110 ppm"), usual("20", "30", "25"))["iron"]
    assert (past.rule, past.limit) == ("oil.iron", Decimal(100))
    assert "hours-left" not in past.more


def test_two_earlier_sheets_make_no_usual_rate() -> None:
    found = judge(sample("100", iron="55 ppm"), usual("20", "25"))["iron"]
    assert (found.verdict, found.more["usual"]) == ("in", Decimal("22.5"))
    # a sheet without hours makes none either
    assert (
        judge(sample("100", iron="55 ppm"), [*usual("20", "25"), sample(None, iron="25 ppm")])["iron"].verdict == "in"
    )


def test_a_history_that_went_the_other_way_says_nothing_of_fast() -> None:
    new = {"boron_new": "5 ppm"}
    falling = [sample("100", boron="2 ppm", **new)] * 3
    assert judge(sample("100", boron="15 ppm", **new), falling)["boron"].verdict == "in"


def test_another_fluid_has_its_history_but_not_these_limits() -> None:
    history = [sample("500", fluid="Hydraulic-Oil", iron="10 ppm")]
    found = judge(sample("1000", fluid="hydraulic oil", iron="300 ppm"), history)["iron"]
    assert (found.verdict, found.limit, found.source) == (None, None, None)
    assert found.more == {"per-100h": Decimal(30), "usual": Decimal(2)}
    assert found.notes == ("No limit is kept for it: those of a sheet are for engine oil.",)
    assert judge(sample("100", fluid="Engine-oil", iron="300 ppm"))["iron"].verdict == "watch"


def test_what_has_no_limit_and_what_has_no_known_unit() -> None:
    found = judge(sample("100", zinc="900 ppm", iron="900 furlong", tin="3 cSt"))
    assert list(found) == ["zinc", "tin"]
    assert (found["zinc"].verdict, found["zinc"].because) == (None, "zinc: 900 ppm.")
    assert found["tin"].verdict is None
    assert found["tin"].notes == (ONE_SAMPLE,)
    assert judge(sample("100")) == {}


def test_a_yard_may_limit_a_result_of_its_own() -> None:
    zinc = msgspec.structs.replace(OIL.limits["iron"], id="zinc", text="Zinc.")
    odd = msgspec.structs.replace(OIL.limits["iron"], id="nickel", unit="spoons")
    subject = msgspec.structs.replace(OIL, limits={**OIL.limits, "zinc": zinc, "nickel": odd})
    found = judge(sample("100", zinc="900 ppm", nickel="900 ppm", nickel_new="1 ppm"), (), subject)
    assert (found["zinc"].verdict, found["nickel"].verdict) == ("watch", None)


def test_more_is_never_better() -> None:
    for result, numbers in (("iron", (0, 50, 99, 100, 101, 500)), ("glycol", (0, 99, 100, 101, 5000))):
        verdicts = [judge(sample("100", **{result: f"{one} ppm"}))[result].verdict for one in numbers]
        assert verdicts == sorted(verdicts, key=("in", "watch").index)


def test_a_sheet_without_a_record_says_the_worst_and_lists_all() -> None:
    found = gauge(SHEET, iron="120", tin="3", acid_number="2.1", fluid_hours="250", boron_new="12", lead="30 ppm")
    assert (found.subject, found.verdict, found.rule, found.value) == ("oil-sheet", "watch", "oil.iron", Decimal(120))
    assert found.more == {"iron": "watch", "tin": "in", "acid-number": "no limit", "lead": "watch"}
    assert "Iron: 120 ppm." in found.because
    assert "Lead: 30 ppm." in found.because
    assert "Tin" not in found.because
    assert found.notes.count(ONE_SAMPLE) == 1


def test_a_sheet_with_nothing_past_its_limit() -> None:
    found = gauge(SHEET, iron="20", acid_number="2.1")
    assert (found.verdict, found.because) == ("in", "Nothing past its limit; 1 of 2 results have one.")


@pytest.mark.parametrize(
    ("said", "problems"),
    [
        ({}, [("measure-missing", None)]),
        ({"fluid_hours": "250", "boron_new": "12"}, [("measure-missing", None)]),
        ({"water": "-1 %", "soot": "101 %"}, [("measure-nonsense", "water"), ("measure-nonsense", "soot")]),
        ({"iron": "12 cSt"}, [("quantity-unit", "iron")]),
        ({"flash_open": "1800 C"}, [("measure-nonsense", "flash-open")]),
        ({"zinc": "3 ppm"}, [("measure-not-asked", "zinc")]),
    ],
)  # fmt: skip
def test_no_sheet(said: dict[str, str], problems: list[tuple[str, str | None]]) -> None:
    assert refused(SHEET, **said) == problems


@pytest.mark.parametrize(
    ("topped_up", "verdict"),
    # 0.3 % of 4 l/h over 100 h is 1.2 l
    [
        ("1.19 l", "in"),
        ("1.20 l", "in"),
        ("1.21 l", "watch"),
        ("1200 ml", "in"),
        ("1201 ml", "watch"),
        ("2 qt", "watch"),
    ],
)
def test_oil_used_at_its_edge(topped_up: str, verdict: str) -> None:
    found = gauge(USE, topped_up=topped_up, hours="100", fuel="4")
    assert (found.verdict, found.limit, found.unit) == (verdict, Decimal("0.012"), "l/h")


def test_what_was_filled_and_drained_counts() -> None:
    found = gauge(USE, topped_up="1.0 l", filled="8.0 l", drained="7.5 l", hours="300", fuel="4")
    assert (found.value, found.verdict) == (Decimal("0.005"), "in")
    assert gauge(USE, topped_up="5 l", filled="8 l", drained="7.5 l", hours="300", fuel="4").verdict == "watch"


def test_without_the_fuel_there_is_no_limit() -> None:
    found = gauge(USE, topped_up="1.2 l", hours="48 h")
    assert (found.value, found.unit, found.verdict, found.limit) == (Decimal("0.025"), "l/h", None, None)


def test_oil_that_grows_is_a_problem() -> None:
    assert refused(USE, topped_up="0 l", drained="8 l", filled="7 l", hours="100") == [("measure-nonsense", "drained")]
    assert refused(USE, topped_up="1 l", hours="0") == [("measure-nonsense", "hours")]


@pytest.mark.parametrize(
    ("spot", "after", "verdict", "again"),
    [
        ("uniform", "5.9 h", None, True),
        ("uniform", "6 h", "in", True),
        ("uniform", "23.9 h", "in", True),
        ("uniform", "24 h", "in", False),
        ("uniform", "", "in", True),
        ("black-centre", "359 min", None, True),
        ("black-centre", "360 min", "watch", False),
        ("halo", "", "watch", True),
    ],
)
def test_a_drop_is_read_when_it_has_spread(spot: str, after: str, verdict: str | None, again: bool) -> None:
    found = gauge(BLOTTER, spot=spot, after=after)
    assert (found.verdict, found.value, found.limit) == (verdict, spot, None)
    assert any("after a day" in note for note in found.notes) is again


def test_an_unknown_spot_is_asked_again() -> None:
    assert refused(BLOTTER, spot="blak-centre") == [("measure-word", "spot")]

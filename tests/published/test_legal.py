"""29 CFR 1910.178, paragraph by paragraph: what each forbids or demands of a truck or a driver, on the shipped rules.

The edges of (q)(7) and (p)(1) are in `test_state.py`. The text of 1926.602(c), (d) was not seen and has no test.
"""

from __future__ import annotations

import pytest

from derive.builders import ENROLLED, ZONE, at, fid, record
from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.driver import DriverNow, driver_now, evaluated_for
from dipmark.derive.past import past
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import PersonKey
from dipmark.rules.symptoms import Trouble

RULES = read_rules()
DAY = "2026-11-20"


def truck(text: str, clock: str = "12:00:00") -> TruckNow:
    found = truck_now(record(ENROLLED + text), RULES, YardNow(country="US"), ZONE, at(f"{DAY}T{clock}"))
    assert found is not None
    return found


def walk(check: str = "", symptom: str = "") -> str:
    text = f"\nwalk-round truck:7 {DAY}T06:00:00+01:00 ana\n"
    if check:
        text += f'  answers - {{"check": "{check}", "mark": "fault", "symptom": "{symptom}", "seriousness": "watch"}}\n'
    return text


def trouble(system: str, id: str) -> Trouble:
    found = RULES.systems[system].trouble(id)
    assert found is not None
    return found


def warned(system: str, id: str) -> set[str]:
    """Sources of the cautions that stand beside a trouble."""
    return {caution.source for caution in trouble(system, id).cautions}


# ---- (q)(7): examined before being placed in service, at least daily


def test_q7_not_placed_in_service_before_it_is_examined() -> None:
    assert truck("").state.code == "not-checked"
    assert truck(walk()).state.code == "checked"


def test_q7_no_written_record_is_required_the_eight_hour_service_noted_as_done_will_do() -> None:
    """Letter of interpretation of 7 February 2000."""
    noted = f"\nworked truck:7 {DAY}T06:00:00+01:00 ana\n  services - 8h\n"
    assert truck(noted).state.code == "checked"
    (daily,) = [duty for duty in RULES.duties["US"] if duty.each_shift]
    assert not daily.written


# ---- (p)(1), (q)(1): in need of repair, defective or unsafe: out of service until restored


@pytest.mark.parametrize(
    ("check", "symptom"),
    [("brake.service", "soft"), ("steering.play", "any"), ("chain.tension", "slack"), ("horn.heard", "weak")],
)
def test_p1_unsafe_is_out_of_service_however_lightly_it_was_marked(check: str, symptom: str) -> None:
    assert truck(walk(check, symptom)).state.code == "out-of-service"


def test_q1_repaired_it_stays_out_until_somebody_puts_it_back() -> None:
    mended = f'\nworked truck:7 {DAY}T09:00:00+01:00 mia\n  mends - "{fid(2)}#brake.service"\n'
    mended += '  tests - {"test": "brake-test", "passed": true}\n'
    released = f"\nreleased truck:7 {DAY}T10:00:00+01:00 lead\n"
    assert truck(walk("brake.service", "soft") + mended).state.code == "out-of-service"
    assert truck(walk("brake.service", "soft") + mended + released).state.code == "checked"


def test_no_trouble_that_affects_safety_is_left_running() -> None:
    found = [one for system in RULES.systems.values() for one in system.troubles]
    assert len(found) > 80
    assert [one.id for one in found if one.affects_safety and not one.stops] == []


# ---- (p)(2), (p)(3): no filling with the engine running; spill away and cap back before the start


def test_p2_p3_filling_is_warned_of_beside_fuel_troubles() -> None:
    assert {"us-178-p2"} <= warned("fuel", "dies") & warned("fuel", "water-again")


# ---- (p)(4): no operation with a leak in the fuel system


def test_p4_any_leak_of_fuel_is_out_of_service() -> None:
    assert truck(walk("lpg.tight", "leak")).state.code == "out-of-service"
    for system, id in (("fuel", "leak"), ("gas", "smell")):
        one = trouble(system, id)
        assert (one.seriousness, one.legal, one.source) == ("now", True, "us-178-p4")


# ---- (p)(5): no open flame to look at electrolyte or fuel


def test_p5_no_open_flame() -> None:
    for system, id in (("fuel", "leak"), ("fuel", "dies"), ("electrical", "plates-bare")):
        assert "us-178-p5" in warned(system, id)


# ---- (q)(2), (q)(3), (q)(4): where repairs are not made; battery off before electrical repair


def test_q2_q3_repairs_only_where_nothing_can_burn() -> None:
    for system, id in (("engine", "no-start"), ("gas", "no-start")):
        assert "us-178-q2" in warned(system, id)


def test_q4_battery_off_before_electrical_repair() -> None:
    for id in ("dead", "hot-plug", "bare-copper", "jerks", "loose-battery"):
        assert "us-178-q4" in warned("electrical", id)


# ---- (q)(5), (q)(6), (q)(10): equal parts, nothing altered, kept clean


def test_q5_q6_nothing_is_bridged_added_or_taken_off() -> None:
    for one in RULES.systems["guards"].troubles:
        assert "us-178-q5" in {caution.source for caution in one.cautions}, one.id


def test_q8_q9_sparks_and_overheating_stop_the_engine() -> None:
    assert [trouble("engine", "sparks").seriousness, trouble("cooling", "overheats").seriousness] == ["now", "now"]


def test_q10_the_walk_round_asks_for_a_clean_truck() -> None:
    asked = RULES.kinds["engine-pneumatic-lpg"].checks
    assert any("us-178-q10" in {check.source, *(one.source for one in check.symptoms)} for check in asked)


# ---- (g): charging


def test_g_acid_and_gas_of_batteries_are_warned_of() -> None:
    for id in ("red-early", "acid"):
        texts = " ".join(one.text for one in trouble("electrical", id).cautions if one.source == "us-178-g")
        assert "no flame, spark, smoking or tool on top; cover open" in texts
        assert "Face shield" in texts


# ---- (l): drivers

ANA = PersonKey("ana")
FULL = "  trained 2023-03-01\n  evaluated 2023-03-14\n  by bob\n"


def permit(rest: str = FULL, what: str = "reach", day: str = "2023-03-15") -> str:
    return f"\npermit yard {day}T08:00:00+01:00 lead\n  person ana\n  what {what}\n{rest}"


def driver(text: str, as_of: str, incidents: str = "") -> DriverNow:
    happened = past(record(incidents), at(as_of)) if incidents else ()
    months = evaluated_for(RULES, "US")
    return driver_now(past(record(text), at(as_of)), ANA, "reach", months, at(as_of), ZONE, happened)


def test_l1_l2_only_the_trained_and_evaluated_or_a_trainee_under_a_named_trainer() -> None:
    assert not driver("", "2023-04-01").may
    assert not driver(permit("  trained 2023-03-01\n"), "2023-04-01").may
    assert driver(permit("  trainee_under bob\n"), "2023-04-01").under == "bob"


def test_l4_iii_evaluated_at_least_once_every_three_years() -> None:
    assert driver(permit(), "2026-03-14T23:59:59").may
    assert not driver(permit(), "2026-03-15").may
    leap = permit(FULL.replace("2023-03-14", "2024-02-29"), day="2024-03-01")
    assert str(driver(leap, "2026-01-01").until) == "2027-02-28"  # (own)


def test_l4_iii_a_written_test_alone_is_no_evaluation() -> None:
    """Letter of interpretation of 1 August 2005: a certificate on file is no evaluation."""
    assert not driver(permit("  trained 2023-03-01\n  until 2030-01-01\n"), "2023-04-01").may


def test_l4_ii_refresher_for_unsafe_driving_an_accident_a_near_miss_another_truck() -> None:
    lost = permit(FULL + '  withdrawn "drove with the mast raised"\n', day="2023-12-01")
    assert driver(permit() + lost, "2024-01-01").reasons[0].source == "us-178-l4-refresher"
    assert not driver(permit(what="pallet"), "2024-01-01").may
    for what in ("hit", "near-miss", "overload", "tip-over"):
        hit = "\nenrolled truck:7 2023-01-01T08:00:00+01:00 lead\n  what reach\n"
        hit += f"\nincident truck:7 2023-06-01T08:00:00+02:00 ana\n  what {what}\n  text rack\n  person ana\n"
        assert [ask.source for ask in driver(permit(), "2024-01-01", hit).asks] == ["us-178-l4-refresher"]


def test_l6_the_certificate_names_who_trained_or_evaluated() -> None:
    assert [ask.source for ask in driver(permit(FULL.replace("  by bob\n", "")), "2024-01-01").asks] == ["us-178-l6"]
    assert driver(permit(), "2024-01-01").asks == ()

"""What the shipped duties of each country ask for, held to the clauses they name.

Sources: the clauses named beside each group; dates marked (own) are worked by hand, the last day of a shorter month.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from derive.builders import ENROLLED, ZONE, at, record
from dipmark.adapters.rulefiles import read_problems, read_rules
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.rules.duty import Duty
from dipmark.rules.model import KIND_KEYS

RULES = read_rules()
LIFTS = set(KIND_KEYS) - {"pallet", "tow-tractor"}


def truck(kind: str, country: str, rest: str = "", as_of: str = "2026-03-02T07:00:00") -> TruckNow:
    text = ENROLLED.replace("engine-pneumatic-lpg", kind).replace("2026-01-01", "2024-01-01") + rest
    found = truck_now(record(text), RULES, YardNow(country=country), ZONE, at(as_of))
    assert found is not None
    return found


def report(duty: str, day: str, rest: str = "") -> str:
    line = f'  lines - {{"text": "x", "duty": "{duty}"}}\n'
    return f"\ndocument truck:7 {day}T10:00:00+01:00 lead\n  what examination\n  title Report\n{rest}{line}"


def duty(country: str, id: str) -> Duty:
    return next(one for one in RULES.duties[country] if one.id == id)


def test_the_shipped_rules_are_clean() -> None:
    assert [str(problem) for problem in read_problems() if "duties" in f"{problem.where.key}"] == []


def test_the_countries() -> None:
    assert set(RULES.duties) == {"US", "GB", "DE", "CA", "CA-ON", "AU-VIC"}


# ---- Great Britain. LOLER 1998 regulation 9(3): 6 months where people are lifted and for accessories, else 12.


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_gb_what_lifts_is_thoroughly_examined_a_low_lift_pallet_truck_is_not(kind: str) -> None:
    found = [one.duty.id for one in truck(kind, "GB").duties]
    assert found == (["thorough-examination"] if kind in LIFTS else [])


@pytest.mark.parametrize(
    ("kind", "rest", "day", "last"),
    [
        ("reach", "", "2025-01-31", "2026-01-31"),  # (own)
        ("order-picker", "", "2025-01-31", "2025-07-31"),  # (own) it lifts its driver
        ("order-picker", "", "2025-08-31", "2026-02-28"),  # (own)
        ("reach", "  uses - lifts-people\n", "2025-01-31", "2025-07-31"),
        ("telescopic", "  uses - lifts-people\n", "2025-01-31", "2025-07-31"),
        ("pallet", "  options - mast\n", "2025-01-31", "2026-01-31"),
        ("pallet", "  options - mast\n  uses - lifts-people\n", "2025-01-31", "2025-07-31"),
    ],
)
def test_gb_six_months_where_people_are_lifted_else_twelve(kind: str, rest: str, day: str, last: str) -> None:
    report_ = report("thorough-examination", day)
    (on_it,) = truck(kind, "GB", rest + report_, f"{last}T23:59:59").duties
    assert (str(on_it.due.day), on_it.due.state) == (last, "due")
    later = truck(kind, "GB", rest + report_, (at(last) + timedelta(days=1)).isoformat())
    assert later.duties[0].due.state == "late"
    assert later.state.code == "out-of-service"


def test_gb_accessories_are_examined_every_six_months_as_items() -> None:
    accessory = duty("GB", "accessory-examination")
    assert (accessory.about, accessory.every_months) == ("item", 6)


def test_gb_reports_are_kept() -> None:
    """Regulation 11: until the next report or two years, whichever is later; the two years are from memory."""
    assert "two years, whichever is later" in duty("GB", "thorough-examination").kept
    assert duty("GB", "thorough-examination").mark == "secondary"


def test_gb_the_rest_is_inspected_at_intervals_that_the_yard_sets() -> None:
    """PUWER 1998 regulation 6: suitable intervals, so no date but the one that a paper sets."""
    inspection = duty("GB", "inspection")
    assert (inspection.every_months, inspection.when_lapsed) == (None, "nothing")
    assert truck("pallet", "GB").duties == ()
    dated = report("inspection", "2026-02-01", "  valid_until 2026-08-01\n")
    (one,) = truck("pallet", "GB", dated).duties
    assert (one.duty.id, str(one.due.day)) == ("inspection", "2026-08-01")


def test_gb_hired_trucks_too() -> None:
    """Reg 9 asks it of the equipment, whoever owns it."""
    hired = '\nheld-by truck:7 2026-03-01T08:00:00+01:00 lead\n  who hired-in\n  firm "Quay"\n'
    assert truck("reach", "GB", hired).state.code == "out-of-service"


# ---- Germany. DGUV Vorschrift 68, section 37: yearly, with proof.


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_de_every_truck_yearly(kind: str) -> None:
    (one,) = truck(kind, "DE", report("yearly-examination", "2025-03-02")).duties
    assert (one.duty.id, str(one.due.day), one.due.state) == ("yearly-examination", "2026-03-02", "due")
    assert truck(kind, "DE").state.code == "out-of-service"


# ---- Canada. Federal: SOR/86-304 s.14.20; Ontario: Regulation 851 s.51(1)(b).


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_ca_on_what_lifts_yearly_under_the_provinces_law_not_the_federal_one(kind: str) -> None:
    found = truck(kind, "CA-ON", report("yearly-examination", "2025-03-01"))
    assert [one.duty.id for one in found.duties] == ([] if kind == "tow-tractor" else ["yearly-examination"])
    assert found.state.code == ("not-checked" if kind == "tow-tractor" else "out-of-service")
    assert not {one.id for one in RULES.duties["CA-ON"]} & {"inspection"}


def test_ca_reports_are_kept_a_year_and_no_interval_is_set() -> None:
    inspection = duty("CA", "inspection")
    assert inspection.kept.startswith("The report one year")
    assert inspection.every_months is None
    assert truck("reach", "CA").duties == ()


def test_ca_another_province_borrows_neither_law() -> None:
    assert RULES.law_of("CA-BC") is None


# ---- United States: no yearly examination, and no written record of the daily one (letter of 7 February 2000).


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_us_no_examination_by_date_and_no_paper_of_the_daily_one(kind: str) -> None:
    assert truck(kind, "US").duties == ()
    daily = duty("US", "walk-round")
    assert (daily.written, daily.each_shift, daily.legal) == (False, True, True)
    assert daily.kept.startswith("Kept by your own rule: federal law asks for no written record")


# ---- Australia, Victoria: each shift; the yearly gas inspection rests on a dealer's page and stops nothing.


def test_au_vic_gas_is_shown_and_stops_nothing() -> None:
    found = truck("engine-pneumatic-lpg", "AU-VIC")
    assert [(one.duty.id, one.due.state, one.stops) for one in found.duties] == [("gas-inspection", "unknown", None)]
    assert found.state.code == "not-checked"
    assert truck("reach", "AU-VIC").duties == ()
    assert not duty("AU-VIC", "walk-round").written

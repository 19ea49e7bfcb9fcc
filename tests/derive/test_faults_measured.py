"""A value past its limit is a fault: what ends it, what does not, and what it does to the state of the truck."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from derive.builders import ZONE, at, fid
from derive.measuring import NOON, PLATE, chain, faults, heel, measured, measured_truck, pressed, value
from dipmark.derive.days import day_end
from dipmark.derive.faults import FaultNow
from dipmark.facts.base import FaultRef

OUT, WATCHED, GOOD = "524.0", "519.0", "512.0"
"""Chain of 20 pitches of 25.4 mm: out from 523.24 mm, watched from 518.16 mm."""


def mended(ref: str, when: str, tests: str = "") -> str:
    test = f'  tests - {{"test": "{tests}", "passed": true}}\n' if tests else ""
    return f'\nworked truck:7 {when}T13:00:00+01:00 mia\n  mends - "{ref}"\n{test}'


def released(when: str) -> str:
    return f"\nreleased truck:7 {when}T14:00:00+01:00 lead\n"


def walk(fate: str, when: str = "2026-11-20") -> str:
    return f'\nwalk-round truck:7 {when}T07:00:00+01:00 ana\n  open_faults - {{"fault": "{fid(2)}", "now": "{fate}"}}\n'


def briefly(found: list[FaultNow]) -> list[tuple[str, str]]:
    return [(fault.ref, fault.seriousness) for fault in found]


def test_a_chain_past_its_limit_takes_the_truck_out_of_service() -> None:
    """Out at 3 %: makers' guidance; TM 10-3930-671-24, p. 739."""
    (fault,) = faults(chain("2026-11-01", OUT))
    assert (fault.ref, fault.seriousness, fault.check, fault.retest) == (FaultRef(fid(2)), "stop", "chain", True)
    assert (fault.source, fault.by, fault.affects_safety) == ("chain-wear", "mia", False)
    assert fault.text.startswith("524 mm over 20 pitches")
    assert not fault.text.endswith(".")
    state = measured_truck(chain("2026-11-01", OUT)).state
    assert state.code == "out-of-service"
    assert state.reasons[0].text.endswith("To be mended by a competent person, tested and released.")


def test_a_better_reading_alone_never_ends_what_stops() -> None:
    text = chain("2026-11-01", OUT) + chain("2026-11-02", GOOD) + chain("2026-11-03", GOOD)
    assert briefly(faults(text)) == [(fid(2), "stop")]


def test_it_ends_with_repair_test_and_release() -> None:
    text = chain("2026-11-01", OUT) + mended(fid(2), "2026-11-02", "lift-test")
    (fault,) = faults(text)
    assert (fault.mended, fault.tested) == (fid(3), True)
    assert faults(text + released("2026-11-02")) == []


def test_a_second_bad_reading_adds_nothing_until_the_first_is_mended() -> None:
    text = chain("2026-11-01", OUT) + chain("2026-11-02", "525.0")
    assert briefly(faults(text)) == [(fid(2), "stop")]
    again = text + mended(fid(2), "2026-11-03", "lift-test") + released("2026-11-03")
    assert faults(again) == []
    new = '  conditions - {"quantity": "new-length", "value": "508", "unit": "mm"}\n'
    worn = again + measured(
        "chain", "2026-11-04", value("length", "530", "mm"), value("pitches", "20", "count", key="conditions"), new
    )
    assert briefly(faults(worn)) == [(fid(6), "stop")]


def test_what_was_mended_and_not_released_is_open_beside_a_new_bad_reading() -> None:
    text = heel("2026-11-01", ("left", "35.0"), new="40.0") + mended(fid(2), "2026-11-02")
    worse = text + heel("2026-11-03", ("left", "35.0"), new="40.0")
    assert briefly(faults(worse)) == [(fid(2), "stop"), (fid(4), "stop")]


def test_a_watched_value_ends_with_a_better_reading_that_can_be_true() -> None:
    text = heel("2026-10-01", ("left", "39"), new="40") + measured(
        "fork-tips", "2026-10-02", value("blade", "1200", "mm", key="conditions"), value("difference", "8", "mm")
    )
    tips = measured("fork-tips", "2026-10-03", value("difference", "2", "mm"))
    assert briefly(faults(text)) == [(fid(3), "watch")]
    assert faults(text + tips) == []
    assert measured_truck(text).state.code == "not-checked"
    doubtful = chain("2026-11-01", WATCHED) + chain("2026-11-02", GOOD)
    assert briefly(faults(doubtful)) == [(fid(2), "watch")]


def test_a_watched_value_is_told_as_it_was_read_last() -> None:
    (fault,) = faults(chain("2026-11-01", "518.5") + chain("2026-11-10", "519.5"))
    assert (fault.ref, fault.since, fault.text[:8]) == (FaultRef(fid(2)), at("2026-11-01T12:00:00"), "519.5 mm")


def test_a_watched_value_gives_way_to_a_serious_one() -> None:
    assert briefly(faults(chain("2026-11-01", WATCHED) + chain("2026-11-10", OUT))) == [(fid(3), "stop")]


def test_what_could_not_be_judged_ends_nothing() -> None:
    text = chain("2026-11-01", WATCHED) + measured("chain", "2026-11-10", value("length", "-1", "mm"))
    assert briefly(faults(text)) == [(fid(2), "watch")]


def test_another_place_stands_apart() -> None:
    text = heel("2026-11-01", ("left", "35.0"), new="40.0") + heel("2026-11-02", ("right", "35.0"))
    assert briefly(faults(text)) == [(fid(2), "stop"), (fid(3), "stop")]


def test_a_walk_round_says_gone_of_what_is_watched_only() -> None:
    assert faults(chain("2026-11-01", WATCHED) + walk("gone")) == []
    assert briefly(faults(chain("2026-11-01", OUT) + walk("gone"))) == [(fid(2), "stop")]


# --- a day set by a competent person


def until(day: str, mm: str = WATCHED, when: str = "2026-11-01") -> str:
    return chain(when, mm, rest=f"  until {day}\n")


def test_a_set_day_restricts_and_then_stops() -> None:
    """From 2 % a competent person sets the end date: makers' guidance."""
    text = until("2026-11-25")
    (fault,) = faults(text)
    end = day_end(date(2026, 11, 25), ZONE)
    assert (fault.seriousness, fault.deadline, fault.due) == ("repair-by", date(2026, 11, 25), end)
    state = measured_truck(text + "\nwalk-round truck:7 2026-11-20T07:00:00+01:00 ana\n").state
    assert state.code == "restricted"
    assert measured_truck(text, "2026-11-25T23:59:59").state.code == "not-checked"
    assert measured_truck(text, "2026-11-26T00:00:00").state.code == "out-of-service"


def test_the_state_holds_no_longer_than_the_set_day() -> None:
    now = measured_truck(until("2026-11-20"))
    assert now.state.holds_until == day_end(date(2026, 11, 20), ZONE)
    assert now.state.holds_until is not None
    assert now.state.holds_until - at(NOON) == timedelta(hours=12)


@pytest.mark.parametrize("mm", [WATCHED, "518.9", GOOD])
def test_a_set_day_is_not_lifted_by_a_later_reading(mm: str) -> None:
    assert briefly(faults(until("2026-11-25") + chain("2026-11-10", mm))) == [(fid(2), "repair-by")]


def test_the_earlier_of_two_set_days_counts() -> None:
    sooner = until("2026-11-25") + until("2026-11-22", when="2026-11-10")
    assert [fault.deadline for fault in faults(sooner)] == [date(2026, 11, 25), date(2026, 11, 22)]
    later = until("2026-11-25") + until("2026-12-20", when="2026-11-10")
    assert [fault.deadline for fault in faults(later)] == [date(2026, 11, 25)]


def test_a_set_day_stands_beside_the_days_of_the_limit() -> None:
    low = PLATE + pressed("2026-11-19", "7.5")
    day = "  until 2026-11-30\n"
    text = low + measured("tyre-pressure", "2026-11-19", value("now", "7.5", "bar"), rest=day)
    assert [fault.ref for fault in faults(text)] == [f"{fid(3)}#tyre.pressure", fid(4)]
    assert [fault.ref for fault in faults(text + pressed("2026-11-20", "8.0"))] == [FaultRef(fid(4))]


def test_a_set_day_ends_with_the_repair() -> None:
    assert faults(until("2026-11-25") + mended(fid(2), "2026-11-10")) == []


# --- the pressure of a walk-round


def soft(when: str, bar: str, seriousness: str, rest: str = "") -> str:
    mark = f', "mark": "fault", "symptom": "soft", "seriousness": "{seriousness}", "days": 3{rest}'
    return PLATE + pressed(when, bar, mark)


def test_a_value_answered_in_a_walk_round_is_judged() -> None:
    """29 CFR 1910.177(f): at 80 % of what is asked or less a tyre is out."""
    (fault,) = faults(PLATE + pressed("2026-11-20", "6.4"))
    assert (fault.ref, fault.seriousness, fault.check) == (f"{fid(3)}#tyre.pressure", "now", "tyre.pressure")
    assert faults(PLATE + pressed("2026-11-20", "8.0")) == []
    assert faults(pressed("2026-11-20", "1.0")) == []


def test_low_pressure_ends_with_a_good_one() -> None:
    low = PLATE + pressed("2026-11-19", "7.5")
    assert briefly(faults(low)) == [(f"{fid(3)}#tyre.pressure", "repair-by")]
    assert faults(low + pressed("2026-11-20", "8.0")) == []


def test_a_value_tightens_what_was_ticked_and_never_eases_it() -> None:
    (fault,) = faults(soft("2026-11-20", "6.4", "repair-by"))
    assert (fault.seriousness, fault.deadline) == ("now", None)
    assert fault.text.startswith("Look at tyre.pressure: soft: 6.4 bar is 80 %")
    (ticked,) = faults(soft("2026-11-20", "7.5", "stop"))
    assert (ticked.seriousness, ticked.text) == ("stop", "Look at tyre.pressure: soft")
    (fine,) = faults(soft("2026-11-20", "8.0", "repair-by"))
    assert fine.seriousness == "repair-by"


def test_what_was_inflated_on_the_spot_is_no_fault_above_80_percent() -> None:
    inflated = ', "put_right": "from 7.5 to 8"'
    assert faults(soft("2026-11-20", "7.5", "repair-by", inflated)) == []
    (fault,) = faults(soft("2026-11-20", "6.4", "repair-by", inflated))
    assert fault.seriousness == "now"


def test_what_was_written_as_serious_stays_so_without_a_verdict_of_today() -> None:
    (fault,) = faults(heel("2026-11-01", ("left", "39"), rest="  seriousness stop\n"))
    assert (fault.text, fault.source) == ("Fork: thickness of the heel: now 39 mm (left)", None)

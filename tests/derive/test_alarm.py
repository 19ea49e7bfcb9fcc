"""What should alarm: a truck that ran while it was out of service, or without a walk-round."""

from __future__ import annotations

from derive.builders import ENROLLED, KIND, ZONE, at, counting, fid
from dipmark.derive.alarm import alarms_now
from dipmark.derive.because import Because
from dipmark.derive.faults import cards_now, faults_now
from dipmark.derive.meter import meters_of
from dipmark.derive.state import last_walk
from dipmark.derive.yard import YardNow

READ = """
meter-read truck:7 2026-03-02T06:00:00+01:00 ana
  hours 100.0
"""
CARD = """
out-of-service truck:7 2026-03-02T08:00:00+01:00 ana
  reason leak
"""
WALK = """
walk-round truck:7 2026-03-02T06:00:00+01:00 ana
  answers - {"check":"brake.pedal"}
"""


def after(hours: str) -> str:
    return f"\nmeter-read truck:7 2026-03-03T12:00:00+01:00 ana\n  hours {hours}\n"


def alarms(text: str, as_of: str = "2026-03-03T13:00:00") -> tuple[Because, ...]:
    facts = counting(text, as_of)
    walk = last_walk(facts, KIND, YardNow(), ZONE, "")
    return alarms_now(meters_of(facts, ZONE), walk, faults_now(facts, KIND, ZONE), cards_now(facts), at(as_of))


def test_hours_on_a_truck_out_of_service_are_an_alarm() -> None:
    (alarm,) = alarms(ENROLLED + READ + CARD + after("106.0"))
    assert alarm.rule == "alarm.out-of-service"
    assert "ran at least 3.9 h while it was out of service" in alarm.text
    assert alarm.source == "us-178-p1"
    assert alarm.facts == (fid(4),)


def test_hours_that_may_have_run_before_the_card_are_none() -> None:
    assert alarms(ENROLLED + READ + CARD + after("102.0")) == ()


def test_what_a_truck_is_shunted_about_is_none_and_a_tenth_more_is() -> None:
    assert alarms(ENROLLED + READ + CARD + after("102.6")) == ()
    assert len(alarms(ENROLLED + READ + CARD + after("102.7"))) == 1


def test_a_fault_that_stops_the_truck_counts_like_a_card() -> None:
    fault = CARD.replace("out-of-service truck", "fault truck").replace("reason leak", "text leak\n  seriousness stop")
    assert [one.rule for one in alarms(ENROLLED + READ + fault + after("106.0"))] == ["alarm.out-of-service"]


def test_a_passed_deadline_counts_from_the_midnight_it_passed() -> None:
    fault = CARD.replace("out-of-service truck", "fault truck").replace(
        "reason leak", "text leak\n  seriousness repair-by\n  days 0"
    )
    (alarm,) = alarms(ENROLLED + READ + fault + after("121.0"))
    assert "at least 2.9 h" in alarm.text
    assert alarms(ENROLLED + READ + fault, "2026-03-02T20:00:00") == ()


def test_hours_after_the_cover_of_a_walk_round_are_an_alarm() -> None:
    (alarm,) = alarms(ENROLLED + READ + WALK + after("121.0"))
    assert alarm.rule == "alarm.unchecked"
    assert alarm.source == "us-178-q7"
    assert alarms(ENROLLED + READ + WALK + after("118.0")) == ()


def test_while_a_walk_round_covers_nothing_alarms() -> None:
    reading = "\nmeter-read truck:7 2026-03-02T20:00:00+01:00 ana\n  hours 114.0\n"
    assert alarms(ENROLLED + READ + WALK + reading, "2026-03-02T23:00:00") == ()


def test_without_a_walk_round_or_a_reading_nothing_is_proved() -> None:
    assert alarms(ENROLLED + READ + after("121.0")) == ()
    assert alarms(ENROLLED + CARD) == ()

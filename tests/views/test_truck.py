"""The page of one truck."""

from __future__ import annotations

from datetime import UTC
from decimal import Decimal

from dipmark.views.truck import TruckPage, truck_page
from views.yards import ANA, RULES, instant, made

RECORD = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
  serial A1
  built 2019
  capacity_kg 2500

walk-round truck:7 2026-11-20T06:00:00+00:00 ana
  @id 00000000-0000-7000-8000-00000000000a
  answers - {"check":"chain.tension","mark":"fault","symptom":"slack","seriousness":"stop","affects_safety":true}

fault truck:7 2026-11-20T05:00:00+00:00 ana
  text "seat torn"
  seriousness watch
"""
MENDED = (
    RECORD
    + """
worked truck:7 2026-11-20T09:00:00+00:00 ana
  mends - 00000000-0000-7000-8000-00000000000a#chain.tension
"""
)


def page(text: str, as_of: str = "2026-11-20T10:00") -> TruckPage:
    return truck_page(made(text, as_of), RULES, ANA, instant(as_of), UTC, "3-AAAA-AAAA-AAAA-AAAA")


def test_what_stops_it_comes_first_and_says_what_comes_next() -> None:
    shown = page(RECORD)
    assert [fault.text for fault in shown.faults] == ["Lift chains: slack", "seat torn"]
    assert [fault.words for fault in shown.faults] == ["Out of service", "Watch"]
    assert shown.faults[0].next == "mend"
    assert (shown.serial, shown.built, str(shown.capacity_kg), shown.code) == (
        "A1",
        2019,
        "2500",
        "3-AAAA-AAAA-AAAA-AAAA",
    )
    assert shown.row.state == "out-of-service"
    assert {row.service for row in shown.due} == {"8h", "150h"}


def test_a_mended_chain_is_tested_before_release() -> None:
    assert page(MENDED).faults[0].next == "test, then release"
    assert page(MENDED).faults[0].retest
    tested = MENDED + '  tests - {"test":"lift-test","passed":true}\n'
    assert page(tested).faults[0].next == "release"


def test_a_reading_not_like_the_truck_is_asked_about_for_a_month() -> None:
    def read(month: int, day: int, hours: int) -> str:
        return f"\nmeter-read truck:7 2026-{month:02}-{day:02}T00:00:00+00:00/day ana\n  hours {1000 + hours}\n"

    text = RECORD + "".join(read(9, day, 6 * day + day % 2) for day in range(1, 25)) + read(9, 25, 167)
    (doubt,) = page(text).doubts
    assert doubt.text.endswith("are usual: it counts; correct it if it is wrong")
    assert len(page(text + read(10, 26, 200)).doubts) == 1
    assert page(text + read(10, 27, 200)).doubts == ()


def test_doubtful_readings_say_what_to_do() -> None:
    readings = "".join(
        f"\nmeter-read truck:7 2026-11-{day}T00:00:00+00:00/day ana\n  hours {hours}\n"
        for day, hours in (("10", "1000"), ("11", "1008"), ("12", "1016"), ("13", "905"))
    )
    (doubt,) = page(RECORD + readings).doubts
    assert doubt.text.startswith("contradicts 3 or more good readings")
    (one, other) = page(RECORD + readings.replace("905", "1012")).doubts
    assert "one of two readings is wrong" in one.text
    assert {one.shown, other.shown} == {Decimal(1012), Decimal(1016)}

"""The hour meter: which readings agree, ties, roll-overs, changes, roundings, days."""

from __future__ import annotations

from random import Random

import pytest

from derive.builders import ENROLLED, NEW, ZONE, at, counting, fid
from dipmark.derive.meter import MeterLife, meters_of, micros


def read(day: str, hours: str, meter: str = "main", id: int | None = None) -> str:
    """A reading in November 2026: ``5`` is the whole fifth, ``5T07:30`` an instant on it."""
    number, _, clock = day.partition("T")
    stamp = f"2026-11-{int(number):02}T{clock or '00:00'}:00+01:00" + ("" if clock else "/day")
    own = "" if id is None else f"  @id {fid(id)}\n"
    return f"\nmeter-read truck:7 {stamp} ana\n  hours {hours}\n  meter {meter}\n{own}"


def changed(day: str, new: str, old: str | None = None, rest: str = "") -> str:
    text = read(day, "0").replace("meter-read", "meter-changed").replace("hours 0", f"new {new}")
    return text + ("" if old is None else f"  old {old}\n") + rest


def life(text: str, first: str = ENROLLED) -> MeterLife:
    return meters_of(counting(first + text), ZONE)[0]


def good(text: str, first: str = ENROLLED) -> list[str]:
    return [str(one.hours) for one in life(text, first).good]


def doubts(text: str, first: str = ENROLLED) -> list[tuple[str, str]]:
    return [(str(one.shown), one.why) for one in life(text, first).doubtful]


FOUR = ENROLLED + '  meters - {"name": "main", "counts": "engine", "digits": 4}\n'


# --- agreeing readings


def test_no_reading_no_hours() -> None:
    whole = life("")
    assert (whole.name, whole.counts, whole.good, whole.doubtful, whole.hours) == ("main", None, (), (), None)
    assert whole.hours_at(at("2026-11-20T00:00:00")) is None
    assert whole.hours_of(fid(1)) is None


def test_hours_are_those_of_the_last_reading_and_never_projected() -> None:
    whole = life(read("2T07:00", "100.0") + read("3T07:00", "108.5"))
    assert str(whole.hours) == "108.5"
    assert str(whole.hours_of(fid(2))) == "100.0"
    assert str(whole.hours_at(at("2026-11-03T07:00:00"))) == "108.5"
    assert str(whole.hours_at(at("2026-11-03T06:59:59"))) == "100.0"
    assert whole.hours_at(at("2026-11-02T06:59:59")) is None
    assert str(life(read("2", "100.0")).hours_at(at("2026-11-02T00:00:00"))) == "100.0"


@pytest.mark.parametrize(("hours", "agrees"), [("102.0", True), ("102.2", True), ("102.3", False)])
def test_hours_may_keep_up_with_the_clock_and_their_roundings_but_not_outrun_it(hours: str, agrees: bool) -> None:
    assert (doubts(read("2T07:00", "100.0") + read("2T09:00", hours)) == []) is agrees


@pytest.mark.parametrize(("hours", "agrees"), [("100.0", True), ("99.9", True), ("99.8", False)])
def test_hours_may_fall_by_less_than_both_roundings(hours: str, agrees: bool) -> None:
    assert (doubts(read("2T07:00", "100.0") + read("3T07:00", hours)) == []) is agrees


def test_a_date_is_the_whole_local_day() -> None:
    assert doubts(read("2", "100.0") + read("3T23:00", "147.0")) == []
    assert doubts(read("2", "100.0") + read("3T23:00", "147.3")) != []
    assert doubts(read("2T07:00", "100.0") + read("2", "117.0")) == []
    assert doubts(read("2T07:00", "100.0") + read("2", "117.3")) != []


def test_readings_of_one_day_are_put_in_order_by_their_hours() -> None:
    text = read("2", "108.0") + read("2", "104.0") + read("2T06:00", "100.0") + read("2", "99.0")
    assert good(text) == ["99.0", "100.0", "104.0", "108.0"]


def test_the_day_the_clocks_go_back_has_twenty_five_hours() -> None:
    text = "\n".join(
        f"meter-read truck:7 2026-10-{day}T00:00:00+0{offset}:00 ana\n  hours {hours}"
        for day, offset, hours in (("25", 2, "100.0"), ("26", 1, "125.2"))
    )
    assert doubts(text) == []
    assert doubts(text.replace("125.2", "125.3")) != []


def test_hours_when_commissioned_count_on_that_day() -> None:
    assert good(read("2T07:00", "100.0"), NEW) == ["2", "100.0"]
    assert good(read("2T07:00", "100.0"), NEW.replace("  commissioned 2026-01-01\n", "")) == ["100.0"]
    assert good(read("2T07:00", "100.0"), NEW.replace("  start_hours 2\n", "")) == ["100.0"]


def test_the_commissioning_day_is_the_yards_not_that_of_the_offset_it_was_written_with() -> None:
    text = NEW.replace("2026-01-01T06:00:00+01:00", "2026-01-02T00:00:00-08:00")
    start = life("", text).good[0].start
    assert start == micros(at("2026-01-01T00:00:00"))


def test_every_kind_of_fact_may_carry_a_reading() -> None:
    text = """
walk-round truck:7 2026-11-02T07:00:00+01:00 ana
  meter {"hours": "100.0"}

worked truck:7 2026-11-03T07:00:00+01:00 ana
  meter {"hours": "108.0"}

held-by truck:7 2026-11-04T07:00:00+01:00 ana
  who yard
"""
    assert good(text) == ["100.0", "108.0"]


# --- roundings


def test_whole_hours_beside_tenths_are_honest_rounded_up_or_down() -> None:
    assert doubts(read("2T07:00", "1234") + read("3T07:00", "1233.6") + read("4T07:00", "1241.2")) == []
    assert doubts(read("2T07:00", "1233.9") + read("3T07:00", "1233") + read("4T07:00", "1241.2")) == []
    assert doubts(read("2T07:00", "1234") + read("3T07:00", "1233") + read("4T07:00", "1234")) == []


def test_whole_hours_keep_the_order_of_time() -> None:
    assert good(read("2T07:00", "1234") + read("3T07:00", "1233.6")) == ["1234", "1233.6"]
    assert str(life(read("2T07:00", "1234") + read("3T07:00", "1233.6")).hours) == "1233.6"


def test_a_fall_of_more_than_whole_hours_explain_is_doubtful() -> None:
    assert doubts(read("2T07:00", "1234") + read("3T07:00", "1232")) != []


@pytest.mark.parametrize("seed", range(12))
def test_honest_readings_of_mixed_rounding_are_never_doubted(seed: int) -> None:
    rng = Random(seed)
    text, tenths = "", 10_000
    for day in range(1, 31):
        tenths += rng.randrange(0, 121) if rng.random() < 0.6 else 0
        whole, down = str(tenths // 10), rng.random() < 0.5
        shown = rng.choice([f"{tenths / 10:.1f}", whole, whole if down or tenths % 10 == 0 else str(tenths // 10 + 1)])
        text += read(f"{day}" if rng.random() < 0.3 else f"{day}T20:00", shown)
    assert doubts(text) == []


# --- how sure


def sure(text: str, instant: str) -> tuple[str, str, str] | None:
    found = life(text).sure_at(at(instant))
    return None if found is None else (str(found.low), str(found.high), str(found.likely))


TWO = read("2T07:00", "100.0") + read("3T07:00", "108.0")


def test_hours_are_never_known_without_a_reading() -> None:
    assert sure("", "2026-11-02T07:00:00") is None


@pytest.mark.parametrize(
    ("instant", "expected"),
    [
        ("2026-11-02T07:00:00", ("99.9", "100.1", "100.0")),
        ("2026-11-02T13:00:00", ("99.9", "106.1", "102.0")),
        ("2026-11-02T19:00:00", ("99.9", "108.1", "104.0")),
        ("2026-11-03T06:00:00", ("106.9", "108.1", "107.7")),
        ("2026-11-03T07:00:00", ("107.9", "108.1", "108.0")),
        ("2026-11-04T07:00:00", ("107.9", "132.1", "None")),
        ("2026-11-02T05:00:00", ("97.9", "100.1", "None")),
        ("2026-01-01T00:00:00", ("0.0", "100.1", "None")),
    ],
)
def test_hours_lie_between_the_readings_before_and_after(instant: str, expected: tuple[str, str, str]) -> None:
    """They do not fall, and do not outrun the clock from the one or to the other; a tenth either way for rounding."""
    assert sure(TWO, instant) == expected


def test_a_whole_day_is_less_sure() -> None:
    assert sure(read("2", "100.0"), "2026-11-02T12:00:00") == ("87.9", "112.1", "100.0")
    assert sure(read("2", "100.0"), "2026-11-03T12:00:00") == ("99.9", "136.1", "None")
    assert sure(read("2", "100.0") + read("2", "100.0"), "2026-11-02T12:00:00") == ("87.9", "112.1", "100.0")


def test_what_is_likely_stays_between_the_bounds() -> None:
    text = read("1T07:00", "90.0") + read("2", "100.0") + read("2T23:00", "100.0") + read("3T07:00", "100.0")
    for hour in range(24):
        found = life(text).sure_at(at(f"2026-11-02T{hour:02}:00:00"))
        assert found is not None
        assert found.likely is not None
        assert found.low <= found.likely <= found.high


def test_a_day_that_had_not_begun_when_it_was_written_is_the_instant_of_its_receipt() -> None:
    ahead = read("20", "116.0").replace("\n  hours", "\n  @received 2026-11-04T07:00:00+01:00\n  hours")
    whole = life(TWO + ahead)
    assert whole.good[-1].start == whole.good[-1].end == micros(at("2026-11-04T07:00:00"))
    assert str(whole.good[-1].day) == "2026-11-04"


# --- slips


HONEST = "".join(read(f"{day}T07:00", f"{100 + 8 * day}.0") for day in range(1, 9) if day != 5)


@pytest.mark.parametrize("slip", ["410.0", "14.0", "1400.0", "14000.0", "123.7", "164.3", "104.1", "0.0"])
def test_a_slip_that_contradicts_two_good_readings_is_pinned(slip: str) -> None:
    whole = life(HONEST + read("5T07:00", slip))
    assert [(str(one.shown), one.why) for one in whole.doubtful] == [(slip, "contradicts")]
    assert 2 <= len(whole.doubtful[0].against) <= 3
    assert len(whole.good) == 7


def test_a_wrong_last_reading_is_pinned_by_those_before() -> None:
    assert doubts(HONEST + read("9T07:00", "117.2")) == [("117.2", "contradicts")]
    assert str(life(HONEST + read("9T07:00", "117.2")).hours) == "164.0"


def test_a_slip_that_contradicts_one_good_reading_only_keeps_both_out() -> None:
    whole = life(read("2T07:00", "100.0") + read("3T07:00", "180.0"))
    assert whole.good == ()
    assert whole.hours is None
    assert [(one.fact, one.why, one.against) for one in whole.doubtful] == [
        (fid(2), "one of two", (fid(3),)),
        (fid(3), "one of two", (fid(2),)),
    ]


def test_a_tie_in_the_middle_keeps_the_rest() -> None:
    text = read("2T07:00", "100.0") + read("4T07:00", "116.0") + read("5T07:00", "114.0") + read("6T07:00", "124.0")
    assert good(text) == ["100.0", "124.0"]
    assert doubts(text) == [("116.0", "one of two"), ("114.0", "one of two")]


def test_three_that_contradict_one_another_are_all_asked_about() -> None:
    text = read("2T07:00", "100.0") + read("2T08:00", "150.0") + read("2T09:00", "200.0") + read("2T07:30", "100.5")
    assert good(text) == ["100.0", "100.5"]
    text = read("2T07:00", "100.0") + read("2T08:00", "90.0") + read("2T09:00", "80.0")
    assert doubts(text) == [("100.0", "one of two"), ("90.0", "one of two"), ("80.0", "one of two")]


def test_order_of_writing_does_not_matter() -> None:
    days = [read(f"{day}T07:00", f"{100 + 8 * day}.0", id=100 + day) for day in range(1, 9)]
    days[4] = read("5T07:00", "410.0", id=105)
    assert life("".join(days)) == life("".join(reversed(days)))


# --- starting again at zero


def test_the_meter_starts_again_at_zero() -> None:
    assert good(read("2T07:00", "9987.4") + read("4T07:00", "0012.9"), FOUR) == ["9987.4", "10012.9"]


def test_without_known_digits_a_fall_is_a_contradiction() -> None:
    assert doubts(read("2T07:00", "9987.4") + read("4T07:00", "0012.9")) != []


def test_without_known_digits_it_seems_to_have_started_again_where_more_readings_agree_so() -> None:
    text = read("2T07:00", "9987.4") + read("4T07:00", "0012.9")
    assert life(text).starts_again == 10_000
    assert life(text.replace("9987", "99987")).starts_again == 100_000
    assert life(text, FOUR).starts_again is None
    assert life(read("2T07:00", "5000.0") + read("4T07:00", "0012.9")).starts_again is None
    more = "".join(read(f"{day}T07:00", f"{8 * day}.9") for day in range(5, 9))
    assert life(text + more).starts_again == 10_000
    assert life(read("1T07:00", "9979.4") + text + read("5T07:00", "9995.0")).starts_again is None


@pytest.mark.parametrize("digits", ["0", "1", "13", "999999999"])
def test_a_number_of_digits_that_no_meter_has_is_as_good_as_unknown(digits: str) -> None:
    text = read("2T07:00", "9987.4") + read("3T07:00", "9990.0") + read("4T07:00", "0012.9")
    first = FOUR.replace('"digits": 4', f'"digits": {digits}')
    assert doubts(text, first) == [("12.9", "contradicts")]


def test_the_clock_must_allow_a_turn() -> None:
    text = read("2T07:00", "9987.4") + read("2T12:00", "9990.0") + read("3T12:00", "12.9")
    assert doubts(text, FOUR) == []
    text = read("2T07:00", "9987.4") + read("2T12:00", "9990.0") + read("2T14:00", "12.9")
    assert doubts(text, FOUR) == [("12.9", "contradicts")]


def test_a_fall_of_half_the_meter_or_less_is_no_turn() -> None:
    months = "".join(
        f"\nmeter-read truck:7 2026-{month:02}-01T07:00:00+01:00 ana\n  hours {hours}"
        for month, hours in ((1, "60.0"), (3, "10.0"), (4, "20.0"), (5, "30.0"))
    )
    two = FOUR.replace('"digits": 4', '"digits": 2')
    assert doubts(months, two) == [("60.0", "contradicts")]
    assert good(months.replace("60.0", "60.1"), two) == ["60.1", "110.0", "120.0", "130.0"]


BEFORE = read("1T07:00", "9971.4") + read("2T07:00", "9979.4") + read("3T07:00", "9987.4")
AFTER = read("5T07:00", "12.9") + read("6T07:00", "20.9") + read("7T07:00", "28.9")
TURNED = ["9971.4", "9979.4", "9987.4", "10012.9", "10020.9", "10028.9"]


@pytest.mark.parametrize("slip", ["998.4", "9799.4", "99990", "5000.0", "50.0"])
def test_a_slip_beside_a_turn_does_not_hide_it(slip: str) -> None:
    for moment in ("3T18:00", "5T18:00"):
        whole = life(BEFORE + read(moment, slip) + AFTER, FOUR)
        assert [str(one.shown) for one in whole.doubtful] == [slip]
        assert [str(one.hours) for one in whole.good] == TURNED


def test_a_high_slip_after_a_long_gap_does_not_turn_the_meter() -> None:
    text = "".join(
        f"\nmeter-read truck:7 2026-{month:02}-01T07:00:00+01:00 ana\n  hours {hours}"
        for month, hours in ((1, "100.0"), (2, "200.0"), (3, "9900.0"), (9, "800.0"), (10, "900.0"), (11, "1000.0"))
    )
    assert good(text, FOUR) == ["100.0", "200.0", "800.0", "900.0", "1000.0"]
    assert doubts(text, FOUR) == [("9900.0", "contradicts")]


def test_readings_of_the_day_of_the_turn_need_no_time() -> None:
    text = BEFORE + read("4", "9995.0") + read("4", "3.0") + AFTER
    assert good(text, FOUR) == [*TURNED[:3], "9995.0", "10003.0", *TURNED[3:]]


# --- changes of the meter


def test_true_hours_run_on_where_the_old_value_is_known() -> None:
    text = read("2T07:00", "5000.0") + changed("3T07:00", "0.0", "5008.0") + read("4T07:00", "8.0")
    assert good(text) == ["5000.0", "5008.0", "5008.0", "5016.0"]
    assert str(life(text).hours_of(fid(3))) == "5008.0"


def test_without_the_old_value_they_run_on_from_the_last_good_reading() -> None:
    text = read("2T07:00", "5000.0") + changed("3T07:00", "1.0") + read("4T07:00", "8.0")
    assert good(text) == ["5000.0", "5000.0", "5007.0"]


def test_a_change_before_any_reading_starts_at_zero() -> None:
    assert good(changed("3T07:00", "700.0") + read("4T07:00", "708.0")) == ["0.0", "8.0"]


def test_a_wrong_old_value_is_doubtful_and_not_run_on_from() -> None:
    text = read("1T07:00", "4992.0") + read("2T07:00", "5000.0") + changed("3T07:00", "0.0", "8000.0")
    assert good(text + read("4T07:00", "8.0")) == ["4992.0", "5000.0", "5000.0", "5008.0"]
    assert doubts(text) == [("8000.0", "contradicts")]


def test_the_new_meter_may_have_other_digits() -> None:
    text = changed("1T07:00", "99990.0", rest="  digits 5\n") + read("3T07:00", "4.0")
    assert good(text, FOUR) == ["0.0", "14.0"]


@pytest.mark.parametrize("ids", [(10, 11, 12), (12, 11, 10), (11, 10, 12), (12, 10, 11)])
def test_readings_of_the_day_of_a_change_go_to_the_meter_they_are_nearest_to(ids: tuple[int, int, int]) -> None:
    change, old, new = ids
    text = read("2", "5000.0", id=9) + changed("3", "0.0", "5008.0", f"  @id {fid(change)}\n")
    text += read("3", "5006.0", id=old) + read("3", "2.0", id=new) + read("4", "8.0", id=13)
    assert good(text) == ["5000.0", "5006.0", "5008.0", "5008.0", "5010.0", "5016.0"]


def test_readings_of_other_days_than_that_of_a_change_keep_to_their_order() -> None:
    text = read("2", "10.0") + changed("3", "0.0", "20.0") + read("4", "16.0")
    assert good(text) == ["10.0", "20.0", "20.0", "36.0"]


def test_a_reading_at_the_very_instant_of_a_change_goes_to_the_meter_it_is_nearest_to() -> None:
    text = changed("3T07:00", "0.0", "5008.0") + read("3T07:00", "5008.0") + read("4T07:00", "8.0")
    assert good(text) == ["5008.0", "5008.0", "5008.0", "5016.0"]


# --- several meters


def test_meters_are_never_mixed() -> None:
    first = NEW + '  meters - {"name": "main", "counts": "engine"}\n  meters - {"name": "pump", "counts": "lift"}\n'
    text = first + read("2T07:00", "100.0") + read("2T07:00", "20.0", "pump") + read("3T07:00", "3.0", "spare")
    text += changed("4T07:00", "0.0", "25.0", "").replace("meter main", "meter pump") + read("5T07:00", "1.0", "pump")
    main, pump, spare = meters_of(counting(text), ZONE)
    assert [str(one.hours) for one in main.good] == ["2", "100.0"]
    assert [str(one.hours) for one in pump.good] == ["20.0", "25.0", "25.0", "26.0"]
    assert (pump.counts, spare.name, spare.counts) == ("lift", "spare", None)
    assert [str(one.hours) for one in spare.good] == ["3.0"]

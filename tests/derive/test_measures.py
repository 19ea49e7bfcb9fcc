"""Every reading of a truck judged by today's rules; the latest, the one nearest its limit, and the doubtful ones."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import msgspec
import pytest

from derive.builders import fid
from derive.measuring import NOON, PLATE, RULES, chain, heel, measured, measured_truck, measures, pressed, value
from dipmark.derive.judging import Judged
from dipmark.derive.measures import Measure, Nearest, amount, doubt_of, grows, latest, nearest, value_of
from dipmark.facts.base import FaultRef
from dipmark.rules.model import Rules

SET = "  until 2026-12-01\n"


def told(one: Measure) -> tuple[str | None, str | None]:
    return (one.judged.verdict if one.judged else None), one.seriousness


def worst(text: str, rules: Rules = RULES) -> Nearest | None:
    return nearest(measures(text, rules=rules), rules)


@pytest.mark.parametrize(
    ("mm", "verdict", "serious"),
    [("518.15", "in", None), ("518.16", "watch", "watch"), ("523.23", "watch", "watch"), ("523.24", "stop", "stop")],
)
def test_a_reading_is_judged_by_the_limits_of_today(mm: str, verdict: str, serious: str | None) -> None:
    """Chain: watched from 2 %, out at 3 % (makers' guidance, TM 10-3930-671-24 p. 739)."""
    (one,) = measures(chain("2026-11-01", mm))
    assert told(one) == (verdict, serious)
    assert (one.name, one.ref, one.check, one.day) == ("chain", FaultRef(fid(2)), "chain", date(2026, 11, 1))
    assert (one.said[0], one.retest, one.places) == (f"length {mm} mm", True, ())


def test_a_stricter_rule_of_today_tightens_and_a_looser_one_does_not() -> None:
    text = chain("2026-11-01", "515.0", rest="  seriousness stop\n")
    assert told(measures(text)[0]) == ("in", "stop")
    limits = RULES.subjects["chain"].limits
    strict = {**limits, "worn": msgspec.structs.replace(limits["worn"], value=Decimal(1))}
    subjects = {**RULES.subjects, "chain": msgspec.structs.replace(RULES.subjects["chain"], limits=strict)}
    tight = msgspec.structs.replace(RULES, subjects=subjects)
    assert told(measures(chain("2026-11-01", "515.0"), rules=tight)[0]) == ("stop", "stop")


def test_a_day_set_by_a_person_restricts() -> None:
    (one,) = measures(chain("2026-11-01", "519.0", rest=SET))
    assert (told(one), one.deadline, one.light) == (("watch", "repair-by"), date(2026, 12, 1), False)
    (out,) = measures(chain("2026-11-01", "524.0", rest=SET))
    assert (told(out), out.deadline) == (("stop", "stop"), None)


def test_the_days_of_a_limit_count_from_the_day_of_the_reading() -> None:
    """Below what the plate asks: one day, common practice, no source."""
    (one,) = measures(PLATE + pressed("2026-11-20", "7.9"))
    assert (told(one), one.deadline, one.light) == (("repair-by", "repair-by"), date(2026, 11, 21), True)
    sooner = measured("tyre-pressure", "2026-11-20", value("now", "7.9", "bar"), rest="  until 2026-11-20\n")
    assert measures(PLATE + sooner)[0].deadline == date(2026, 11, 20)
    bare = heel("2026-11-20", ("left", "39"), new="40", rest="  seriousness repair-by\n")
    assert measures(bare)[0].deadline == date(2026, 11, 20)


@pytest.mark.parametrize(
    ("bar", "mark", "serious"),
    [
        ("8.0", "", None),
        ("7.9", "", "repair-by"),
        ("6.4", "", "now"),  # 29 CFR 1910.177(f): 80 % of what is asked or less
        ("7.9", ', "mark": "fault", "symptom": "soft", "seriousness": "repair-by", "put_right": "to 8"', None),
        ("6.4", ', "mark": "fault", "symptom": "soft", "seriousness": "repair-by", "put_right": "to 8"', "now"),
    ],
)
def test_what_was_put_right_on_the_spot_does_nothing_unless_it_was_out(
    bar: str, mark: str, serious: str | None
) -> None:
    (one,) = measures(PLATE + pressed("2026-11-20", bar, mark))
    assert one.seriousness == serious
    assert one.check == "tyre.pressure"
    twice = measures(PLATE + pressed("2026-11-19", bar, mark) + pressed("2026-11-20", bar, mark))
    assert [again.seriousness for again in twice] == [serious, serious]


def test_without_what_is_needed_it_is_kept_and_not_judged() -> None:
    (one,) = measures(pressed("2026-11-20", "4.0"))
    assert (one.judged, one.seriousness) == (None, None)
    assert [problem.code for problem in one.problems] == ["measure-missing"]
    (carried,) = measures(heel("2026-11-20", ("left", "39"), rest="  seriousness stop\n"))
    assert (carried.judged, carried.seriousness) == (None, "stop")


def test_what_a_judge_refuses_is_kept_and_not_judged() -> None:
    (one,) = measures(heel("2026-11-20", ("left", "45"), new="40"))
    assert (one.judged, bool(one.problems), doubt_of(one, RULES)) == (None, True, Decimal(0))


def test_rules_without_the_subject_judge_nothing() -> None:
    bare = msgspec.structs.replace(RULES, subjects={})
    (one,) = measures(chain("2026-11-01", "510.0"), rules=bare)
    assert [problem.code for problem in one.problems] == ["measure-no-limits"]
    assert one.retest is False


def test_an_item_never_stops_the_truck() -> None:
    cells = [value("cell", text, "sg") for text in ("1.260", "1.150")]
    (one,) = measures(measured("cells", "2026-11-01", *cells, rest=SET))
    assert (one.judged is not None and one.judged.verdict not in {None, "in"}, one.seriousness) == (True, None)


# --- the latest


def test_a_later_reading_takes_the_place_of_an_earlier_one_of_the_same_places() -> None:
    left, right = heel("2026-11-01", ("left", "39"), new="40"), heel("2026-11-02", ("right", "38"))
    both, bare = heel("2026-11-03", ("left", "38.9"), ("right", "37.9")), heel("2026-11-04", ("", "37.8"))
    for text, days in ((left + right, [1, 2]), (left + right + both, [3]), (left + right + both + bare, [4])):
        assert [one.day.day for one in latest(measures(text))] == days
    item = heel("2026-11-05", ("left", "38.9"), new="40", rest="  item item:forks-1\n")
    assert [one.day.day for one in latest(measures(left + item))] == [1, 5]


# --- doubt


def test_one_step_of_the_instrument_is_the_doubt_of_the_value() -> None:
    (tenth,) = measures(heel("2026-11-01", ("left", "39.0"), new="40"))
    (whole,) = measures(heel("2026-11-01", ("left", "39"), new="40"))
    assert (doubt_of(tenth, RULES), doubt_of(whole, RULES)) == (Decimal("0.25"), Decimal("2.5"))


def test_a_known_error_is_the_doubt() -> None:
    kept = [value("pitches", "20", "count", key="conditions"), value("pitch", "25.4", "mm", key="conditions")]
    error = value("error", "2.54", "mm", key="conditions")
    (one,) = measures(measured("chain", "2026-11-01", value("length", "510.00", "mm"), *kept, error))
    assert doubt_of(one, RULES) == Decimal("0.5")


def test_a_word_has_no_doubt() -> None:
    crack = '  chosen - {"quantity": "found", "word": "crack"}\n'
    (one,) = measures(measured("fork-cracks", "2026-11-01", "  values []\n", crack))
    assert (told(one), doubt_of(one, RULES)) == (("stop", "stop"), Decimal(0))
    assert worst(measured("fork-cracks", "2026-11-01", "  values []\n", crack)) is None


def test_a_reading_moved_out_of_what_can_be_has_no_doubt() -> None:
    (one,) = measures(heel("2026-11-01", ("left", "40"), new="40"))
    assert (one.judged is not None, doubt_of(one, RULES)) == (True, Decimal(0))


# --- what goes back


def test_a_fork_that_grew_is_doubtful_unless_it_was_renewed() -> None:
    first, grown = heel("2026-09-01", ("left", "38.0"), new="40.0"), heel("2026-10-01", ("left", "38.9"))
    assert [one.against for one in measures(first + grown)] == [None, fid(2)]
    renewal = '\nworked truck:7 2026-09-10T08:00:00+01:00 mia\n  parts - {"part": "fork-heel"}\n'
    fresh = heel("2026-10-01", ("left", "38.9"), new="40.0")
    after = measures(first + renewal + fresh)
    assert [(one.against, one.renewed) for one in after] == [(None, True), (None, False)]


def test_a_step_of_each_reading_explains_a_move_back() -> None:
    first = heel("2026-09-01", ("left", "38.0"), new="40.0")
    assert measures(first + heel("2026-10-01", ("left", "38.2")))[1].against is None
    assert measures(first + heel("2026-10-01", ("left", "38.3")))[1].against == fid(2)


def test_a_chain_that_shrank_is_doubtful() -> None:
    text = chain("2026-09-01", "516.0") + chain("2026-10-01", "512.0")
    assert [one.against for one in measures(text)] == [None, fid(2)]


def test_other_places_and_what_is_not_judged_stand_apart() -> None:
    text = heel("2026-09-01", ("left", "38.0"), new="40.0") + heel("2026-10-01", ("right", "39.0"))
    assert [one.against for one in measures(text)] == [None, None]
    odd = heel("2026-09-01", ("left", "38.0"), new="40.0") + heel("2026-10-01", ("left", "-1"))
    assert [one.against for one in measures(odd)] == [None, None]


def test_inches_and_millimetres_are_held_against_one_another() -> None:
    def tyre(when: str, text: str, unit: str) -> str:
        kept = value("new", "500", "mm", key="conditions")
        return measured("cushion-tyre", when, value("now", text, unit, "left"), kept)

    text = tyre("2026-09-01", "480.0", "mm") + tyre("2026-10-01", "19.50", "in")
    before, after = measures(text)
    assert after.against == before.fact
    assert (value_of(before, "in"), value_of(before), value_of(before, "kPa")) == (
        Decimal("0.787402"),
        Decimal(20),
        None,
    )
    assert value_of(before, "furlong") is None


# --- nearest its limit


def test_the_value_nearest_its_limit_is_the_worst() -> None:
    """Heel: out at 90.0 %; chain: out at 3 %."""
    text = chain("2026-11-01", "512.0") + heel("2026-11-02", ("left", "37.0"), new="40.0")
    found = worst(text)
    assert found is not None
    assert (found.name, found.value, found.limit, found.full, found.unit, found.doubt) == (
        "fork-heel",
        Decimal("92.5"),
        Decimal(90),
        Decimal(100),
        "%",
        Decimal("0.25"),
    )
    assert found.left == Decimal("0.25")


def test_a_gauge_of_a_watched_value_still_empties_towards_the_serious_limit() -> None:
    found = worst(chain("2026-11-01", "519.0"))
    assert found is not None
    assert (found.limit, found.full, found.seriousness) == (Decimal(3), Decimal(0), "watch")


def test_where_nothing_worn_is_no_number_the_best_reading_is_the_full_mark() -> None:
    found = worst(PLATE + pressed("2026-11-18", "8.2") + pressed("2026-11-19", "8.0"))
    assert found is not None
    assert (found.full, found.value, found.limit) == (Decimal("8.2"), Decimal(8), Decimal("6.4"))
    assert worst(PLATE + pressed("2026-11-18", "6.4")) is None


def test_what_grows_and_is_no_share_is_full_at_its_least() -> None:
    def drift(when: str, mm: str) -> str:
        words = '  chosen - {"quantity": "where", "word": "fork"}\n'
        lines = (
            value("drop", mm, "mm"),
            value("time", "10", "min"),
            value("load", "100", "%"),
            value("oil", "45", "C"),
        )
        return measured("lift-drift", when, *lines, words)

    found = worst(drift("2026-10-01", "20") + drift("2026-11-01", "40"))
    assert found is not None
    assert (found.full, found.value, found.limit) == (Decimal(20), Decimal(40), Decimal(100))


def test_what_was_renewed_since_has_no_gauge() -> None:
    renewal = '\nworked truck:7 2026-11-10T08:00:00+01:00 mia\n  parts - {"part": "chain"}\n'
    assert worst(chain("2026-11-01", "519.0") + renewal) is None


def test_a_truck_carries_its_readings_and_its_worst() -> None:
    now = measured_truck(chain("2026-11-01", "512.0"))
    assert [one.name for one in now.measures] == ["chain"]
    assert now.worst == nearest(now.measures, RULES)


# --- a laboratory's sheet


def sampled(when: str, water: str, fluid: str = "engine oil") -> str:
    return (
        f'\nsampled truck:7 {when}T12:00:00+01:00 mia\n  fluid "{fluid}"\n'
        f'  results - {{"quantity": "water", "value": "{water}", "unit": "%"}}\n'
    )


def test_each_result_of_a_sheet_is_a_reading() -> None:
    (one,) = measures(sampled("2026-11-01", "0.2"))
    assert (one.name, one.ref, one.places) == ("oil-sheet", FaultRef(f"{fid(2)}#water"), ("engine oil: water",))
    assert told(one) == ("watch", "watch")
    found = worst(sampled("2026-11-01", "0.02"))
    assert (found.name if found else None) == "water"


def test_a_better_sheet_takes_the_place_of_the_one_before() -> None:
    text = sampled("2026-10-01", "0.2") + chain("2026-10-02", "510") + sampled("2026-11-01", "0.02")
    assert [(one.name, told(one)[1]) for one in latest(measures(text))] == [("chain", None), ("oil-sheet", None)]
    assert not [fault for fault in measured_truck(text).faults if fault.open]


def test_a_yards_own_serious_limit_stops_by_the_second_sheet() -> None:
    """One sample decides nothing: common practice, no source."""
    oil = RULES.subjects["oil"]
    for verdict, days in (("stop", None), ("repair-by", 7)):
        limit = msgspec.structs.replace(oil.limits["water"], verdict=verdict, days=days)
        subjects = {**RULES.subjects, "oil": msgspec.structs.replace(oil, limits={**oil.limits, "water": limit})}
        own = msgspec.structs.replace(RULES, subjects=subjects)
        found = measures(sampled("2026-10-01", "0.2") + sampled("2026-11-01", "0.2"), rules=own)
        assert [one.seriousness for one in found] == ["watch", verdict]
        assert found[1].deadline == (None if days is None else date(2026, 11, 8))


def test_a_sheet_without_rules_of_oil_is_no_reading() -> None:
    bare = msgspec.structs.replace(RULES, subjects={})
    assert measures(sampled("2026-11-01", "0.2"), rules=bare) == ()


# --- small


def test_no_limit_no_side() -> None:
    bare = Judged(subject="x", value=None, unit=None, verdict=None, because="")
    assert grows(bare, RULES) is None
    assert grows(msgspec.structs.replace(bare, rule="dragon.limit"), RULES) is None
    assert grows(msgspec.structs.replace(bare, rule="chain.worn"), RULES) is True
    assert grows(msgspec.structs.replace(bare, rule="forks.heel"), RULES) is False


def test_a_value_is_shown_with_its_unit() -> None:
    assert [amount(Decimal("3.0200"), "%"), amount(Decimal(7), None), amount("class 3", "ml/h"), amount(None, "%")] == [
        "3.02 %",
        "7",
        "class 3",
        "–",
    ]


def test_nothing_measured_is_nothing() -> None:
    assert measures("", NOON) == ()
    assert worst("") is None

"""What was measured, as people read it: verdict, gauge, hours left, what is doubtful, what is used."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import msgspec
import pytest

from derive.builders import fid
from derive.measuring import PLATE, RULES, chain, heel, measured_truck, pressed
from derive.test_wear import EACH, STEADY, at_hours, topped, worn
from dipmark.derive.judging import Judged
from dipmark.derive.measures import nearest
from dipmark.facts.base import PersonKey
from dipmark.views.gauge import Gauge
from dipmark.views.measures import (
    MeasureRow,
    limit_words,
    measure_gauge,
    measure_rows,
    sheet_rows,
    title_of,
    told,
    use_rows,
    verdict_words,
)
from dipmark.views.yard import yard_row
from views.yards import instant

NAMES = {PersonKey("mia"): "Mia Berg"}


def rows(text: str) -> tuple[MeasureRow, ...]:
    return measure_rows(measured_truck(text), RULES, NAMES)


def judged(verdict: str | None, **more: object) -> Judged:
    return Judged(
        subject="chain",
        value=Decimal("3.02"),
        unit="%",
        verdict=verdict,  # type: ignore[arg-type]
        because="Grown.",
        limit=Decimal(3),
        rule="chain.worn",
        source="chain-wear",
        **more,  # type: ignore[arg-type]
    )


def test_a_row_says_all_of_a_reading() -> None:
    (row,) = rows(heel("2026-11-01", ("left", "37.0"), new="40.0", rest="  item item:forks-1\n  until 2026-12-24\n"))
    assert (row.name, row.where, row.value, row.unit, row.limit) == (
        "fork-heel",
        "left, forks-1",
        Decimal("92.5"),
        "%",
        Decimal(90),
    )
    assert (row.verdict, row.words, row.day, row.by, row.until) == (
        "in",
        "In its limits",
        date(2026, 11, 1),
        "Mia Berg",
        date(2026, 12, 24),
    )
    assert (row.said, row.fact) == ("now 37.0 mm (left), new 40.0 mm", fid(2))
    assert row.source is not None
    assert row.source.startswith("ISO 5057")
    assert row.gauge == Gauge("fork heel", Decimal(90), Decimal(100), Decimal("92.5"), Decimal("0.25"), "%")
    assert limit_words(row) == "92.5 %, limit 90 %"


def test_what_could_not_be_judged_says_what_is_missing() -> None:
    (row,) = rows(pressed("2026-11-01", "7.9"))
    assert (row.words, row.value, row.verdict, row.gauge, row.source) == ("Not judged", None, None, None, None)
    assert row.because.startswith("Found no asked; expected pressure that the plate asks")
    assert limit_words(row) == "now 7.9 bar"


def test_a_part_renewed_since_has_no_gauge_and_says_so() -> None:
    renewal = '\nworked truck:7 2026-11-10T08:00:00+01:00 mia\n  parts - {"part": "chain"}\n'
    (row,) = rows(chain("2026-11-01", "519.0") + renewal)
    assert row.gauge is None
    assert row.renewed == "Renewed or mended since: measure again."


def test_a_reading_without_a_limit_shows_its_value() -> None:
    assert limit_words(msgspec.structs.replace(rows(chain("2026-11-01", "510"))[0], limit=None)) == "0.394 %"


# --- what is left


def test_hours_left_are_for_ordering_only() -> None:
    (row,) = rows(worn(STEADY))
    assert row.wear is not None
    assert row.wear.text.endswith("For ordering only; the limit decides.")
    assert row.wear.low is not None
    assert row.wear.middle is not None
    assert row.wear.high is not None
    assert 0 < row.wear.low <= row.wear.middle <= row.wear.high
    assert (row.wear.limit, row.wear.unit, row.wear.doubtful) == (Decimal(3), "%", ())
    assert [point.hours for point in row.wear.points] == [Decimal(hours) for hours in range(100, 1000, 100)]
    assert all(point.used for point in row.wear.points)
    assert row.wear.per_100h == pytest.approx(0.0984, rel=0.01)


def test_too_few_readings_promise_nothing() -> None:
    (row,) = rows(chain("2026-11-01", "510", rest=at_hours(100)))
    assert row.wear is not None
    assert (row.wear.middle, row.wear.per_100h, row.wear.low, row.wear.high) == (None, None, None, None)
    assert "ordering" not in row.wear.text
    assert [point.used for point in row.wear.points] == [True]


def test_a_reading_that_cannot_be_true_is_named_and_not_used() -> None:
    lengths = [*STEADY[:4], "530.0", *STEADY[5:]]
    (row,) = rows(worn(lengths))
    assert row.wear is not None
    assert [point.used for point in row.wear.points].count(False) == 1
    assert "cannot both be true" in row.wear.doubtful[0]


# --- gauge


def test_the_hook_carries_the_worst_measured_value() -> None:
    now = measured_truck(PLATE + pressed("2026-11-18", "8.2") + chain("2026-11-01", "522.0"))
    row = yard_row(now, RULES, NAMES, instant("2026-11-20T11:00"), instant("2026-11-20T11:00").tzinfo)  # type: ignore[arg-type]
    assert [gauge.what for gauge in row.gauges if gauge.unit != "h"] == ["chain"]


@pytest.mark.parametrize(("mm", "word"), [("36.1", ""), ("36.0", "at its limit"), ("35.9", "past its limit")])
def test_outside_its_marks_a_gauge_carries_a_word(mm: str, word: str) -> None:
    """Heel: 90.0 % is out."""
    found = nearest(measured_truck(heel("2026-11-01", ("left", mm), new="40.0")).measures, RULES)
    assert found is not None
    gauge = measure_gauge(found)
    assert (gauge.word, gauge.outside) == (word, bool(word))


# --- words, and what a program reads


@pytest.mark.parametrize(
    ("verdict", "words"),
    [("in", "In its limits"), (None, "No limit exists"), ("watch", "Watch"), ("now", "Don't start")],
)
def test_a_verdict_in_words(verdict: str | None, words: str) -> None:
    assert verdict_words(judged(verdict)) == words


def test_a_program_reads_what_a_reading_is() -> None:
    subject = RULES.subjects["chain"]
    found = told(judged("stop", low=Decimal("2.9"), more={"expected": Decimal(4), "unit": "no"}), subject, RULES)
    assert list(found)[:7] == ["subject", "value", "unit", "verdict", "limit", "source", "because"]
    assert (found["low"], found["expected"], found["unit"], "high" in found) == (Decimal("2.9"), Decimal(4), "%", False)
    assert found["source"] == title_of("chain-wear", RULES.sources)
    assert found["cautions"] == tuple(caution.text for caution in subject.cautions)


def test_a_source_nobody_knows_has_no_title() -> None:
    assert title_of("dragon", RULES.sources) is None
    assert title_of(None, RULES.sources) is None


# --- sheets and top-ups


def test_the_results_of_a_sheet_stand_line_by_line() -> None:
    text = (
        '\nsampled truck:7 2026-11-01T12:00:00+01:00 mia\n  fluid "engine oil"\n'
        '  results - {"quantity": "water", "value": "0.2", "unit": "%"}\n'
        '  results - {"quantity": "iron", "value": "20", "unit": "ppm"}\n'
    )
    found = sheet_rows(measured_truck(text).measures, RULES)
    assert [(row.where, row.words) for row in found] == [
        ("engine oil: water", "Watch"),
        ("engine oil: iron", "In its limits"),
    ]
    assert {(row.gauge, row.wear) for row in found} == {(None, None)}


def test_what_is_used_of_each_fluid() -> None:
    (row,) = use_rows(measured_truck(EACH))
    assert (row.fluid, row.since) == ("engine oil", None)
    assert row.text == "It uses 0.50 l in 100 h: 8 top-ups in 800 h."


def test_a_leak_alarms_in_the_row() -> None:
    often = "".join(topped(f"2026-10-{day:02}", 900 + 10 * day) for day in range(2, 20))
    (row,) = use_rows(measured_truck(EACH + often))
    assert row.since is not None
    assert "Look for a leak" in row.text

"""The commands that measure, as they are typed: readings without a record, readings into one, sheets, top-ups."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer

from dipmark.derive.measured import MEASUREMENTS
from dipmark.faces.cli.measuring import told
from faces.cli.running import MORNING, Ran, dipmark, yard_of


def gauged(line: str) -> dict[str, Any]:
    ran = dipmark("gauge", *line.split(), "--json")
    assert ran.code == 0, ran.err
    return dict(ran.json)


@pytest.mark.parametrize(
    ("line", "value", "unit", "verdict"),
    [
        # 12 pitches of 25.4 mm: the exact 3 % is 313.944 mm, out at 313.94 mm read to a hundredth
        ("chain --pitch 25.4mm --pitches 12 --length 313.94mm", 2.998688, "%", "stop"),
        ("chain --pitch 25.4mm --pitches 12 --length 313.93mm", 2.995407, "%", "watch"),
        ("chain --pitch 25.4mm --pitches 12 --length 313.5mm --error 0.5mm", 2.854331, "%", "stop"),
        # own examples on the heel and the tips: 89.75 % out, 3.33 % out
        ("fork-heel --new 40mm --now 35.9mm", 89.75, "%", "stop"),
        ("fork-tips --blade 1200mm --difference 40mm", 3.333333, "%", "stop"),
        # the US council's example: 1.250 at 20 °F is 1.226
        ("battery-sg --reading 1.250 --at 20F --scale council", 1.226, "sg", "in"),
        # ASTM D2270 examples
        ("viscosity-index --at40 73.30 --at100 8.86", 92, None, None),
        ("viscosity-index --at40 22.83 --at100 5.05", 156, None, None),
        # ISO 4406 example of a filter handbook
        ("cleanliness --per-100ml 300000 50000 700", "19/16/10", None, None),
        # EN 62485-3 example: 36 m3/h
        ("hydrogen --cells 24 --capacity 500Ah --total-current 30A", 36, "m3/h", None),
    ],
)
def test_a_reading_is_held_against_its_limit(line: str, value: object, unit: str | None, verdict: str | None) -> None:
    found = gauged(line)
    assert (found["value"], found["unit"], found["verdict"]) == (value, unit, verdict)
    keys = {"subject", "value", "unit", "verdict", "limit", "source", "because", "rule", "notes", "cautions"}
    assert keys <= set(found)
    assert found["subject"] == line.split(maxsplit=1)[0]


@pytest.mark.parametrize("below", ["--now-at=-10C", "--now-at -10C"])
def test_a_value_below_zero_is_a_value(below: str) -> None:
    """700 kPa at 20 °C reads 618 kPa at -10 °C: own example, gas law."""
    found = gauged(f"tyre-pressure --asked 700kPa --asked-at 20C --now 618kPa {below}")
    assert round(found["value"], 1) == 700.0
    assert round(found["expected"], 1) == 618.0
    assert found["verdict"] == "repair-by"


@pytest.mark.parametrize(
    "line",
    [
        "cells 1.260 1.230 1.250",
        "viscosity --point 32@40C --point 5.4@100C --at 80C",
        "viscosity --point 32@40C 5.4@100C --at 80C",
        "coolant --glycol ethylene --by volume --percent 50",
        "leak --drops-per-minute 60 --fluid engine-oil",
        "leak --drops-per-minute 60 --fluid engine-oil --drops-per-ml 20",
    ],
)
def test_each_way_of_writing_several_values(line: str) -> None:
    assert gauged(line)["subject"] == line.split(maxsplit=1)[0]


def test_a_fraction_may_be_typed_as_it_is_read() -> None:
    ran = dipmark("gauge", "fork-heel", "--new", "1", "1/2", "in", "--now", "1 3/8 in", "--json")
    assert (ran.code, ran.json["value"]) == (0, 91.666667)
    assert dipmark("gauge", "fork-heel", "--new=1", "1/2", "in", "--now", "1 3/8 in", "--json").json == ran.json


def test_a_reading_is_said_with_limit_source_and_cautions() -> None:
    ran = dipmark("gauge", "fork-heel", "--new", "40mm", "--now", "35.9mm")
    assert ran.out.startswith("Out of service: 89.75 %, limit 90 %\n")
    for part in ("ISO 5057", "not a permission to load", "! Never under raised forks", "The maker's manual"):
        assert part in ran.out
    band = dipmark("gauge", "coolant", "--glycol", "ethylene", "--by", "volume", "--percent", "50")
    assert "No limit exists: -37.1 C, -37.1 to -37 C\n" in band.out
    assert "strength 80.551" in ran.out
    found = dipmark("gauge", "fork-cracks", "--found", "crack").out
    assert found.startswith("Out of service\n")


def test_a_language_says_the_verdict() -> None:
    ran = dipmark("--language", "es", "gauge", "fork-heel", "--new", "40mm", "--now", "39mm")
    assert ran.out.startswith("Dentro de sus límites: 97.5 %")


def test_alone_it_lists_all_that_can_be_measured() -> None:
    ran = dipmark("gauge")
    assert (ran.code, ran.err) == (0, "")
    for name in MEASUREMENTS:
        assert f"\n{name} " in f"\n{ran.out}"
    assert "--length … --pitches [--pitch]" in ran.out
    listed = dipmark("gauge", "--json").json
    assert [one["subject"] for one in listed] == list(MEASUREMENTS)
    assert listed[0]["takes"][0] == {
        "name": "length",
        "text": "length over the pitches, pin to pin",
        "measures": "length",
        "words": [],
        "needed": True,
        "several": True,
    }


@pytest.mark.parametrize("words", [("gauge", "battery-sg", "--help"), ("measure", "7", "battery-sg", "--help")])
def test_what_one_measurement_takes(words: tuple[str, ...]) -> None:
    ran = dipmark(*words)
    assert (ran.code, ran.err) == (0, "")
    assert "--scale" in ran.out
    assert ": council, army, metric" in ran.out


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("gauge", "dragon"), 1, "Nothing is measured under the name dragon. All names: dipmark gauge"),
        (("gauge", "chian"), 1, "Is it chain"),
        (("gauge", "fork-heel", "--now", "35.9mm"), 1, "Found no new; expected thickness when new"),
        (("gauge", "fork-heel", "--new", "40mm", "--now", "-3mm"), 1, "expected more than 0 mm"),
        (("gauge", "fork-heel", "--new", "40mm", "--now", "39 kPa"), 1, "which measures pressure"),
        (("gauge", "fork-heel", "--new", "40mm", "--now", "nan"), 1, "expected a length as a number with its unit"),
        (("gauge", "battery-sg", "--reading", "12.65", "--at", "20F", "--scale", "council"), 1, "expected at most"),
        (("gauge", "battery-sg", "--reading", "1.2", "--at", "1800C", "--scale", "council"), 1, "expected at most"),
        (("gauge", "fork-heel", "--nwe", "40mm"), 2, "fork-heel knows no nwe; it takes --new, --now"),
        (("gauge", "battery-sg", "1.2"), 2, "battery-sg knows no 1.2; it takes --reading, --at, --scale"),
        (("measure", "7", "fork-heel", "--by"), 2, "--by needs its word"),
        (("measure", "7"), 2, "Missing argument"),
    ],
)
def test_mistakes_say_what_to_do(words: tuple[str, ...], code: int, said: str) -> None:
    ran = dipmark(*words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert "Traceback" not in ran.err


def test_problems_are_told_as_json() -> None:
    ran = dipmark("gauge", "fork-heel", "--now", "-3mm", "--json")
    assert ran.code == 1
    assert '"code": "measure-missing"' in ran.err
    assert '"code": "measure-nonsense"' in ran.err


def test_where_a_name_is_both_the_measurement_takes_it() -> None:
    coolant = MEASUREMENTS["coolant"]
    said, own = told(
        ["--by", "volume", "--percent=50", "--json", "--note", "two", "words"], coolant, ("by", "json", "note")
    )
    assert (said, own) == ({"by": ["volume"], "percent": ["50"]}, {"json": "", "note": "two words"})
    with pytest.raises(typer.BadParameter):
        told(["loose"], coolant, ())


def test_the_help_needs_none_of_it() -> None:
    code = "import sys, dipmark.main; sys.exit(any(one.startswith('dipmark.derive') for one in sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# --- into the record


def truck(store: tuple[str, str]) -> dict[str, Any]:
    return dict(dipmark(*store, "truck", "7", "--as-of", MORNING, "--json").json)


def test_a_reading_goes_into_the_record(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    first = (
        "--new",
        "40mm",
        "--now",
        "left=38.2mm",
        "--instrument",
        "fork",
        "caliper",
        "--by",
        "Ines",
        "--hours",
        "590",
    )
    ran = dipmark(*store, "measure", "7", "fork-heel", *first, "--as-of", "2026-11-01T05:00")
    assert ran.code == 0, ran.err
    assert ran.out.startswith("In its limits: 95.5 %, limit 90 %\n")
    assert "The reading is noted.\nTruck 7: Not checked" in ran.out
    ran = dipmark(*store, "measure", "--as-of", MORNING, "7", "fork-heel", "--now", "left=35.9mm", "--json")
    assert ran.json["measured"]["verdict"] == "stop"
    assert ran.json["truck"]["state"] == "out-of-service"
    assert len(ran.json["accepted"]) == 1
    page = truck(store)
    assert [(row["name"], row["value"], row["words"]) for row in page["measures"]] == [
        ("fork-heel", 89.75, "Out of service")
    ]
    assert [gauge["what"] for gauge in page["row"]["gauges"]][-1] == "fork heel"
    said = dipmark(*store, "truck", "7", "--as-of", MORNING).out
    for part in (
        "Measured\n",
        "Out of service: Fork: thickness of the heel (left), 89.75 %, limit 90 %.",
        "past its limit",
    ):
        assert part in said
    facts = dipmark(*store, "log", "7", "--json").json
    assert [fact["by"] for fact in facts if fact["kind"] == "measured"] == ["Ines", "unnamed"]


def test_a_day_is_set_by_a_competent_person(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    reading = ("chain", "--pitches", "20", "--pitch", "25.4mm", "--length", "519.0mm")
    ran = dipmark(*store, "measure", "7", *reading, "--as-of", MORNING, "--until", "2027-03-01")
    assert (ran.code, ran.out) == (1, "")
    assert "at most three months away" in ran.err
    ran = dipmark(*store, "measure", "--until", "2026-12-01", "--note", "ordered", "7", *reading, "--as-of", MORNING)
    assert ran.code == 0, ran.err
    said = dipmark(*store, "truck", "7", "--as-of", MORNING, columns=240).out
    assert "To be renewed by Tue 2026-12-01." in said
    assert "Repair by Tue 2026-12-01" in said


def test_a_reading_that_goes_back_is_asked_about_until_the_renewal_is_noted(tmp_path: Path) -> None:
    store = yard_of(tmp_path)

    def read(mm: str, at: str) -> Ran:
        return dipmark(*store, "measure", "7", "fork-heel", "--new", "40mm", "--now", mm, "--as-of", at)

    assert read("37.0mm", "2026-11-01T05:00").err == ""
    ran = read("39.5mm", "2026-11-02T05:00")
    assert ran.code == 0
    assert "Measure again. If it was renewed, note that first: work --renewed fork-heel." in ran.err
    renewed = dipmark(*store, "work", "7", "--renewed", "fork-heel", "--as-of", "2026-11-03T05:00")
    assert renewed.out.startswith("Noted: fork-heel renewed.\n")
    assert "Renewed or mended since: measure again." in dipmark(*store, "truck", "7", "--as-of", MORNING).out
    assert read("40.0mm", "2026-11-04T05:00").err == ""


def test_the_repair_names_what_was_renewed(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "measure", "7", "fork-heel", "--new", "40mm", "--now", "35mm", "--as-of", "2026-11-01T05:00")
    words = ("new forks", "--renewed", "forks", "--tested", "lift-test", "--as-of", "2026-11-02T05:00")
    ran = dipmark(*store, "repair", "7", *words)
    assert ran.code == 0, ran.err
    (fact,) = [one for one in dipmark(*store, "log", "7", "--json").json if one["kind"] == "worked"]
    assert fact["body"]["parts"] == [{"part": "forks"}]


def test_a_laboratorys_sheet(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    sheet = ("sample", "7", "engine oil", "water=0.2%", "iron=20ppm", "--fluid-hours", "140", "--lab", "Fallow")
    ran = dipmark(*store, *sheet, "--reported", "2026-11-19", "--number", "F-1", "--as-of", MORNING)
    assert ran.code == 0, ran.err
    assert ran.out.startswith("engine oil: water: 0.2 %, limit 0.1 %. Watch.")
    assert "One sample decides nothing" in ran.out
    assert "The sheet is noted." in ran.out
    again = dipmark(*store, *sheet[:3], "water=0.02%", "--hours", "600", "--as-of", "2026-11-20T06:01", "--json")
    assert [row["words"] for row in again.json["results"]] == ["In its limits"]
    said = dipmark(*store, "truck", "7", "--as-of", "2026-11-20T06:02").out
    assert "Engine oil: a laboratory's sheet (engine oil: water), 0.02 %, limit 0.1 %" in said


def test_top_ups_say_what_is_used(tmp_path: Path) -> None:
    store = yard_of(tmp_path)

    def top_up(month: int) -> Ran:
        words = ("topup", "7", "engine oil", "0.5l", "--hours", f"{month}00", "--as-of", f"2026-0{month}-10T05:00")
        return dipmark(*store, *words)

    ran = [top_up(month) for month in range(4, 9)][-1]
    assert ran.out.startswith("The top-up is noted. It uses 0.50 l in 100 h: 4 top-ups in 400 h.\n")
    said = dipmark(*store, "truck", "7", "--as-of", MORNING).out
    assert "Topped up\n  engine oil: It uses 0.50 l in 100 h" in said
    first = dipmark(*store, "topup", "7", "coolant", "1 qt", "--as-of", MORNING, "--note", "cold", "--json")
    assert first.json["use"] is None


def test_water_is_noted_in_the_book_of_a_battery(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "truck", "7", "--fit", "b-1", "--kind", "traction-battery", "--as-of", "2026-02-01T08:00")
    ran = dipmark(*store, "topup", "b-1", "distilled water", "2.5l", "--as-of", MORNING)
    assert (ran.code, ran.out) == (0, "The top-up is noted.\n")
    again = dipmark(*store, "topup", "b-1", "Water", "0l", "--as-of", MORNING)
    assert (again.code, "expected more than nothing" in again.err) == (1, True)
    for words in (("oil", "1l"), ("water", "1l", "--hours", "5"), ("water", "1l", "--note", "x")):
        refused = dipmark(*store, "topup", "b-1", *words)
        assert (refused.code, "topped up with water" in " ".join(refused.err.split())) == (2, True)


def test_a_service_sheet_has_room_for_what_is_measured(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    said = dipmark(*store, "work", "7", "450h", "--sheet").out
    assert "Fork: thickness of the heel: ____________\n" in said
    assert "Out at 90.0 % of its thickness when new" in said
    dipmark(*store, "measure", "7", "fork-heel", "--new", "40mm", "--now", "38mm", "--as-of", "2026-11-01T05:00")
    said = dipmark(*store, "work", "7", "450h", "--sheet").out
    assert "____________ last now 38 mm, new 40 mm, Sun 2026-11-01\n" in said


def test_a_pressure_that_cannot_be_is_asked_again(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    answers = tmp_path / "answers.csv"
    blank = tmp_path / "blank.csv"
    assert dipmark(*store, "walk", "7", "--blank", str(blank)).code == 0
    assert "tyres.pressure" in blank.read_text("utf-8-sig")
    answers.write_text("check,answer,value\ntyres.pressure,ok,-8\n", "utf-8")
    ran = dipmark(*store, "walk", "7", "--answers", str(answers))
    assert ran.code == 1
    assert "Found -8 bar; expected at least 0 kPa" in ran.err

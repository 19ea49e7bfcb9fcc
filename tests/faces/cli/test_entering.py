"""The commands that write, end to end: forms as the manual names them, states as they follow."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from faces.cli.running import MORNING, Ran, dipmark, yard_of

NIGHT = "2026-11-20T05:00"


def row(store: tuple[str, str], truck: str = "7", as_of: str = MORNING) -> dict[str, Any]:
    (found,) = [one for one in dipmark(*store, "yard", "--as-of", as_of, "--json").json if one["truck"] == truck]
    return dict(found)


def log(store: tuple[str, str], truck: str = "7") -> list[dict[str, Any]]:
    return list(dipmark(*store, "log", truck, "--json").json)


def test_the_days_of_a_truck(tmp_path: Path) -> None:
    store = yard_of(tmp_path)

    def write(*words: str, by: str = "Ines", at: str = NIGHT) -> Ran:
        return dipmark(*store, *words, "--by", by, "--as-of", at)

    assert row(store)["state"] == "not-checked"
    assert write("read", "7", "1598,4").out.startswith("Noted: 1,598.4 h.\n")
    assert row(store)["hours"] == 1598.4
    said = write("stop", "7", "hydraulic oil under the mast")
    assert "Truck 7: Out of service. Take the key out, lock it away, tell the lead hand." in said.out
    assert row(store)["state"] == "out-of-service"
    assert write("release", "7", "--note", "wrong truck", at="2026-11-20T05:10").code == 0
    assert row(store)["state"] == "not-checked"
    said = write("fault", "7", "plate cracked", "--check", "chain.sound", "--found", "plate", at="2026-11-20T05:20")
    assert "plate cracked" in said.out
    refused = write("release", "7", at="2026-11-20T05:30")
    assert (refused.code, refused.out) == (1, "")
    assert "plate cracked: open; expected mended" in refused.err
    assert write("repair", "7", "chain renewed", "--fault", "chain.sound", at="2026-11-20T05:40").code == 0
    refused = write("release", "7", at="2026-11-20T05:45")
    assert (refused.code, "not tested" in refused.err) == (1, True)
    assert write("release", "7", "--tested", "lift-test", by="Bo", at="2026-11-20T05:50").code == 0
    assert row(store)["state"] == "not-checked"
    assert [fact["by"] for fact in log(store)] == ["unnamed", *["Ines"] * 5, "Bo"]
    assert {fact["by"] for fact in log(store, "9")} == {"unnamed"}


def test_work_and_its_lock(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    assert dipmark(*store, "work", "7", "--begin", "--by", "Ana").out.startswith("Your lock is on truck 7.\n")
    assert "Being worked on by Ana" in dipmark(*store, "truck", "7").out
    refused = dipmark(*store, "work", "7", "--end", "--by", "Bo")
    assert refused.code == 1
    assert "expected Ana to take it off, not Bo" in refused.err
    assert (
        dipmark(*store, "work", "7", "--end", "--by", "Bo", "--owner-exception", "Ana is ill, looked round").code == 0
    )
    bare = dipmark(*store, "work", "7", "--begin")
    assert "carries no name" in bare.err
    assert dipmark(*store, "work", "7", "--end").code == 0
    said = dipmark(
        *store, "work", "7", "150 hr service", "450h", "--hours", "1600", "--minutes", "60", "--as-of", NIGHT
    )
    assert said.out.startswith("Noted: 150 hr service, 450h.\n")
    due = {
        one["service"]: one for one in dipmark(*store, "due", "--as-of", MORNING, "--json").json if one["truck"] == "7"
    }
    assert (due["150h"]["due_hours"], due["450h"]["due_hours"]) == (1750, 2050)


def test_what_is_dated_by_the_command_is_dated_so(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "read", "7", "100", "--as-of", "2026-11-18")
    dipmark(*store, "read", "7", "104", "--as-of", "2026-11-19T06:00")
    day, clock = log(store)[-2:]
    assert (day["happened"], day["whole_day"]) == ("2026-11-18T00:00:00+01:00", True)
    assert (clock["happened"], clock["whole_day"]) == ("2026-11-19T06:00:00+01:00", False)
    assert row(store, as_of="2026-11-18T12:00")["hours"] == 100
    assert row(store, as_of="2026-11-19T05:59")["hours"] == 100
    assert row(store, as_of="2026-11-19T06:00")["hours"] == 104


def test_a_write_says_as_json_what_it_wrote_and_how_the_truck_stands(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = dipmark(*store, "stop", "7", "leak", "--json")
    assert ran.err == ""
    assert set(ran.json) == {"accepted", "known", "doubtful", "truck"}
    assert ran.json["accepted"] == [log(store)[-1]["id"]]
    assert ran.json["truck"]["state"] == "out-of-service"


def test_a_meter_is_changed(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "read", "7", "1000", "--as-of", "2026-11-18T06:00")
    assert dipmark(*store, "read", "7", "0", "--new-meter", "--old", "1003", "--as-of", NIGHT).code == 0
    dipmark(*store, "read", "7", "0.5", "--as-of", "2026-11-20T05:45")
    assert row(store)["hours"] == 1003.5
    assert dipmark(*store, "read", "7", "1", "--old", "1").code == 2


def test_a_reading_that_does_not_agree_is_written_and_asked_about(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    for day, hours in ((16, 1000), (17, 1006), (18, 1012)):
        dipmark(*store, "read", "7", str(hours), "--as-of", f"2026-11-{day}T06:00")
    said = dipmark(*store, "read", "7", "100", "--as-of", NIGHT)
    assert said.code == 0
    assert said.err.startswith("Look at this: Found hour meter 100 h")
    assert row(store)["hours"] == 1012


def test_a_day_before_the_truck_came_is_written_all_the_same(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = dipmark(*store, "read", "7", "0", "--as-of", "2024-11-01")
    assert (ran.code, ran.out) == (0, "Noted: 0 h.\n")
    assert dipmark(*store, "read", "7", "0", "--as-of", "2024-11-02", "--json").json["truck"] is None


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("read", "7", "abc"), 1, "Found 'abc'; expected a number"),
        (("read", "7", "1,250"), 1, "which is 1250 or 1.250"),
        (("read", "7", "--", "-5"), 1, "expected 0 h or more"),
        (("read", "77", "5"), 1, "No truck 77 is enrolled. Is it 7?"),
        (("read", "7"), 2, "Missing argument 'HOURS'. See: "),
        (("read", "7", "5", "--as-of", "soon"), 1, "expected a time such as 2026-11-20T06:00"),
        (("read", "7", "5", "--as-of", "0001-01-01"), 1, "expected a time such as"),
        (("stop", "7", " "), 1, "Found no words; expected why it is out of service"),
        (("fault", "7", "x", "--serious", "bad"), 2, "'bad' is not one of 'now', 'stop', 'repair-by', 'watch'"),
        (("fault", "7", "x", "--serious", "repair-by"), 1, "within how many days"),
        (("fault", "7", "x", "--days", "-1"), 2, "--days"),
        (("fault", "7", "x", "--check", "zzz"), 1, "the rules have no check zzz"),
        (("repair", "7", "done"), 1, "Nothing to mend"),
        (("release", "7"), 1, "Nothing to release"),
        (("work", "7"), 2, "name the services done, or say --renewed, --begin or --end"),
        (("work", "7", "150h", "--begin"), 2, "name the services done"),
        (("work", "7", "150h", "--owner-exception", "x"), 2, "goes with --end"),
        (("work", "7", "--end"), 1, "with no lock"),
        (("work", "7", "banana"), 1, "Found service 'banana'"),
        (("work", "7", "150h", "--hours", "x"), 1, "Write --hours in plain digits"),
        (("stop", "7", "a\udcff"), 1, "text that can be written"),
        (("stop", "7", "leak", "--by", "a\udcff"), 1, "characters that can be written"),
    ],
)
def test_mistakes_are_said_in_a_line_and_nothing_is_written(
    tmp_path: Path, words: tuple[str, ...], code: int, said: str
) -> None:
    store = yard_of(tmp_path)
    ran = dipmark(*store, *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert len(ran.err.splitlines()) <= 3
    assert len(log(store)) == 1


def test_a_wrong_entry_is_put_right(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    wrong = dipmark(*store, "read", "7", "1999", "--as-of", MORNING, "--json").json["accepted"][0]
    assert "Noted" in dipmark(*store, "read", "7", "1999.5", "--corrects", wrong[-6:], "--why", "misread").out
    assert "Withdrawn" in dipmark(*store, "log", "7", "--withdraw", wrong, "--why", "truck 9").out
    fate = next(one for one in log(store) if one["id"] == wrong)
    assert not fate["counts"]
    for words in (
        ("read", "7", "5", "--corrects", wrong),
        ("read", "7", "5", "--why", "x"),
        ("log", "7", "--why", "x"),
    ):
        assert dipmark(*store, *words).code == 2


def test_a_plate_is_noted_and_the_sheet_of_a_service_prints_it(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    noted = dipmark(*store, "truck", "7", "--plate", "engine-oil=5.5 l", "--by", "Ana", "--as-of", MORNING)
    assert "service sheets of this truck print it" in noted.out
    sheet = dipmark(*store, "work", "7", "150h", "--sheet")
    assert "engine oil: 5.5 l (read off the plate by Ana" in sheet.out
    assert "about" in sheet.out
    assert dipmark(*store, "work", "7", "150h", "--sheet", "--json").json["service"] == "150h"
    assert dipmark(*store, "work", "7", "--sheet").code == 2
    assert dipmark(*store, "work", "7", "7h", "--sheet").code == 1


def test_an_item_is_hung_on_a_truck_and_taken_off(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    by = ("--by", "Ana", "--as-of", NIGHT)
    new = dipmark(*store, "truck", "7", "--fit", "clamp 3", "--kind", "attachment", *by)
    assert (new.code, "Noted." in new.out) == (0, True), new
    elsewhere = dipmark(*store, "truck", "12", "--fit", "clamp 3", *by)
    assert (elsewhere.code, "Take it off there first." in elsewhere.err) == (1, True)
    assert dipmark(*store, "truck", "7", "--take-off", "clamp 3", "--by", "Ana", "--as-of", MORNING).code == 0
    assert dipmark(*store, "truck", "12", "--fit", "clamp 3", "--by", "Ana", "--as-of", MORNING).code == 0
    assert [one["kind"] for one in log(store)][-2:] == ["fitted", "removed"]
    assert dipmark(*store, "truck", "7", "--fit", "x", "--take-off", "y").code == 2
    assert dipmark(*store, "truck", "7", "--kind", "attachment").code == 2

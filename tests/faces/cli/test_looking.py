"""The commands that look: the keys a program reads, the lines a person reads, at any width and on any terminal."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from faces.cli.running import MORNING, dipmark, yard_of

YARD_KEYS = {"truck", "kind", "state", "reasons", "hours"}
DUE_KEYS = {"truck", "service", "due_hours", "due_date", "opens_hours", "latest_hours", "state"}


@pytest.fixture
def store(tmp_path: Path) -> tuple[str, str]:
    named = yard_of(tmp_path)
    dipmark(*named, "work", "7", "150h", "--hours", "1450", "--as-of", "2026-10-30")
    dipmark(*named, "read", "7", "1590.5", "--as-of", "2026-11-19", "--by", "Ana")
    return named


def test_the_yard_as_json(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "yard", "--as-of", MORNING, "--json")
    assert ran.err == ""
    assert all(set(one) >= YARD_KEYS for one in ran.json)
    seven, nine, twelve = ran.json
    assert (seven["truck"], seven["kind"], seven["state"]) == ("7", "engine-pneumatic-lpg", "not-checked")
    assert isinstance(seven["hours"], float)
    assert seven["hours"] == 1590.5
    assert nine["hours"] == 590
    assert twelve["hours"] is None
    (why,) = twelve["reasons"]
    assert set(why) == {"text", "rule", "source", "facts"}
    assert "walk-round" in why["text"]


def test_what_is_due_as_json(store: tuple[str, str]) -> None:
    rows = dipmark(*store, "due", "--as-of", MORNING, "--json").json
    assert all(set(one) >= DUE_KEYS for one in rows)
    (row,) = [one for one in rows if (one["truck"], one["service"]) == ("7", "150h")]
    assert {name: row[name] for name in DUE_KEYS} == {
        "truck": "7", "service": "150h", "due_hours": 1600, "due_date": "2026-11-30", "opens_hours": 1585,
        "latest_hours": 1615, "state": "open",
    }  # fmt: skip
    assert {one["state"] for one in rows if one["truck"] == "12"} == {"unknown"}


def test_the_log_as_json(store: tuple[str, str]) -> None:
    rows = dipmark(*store, "log", "7", "--json").json
    assert [row["kind"] for row in rows] == ["enrolled", "worked", "meter-read"]
    assert [row["by"] for row in rows] == ["unnamed", "unnamed", "Ana"]
    assert rows[-1]["body"] == {"hours": 1590.5}
    for row in rows:
        assert datetime.fromisoformat(row["happened"]).utcoffset() is not None
        assert datetime.fromisoformat(row["received"]).utcoffset() is not None


def test_a_truck_and_the_whole_yard_as_json(store: tuple[str, str]) -> None:
    page = dipmark(*store, "truck", "7", "--as-of", MORNING, "--json").json
    assert page["row"]["truck"] == "7"
    sheet = dipmark(*store, "show", "--as-of", MORNING, "--json").json
    assert set(sheet) == {"yard", "due", "codes"}
    assert list(sheet["codes"]) == ["truck:7", "truck:9", "truck:12", "yard"]
    assert page["code"] == sheet["codes"]["truck:7"]


def test_the_yard_for_a_person(store: tuple[str, str]) -> None:
    said = dipmark(*store, "yard", "--as-of", MORNING).out
    assert said.startswith("3 trucks: 3 not checked\n\nHall 2\n ○  7   Not checked")
    assert "No walk-round is in the record. Walk round it" in said
    assert "150h ▕          ▏ 9.5 h left" in said
    assert "No country is set for this yard, so no legal duty is counted here" in said
    due = dipmark(*store, "due", "--as-of", MORNING).out
    assert "\nMay be done now\n  7   150h " in due
    assert "at 1,600 h or by Mon 2026-11-30, in 10 days; in time up to 1,615 h" in due
    assert "Later" not in due
    early = ("due", "--as-of", "2026-10-31")
    assert "\nLater\n" in dipmark(*store, *early, "--all").out
    assert "Later" not in dipmark(*store, *early).out


@pytest.mark.parametrize("columns", [60, 80, 120, 200])
@pytest.mark.parametrize("command", [("show",), ("yard",), ("due", "--all"), ("truck", "7"), ("log", "7")])
def test_nothing_is_wider_than_the_terminal_and_nothing_is_cut(
    store: tuple[str, str], command: tuple[str, ...], columns: int
) -> None:
    said = dipmark(*store, *command, "--as-of", MORNING, columns=columns).out
    assert max(map(len, said.splitlines())) <= columns
    wide = dipmark(*store, *command, "--as-of", MORNING, columns=500).out
    if command[0] in ("due", "log"):
        assert sorted("".join(said.split())) == sorted("".join(wide.split()))
    assert "…" not in said
    assert all(line == line.rstrip() for line in said.splitlines())


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252"])
def test_a_terminal_that_knows_few_characters_still_says_it_all(store: tuple[str, str], encoding: str) -> None:
    dipmark(*store, "fault", "7", "Zoë: Öl tropft 🛢 — überall", "--serious", "watch", "--by", "Zoë")
    said = dipmark(*store, "show", encoding=encoding).out
    assert "150h |" in said
    assert "█" not in said
    log = dipmark(*store, "log", "7", encoding=encoding).out
    assert ("Zoe" if encoding == "ascii" else "Zo") in log
    assert dipmark(*store, "log", "7", "--json", encoding=encoding).code == 0


def test_at_a_terminal_lines_break_between_words_and_progress_is_shown(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "yard", columns=80, terminal=True)
    assert ran.code == 0
    assert "deriving" in ran.err
    said = dipmark(*store, "stop", "7", "a long word on what is wrong " * 9, columns=60, terminal=True).out
    assert max(map(len, said.splitlines())) <= 60
    assert "\n  wrong" in said or "\n  long" in said or "\n  a " in said or "\n  is" in said


def test_an_empty_yard_says_so(tmp_path: Path) -> None:
    empty = ("--store", str(tmp_path / "yard.db"))
    table = tmp_path / "t.csv"
    table.write_text("Truck,Kind\n7,LPG\n", "utf-8")
    dipmark(*empty, "take", str(table), "--zone", "Europe/Madrid")
    assert dipmark(*empty, "yard", "--as-of", "2020-01-01").out.startswith("No trucks.\n")
    assert dipmark(*empty, "due", "--as-of", "2020-01-01").out.startswith("Nothing.\n")
    late = dipmark(*empty, "truck", "7", "--as-of", "2020-01-01")
    assert (late.code, "not enrolled yet" in late.err) == (1, True)
    assert dipmark(*empty, "log", "7", "--as-of", "2020-01-01").out == "Nothing yet.\n"


def test_hours_on_a_truck_out_of_service_are_an_alarm_on_board_and_page(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "read", "7", "1000", "--as-of", "2026-11-18T06:00")
    dipmark(*store, "stop", "7", "leak", "--as-of", "2026-11-18T07:00")
    dipmark(*store, "read", "7", "1010", "--as-of", "2026-11-19T06:00")
    for words in (("yard",), ("truck", "7")):
        assert "ALARM: The truck ran at least" in dipmark(*store, *words, "--as-of", "2026-11-19T07:00").out
    (row,) = [
        one for one in dipmark(*store, "yard", "--as-of", "2026-11-19T07:00", "--json").json if one["truck"] == "7"
    ]
    assert [one["rule"] for one in row["alarms"]] == ["alarm.out-of-service"]

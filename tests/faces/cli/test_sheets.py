"""Filled sheets taken at the terminal, and looked over there."""

from __future__ import annotations

from pathlib import Path

import pytest

from dipmark.office.open import open_office
from faces.cli.running import dipmark, yard_of
from office.paper_week import column, photos, week_of

FRIDAY = 4
HORN = "horn.heard"


@pytest.fixture
def store(tmp_path: Path) -> tuple[str, str]:
    return yard_of(tmp_path)


def sheet_files(store: tuple[str, str], folder: Path, hours: str = "", *, fault: bool) -> list[str]:
    """The pictures of a filled sheet of truck 7, in the week of Friday 20 November 2026."""
    with open_office(store[1], create=False) as office:
        week, pages = week_of(office)
    bad = [(FRIDAY, week.printed.lines.index(HORN))] if fault else []
    good = column(week, FRIDAY, *([HORN] if fault else []))
    files = []
    for name, data in photos(pages, good, bad, hours):
        (folder / name).write_bytes(data)
        files.append(str(folder / name))
    return files


def test_sheets_and_tables_are_taken_in_one_call(store: tuple[str, str], tmp_path: Path) -> None:
    files = sheet_files(store, tmp_path, "001234", fault=False)
    table = tmp_path / "hours.csv"
    table.write_text("Truck,Date,Hours\n9,2026-11-19,611\n", "utf-8")
    ran = dipmark(*store, "take", *files, str(table), "--json")
    assert (ran.code, ran.json["accepted"], ran.json["sheets"]["problems"]) == (0, 1, []), ran.err
    (one,) = ran.json["sheets"]["columns"]
    assert (one["truck"], one["fate"], one["hours"]) == ("7", "taken", "123.4")
    again = dipmark(*store, "take", *files)
    assert (again.code, again.out) == (0, "Truck 7, 2026-11-20, the whole day: there already\n")


def test_what_waits_is_looked_over_and_stops_the_truck(store: tuple[str, str], tmp_path: Path) -> None:
    files = sheet_files(store, tmp_path, fault=True)
    dry = dipmark(*store, "take", *files, "--dry-run")
    assert "would be: waits for somebody to look (1 mark to look at)" in dry.out
    taken = dipmark(*store, "take", *files)
    assert taken.out.splitlines() == [
        "Truck 7, 2026-11-20, the whole day: waits for somebody to look (1 mark to look at)",
        "Look over what waits: dipmark take --look-over",
    ]
    later = dipmark(*store, "take", "--look-over", typed="perhaps\nlater\n")
    assert later.out == "0 columns entered, 1 left waiting.\n"
    assert "Write good, fault, nothing or later." in later.err
    done = dipmark(*store, "take", "--look-over", typed="fault\n1\nsilent\n", terminal=True)
    assert "1 column entered, 0 left waiting." in done.out
    assert "█" in done.err
    board = dipmark(*store, "yard", "--json").json
    assert {row["truck"]: row["state"] for row in board}["7"] == "out-of-service"


def test_hours_are_asked_as_written(store: tuple[str, str], tmp_path: Path) -> None:
    files = sheet_files(store, tmp_path, "0x1234", fault=False)
    dipmark(*store, "take", *files)
    wrong = dipmark(*store, "take", "--look-over", typed="much\n")
    assert wrong.out == "0 columns entered, 1 left waiting.\n"
    done = dipmark(*store, "take", "--look-over", typed="123.4\n")
    assert done.out == "1 column entered, 0 left waiting.\n"
    assert dipmark(*store, "take", "--look-over").out == "0 columns entered, 0 left waiting.\n"


def test_a_page_without_its_sheet_is_refused(store: tuple[str, str], tmp_path: Path) -> None:
    files = sheet_files(store, tmp_path, fault=False)
    ran = dipmark(*store, "take", files[0])
    assert (ran.code, ran.out) == (1, "")
    assert "page-1.jpg: Found truck 7 without page 2 of 2" in ran.err
    assert dipmark(*store, "take").code == 2

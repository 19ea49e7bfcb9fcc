"""Take, give, verify, backup, restore, as typed."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from faces.cli.running import MORNING, dipmark, yard_of


@pytest.fixture
def store(tmp_path: Path) -> tuple[str, str]:
    return yard_of(tmp_path)


def table(folder: Path, text: str, name: str = "hours.csv", encoding: str = "utf-8") -> str:
    path = folder / name
    path.write_bytes(text.encode(encoding))
    return str(path)


def test_rows_are_taken_once(store: tuple[str, str], tmp_path: Path) -> None:
    path = table(
        tmp_path, "Fahrzeug;Datum;Betriebsstunden\n7;19.11.2026;1.590,5\n9;19.11.2026;611\n", encoding="cp1252"
    )
    first = dipmark(*store, "take", path, "--dates", "dmy", "--json")
    assert (first.code, first.err) == (0, "")
    assert (first.json["accepted"], first.json["known"], first.json["refused"]) == (2, 0, [])
    again = dipmark(*store, "take", path, "--dates", "dmy", "--json").json
    assert (again["accepted"], again["known"]) == (0, 2)
    assert dipmark(*store, "take", path, "--dates", "dmy").out == "0 rows accepted, 2 known already, 0 refused.\n"


def test_refused_rows_are_named_and_handed_back(store: tuple[str, str], tmp_path: Path) -> None:
    path = table(tmp_path, "Truck,Date,Hours,Colour\n7,2026-11-18,100,red\n7,soon,5,red\n77,2026-11-18,5,red\n")
    ran = dipmark(*store, "take", path, "--json")
    assert ran.code == 1
    assert (ran.json["accepted"], ran.json["known"]) == (1, 0)
    assert [set(one) >= {"file", "line", "column", "found", "expected"} for one in ran.json["refused"]] == [True, True]
    assert [(one["line"], one["column"]) for one in ran.json["refused"]] == [(3, "Date"), (4, "Truck")]
    said = dipmark(*store, "take", path)
    assert said.code == 1
    assert "columns left out: Colour. --column 'HEADER=FIELD' takes one in." in said.out
    assert "line 3, column Date: found 'soon'" in said.err
    assert "mend them there and take that file" in said.err


def test_a_dry_run_writes_nothing_and_makes_no_store(tmp_path: Path) -> None:
    path = table(tmp_path, "Truck,Kind\n7,LPG forklift\n", "trucks.csv")
    ran = dipmark("--store", str(tmp_path / "none.db"), "take", path, "--dry-run", "--zone", "Europe/Madrid")
    assert ran.out.startswith("1 row would be accepted, 0 known already, 0 refused.\n")
    assert not (tmp_path / "none.db").exists()


def test_what_reads_two_ways_is_asked_at_a_terminal_and_refused_elsewhere(
    store: tuple[str, str], tmp_path: Path
) -> None:
    path = table(tmp_path, "Truck,Date,Hours\n7,03/04/2026,100\n7,05/04/2026,104\n")
    assert dipmark(*store, "take", path).code == 1
    ran = dipmark(*store, "take", path, typed="dmy\n", terminal=True)
    assert ran.code == 0, ran.err
    assert "03/04/2026" in ran.err
    days = [row["happened"][:10] for row in dipmark(*store, "log", "7", "--json").json][1:]
    assert days == ["2026-04-03", "2026-04-05"]
    other = table(tmp_path, "Truck,Date,Hours\n7,06/04/2026,108\n", "other.csv")
    assert dipmark(*store, "take", other, typed="\n", terminal=True).code == 1
    stopped = dipmark(*store, "take", other, typed="", terminal=True)
    assert (stopped.code, stopped.err.endswith("Stopped before the end.\n")) == (1, True)


def test_a_column_is_mapped_by_hand(store: tuple[str, str], tmp_path: Path) -> None:
    path = table(tmp_path, "Truck,Day,Shown\n7,2026-11-18,100\n")
    assert dipmark(*store, "take", path, "--column", "Day=date", "--column", "Shown=hours").code == 0
    wrong = dipmark(*store, "take", path, "--column", "Day")
    assert (wrong.code, "write HEADER=FIELD" in wrong.err) == (2, True)


def test_doubtful_readings_and_notes_are_said(store: tuple[str, str], tmp_path: Path) -> None:
    days = "".join(f"7,2026-11-{day},{hours}\n" for day, hours in ((15, 1000), (16, 1006), (17, 1012), (18, 10)))
    said = dipmark(*store, "take", table(tmp_path, "Truck,Date,Hours\n" + days))
    assert said.code == 0
    assert "Look at this: " in said.out


@pytest.mark.parametrize("what", ["trucks", "readings", "services"])
def test_what_is_given_is_known_when_it_is_taken_again(store: tuple[str, str], tmp_path: Path, what: str) -> None:
    dipmark(*store, "read", "7", "100.5", "--by", "Zoë")
    dipmark(*store, "work", "7", "150h", "8h", "--hours", "101", "--note", 'oil, "new" filter')
    printed = dipmark(*store, "give", what)
    again = dipmark(*store, "take", table(tmp_path, printed.out, f"{what}.csv"), "--json")
    rows = len(list(csv.reader(io.StringIO(printed.out)))) - 1
    assert rows > 0
    assert (again.json["accepted"], again.json["known"], again.json["refused"]) == (0, rows, [])
    assert dipmark(*store, "give", what, "--json").json == {"what": what, "text": printed.out}
    named = tmp_path / "given.csv"
    assert dipmark(*store, "give", what, str(named)).out == f"{named} written.\n"
    assert named.read_bytes().decode("utf-8-sig") == printed.out
    for place in (str(named), str(tmp_path / "no" / "given.csv")):
        refused = dipmark(*store, "give", what, place)
        assert (refused.code, place in refused.err) == (1, True)


def test_the_record_is_given_in_the_plain_text_notation(store: tuple[str, str], tmp_path: Path) -> None:
    named = tmp_path / "record.txt"
    assert dipmark(*store, "give", "record", str(named), "--truck", "7").code == 0
    assert named.read_text("utf-8").startswith("enrolled truck:7 ")
    assert "truck:9" in dipmark(*store, "give", "record").out


def test_the_record_is_proved(store: tuple[str, str]) -> None:
    said = dipmark(*store, "verify")
    assert said.out.endswith("Clean: no fact was changed and none is missing.\n")
    code = next(line.split()[1] for line in said.out.splitlines() if line.startswith("truck:7"))
    dipmark(*store, "read", "7", "100")
    assert dipmark(*store, "verify", "--against", code.lower().replace("-", " ")).code == 0
    unread = dipmark(*store, "verify", "--against", "zebra")
    assert (unread.code, unread.out.splitlines()[-1]) == (1, "1 problem.")
    assert "a code like 12-ABCD-EFGH-IJKL-MNOP" in unread.err
    told = dipmark(*store, "verify", "--json").json
    assert (told["clean"], told["problems"], len(told["codes"])) == (True, [], 4)


def test_a_copy_is_made_and_brought_back(store: tuple[str, str], tmp_path: Path) -> None:
    copy, again = str(tmp_path / "copy.db"), ("--store", str(tmp_path / "again.db"))
    assert dipmark(*store, "backup", copy).out == f"{copy} written and verified. Keep it in another place.\n"
    assert dipmark(*store, "backup", copy).code == 1
    assert dipmark(*again, "restore", copy).out == f"{again[1]} restored and verified.\n"
    assert dipmark(*again, "restore", copy, "--json").code == 1
    assert dipmark(*again, "yard", "--as-of", MORNING).out == dipmark(*store, "yard", "--as-of", MORNING).out
    other = str(tmp_path / "other.db")
    assert dipmark(*store, "backup", other, "--json").json == {"backup": other}
    third = ("--store", str(tmp_path / "third.db"))
    assert dipmark(*third, "restore", other, "--json").json == {"restored": third[1]}

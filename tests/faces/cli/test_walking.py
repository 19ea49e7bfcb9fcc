"""The walk-round at a terminal and from a filled table: what is asked, what is written, and the verdict."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

from faces.cli.running import Ran, dipmark, yard_of

NIGHT = "2026-11-20T05:00"


def walked(store: tuple[str, str], typed: str, *words: str) -> Ran:
    return dipmark(*store, "walk", "7", "--by", "Zoë", "--as-of", NIGHT, *words, typed=typed)


def answers(store: tuple[str, str], hours: str = "12.5", **told: str) -> str:
    """What somebody types who goes by the list: ok everywhere, but for checks told otherwise; n of a number."""
    blank = Path(store[1]).with_name("ask.csv")
    blank.unlink(missing_ok=True)
    dipmark(*store, "walk", "7", "--blank", str(blank))
    lines = ["same"] * sum("open: " in line for line in blank.read_text("utf-8-sig").splitlines()) + [hours]
    for row in list(csv.reader(io.StringIO(blank.read_text("utf-8-sig"))))[1:]:
        if row[3].startswith("open: ") or row[0] == "hours.read":
            continue
        lines.append(told.get(row[0].replace(".", "_"), "ok\n" if row[0] == "tyres.pressure" else "ok"))
    return "\n".join(lines) + "\n"


def last(store: tuple[str, str]) -> dict[str, Any]:
    return dict(dipmark(*store, "log", "7", "--json").json[-1])


def test_a_clean_walk_round(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = walked(store, answers(store))
    assert ran.code == 0, ran.err
    assert ran.out.splitlines()[:2] == [
        "The walk-round is noted. By this check only: a card on the wheel or a man under it, do not touch.",
        "Truck 7: Checked, nothing found, Zoë, Fri 2026-11-20 05:00. The key may be turned.",
    ]
    assert "tyre pressure in bar" in ran.err
    fact = last(store)
    assert (fact["kind"], fact["by"], fact["body"]["meter"]["hours"]) == ("walk-round", "Zoë", 12.5)
    assert fact["happened"] == "2026-11-20T05:00:00+01:00"


def test_places_are_asked_in_walking_order_after_the_meter(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = walked(store, answers(store))
    order = [ran.err.index(text) for text in ("Key out", "Hour meter", "\n0. ", "\n1. ", "\n2. ")]
    assert order == sorted(order)
    assert "last good" not in ran.err


def test_a_fault_found_at_the_truck_stops_it(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = walked(store, answers(store, ground_leaks="fault\nnine\n1\nsmell of gas at the cylinder"))
    assert "Out of service. Take the key out, lock it away, tell the lead hand." in ran.out
    assert "smell of gas at the cylinder" in ran.out
    assert "Write 0, 1, 2" in ran.err
    (fault,) = [one for one in last(store)["body"]["answers"] if one.get("mark") == "fault"]
    assert fault == {
        "check": "ground.leaks", "mark": "fault", "symptom": "fuel", "seriousness": "now", "affects_safety": True,
        "text": "smell of gas at the cylinder",
    }  # fmt: skip


def test_a_fault_that_is_none_of_the_list_is_taken_at_the_worst_of_its_check(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    walked(store, answers(store, ground_leaks="f\n0\n"))
    (fault,) = [one for one in last(store)["body"]["answers"] if one.get("mark") == "fault"]
    assert (fault["seriousness"], "symptom" in fault) == ("now", False)


def test_what_could_not_be_checked_leaves_the_truck_not_checked(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = walked(store, answers(store, horn_heard="u\n\npeople asleep next door"))
    assert "Truck 7: Not checked. Leave the key where it is until the truck is checked." in ran.out
    assert "could not be checked (people asleep next door)" in ran.out


def test_what_the_driver_put_right_is_no_open_fault(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    ran = walked(store, answers(store, tyres_pressure="fault\n2\n\nfront left from 8.4 to 10\n8.4"))
    assert "Checked, nothing found" in ran.out, ran.out
    assert "Put right on the spot?" in ran.err
    (fault,) = [one for one in last(store)["body"]["answers"] if one.get("mark") == "fault"]
    assert (fault["put_right"], fault["value"]) == ("front left from 8.4 to 10", 8.4)


def test_open_faults_are_asked_first_and_not_typed_again(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "fault", "7", "Seat torn", "--serious", "watch", "--as-of", "2026-11-19")
    typed = answers(store)
    assert typed.startswith("same\n")
    ran = walked(store, "perhaps\ngone\n" + typed.removeprefix("same\n"))
    assert ran.err.index("Open fault: Seat torn") < ran.err.index("Hour meter")
    assert last(store)["body"]["open_faults"][0]["now"] == "gone"


def test_the_meter_is_asked_blind_and_queried_only_after(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    for day, hours in ((16, 1000), (17, 1006), (18, 1012)):
        dipmark(*store, "read", "7", str(hours), "--as-of", f"2026-11-{day}T06:00")
    ran = walked(store, answers(store, hours="1,018\n102\n1018"))
    before, after = ran.err.split("Hour meter, as it stands there", 1)
    assert "1012" not in before
    assert "reads two ways" in after or "which is 1018 or 1.018" in after
    assert "last good 1012 h" in after
    assert last(store)["body"]["meter"]["hours"] == 1018
    walked(store, answers(store, hours="102\n"))
    assert last(store)["body"]["meter"]["hours"] == 102


def test_a_meter_that_cannot_be_read_is_a_fault_or_unseen(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    typed = answers(store, hours="").split("\n")
    at = next(index for index, line in enumerate(typed) if index and line == "ok") + 1
    ran = walked(store, "\n".join([*typed[:at], "ok", "fault", "1", "dark", *typed[at:]]))
    assert ran.code == 0, ran.err
    body = last(store)["body"]
    assert "meter" not in body
    (fault,) = [one for one in body["answers"] if one.get("mark") == "fault"]
    assert (fault["check"], fault["symptom"]) == ("hours.read", "blank")


def test_lesser_checks_of_a_place_stand_together_in_sight_on_the_full_list(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    groups: list[str] = []
    first = iter(["9 9 zebra", "", "1 zebra", "1"])

    def say(question: str) -> str:
        if "Hour meter" in question:
            return "12.5"
        if "All of these" in question:
            groups.append(question)
            return next(first, "ok")
        return (
            "unseen"
            if "fault or unseen" in question.splitlines()[0]
            else "dark"
            if "Why" in question
            else ("" if "empty" in question else "ok")
        )

    with patch("dipmark.faces.cli.walking.ask", side_effect=say):
        ran = walked(store, "", "--full")
    assert ran.code == 0, ran.err[-400:]
    assert len(groups) > 5
    assert "    1 " in ran.err
    body = last(store)["body"]
    assert body["sheet"] == "full"
    assert [one["text"] for one in body["answers"] if one.get("mark") == "unseen"] == ["dark"]


@pytest.mark.parametrize("cut", [0, 1, 2, 10])
def test_a_walk_round_broken_off_leaves_nothing_behind(tmp_path: Path, cut: int) -> None:
    store = yard_of(tmp_path)
    ran = walked(store, "".join(answers(store).splitlines(keepends=True)[:cut]))
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.endswith("\nThe walk-round was broken off: nothing was written. Begin it again.\n")
    assert last(store)["kind"] == "enrolled"


def test_a_key_pressed_to_stop_leaves_nothing_behind(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    with patch("dipmark.faces.cli.walking.ask", side_effect=KeyboardInterrupt):
        ran = walked(store, "")
    assert (ran.code, "nothing was written" in ran.err) == (1, True)
    assert last(store)["kind"] == "enrolled"


def test_a_card_or_a_lock_is_said_before_anything_is_touched(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    dipmark(*store, "stop", "7", "leak", "--as-of", "2026-11-19")
    assert "A card hangs or somebody is working on it." in walked(store, "").err


def test_the_blank_table_goes_out_and_comes_back(tmp_path: Path) -> None:
    store, sheet = yard_of(tmp_path), tmp_path / "sheet.csv"
    ran = dipmark(*store, "walk", "7", "--blank", str(sheet))
    assert ran.out.startswith(f"{sheet} written, one line a check.\n")
    again = dipmark(*store, "walk", "7", "--blank", str(sheet))
    assert (again.code, "not written over" in again.err) == (1, True)
    rows = list(csv.reader(io.StringIO(sheet.read_text("utf-8-sig"))))
    told = [rows[0], *([row[0], "ok", *row[2:4], "12.5" if row[0] == "hours.read" else "", ""] for row in rows[1:])]
    text = io.StringIO()
    csv.writer(text, delimiter=";").writerows(told)
    sheet.write_text(text.getvalue(), "utf-8")
    done = walked(store, "", "--answers", str(sheet), "--json")
    assert (done.code, done.err) == (0, "")
    assert done.json["truck"]["state"] == "checked"
    assert done.json["truck"]["hours"] == 12.5
    assert walked(store, text.getvalue(), "--answers", "-").code == 0
    assert dipmark(*store, "walk", "7", "--blank", str(tmp_path / "j.csv"), "--json").json["checks"] == len(rows) - 1


def test_a_faulty_table_says_everything_at_once_and_writes_nothing(tmp_path: Path) -> None:
    store, sheet = yard_of(tmp_path), tmp_path / "sheet.csv"
    sheet.write_text("check,answer,found\nforks.cracks,perhaps,\nforks.crax,ok,\nground.leaks,fault,zebra\n", "utf-8")
    ran = walked(store, "", "--answers", str(sheet), "--json")
    problems = json.loads(ran.err)["error"]["problems"]
    assert (ran.code, ran.out) == (1, "")
    assert [one["where"]["line"] for one in problems if "line" in one["where"]] == [2, 3, 4]
    assert last(store)["kind"] == "enrolled"
    for wrong in ("none.csv", str(tmp_path)):
        said = walked(store, "", "--answers", wrong)
        assert (said.code, "cannot be read" in said.err) == (1, True)

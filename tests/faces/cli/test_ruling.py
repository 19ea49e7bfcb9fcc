"""The rules as people read them, and everything wrong with a yard's own at once."""

from __future__ import annotations

from pathlib import Path

from faces.cli.running import MORNING, dipmark, yard_of
from office.filling import Workbook, task

LPG = "engine-pneumatic-lpg"


def test_the_kinds_are_listed_with_those_that_have_no_rules() -> None:
    said = dipmark("rules", "show")
    assert [line.split()[0] for line in said.out.splitlines()].index(LPG) >= 0
    listed = dipmark("rules", "show", "--json").json
    assert len(listed) == 11
    assert {"kind": LPG, "rules": True} in listed


def test_a_kind_is_shown_with_every_source() -> None:
    said = dipmark("rules", "show", LPG, columns=80).out
    assert said.startswith("Engine truck, pneumatic tyres, LPG (engine-pneumatic-lpg)\n")
    assert "\n1. Front: forks, carriage, mast\n" in said
    assert "every 150 h or 1 month, whichever first; early 10 %, late " in " ".join(said.split())
    assert "\nSources\n" in said
    assert "  us-178-q7: 29 CFR 1910.178" in said
    assert max(map(len, said.splitlines())) <= 80
    assert dipmark("rules", "show", LPG, "--json").json["key"] == LPG


def test_a_kind_nobody_has_rules_for_is_named() -> None:
    ran = dipmark("rules", "show", "hovercraft")
    assert (ran.code, "There are no rules for 'hovercraft'" in ran.err) == (1, True)


def test_the_shipped_rules_are_clean() -> None:
    ran = dipmark("rules", "lint")
    assert (ran.code, ran.out.splitlines()[-1]) == (0, "Clean."), ran.err


def test_own_rules_say_everything_wrong_at_once(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text('[checks.nowhere]\nzebra = 1\n[services."150h"]\nmonths = "many"\n', "utf-8")
    ran = dipmark("rules", "lint", str(tmp_path))
    assert ran.code == 1
    assert len(ran.err.splitlines()) >= 1
    told = dipmark("--rules", str(tmp_path), "rules", "lint", "--json")
    assert told.code == 1
    assert len(told.json) == len(ran.err.splitlines())
    assert all(one["where"]["file"].endswith("own.toml") for one in told.json)
    refused = dipmark("--rules", str(tmp_path), "rules", "show")
    assert (refused.code, refused.out) == (1, "")


def test_rules_are_shown_in_another_language() -> None:
    said = dipmark("rules", "show", "reach", "--language", "es", columns=80).out
    assert said.startswith("Carretilla retráctil (reach)\n")
    assert "No arrancar: " in said
    assert "\nFuentes\n" in said
    assert "Solo en la lista completa." in " ".join(said.split())
    assert dipmark("rules", "show", "symptoms", "--language", "es").out.startswith("Motor (engine)\n")
    assert "Por quién: El conductor." in dipmark("rules", "show", "duties", "--language", "es").out
    refused = dipmark("rules", "show", "reach", "--language", "fr")
    assert (refused.code, "There are: en, en-US, es" in refused.err) == (1, True)


def test_a_workbook_is_written_filled_and_read_back(tmp_path: Path) -> None:
    file, own = tmp_path / "new.xlsx", tmp_path / "own"
    wrote = dipmark("rules", "new", str(file), "--from", LPG)
    assert (wrote.code, wrote.err) == (0, "")
    assert f"dipmark rules new {file} --into FOLDER" in wrote.out
    again = dipmark("rules", "new", str(file), "--from", LPG)
    assert (again.code, "is not written over" in again.err) == (1, True)
    book = Workbook(file)
    row = book.add("tasks", task(service="450h", minutes="some"))
    refused = dipmark("rules", "new", str(book.save()), "--into", str(own))
    assert (refused.code, own.exists()) == (1, False)
    assert f"sheet tasks, line {row}, column minutes: Found 'some'; expected a whole number." in refused.err
    book.manual()
    book.change("tasks", "chain.oil", minutes=7)
    book.book["tasks"].cell(row, book.column("tasks", "minutes"), 6)
    read = dipmark("rules", "new", str(book.save()), "--into", str(own))
    assert (read.code, read.err) == (0, "")
    assert f"own rules for {LPG}, 3 changes." in read.out
    shown = dipmark("--rules", str(own), "rules", "show", LPG).out
    assert "Drain the sump of the lift tank: 0.4 l, plug 35 Nm, 6 min." in " ".join(shown.split())
    assert "page 2, read by A. Ruiz on 2026-11-20" in " ".join(shown.split())
    assert dipmark("rules", "lint", str(own)).out == "Clean.\n"


def test_what_came_of_a_workbook_as_json_and_what_is_odd(tmp_path: Path) -> None:
    file, own = tmp_path / "new.xlsx", tmp_path / "own"
    dipmark("rules", "new", str(file), "--from", LPG)
    book = Workbook(file)
    book.manual()
    row = book.change("services", "900h", hours=901)
    read = dipmark("rules", "new", str(book.save()), "--into", str(own), "--json")
    assert (read.json["kind"], read.json["changed"]) == (LPG, 1)
    assert [one["code"] for one in read.json["odd"]] == ["rule-multiple"] * 2  # over 150 h and over 450 h
    (own / f"{LPG}.toml").unlink()
    said = dipmark("rules", "new", str(file), "--into", str(own))
    assert (said.code, f"sheet services, line {row}" in said.err) == (0, True)


def test_new_rules_are_either_written_out_or_read_back(tmp_path: Path) -> None:
    for words in ((), ("--from", LPG, "--into", str(tmp_path))):
        ran = dipmark("rules", "new", str(tmp_path / "x.xlsx"), *words)
        assert (ran.code, "give --from KIND" in ran.err) == (2, True)
    assert dipmark("rules", "new", str(tmp_path / "x.xlsx"), "--from", "hovercraft").code == 1
    assert dipmark("rules", "new", str(tmp_path / "x.xlsx"), "--into", str(tmp_path)).code == 1


def test_a_yards_trucks_are_told_in_another_language(tmp_path: Path) -> None:
    store = yard_of(tmp_path)
    blank = tmp_path / "7.csv"
    assert dipmark(*store, "--language", "es", "walk", "7", "--blank", str(blank)).code == 0
    assert "Bocina" in blank.read_text("utf-8")
    told = dipmark(*store, "--language", "es", "yard", "--json", "--as-of", MORNING).json
    assert {row["words"] for row in told} == {"Sin revisar"}
    assert dipmark("--language", "es", "rules", "show", "reach").out.startswith("Carretilla retráctil")
    assert "There are: en, en-US, es" in dipmark(*store, "--language", "fr", "yard").err

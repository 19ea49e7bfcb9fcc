"""The rules as people read them, and everything wrong with a yard's own at once."""

from __future__ import annotations

from pathlib import Path

from faces.cli.running import dipmark

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

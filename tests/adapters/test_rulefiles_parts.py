"""A yard's files about parts and choices, laid over the shipped ones."""

from __future__ import annotations

from pathlib import Path

from dipmark.adapters.rulefiles import read_problems, read_rules


def test_a_fault_in_a_part_is_told_once_in_the_yards_file(tmp_path: Path) -> None:
    (tmp_path / "mast.toml").write_text(
        'part = "mast"\n[checks.chain.oil.symptoms.dry]\nseriousness = "stop"\ndays = 1\n'
    )
    (problem,) = read_problems(tmp_path)
    assert (problem.code, problem.where.file, problem.where.line) == ("rule-days", str(tmp_path / "mast.toml"), 4)
    (tmp_path / "mast.toml").write_text('part = "mast"\n[checks.chain.oil.symptoms.dry]\nseriousness = "stop"\n')
    for kind in ("reach", "engine-pneumatic-lpg"):
        check = read_rules(tmp_path).kinds[kind].check("chain.oil")
        assert check is not None
        assert check.stop_worthy


def test_a_yard_chooses_its_rhythm(tmp_path: Path) -> None:
    (tmp_path / "x.toml").write_text('kind = "engine-cushion"\n[choices.rhythm]\nusual = "rhythm-200"\n')
    kind = read_rules(tmp_path).kinds["engine-cushion"]
    assert [one.id for one in kind.services_for(kind.fitted(None)) if not one.once][1:3] == ["200h", "600h"]

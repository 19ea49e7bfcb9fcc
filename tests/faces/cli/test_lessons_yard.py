"""`lessons`: advice, figures and signs of the invented yard, as a person and as a program reads them."""

from __future__ import annotations

from pathlib import Path

import pytest

from faces.cli.running import MORNING, dipmark, yard_of


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    named = ("--store", str(tmp_path_factory.mktemp("lessons") / "yard.db"))
    made = dipmark(*named, "demo", "--as-of", MORNING)
    assert made.code == 0, made.err
    return named


def test_the_lessons_of_the_yard(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "lessons", "--as-of", MORNING, "--price", "30000", "--rate", "10%", "--loses", "25%")
    assert (ran.code, ran.err) == (0, "")
    lines = ran.out.splitlines()
    assert lines[0] == "What keeps breaking"
    for wanted in ("Does a truck wear out?", "Does the interval pay?", "What do trucks take?", "Are walk-rounds made?"):
        assert wanted in lines
    assert "It costs least a year kept" in " ".join(ran.out.split())
    assert "more: --all shows them." in ran.out
    assert "to be posted" not in ran.out
    assert "competent person decide" in ran.out


def test_every_figure(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "lessons", "--as-of", MORNING, "--all", "--no-sheets", "--by", "Ruth Ashby")
    assert "--all shows them." not in ran.out
    assert "Not shown: the yard has decided so." in ran.out
    assert "What is looked at, to be posted:" in ran.out


def test_lessons_as_json(store: tuple[str, str]) -> None:
    page = dipmark(*store, "lessons", "--as-of", MORNING, "--json").json
    assert set(page) == {"advice", "method", "sections", "curves", "signs", "unheard", "caution"}
    assert {"trucks", "intervals", "upkeep"} <= {section["id"] for section in page["sections"]}
    row = page["sections"][0]["rows"][0]
    assert {"text", "said", "numbers", "facts"} <= set(row)
    assert {"hours", "faults", "rate", "low", "high"} <= set(row["numbers"])
    curve = page["curves"][0]
    assert len(curve["hours"]) == len(curve["value"]) == len(curve["low"]) == len(curve["at_risk"])


def test_a_yard_with_nothing_to_teach(tmp_path: Path) -> None:
    ran = dipmark(*yard_of(tmp_path), "lessons", "--as-of", MORNING)
    assert ran.code == 0
    assert "There is nothing to learn from yet" in ran.out
    assert "Not shown: a works council may have to agree first." in ran.out


@pytest.mark.parametrize("rate", ["ten", "-1%", "101%"])
def test_a_share_that_is_none_is_refused(store: tuple[str, str], rate: str) -> None:
    ran = dipmark(*store, "lessons", "--price", "1", "--rate", rate)
    assert ran.code == 2
    assert "from 0% to 100%" in " ".join(ran.err.split())


def test_the_commands_of_the_group_still_run() -> None:
    ran = dipmark("lessons", "replace", "--shape", "2.5", "--scale", "1000", "--planned", "1", "--failure", "5")
    assert (ran.code, ran.err) == (0, "")

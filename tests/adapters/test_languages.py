"""The rules in other languages: complete where they are shipped, a yard's own words laid over ours, English else."""

from __future__ import annotations

from pathlib import Path

import pytest

from dipmark.adapters.languages import in_language, language_problems, languages, yard_words
from dipmark.adapters.rulefiles import read_rules
from dipmark.facts.errors import NotFound, RulesError
from dipmark.office.said import said

SAID = said()


def put(folder: Path, text: str, name: str = "es.toml") -> Path:
    """A yard's own folder with words of a language."""
    (folder / "texts").mkdir(exist_ok=True)
    (folder / "texts" / name).write_text(text, "utf-8")
    return folder


def horn(rules_in: str, own: Path | None = None) -> str:
    """What is said of the horn in a language."""
    rules = in_language(read_rules(), rules_in, own)
    return next(check.text for check in rules.kinds["reach"].checks if check.id == "horn.heard")


def test_what_is_shipped_is_complete_and_short_enough() -> None:
    assert languages() == ("en", "en-US", "es")
    assert language_problems(read_rules(), SAID) == ()


def test_a_region_reads_as_its_language() -> None:
    assert [horn(tag) for tag in ("en", "en-GB", "es", "es-MX")] == ["Horn", "Horn", "Bocina", "Bocina"]


def test_only_what_differs_stands_in_the_words_of_the_united_states() -> None:
    rules = in_language(read_rules(), "en-US")
    wear = next(check for check in rules.kinds["engine-pneumatic-lpg"].checks if check.id == "tyres.wear")
    assert (wear.text, wear.normal) == ("All tires: wear line or lettering", "above the line")


def test_a_language_nobody_has_words_of_is_named_with_those_there_are() -> None:
    with pytest.raises(NotFound, match=r"'fr'\. There are: en, en-US, es"):
        in_language(read_rules(), "fr")


def test_a_yard_gets_its_first_language_that_there_is() -> None:
    rules = read_rules()
    assert yard_words(rules, ("fr", "es")).word("Watch") == "Vigilar"
    assert yard_words(rules, ("fr",)) is rules
    assert yard_words(rules, ()) is rules


def test_a_yard_lays_its_own_words_over_ours(tmp_path: Path) -> None:
    own = put(tmp_path, 'language = "es"\ntext = "Español"\n[checks.horn.heard]\n"Horn" = "Claxon"\n')
    assert horn("es", own) == "Claxon"
    assert language_problems(read_rules(), SAID, own) == ()


def test_a_further_language_is_one_file_and_what_it_lacks_is_shown_as_it_stands(tmp_path: Path) -> None:
    own = put(tmp_path, 'language = "fr"\ntext = "Français"\n[checks.horn.heard]\n"Horn" = "Avertisseur"\n', "fr.toml")
    assert horn("fr-CA", own) == "Avertisseur"
    assert in_language(read_rules(), "fr", own).kinds["reach"].text == "Reach truck"
    problems = language_problems(read_rules(), SAID, own)
    assert {one.code for one in problems} == {"text-missing"}
    assert len(problems) > 1000
    assert not any(one.hard for one in problems)


def test_what_is_wrong_in_a_yards_own_words_has_its_line(tmp_path: Path) -> None:
    lines = ['language = "es"', 'text = "Español"', "[checks.horn.heard]", '"Hron" = "Bocina"', '"Horn" = 7']
    own = put(tmp_path, "\n".join(lines))
    problems = language_problems(read_rules(), SAID, own)
    assert [(one.code, one.where.line) for one in problems] == [("rule-type", 5)]
    with pytest.raises(RulesError, match="the words of es cannot be used, 1 faults"):
        in_language(read_rules(), "es", own)
    own = put(tmp_path, "\n".join(lines[:4]))
    problems = language_problems(read_rules(), SAID, own)
    assert [(one.code, one.where.line, one.hard) for one in problems] == [("text-left-over", 4, False)]


def test_a_file_that_is_none_is_named(tmp_path: Path) -> None:
    own = put(tmp_path, "language = ")
    assert [one.code for one in language_problems(read_rules(), SAID, own)] == ["rule-syntax"]
    with pytest.raises(RulesError):
        in_language(read_rules(), "es", own)
    own = put(tmp_path, "language = ", "xx.toml")
    assert [one.code for one in language_problems(read_rules(), SAID, own)] == ["rule-syntax"] * 2


def test_words_are_no_rules(tmp_path: Path) -> None:
    own = put(tmp_path, 'language = "es"\ntext = "Español"\n')
    (own / "own.toml").write_text('kind = "reach"\n[checks.chain.oil.symptoms.dry]\ndays = 3\n', "utf-8")
    dry = next(check for check in read_rules(own).kinds["reach"].checks if check.id == "chain.oil").symptom("dry")
    assert dry is not None
    assert dry.days == 3

"""The yard's own value: shown before it is written, held to the lint, never looser than safety or law."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.facts.errors import NotFound, Refused
from dipmark.office.open import Office
from dipmark.office.own_rule import (
    NO_OWN_RULES,
    SOURCE_UNNAMED,
    VALUE_UNFIT,
    propose,
    save,
    target_of,
    targets,
)
from office.desk import LPG, desk

OIL = f"interval:{LPG}:150h"
MANUAL = "Manual of the invented truck, page 12"


@pytest.fixture
def office() -> Iterator[Office]:
    """Somebody at the desk."""
    with desk() as found:
        yield found


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A folder for the yard's own rules, not there yet."""
    return tmp_path / "own"


def test_an_interval_is_written_with_who_said_so_and_holds(office: Office, own: Path) -> None:
    change = propose(office, own, OIL, "120", MANUAL)
    assert (change.target.value, change.new, change.looser) == (Decimal(150), Decimal(120), False)
    assert not [one for one in change.problems if one.hard]
    assert not own.exists()
    rules = save(office, own, OIL, "120", MANUAL)
    service = rules.kinds[LPG].service("150h")
    assert service is not None
    assert service.interval_hours == 120
    source = rules.sources[service.source]
    assert (source.title, source.read_by, source.read_on) == (MANUAL, "Ana", "2026-11-20")
    assert rules.digest != office.rules.digest
    assert read_rules(own).digest == rules.digest


def test_a_second_value_joins_the_first_and_each_keeps_its_source(office: Office, own: Path) -> None:
    save(office, own, OIL, "120", MANUAL)
    office.rules = save(office, own, f"months:{LPG}:450h", "2", "the owner")
    kind = office.rules.kinds[LPG]
    oil, next_ = kind.service("150h"), kind.service("450h")
    assert oil is not None
    assert next_ is not None
    assert oil.interval_hours == 120
    assert next_.months == 2
    assert office.rules.sources[oil.source].title == MANUAL
    assert office.rules.sources[next_.source].title == "the owner"
    assert len(list(own.glob("*.toml"))) == 1


def test_days_of_what_does_not_affect_safety(office: Office, own: Path) -> None:
    days = next(one for one in targets(office.rules) if one.what == "days")
    change = propose(office, own, days.id, str(days.value + 1), "the lead hand")
    assert change.looser
    assert not [one for one in change.problems if one.hard]
    rules = save(office, own, days.id, str(days.value + 1), "the lead hand")
    assert target_of(rules, days.id).value == days.value + 1


def test_a_limit_may_be_tightened_and_not_loosened(office: Office, own: Path) -> None:
    worn = "limit:chain:worn"
    looser = propose(office, own, worn, "3.5", MANUAL)
    assert looser.looser
    assert [one.code for one in looser.problems if one.hard] == ["rule-looser"]
    assert all("rules/desk" not in (one.where.file or "") for one in looser.problems)
    with pytest.raises(Refused, match="stricter"):
        save(office, own, worn, "3.5", MANUAL)
    assert not own.exists()
    rules = save(office, own, worn, "2,5", MANUAL)
    assert rules.subjects["chain"].limits["worn"].value == Decimal("2.5")


def test_a_lower_limit_is_looser_downwards(office: Office, own: Path) -> None:
    lower = next(
        one
        for one in targets(office.rules)
        if one.what == "limit" and not office.rules.subjects[one.about].limits[one.name].upper and one.value > 1
    )
    assert propose(office, own, lower.id, str(lower.value / 2), MANUAL).looser
    assert not propose(office, own, lower.id, str(lower.value * 2), MANUAL).looser


@pytest.mark.parametrize("value", ["", "soon", "-5", "0", "nan", "1e999", "1" * 12, "٣"])
def test_what_is_no_value_is_refused(office: Office, own: Path, value: str) -> None:
    with pytest.raises(Refused) as refusal:
        propose(office, own, OIL, value, "")
    assert [problem.code for problem in refusal.value.problems] == [VALUE_UNFIT, SOURCE_UNNAMED]


def test_months_are_whole(office: Office, own: Path) -> None:
    with pytest.raises(Refused, match="whole number"):
        propose(office, own, f"months:{LPG}:150h", "1.5", MANUAL)


def test_without_a_folder_nothing_is_written(office: Office, tmp_path: Path) -> None:
    for folder in (None, tmp_path / "a-file"):
        if folder is not None:
            folder.write_text("no folder", "utf-8")
        with pytest.raises(Refused) as refusal:
            save(office, folder, OIL, "120", MANUAL)
        assert [problem.code for problem in refusal.value.problems] == [NO_OWN_RULES]


def test_what_another_own_file_says_already_is_named(office: Office, own: Path) -> None:
    own.mkdir()
    (own / "mine.toml").write_text(f'kind = "{LPG}"\n[services.150h]\ninterval_hours = 140\n', "utf-8")
    change = propose(office, own, OIL, "120", MANUAL)
    assert "rule-twice" in {problem.code for problem in change.problems}
    with pytest.raises(Refused):
        save(office, own, OIL, "120", MANUAL)
    assert [file.name for file in own.iterdir()] == ["mine.toml"]


def test_there_are_values_of_every_sort_and_no_others(office: Office) -> None:
    assert {one.what for one in targets(office.rules)} == {"interval", "months", "days", "limit"}
    assert len({one.id for one in targets(office.rules)}) == len(list(targets(office.rules)))
    with pytest.raises(NotFound):
        target_of(office.rules, "interval:no:such")

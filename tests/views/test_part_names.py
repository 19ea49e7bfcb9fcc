"""Parts of a truck by their names."""

from __future__ import annotations

from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.lessons.watched import OTHER
from dipmark.views.part_names import PARTS, part_named


def test_every_part_that_is_checked_has_its_name() -> None:
    parts = {check.id.partition(".")[0] for kind in read_rules().kinds.values() for check in kind.checks}
    assert {part_named(part) for part in (*parts, OTHER)} == set(PARTS)


def test_a_name_is_said_in_the_readers_language() -> None:
    assert part_named("air-cleaner", {"air cleaner": "filtro de aire"}.__getitem__) == "filtro de aire"

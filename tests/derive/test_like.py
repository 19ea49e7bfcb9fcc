"""Which trucks stand in for one another."""

from __future__ import annotations

from derive.builders import ENROLLED, KIND, truck
from dipmark.derive.like import like_of

RATED = ENROLLED + '  capacity_kg "2500"\n'
NOW = "2026-03-01T00:00:00"
HIGH = """
plate-read truck:7 2026-01-02T08:00:00+01:00 lead
  values - {"name": "lift-height", "value": "4500", "unit": "mm"}
"""


def test_kind_capacity_attachment_and_height_must_be_the_same() -> None:
    """Common practice, no source."""
    assert like_of(truck(RATED, NOW), KIND) == "engine-pneumatic-lpg|2500|"
    assert like_of(truck(RATED + HIGH, NOW), KIND) == "engine-pneumatic-lpg|2500|4500"


def test_where_capacity_or_rules_are_missing_nobody_can_say() -> None:
    assert like_of(truck(ENROLLED, NOW), KIND) == ""
    assert like_of(truck(RATED, NOW), None) == ""

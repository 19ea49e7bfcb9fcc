from __future__ import annotations

from dipmark.facts.amend import Withdrawn
from dipmark.facts.base import Body, FactId
from dipmark.facts.kinds import KINDS, kind_of

NAMED = [
    "enrolled",
    "plate-read",
    "meter-read",
    "meter-changed",
    "walk-round",
    "fault",
    "out-of-service",
    "released",
    "worked",
    "work-begun",
    "work-ended",
    "measured",
    "sampled",
    "topped-up",
    "charged",
    "fitted",
    "removed",
    "held-by",
    "incident",
    "document",
    "retired",
    "yard-set",
    "shift-pattern",
    "person-set",
    "permit",
    "familiarised",
    "stock",
    "part-set",
    "workshop-set",
    "away",
    "planned",
    "place-set",
    "corrected",
    "withdrawn",
]


def test_every_kind_is_known_by_its_word() -> None:
    assert list(KINDS) == NAMED
    assert all(kind.__struct_config__.tag == name for name, kind in KINDS.items())


def test_no_kind_is_left_out_of_the_union() -> None:
    assert set(Body.__subclasses__()) == set(KINDS.values())


def test_kind_of() -> None:
    assert kind_of(Withdrawn(target=FactId("x"), reason="y")) == "withdrawn"


def test_every_kind_is_frozen_strict_and_leaves_out_defaults() -> None:
    for kind in KINDS.values():
        config = kind.__struct_config__
        assert config.frozen
        assert config.forbid_unknown_fields
        assert config.omit_defaults
        assert config.tag_field == "kind"

"""A small made-up yard for the views: one kind of truck with three services, and records in the notation."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

import msgspec

from derive.builders import KIND, service, symptom
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import UNNAMED, PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.rules.model import Check, Rules, Source, rules_of

ANA: Final = {PersonKey("ana"): "Ana Ruiz", UNNAMED: "unnamed"}


def small_rules() -> Rules:
    """Rules of one invented kind."""
    check = Check(
        id="chain.tension",
        place="front",
        text="Lift chains",
        normal="even",
        when="key-off",
        shift=True,
        retest=True,
        symptoms=(symptom("slack", "stop", safety=True), symptom("dry", "repair-by", days=3), symptom("dull", "watch")),
        source="practice",
        mark="common practice",
    )
    kind = msgspec.structs.replace(
        KIND,
        checks=(check,),
        services=(service("8h", "walk-round.made", 8), service("150h", "engine-oil.change", 150, 1, ("8h",))),
    )
    sources = {
        "practice": Source(title="common practice"),
        "us-178-p1": Source(title="29 CFR 1910.178", clause="(p)(1)"),
    }
    return rules_of({kind.key: kind}, {}, sources, "1")


RULES: Final = small_rules()


def instant(text: str) -> datetime:
    """An instant in UTC."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def made(text: str, as_of: str) -> TruckNow:
    """The truck of a record in the notation, at an instant."""
    parsed = parse(text)
    assert not parsed.problems
    found = truck_now(chain(parsed.facts), RULES, YardNow(), UTC, instant(as_of))
    assert found is not None
    return found

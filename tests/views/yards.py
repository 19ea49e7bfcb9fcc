"""A small made-up yard for the views: one kind of truck with three services, and records in the notation."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Final

from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import UNNAMED, PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.rules.model import Check, Kind, Place, Rules, Service, Source, Symptom, Task, Window, rules_of

ANA: Final = {PersonKey("ana"): "Ana Ruiz", UNNAMED: "unnamed"}


def small_rules() -> Rules:
    """Rules of one invented kind."""
    window = Window(
        early_percent=Decimal(10),
        late_percent=Decimal(10),
        late_most_hours=Decimal(25),
        source="practice",
        mark="common practice",
    )
    check = Check(
        id="chain.tension",
        place="front",
        text="Lift chains",
        normal="even",
        when="key-off",
        shift=True,
        retest=True,
        symptoms=(
            Symptom(
                id="slack",
                text="one is slack",
                seriousness="stop",
                affects_safety=True,
                source="practice",
                mark="common practice",
            ),
            Symptom(
                id="dry",
                text="dry",
                seriousness="repair-by",
                affects_safety=False,
                days=3,
                source="practice",
                mark="common practice",
            ),
            Symptom(
                id="dull",
                text="dull",
                seriousness="watch",
                affects_safety=False,
                source="practice",
                mark="common practice",
            ),
        ),
        source="practice",
        mark="common practice",
    )
    tasks = (
        Task(id="walk", text="Walk round", minutes=5, window=window, source="practice", mark="common practice"),
        Task(id="oil", text="Change the oil", minutes=30, window=window, source="practice", mark="common practice"),
    )
    services = (
        Service(
            id="8h",
            text="8 hours",
            interval_hours=Decimal(8),
            tasks=("walk",),
            source="practice",
            mark="common practice",
        ),
        Service(
            id="150h",
            text="150 hours",
            interval_hours=Decimal(150),
            months=1,
            tasks=("oil",),
            includes=("8h",),
            source="practice",
            mark="common practice",
        ),
    )
    kind = Kind(
        key="engine-pneumatic-lpg",
        text="Invented truck",
        places=(Place(id="front", text="Front", number=1),),
        checks=(check,),
        services=services,
        tasks=tasks,
        meters=("engine",),
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

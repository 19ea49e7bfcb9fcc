"""An invented yard for the tests of floor 2: a small kind of truck, and records written in the plain-text notation."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from typing import Final
from zoneinfo import ZoneInfo

from dipmark.derive.past import Counting, past
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import FIRST, Accepted, BookId, Fact, FactId
from dipmark.facts.codec import accept
from dipmark.facts.notation import parse
from dipmark.rules.model import Check, Kind, Place, Rules, Service, Source, Symptom, Task, rules_of
from dipmark.rules.window import Window

ZONE: Final = ZoneInfo("Europe/Berlin")
LATER: Final = datetime(2199, 1, 1, tzinfo=ZONE)

ENROLLED: Final = """
enrolled truck:7 2026-01-01T06:00:00+01:00 lead
  what engine-pneumatic-lpg
"""
"""A truck whose history before the first of January nobody knows."""

NEW: Final = """
enrolled truck:7 2026-01-01T06:00:00+01:00 lead
  what engine-pneumatic-lpg
  commissioned 2026-01-01
  start_hours 2
"""
"""A truck that came new."""


def _window(early: int, late: int, most: int | None = None) -> Window:
    bound = None if most is None else Decimal(most)
    return Window(
        early_percent=Decimal(early),
        late_percent=Decimal(late),
        late_most_hours=bound,
        source="practice",
        mark="common practice",
    )


def _task(id: str, window: Window) -> Task:
    return Task(id=id, text=id, minutes=10, window=window, source="practice", mark="common practice")


OIL: Final = _window(10, 10, 25)
STRICT: Final = _window(10, 0)
NONE: Final = _window(0, 0)


def service(
    id: str, task: str, hours: int | None, months: int | None = None, includes: tuple[str, ...] = ()
) -> Service:
    return Service(
        id=id,
        text=id,
        tasks=(task,),
        interval_hours=None if hours is None else Decimal(hours),
        meter="engine",
        months=months,
        includes=includes,
        severe={"hard": Decimal("0.7"), "harsh": Decimal("0.4")},
        state_when_late={"900h": "out-of-service", "12mo": "restricted"}.get(id),  # type: ignore[arg-type]
        once=id == "50h",
        source="practice",
        mark="common practice",
    )


def symptom(
    id: str, seriousness: str, *, safety: bool = False, days: int | None = None, fix: str | None = None
) -> Symptom:
    return Symptom(
        id=id,
        text=id,
        seriousness=seriousness,  # type: ignore[arg-type]
        affects_safety=safety,
        days=days,
        put_right=fix,
        source="us-178-q7" if safety else "practice",
        mark="seen",
    )


def _check(id: str, *symptoms: Symptom, needs: tuple[str, ...] = (), shift: bool = True, retest: bool = False) -> Check:
    return Check(
        id=id,
        place="front",
        text=f"Look at {id}",
        normal="sound",
        symptoms=symptoms,
        when="key-off",
        shift=shift,
        needs=needs,
        retest=retest,
        source="practice",
        mark="common practice",
    )


CHECKS: Final = (
    _check(
        "tyre.pressure", symptom("flat", "stop", safety=True), symptom("soft", "repair-by", days=3, fix="Inflate it.")
    ),
    _check("brake.pedal", symptom("slack", "stop", safety=True), retest=True),
    _check("lamp.work", symptom("out", "repair-by", days=7), symptom("dim", "watch")),
    _check("belt.seat", symptom("torn", "stop", safety=True), needs=("seat-belt",)),
    _check("mast.play", symptom("loose", "stop", safety=True), shift=False),
    _check("paint.gone", symptom("bare", "watch")),
)

KIND: Final = Kind(
    key="engine-pneumatic-lpg",
    text="engine truck",
    places=(Place(id="front", text="Front", number=0),),
    checks=CHECKS,
    services=(
        service("8h", "walk-round.made", 8),
        service("50h", "wheels.nuts", 50),
        service("150h", "engine-oil.change", 150, 1, ("8h",)),
        service("450h", "chain.measure", 450, 3, ("8h", "150h")),
        service("900h", "grease.all", 900, 6, ("8h", "150h", "450h")),
        service("12mo", "lpg.hose-age", None, 12),
    ),
    tasks=(
        _task("walk-round.made", NONE),
        _task("wheels.nuts", NONE),
        _task("engine-oil.change", OIL),
        _task("chain.measure", STRICT),
        _task("grease.all", OIL),
        _task("lpg.hose-age", NONE),
    ),
    meters=("engine", "lift"),
    options=("seat-belt",),
    usual=("seat-belt",),
)


def rules(kind: Kind = KIND) -> Rules:
    return rules_of({kind.key: kind}, {}, {"practice": Source(title="common practice")}, "1")


RULES: Final = rules()
SHIFTS: Final = """
shift-pattern yard 2026-01-01T00:00:00+01:00 lead
  shifts - {"name": "early", "days": [1, 2, 3, 4, 5], "start": "06:00:00", "end": "14:00:00"}
  shifts - {"name": "late", "days": [1, 2, 3, 4, 5], "start": "14:00:00", "end": "22:00:00"}
  shifts - {"name": "night", "days": [1, 2, 3, 4], "start": "22:00:00", "end": "06:00:00"}
"""


def fid(number: int) -> FactId:
    """The id of the fact at that place in a text."""
    return FactId(f"00000000-0000-7000-8000-{number:012x}")


def at(text: str) -> datetime:
    """An instant; without an offset by the yard's clock."""
    time = datetime.fromisoformat(text)
    return time if time.tzinfo else time.replace(tzinfo=ZONE)


def record(text: str) -> tuple[Accepted, ...]:
    """The record of a text; a fact was received when its ``@received`` says, else when it happened."""
    parsed = parse(text)
    assert not parsed.problems, [str(problem) for problem in parsed.problems]
    receipts = {item.fact.id: item.received for item in parsed.accepted}
    return taken((fact, receipts.get(fact.id, fact.happened)) for fact in parsed.facts)


def taken(facts: Iterable[tuple[Fact, datetime]]) -> tuple[Accepted, ...]:
    """A record from facts and their receipts, in the order they arrived."""
    heads: dict[BookId, Accepted] = {}
    items = []
    for fact, received in facts:
        last = heads.get(fact.book)
        seq, prev = (1, FIRST) if last is None else (last.seq + 1, last.digest)
        heads[fact.book] = accept(fact, received, seq, prev)
        items.append(heads[fact.book])
    return tuple(items)


def counting(text: str, as_of: str | None = None) -> Counting:
    """The facts of a text that count."""
    return past(record(text), LATER if as_of is None else at(as_of))


def truck(text: str, as_of: str, kind: Kind = KIND, yard: YardNow | None = None) -> TruckNow:
    """The truck of a text at an instant."""
    now = truck_now(record(text), rules(kind), yard or YardNow(), ZONE, at(as_of))
    assert now is not None
    return now

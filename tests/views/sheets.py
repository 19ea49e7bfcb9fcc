"""Trucks and sheets made up by chance: what a phone may be handed, and whatever a driver may answer."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Final

import msgspec

from derive.builders import ENROLLED, RULES, at, record
from dipmark.facts.base import Accepted, Reading
from dipmark.facts.walk_round import Answer, Mark, OpenFault, WalkRound
from dipmark.views.compiled_sheet import FATES, Sheet
from dipmark.views.walk_round import AskedRow, CheckList, CheckRow, Cuts

SHEETS: Final = ("shift", "full", "take-over", "after-shift")
ASKED: Final = ("tyre.pressure", "brake.pedal", "belt.seat", "lamp.work", "paint.gone")


def made_up(rng: Random) -> tuple[tuple[Accepted, ...], datetime]:
    """A record of one truck, and the instant it is looked at."""
    now = at("2026-11-20T05:30:00") + timedelta(minutes=rng.randint(0, 1200))
    facts: list[str] = [ENROLLED if rng.random() < 0.7 else f"{ENROLLED}  options - cabin\n"]
    if rng.random() < 0.5:
        hours = "" if rng.random() < 0.3 else '  meter {"hours": "500"}\n'
        facts.append(f"worked truck:7 {_ago(rng, now, 300, 60)} lead\n  services - 900h\n{hours}")
    if rng.random() < 0.5:
        facts.append(f"worked truck:7 {_ago(rng, now, 700)} lead\n  services - 12mo\n")
    for _ in range(rng.choice((0, 0, 1, 2))):
        how = rng.choice(("watch", "watch", "repair-by", "repair-by", "stop"))
        days = f"  days {rng.randint(1, 9)}\n" if how == "repair-by" else ""
        facts.append(f"fault truck:7 {_ago(rng, now, 8)} dan\n  text odd\n  seriousness {how}\n{days}")
    if rng.random() < 0.12:
        facts.append(f"out-of-service truck:7 {_ago(rng, now, 3)} lead\n  reason bent\n")
    if rng.random() < 0.7:
        answers = "".join(f'  answers - {{"check": "{one}"}}\n' for one in ASKED if rng.random() < 0.97)
        facts.append(f"walk-round truck:7 {_ago(rng, now, 1)} dan\n  rules {RULES.digest}\n{answers}")
    return record("\n".join(facts)), now


def _ago(rng: Random, now: datetime, most: int, least: int = 0) -> str:
    """Some days before; two months are enough for a meter to run to any of the hours read in `walk_of`."""
    return (now - timedelta(minutes=rng.randint(least * 1440 + 1, most * 1440))).isoformat()


def walk_of(rng: Random, sheet: Sheet, asked: CheckList) -> WalkRound:
    """A sheet as somebody may fill it in: most of it in order."""
    kind = rng.choice(SHEETS)
    share = rng.choice((0.0, 0.0, 0.1, 0.5))
    answers = [_answer(rng, one, share) for one in asked.checks(kind) if rng.random() > share / 8]
    faults = [OpenFault(fault=fault.ref, now=rng.choice(FATES)) for fault in sheet.faults if rng.random() < 0.9]
    hours = rng.choice((None, "501", "1424.9", "1425", "1425.1", "1600"))
    return WalkRound(
        answers=tuple(answers),
        rules=sheet.rules,
        sheet=kind,  # type: ignore[arg-type]
        open_faults=tuple(faults),
        meter=None if hours is None or sheet.meter.cuts is None else Reading(hours=Decimal(hours)),
    )


def _answer(rng: Random, check: CheckRow, share: float) -> Answer:
    mark: Mark = rng.choice(("fault", "unseen")) if rng.random() < share else "ok"
    value = Decimal(rng.randint(0, 2000)).scaleb(-rng.randint(0, 3)) if check.asked else None
    if mark != "fault":
        return Answer(check=check.id, mark=mark, value=value)
    named = rng.choice((None, *check.symptoms))
    worst = named or check.symptoms[check.worst]
    return Answer(
        check=check.id,
        mark=mark,
        symptom=named.id if named else None,
        seriousness=worst.seriousness,
        affects_safety=worst.safety,
        days=worst.days,
        put_right="done" if named and named.fix and rng.random() < 0.5 else None,
        value=value,
    )


def with_values(rng: Random, sheet: Sheet, asked: CheckList) -> tuple[Sheet, CheckList]:
    """The same with values asked for at some checks, tipping where chance has it."""
    held = {check.id for check in asked.checks("full") if rng.random() < 0.4}

    def ask(check: CheckRow) -> CheckRow:
        row = AskedRow("x", "x", "bar") if check.id in held else None
        return msgspec.structs.replace(check, asked=row)

    places = tuple(
        msgspec.structs.replace(place, checks=tuple(ask(check) for check in place.checks)) for place in asked.places
    )
    cuts = {check: _some_cuts(rng) for check in held if rng.random() < 0.8}
    return msgspec.structs.replace(sheet, cuts=cuts), msgspec.structs.replace(asked, places=places)


def _some_cuts(rng: Random) -> Cuts:
    width = rng.randint(0, 3)
    rows = tuple(tuple(sorted(rng.randint(0, 2000) for _ in range(width))) for _ in range(rng.choice((1, 1, 40))))
    ranks = tuple(rng.randint(0, 3) for _ in range(width + 1))
    return Cuts(at=rows, ranks=ranks, places=rng.randint(0, 3), coldest=rng.randint(-20, 10))


def plain(value: object) -> object:
    """As it is sent."""
    return msgspec.json.decode(msgspec.json.encode(value))

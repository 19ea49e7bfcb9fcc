"""The rules of a kind of truck on a terminal: checks by place, services with their tasks, sources at the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.text import Text

from dipmark.faces.cli.render import heading
from dipmark.rules.duty import Lapsed
from dipmark.rules.model import Check, Kind, Rules, Service
from dipmark.rules.value import Value
from dipmark.views.words import CAUTION, SERIOUSNESS, hours
from dipmark.views.wrong import SystemRow

LAPSED: Final[dict[Lapsed, str]] = {
    "out-of-service": "the truck is out of service",
    "not-checked": "the truck is not checked",
    "not-you": "not you: the driver may not drive it",
    "nothing": "it is late, the state of the truck stays",
}


def rules_parts(kind: Kind, rules: Rules) -> Iterator[ConsoleRenderable]:
    """Everything that a kind of truck is held to."""
    used: dict[str, None] = {}
    yield Text(f"{kind.text} ({kind.key})", style="bold")
    for place in sorted(kind.places, key=lambda one: one.number):
        yield heading(f"{place.number}. {place.text}")
        for check in (one for one in kind.checks if one.place == place.id):
            yield from _check(check, used)
    for service in kind.services:
        yield from _service(kind, service, used)
    yield from _sources(rules, used)


def _sources(rules: Rules, used: dict[str, None]) -> Iterator[ConsoleRenderable]:
    yield heading("Sources")
    for key in sorted(used):
        source = rules.sources[key]
        yield _in(f"{key}: {', '.join(part for part in (source.title, source.clause) if part)}", 2)
    yield Text(f"\n{CAUTION}", "dim")


def duties_parts(rules: Rules) -> Iterator[ConsoleRenderable]:
    """What the law of each country asks for."""
    used: dict[str, None] = {}
    for country, duties in rules.duties.items():
        yield heading(country)
        for duty in duties:
            often = "each shift" if duty.each_shift else "no fixed rhythm"
            often = f"every {duty.every_months} months" if duty.every_months else often
            often += "".join(f", every {one.months} for {one.id.replace('-', ' ')}" for one in duty.sooner)
            lapsed = LAPSED[duty.when_lapsed]
            yield _in(Text.assemble((f"{duty.id}, {often}: ", "bold"), duty.text, _source(duty, used)), 2)
            yield _in(f"By whom: {duty.who}. Kept: {duty.kept}. When lapsed: {lapsed}.", 6)
            if duty.trucks.kinds or duty.trucks.where:
                yield _in(f"For: {', '.join((*duty.trucks.kinds, *duty.trucks.where))}.", 6)
    yield from _sources(rules, used)


def wrong_parts(systems: Sequence[SystemRow]) -> Iterator[ConsoleRenderable]:
    """Something is wrong: the troubles of each system, and what now."""
    for system in systems:
        yield heading(f"{system.text} ({system.id})")
        for row in system.troubles:
            yield _in(Text.assemble((f"{row.words}: ", "bold"), f"{row.text} ({row.id}, {row.sense})."), 2)
            yield _in(row.now, 6)
            yield from (_in(f"! {caution}", 6) for caution in row.cautions)
            yield _in(f"Look first: {'; '.join(row.first)}.".replace("?;", "?").replace("?.", "?"), 6)
            source = Text(f"  [{row.source}, {row.mark}]", "dim")
            yield _in(Text.assemble(f"Likely: {'; '.join(row.causes)}.", source), 6)
    yield Text(f"\n{CAUTION}", "dim")


def _check(check: Check, used: dict[str, None]) -> Iterator[ConsoleRenderable]:
    asked = f" Asks for {check.asked.quantity.replace('-', ' ')} in {check.asked.unit}." if check.asked else ""
    list_ = "" if check.shift else " Full list only."
    said = f"{check.id}: {check.text}. Normal: {check.normal}.{_fitted(check.needs)}{asked}{list_}"
    yield _in(Text.assemble(said, _source(check, used)), 2)
    for symptom in check.symptoms:
        days = f" within {symptom.days} days" if symptom.days is not None else ""
        word = f"{SERIOUSNESS[symptom.seriousness].removesuffix(' by')}{days}"
        right = f" On the spot: {symptom.put_right}." if symptom.put_right else ""
        yield _in(
            Text.assemble(
                (f"{word}: ", "bold"),
                f"{symptom.text} ({symptom.id}).{_fitted(symptom.needs)}{right}",
                _source(symptom, used),
            ),
            6,
        )
    for caution in check.cautions:
        yield _in(f"! {caution}", 6)


def _service(kind: Kind, service: Service, used: dict[str, None]) -> Iterator[ConsoleRenderable]:
    window = kind.window(service)
    often = "once after" if service.once else "every"
    interval = "by date" if service.interval_hours is None else f"{often} {hours(service.interval_hours)}"
    months = ("1 month" if service.months == 1 else f"{service.months} months") if service.months else ""
    whichever = f" or {months}, whichever first" if months else ""
    edges = f"early {window.early_percent:f} %, late {window.late_percent:f} %"
    yield heading(f"{service.text} ({service.id}): {interval}{whichever}; {edges}.{_fitted(service.needs)}")
    if service.includes:
        yield _in(f"Includes {', '.join(service.includes)}.", 2)
    for task in (one for one in kind.tasks if one.id in service.tasks):
        said = f"{task.id}: {task.text}, {task.minutes} min.{_fitted(task.needs)}"
        yield _in(Text.assemble(said, _source(task, used)), 2)
        for caution in task.cautions:
            yield _in(f"! {caution}", 6)


def _fitted(needs: tuple[str, ...]) -> str:
    return f" Where fitted: {', '.join(needs)}." if needs else ""


def _in(part: Text | str, left: int) -> Padding:
    return Padding(part, (0, 0, 0, left))


def _source(value: Value, used: dict[str, None]) -> tuple[str, str]:
    used[value.source] = None
    return f"  [{value.source}, {value.mark}]", "dim"

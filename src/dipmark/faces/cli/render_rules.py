"""The rules of a kind of truck on a terminal: checks by place, services with their tasks, sources at the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.text import Text

from dipmark.faces.cli.render import heading
from dipmark.rules.model import Check, Kind, Rules, Service
from dipmark.rules.value import Value
from dipmark.views.words import AFTER, CAUTION, LAPSED, SERIOUSNESS, hours
from dipmark.views.wrong import SystemRow


def rules_parts(kind: Kind, rules: Rules) -> Iterator[ConsoleRenderable]:
    """Everything that a kind of truck is held to."""
    used: dict[str, None] = {}
    yield Text(f"{kind.text} ({kind.key})", style="bold")
    for place in sorted(kind.places, key=lambda one: one.number):
        yield heading(f"{place.number}. {place.text}")
        for check in (one for one in kind.checks if one.place == place.id):
            yield from _check(check, used, rules)
    for service in kind.services:
        yield from _service(kind, service, used, rules)
    yield from _sources(rules, used)


def _sources(rules: Rules, used: dict[str, None]) -> Iterator[ConsoleRenderable]:
    yield heading(rules.word("Sources"))
    for key in sorted(used):
        source = rules.sources[key]
        read = rules.word("read by {} on {}").format(source.read_by, source.read_on) if source.has_reader else ""
        yield _in(f"{key}: {', '.join(part for part in (source.full, read) if part)}", 2)
    yield Text(f"\n{rules.word(CAUTION)}", "dim")


def duties_parts(rules: Rules) -> Iterator[ConsoleRenderable]:
    """What the law of each country asks for."""
    used: dict[str, None] = {}
    for country, duties in rules.duties.items():
        yield heading(country)
        for duty in duties:
            often = rules.word("each shift" if duty.each_shift else "no fixed rhythm")
            often = rules.word("every {}").format(_months(duty.every_months, rules)) if duty.every_months else often
            sooner = ((one.months, one.id.replace("-", " ")) for one in duty.sooner)
            often += "".join(f", {rules.word('every {} for {}').format(*one)}" for one in sooner)
            lapsed = rules.word(LAPSED[duty.when_lapsed])
            whom = rules.word("By whom: {}. Kept: {}. When lapsed: {}.")
            yield _in(Text.assemble((f"{duty.id}, {often}: ", "bold"), duty.text, _source(duty, used)), 2)
            yield _in(whom.format(duty.who, duty.kept, lapsed), 6)
            if duty.trucks.kinds or duty.trucks.where:
                yield _in(rules.word("For: {}.").format(", ".join((*duty.trucks.kinds, *duty.trucks.where))), 6)
    yield from _sources(rules, used)


def wrong_parts(systems: Sequence[SystemRow], rules: Rules) -> Iterator[ConsoleRenderable]:
    """Something is wrong: the troubles of each system, and what now."""
    for system in systems:
        yield heading(f"{system.text} ({system.id})")
        for row in system.troubles:
            yield _in(Text.assemble((f"{row.words}: ", "bold"), f"{row.text} ({row.id}, {rules.word(row.sense)})."), 2)
            yield _in(row.now, 6)
            yield from (_in(f"! {caution}", 6) for caution in row.cautions)
            first = rules.word("Look first: {}.").format("; ".join(row.first))
            yield _in(first.replace("?;", "?").replace("?.", "?"), 6)
            source = Text(f"  [{row.source}, {row.mark}]", "dim")
            yield _in(Text.assemble(rules.word("Likely: {}.").format("; ".join(row.causes)), source), 6)
    yield Text(f"\n{rules.word(CAUTION)}", "dim")


def _check(check: Check, used: dict[str, None], rules: Rules) -> Iterator[ConsoleRenderable]:
    value = (check.asked.quantity.replace("-", " "), check.asked.unit) if check.asked else ()
    asked = " " + rules.word("Asks for {} in {}.").format(*value) if value else ""
    list_ = "" if check.shift else " " + rules.word("Full list only.")
    normal = rules.word("Normal: {}.").format(check.normal)
    said = f"{check.id}: {check.text}. {normal}{_fitted(check.needs, rules)}{asked}{list_}"
    yield _in(Text.assemble(said, _source(check, used)), 2)
    for symptom in check.symptoms:
        within = rules.word("Repair within {} day" + ("" if symptom.days == 1 else "s"))
        word = rules.word(SERIOUSNESS[symptom.seriousness]) if symptom.days is None else within.format(symptom.days)
        right = " " + rules.word("On the spot: {}.").format(symptom.put_right) if symptom.put_right else ""
        yield _in(
            Text.assemble(
                (f"{word}: ", "bold"),
                f"{symptom.text} ({symptom.id}).{_fitted(symptom.needs, rules)}{right}",
                _source(symptom, used),
            ),
            6,
        )
    for caution in check.cautions:
        yield _in(f"! {caution}", 6)


def _service(kind: Kind, service: Service, used: dict[str, None], rules: Rules) -> Iterator[ConsoleRenderable]:
    window = kind.window(service)
    often = rules.word("once after {}" if service.once else "every {}").format(hours(service.interval_hours))
    if service.after is not None:
        interval = rules.word(AFTER[service.after])
        if service.interval_hours is not None:
            interval = f"{interval}, {hours(service.interval_hours)}"
    else:
        interval = rules.word("by date") if service.interval_hours is None else often
    months = _months(service.months, rules)
    whichever = " " + rules.word("or {}, whichever first").format(months) if months else ""
    edges = rules.word("early {} %, late {} %").format(f"{window.early_percent:f}", f"{window.late_percent:f}")
    yield heading(f"{service.text} ({service.id}): {interval}{whichever}; {edges}.{_fitted(service.needs, rules)}")
    if service.includes:
        yield _in(rules.word("Includes {}.").format(", ".join(service.includes)), 2)
    for task in (one for one in kind.tasks if one.id in service.tasks):
        said = f"{task.id}: {task.text}, {task.minutes} min.{_fitted(task.needs, rules)}"
        yield _in(Text.assemble(said, _source(task, used)), 2)
        for caution in task.cautions:
            yield _in(f"! {caution}", 6)


def _fitted(needs: tuple[str, ...], rules: Rules) -> str:
    return " " + rules.word("Where fitted: {}.").format(", ".join(needs)) if needs else ""


def _months(months: int | None, rules: Rules) -> str:
    if not months:
        return ""
    return rules.word("1 month") if months == 1 else rules.word("{} months").format(months)


def _in(part: Text | str, left: int) -> Padding:
    return Padding(part, (0, 0, 0, left))


def _source(value: Value, used: dict[str, None]) -> tuple[str, str]:
    used[value.source] = None
    return f"  [{value.source}, {value.mark}]", "dim"

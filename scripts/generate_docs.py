"""Writes docs/reference from the program itself; with --check says which page is out of date instead.

One function makes one page as text, so that the tests can compare without writing.
"""

from __future__ import annotations

import argparse
import importlib
import inspect
import pkgutil
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import msgspec
import typer.main
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption

import dipmark
from dipmark.adapters.rulefiles import read_rules
from dipmark.facts.base import Body, Part
from dipmark.facts.kinds import KINDS
from dipmark.facts.people import YardSet
from dipmark.facts.problems import CODES
from dipmark.views.words import AFTER
from dipmark.views.wrong import all_wrong
from docs_limits import limits_pages
from docs_writing import SERIOUSNESS, arguments, opening, page, table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dipmark.rules.duty import Duty
    from dipmark.rules.model import Check, Kind, Rules, Service

REFERENCE: Final = Path(__file__).resolve().parents[1] / "docs" / "reference"


def import_all() -> None:
    """Import every module, so that every problem code is entered."""
    for module in pkgutil.walk_packages(dipmark.__path__, "dipmark."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)


# ---------------------------------------------------------------- facts, problems, settings


def fields_of(kind: type[msgspec.Struct]) -> Iterator[tuple[str, str, str, str]]:
    """Name, type, whether it must be given, and meaning of each field."""
    meaning = arguments(kind)
    for field in msgspec.structs.fields(kind):
        written = str(inspect.get_annotations(kind).get(field.name, "")).strip("'\"").removesuffix(" | None")
        written = re.sub(r"Annotated\[(\w+), .*\]", r"\1", written)
        yield f"`{field.name}`", f"`{written}`", "yes" if field.required else "", meaning.get(field.name, "")


def struct_block(mark: str, name: str, kind: type[msgspec.Struct]) -> str:
    """A heading, what a class says of itself, and its fields."""
    rows = list(fields_of(kind))
    fields = [table(["field", "holds", "must be given", "meaning"], rows)] if rows else []
    return "\n\n".join([f"{mark} {name}", opening(kind), *fields])


def facts_page() -> str:
    """Every kind of fact with its fields, then the parts that they are made of."""
    parts = sorted((part for part in Part.__subclasses__() if part is not Body), key=lambda part: part.__name__)
    blocks = [struct_block("##", name, kind) for name, kind in KINDS.items()]
    blocks += ["## Parts of facts", *(struct_block("###", part.__name__, part) for part in parts)]
    return page(
        "Kinds of fact",
        "What a book can hold. Every fact also has an id, its book, when it happened (with its zone) and who says so; "
        "the store adds when it was received, its number in the book and its digest.",
        *blocks,
    )


def problems_page() -> str:
    """Every problem code with its meaning."""
    rows = [(f"`{code}`", meaning) for code, meaning in sorted(CODES.items())]
    return page(
        "Problems",
        "What dipmark can find wrong in facts, rules and tables. Each is shown with its place: what was found, "
        "what was expected, what to do.",
        table(["code", "meaning"], rows),
    )


def words_of(param: TyperOption) -> str:
    """How an option is written, with what it takes."""
    takes = f" {param.metavar}" if param.metavar else ""
    return ", ".join(f"`{word}{takes}`" for word in (*param.opts, *param.secondary_opts))


def option_row(param: TyperOption) -> tuple[str, str, str]:
    """The words, the variable and the meaning of an option."""
    variable = f"`{param.envvar}`" if param.envvar else ""
    return words_of(param), variable, help_of(param)


def settings_page() -> str:
    """What can be set for a yard and for a run."""
    yard = [(name, holds, meaning) for name, holds, _, meaning in fields_of(YardSet)]
    run = [option_row(param) for param in commands().params if isinstance(param, TyperOption)]
    each = {
        option_row(param)
        for _, command in walk(commands())
        for param in command.params
        if isinstance(param, TyperOption) and {"--as-of", "--by", "--json"} & set(param.opts)
    }
    return page(
        "Settings",
        "A yard's settings stand in the yard's own book, as facts: they can be looked up for any day. What "
        "concerns one run of the program is an option of it, or a variable of the environment.",
        "## Of the yard",
        table(["setting", "holds", "meaning"], yard),
        "## Of a run",
        "Before the command:",
        table(["option", "variable", "meaning"], run),
        "After it, for every command that can use it:",
        table(["option", "variable", "meaning"], sorted(each)),
    )


# ---------------------------------------------------------------- commands


def commands() -> TyperGroup:
    """The command line with all its commands."""
    from dipmark.faces.cli.app import app

    return typer.main.get_group(app)


def help_of(param: object) -> str:
    """The help of one option or argument."""
    return " ".join((getattr(param, "help", None) or "").split())


def walk(command: object, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], TyperCommand]]:
    """Every command that can be given, with the words that call it."""
    if isinstance(command, TyperGroup):
        for name, sub in command.commands.items():
            if not sub.hidden:
                yield from walk(sub, (*path, name))
    elif isinstance(command, TyperCommand):
        yield path, command


def command_block(path: tuple[str, ...], command: TyperCommand) -> str:
    """One command: how it is called, what it does, its arguments and options."""
    given = {
        (param.metavar or (param.name or "").upper()).strip("[]."): help_of(param)
        for param in command.params
        if isinstance(param, TyperArgument)
    }
    options = [param for param in command.params if isinstance(param, TyperOption)]
    usage = " ".join(["dipmark", *path, *given, *(["[OPTIONS]"] if options else [])])
    text = inspect.cleandoc(command.help or "").split("\f")[0].strip()
    rows = [(f"`{name}`", text_) for name, text_ in given.items()]
    rows += [(words_of(param), help_of(param)) for param in options]
    parts = [f"## {' '.join(path)}", f"```text\n{usage}\n```", text]
    return "\n\n".join([*parts, table(["given", "meaning"], rows)] if rows else parts)


def commands_page() -> str:
    """Every command."""
    return page(
        "Commands",
        "`dipmark --store PATH_OR_ADDRESS COMMAND`. What stands before the command is in [settings](settings.md).",
        *(command_block(path, command) for path, command in walk(commands())),
    )


# ---------------------------------------------------------------- rules


def check_rows(check: Check) -> Iterator[tuple[str, ...]]:
    """One row for each symptom of a check."""
    only = f" Only with {', '.join(check.needs)}." if check.needs else ""
    long = "" if check.shift else " Full list only."
    for number, symptom in enumerate(check.symptoms):
        word = SERIOUSNESS[symptom.seriousness]
        if symptom.days is not None:
            word = f"Repair by {symptom.days} days on"
        yield (
            f"**{check.text}** (`{check.id}`): {check.normal}.{only}{long}" if number == 0 else "",
            symptom.text,
            word,
            "yes" if symptom.affects_safety else "",
            symptom.put_right or "",
            f"`{symptom.source}`, {symptom.mark}",
        )


def checks_of(kind: Kind) -> Iterator[str]:
    """The walk-round of a kind of truck, place by place."""
    for place in sorted(kind.places, key=lambda one: one.number):
        checks = [check for check in kind.checks if check.place == place.id]
        yield f"### {place.number}. {place.text}"
        head = ["look at", "what may be found", "then", "safety", "put right on the spot", "source"]
        yield table(head, [row for check in checks for row in check_rows(check)])


def checks_page(rules: Rules) -> str:
    """The walk-round of every kind of truck that has rules."""
    blocks: list[str] = []
    for kind in rules.kinds.values():
        blocks += [f"## {kind.text} (`{kind.key}`)", *checks_of(kind)]
    return page(
        "Checks",
        f"What a walk-round asks, in walking order. Rules version {rules.version}. A maker's manual or a local "
        "rule may be stricter; a licensed or competent person decides.",
        *blocks,
    )


def rhythm(service: Service) -> str:
    """Hours and months of a service, whichever first."""
    parts = []
    if service.interval_hours is not None:
        meter = f" ({service.meter} meter)" if service.meter else ""
        parts.append(f"{service.interval_hours} h{meter}")
    if service.months is not None:
        parts.append(f"{service.months} month{'s' if service.months > 1 else ''}")
    return " or ".join(parts) + (", whichever first" if len(parts) > 1 else "")


def after(service: Service) -> str:
    """What calls for a service, and within how many hours."""
    what = AFTER[service.after or ""].capitalize()
    return what if service.interval_hours is None else f"{what}: within {service.interval_hours} h"


def service_blocks(kind: Kind) -> Iterator[str]:
    """The services of a kind of truck, each with the tasks it adds."""
    for service in kind.services:
        window = kind.window(service)
        yield f"### {service.text} (`{service.id}`)"
        when = f"Every {rhythm(service)}" if service.after is None else after(service)
        facts = [f"{when}. Source: `{service.source}`, {service.mark}."]
        if service.includes:
            facts.append(f"Includes and starts anew: {', '.join(f'`{one}`' for one in service.includes)}.")
        if service.interval_hours is not None:
            early, late = window.early_hours(service.interval_hours), window.late_hours(service.interval_hours)
            no_window = "No window: at its mark, neither before nor after."
            facts.append(
                no_window
                if not early + late
                else f"May be done from {early.normalize():f} h before to {late.normalize():f} h after its mark."
            )
        yield " ".join(facts)
        tasks = [task for task in kind.tasks if task.id in service.tasks]
        rows = [
            (
                f"{task.text} (`{task.id}`)",
                f"{task.minutes} min",
                ", ".join((*task.parts, *task.fluids)),
                " ".join(task.cautions),
                f"`{task.source}`, {task.mark}",
            )
            for task in tasks
        ]
        yield table(["task", "time", "parts and fluids", "caution", "source"], rows)


def services_page(rules: Rules) -> str:
    """The services of every kind of truck that has rules."""
    blocks: list[str] = []
    for kind in rules.kinds.values():
        blocks += [f"## {kind.text} (`{kind.key}`)", *service_blocks(kind)]
    return page(
        "Services",
        f"What falls due when, and what is done then. Rules version {rules.version}. Times are for one trained "
        "person with the parts to hand. Litres, torques and counts of fittings come from the plate or the manual of "
        "each truck.",
        *blocks,
    )


def often(duty: Duty) -> str:
    """How often a duty comes round."""
    usual = "each shift" if duty.each_shift else "no fixed rhythm"
    usual = f"every {duty.every_months} months" if duty.every_months else usual
    others = (f", every {one.months} for {', '.join((*one.trucks.kinds, *one.trucks.where))}" for one in duty.sooner)
    return usual + "".join(others)


def duties_page(rules: Rules) -> str:
    """What the law of each country asks for."""
    blocks: list[str] = []
    for country, duties in sorted(rules.duties.items()):
        rows = [
            (
                f"{duty.text} (`{duty.id}`)",
                often(duty),
                ", ".join((*duty.trucks.kinds, *duty.trucks.where)) or f"every {duty.about}",
                duty.who,
                duty.kept,
                duty.when_lapsed.replace("-", " "),
                f"`{duty.source}`, {duty.mark}",
            )
            for duty in duties
        ]
        head = ["duty", "how often", "for", "by whom", "kept", "when lapsed", "source"]
        blocks += [f"## {country}", table(head, rows)]
    return page(
        "Duties",
        "What the law asks for, by country. A yard without a country is held to none, and its pages say so. A part of "
        "a country with a law of its own, such as CA-ON, is held to that and not to the whole's.",
        *(blocks or ["No country has its duties entered yet."]),
    )


def symptoms_page(rules: Rules) -> str:
    """What may be wrong, system by system, and what now."""
    blocks: list[str] = []
    for system in all_wrong(rules):
        rows = [
            (
                f"{row.text} (`{row.id}`, {row.sense})",
                row.words,
                "; ".join(row.first),
                " ".join(row.cautions),
                "; ".join(row.causes),
                f"{row.source}, {row.mark}",
            )
            for row in system.troubles
        ]
        head = ["what is noticed", "then", "look first", "caution", "likely", "source"]
        blocks += [f"## {system.text} (`{system.id}`)", table(head, rows)]
    return page(
        "Something is wrong",
        "What is seen, heard, felt or smelt, and what now. A truck is never asked about what it has not.",
        *blocks,
    )


def sources_page(rules: Rules) -> str:
    """Where the rules come from."""
    rows = [(f"`{key}`", source.title, source.clause) for key, source in sorted(rules.sources.items())]
    return page(
        "Sources",
        "Where the rules come from. *seen*: the text was read; *secondary*: read in a copy or a report; "
        "*common practice*: nobody's text; *unverified*: from memory.",
        table(["key", "title", "clause"], rows),
    )


# ---------------------------------------------------------------- all pages


def pages() -> dict[str, str]:
    """Every generated page, by the name of its file under docs/reference."""
    import_all()
    rules = read_rules()
    return {
        "checks.md": checks_page(rules),
        "commands.md": commands_page(),
        "duties.md": duties_page(rules),
        "facts.md": facts_page(),
        "problems.md": problems_page(),
        "services.md": services_page(rules),
        "settings.md": settings_page(),
        "sources.md": sources_page(rules),
        "symptoms.md": symptoms_page(rules),
        **limits_pages(rules),
    }


def stale(wanted: dict[str, str], folder: Path = REFERENCE) -> list[str]:
    """Pages that differ from what they should be, are missing, or are there for nothing."""
    there = {path.relative_to(folder).as_posix(): path.read_text("utf-8") for path in folder.rglob("*.md")}
    return sorted(name for name in wanted.keys() | there.keys() if wanted.get(name) != there.get(name))


def main() -> int:
    """Write the pages, or with --check compare them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing; fail when a page is out of date")
    check = parser.parse_args().check
    wanted = pages()
    old = stale(wanted)
    for name in old:
        print(f"docs/reference/{name} is out of date; run make docs" if check else f"wrote docs/reference/{name}")
        if not check:
            target = REFERENCE / name
            if name in wanted:
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_text(wanted[name], "utf-8")
            else:
                target.unlink()
    return 1 if check and old else 0


if __name__ == "__main__":
    sys.exit(main())

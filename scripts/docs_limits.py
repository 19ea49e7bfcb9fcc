"""A page of the reference for each subject that is measured: how, within which limits, by which arithmetic."""

from __future__ import annotations

import ast
import importlib
import inspect
import textwrap
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Final

from dipmark.derive.measured import MEASUREMENTS
from dipmark.facts.quantity import plain
from dipmark.facts.units import UNITS
from docs_writing import SERIOUSNESS, arguments, page, sections, table

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from dipmark.derive.judging import Input, Measurement
    from dipmark.rules.limits import Edge, Limit, Subject
    from dipmark.rules.model import Rules
    from dipmark.rules.value import Value

EDGES: Final[dict[Edge, str]] = {
    "above": "more than {}; {} itself passes",
    "at-or-above": "{} or more",
    "below": "less than {}; {} itself passes",
    "at-or-below": "{} or less",
}

CAUTION: Final = (
    "The maker's manual, local rules and a licensed or competent person decide; they may be stricter, never looser."
)


FORMULA: Final = 8
"""Lines up to which the arithmetic of a function is printed as its formula."""

HELD: Final = (
    "The last digit written is the step the instrument was read in: `36.0mm` was read in tenths, `1 8/16 in` in "
    "sixteenths. Write a fraction as the rule is divided: `1 1/2 in` was read in halves.",
    "Where the limit itself is out, it is rounded to that step towards the safe side; the reading is taken as it "
    "stands. Nothing is rounded before it is compared, in whatever unit it was read.",
    "A reading that reaches a limit only with the instrument's error is at the limit.",
    "What cannot be true, such as a thickness below nought, gets a problem that says what to do, and is not kept.",
)
"""How a reading is held against a limit."""


def sourced(rule: Value) -> str:
    """Source and mark of a rule."""
    return f"`{rule.source}`, {rule.mark}" + (", set by law" if rule.legal else "")


def limit_row(limit: Limit) -> tuple[str, ...]:
    """One limit as a row."""
    value = f"{plain(limit.exact)}" if limit.unit == "count" else f"{plain(limit.exact)} {limit.unit}"
    word = SERIOUSNESS[limit.verdict] if limit.days is None else f"Repair by {limit.days} days on"
    return f"{limit.text} (`{limit.id}`)", EDGES[limit.edge].format(value, value), word, sourced(limit)


def held_in(asked: Input) -> str:
    """In what a value is given."""
    if not asked.dimension:
        return "one of " + ", ".join(f"`{word}`" for word in asked.words) if asked.words else "a word"
    usual = f", {asked.usual} where no unit is written" if asked.usual and asked.dimension != "count" else ""
    parts = [f"{asked.dimension}{usual}"]
    parts += [f"then @ and its {asked.at}, as in `32@40C`"] if asked.at else []
    bounds = (("over", asked.over), ("at least", asked.least), ("at most", asked.most))
    return ", ".join([*parts, *(f"{words} {bound}" for words, bound in bounds if bound)])


def input_row(asked: Input) -> tuple[str, ...]:
    """One value that a measurement asks for, as a row."""
    often = "; several may be given, each with its place as in `left=…`" if asked.many and asked.dimension else ""
    given = "yes" if asked.needed else ""
    return f"`--{asked.name}`", asked.text + often, held_in(asked), given, "yes" if asked.kept else ""


def said(text: str) -> str:
    """A text of a docstring on one line, in the marks of a page."""
    return " ".join(text.split()).replace("``", "`")


def body_of(thing: Callable[..., object]) -> str:
    """A function without its docstring, where it is as short as a formula; else nothing."""
    (function,) = ast.parse(textwrap.dedent(inspect.getsource(thing))).body
    assert isinstance(function, ast.FunctionDef)
    lines = "\n".join(ast.unparse(statement) for statement in function.body[1:]).splitlines()
    return "\n".join(lines) if len(lines) <= FORMULA else ""


def told(thing: Callable[..., object]) -> Iterator[str]:
    """What the docstring of a function says: what it does, of what, edge, source, example."""
    doc = sections(thing)
    yield said(doc[""])
    given = [f"- `{name}`: {meaning}" for name, meaning in arguments(thing).items() if name != "subject"]
    if given:
        yield "\n".join(given).replace("``", "`")
    for name in ("Edge", "Source"):
        if name in doc:
            yield f"*{name}*: {said(doc[name])}"
    if formula := body_of(thing):
        yield f"```python\n{formula}\n```"
    if "Example" in doc:
        yield f"```python\n{doc['Example']}\n```"


def measurement_blocks(one: Measurement) -> Iterator[str]:
    """One measurement: what is held against what, and what it asks for."""
    yield f"### {one.text} (`{one.name}`)"
    judge = one.judge.func if isinstance(one.judge, partial) else one.judge
    doc = sections(judge)
    yield said(doc[""])
    for name in ("Edge", "Source"):
        if name in doc:
            yield f"*{name}*: {said(doc[name])}"
    if one.of == "item":
        yield "A bad verdict takes out the item measured, not the truck."
    yield table(["option", "what", "in", "needed", "known once"], map(input_row, one.inputs))


def arithmetic(subject: str) -> list[Callable[..., object]]:
    """The public functions of a subject that are no judges, in the order they are written in."""
    module = importlib.import_module(f"dipmark.derive.condition.{subject}")
    judges = {one.judge.func if isinstance(one.judge, partial) else one.judge for one in MEASUREMENTS.values()}
    found = (one for _, one in inspect.getmembers(module, inspect.isfunction) if one.__module__ == module.__name__)
    public = [one for one in found if not one.__name__.startswith(("_", "judge")) and one not in judges]
    return sorted(public, key=lambda one: one.__code__.co_firstlineno)


def subject_page(subject: Subject) -> str:
    """The page of one subject."""
    measured = [one for one in MEASUREMENTS.values() if one.subject == subject.id]
    blocks = ["\n".join(f"- {line}" for line in subject.how)]
    if subject.cautions:
        cautions = [f"- **{caution.text}** ({sourced(caution)})" for caution in subject.cautions]
        blocks += ["## Cautions", "\n".join(cautions)]
    blocks += ["## Limits", CAUTION]
    if subject.limits:
        blocks.append(table(["limit", "past it", "then", "source"], map(limit_row, subject.limits.values())))
    else:
        blocks.append("No limit of its own is known: what it comes to is shown, without a verdict.")
    blocks += ["## What is measured", f"Held to printed figures by `tests/published/test_{subject.id}.py`."]
    for one in measured:
        blocks += measurement_blocks(one)
    functions = arithmetic(subject.id)
    blocks += ["## Arithmetic"] if functions else []
    for function in functions:
        blocks += [f"### `{function.__name__}`", *told(function)]
    blocks += ["## Tables"] if subject.rows else []
    for rows in subject.rows.values():
        cells = ((plain(Fraction(one)) for one in row) for row in rows.rows)
        blocks += [f"### {rows.text} (`{rows.id}`)", table(rows.columns, cells), f"Source: {sourced(rows)}."]
    return page(subject.text, "How it is measured:", *blocks)


def index_page(rules: Rules) -> str:
    """All subjects with what is measured of them, and the units they may be written in."""
    rows = [
        (f"[{subject.text}]({subject.id}.md)", ", ".join(f"`{one.name}`" for one in measured), len(subject.limits))
        for subject in sorted(rules.subjects.values(), key=lambda one: one.text)
        if (measured := [one for one in MEASUREMENTS.values() if one.subject == subject.id])
    ]
    dimensions = dict.fromkeys(unit.dimension for unit in UNITS.values())
    units = [(one, ", ".join(name for name, unit in UNITS.items() if unit.dimension == one)) for one in dimensions]
    return page(
        "Limits",
        f"What is measured, and what it is held against. {CAUTION} Where the sources come from stands in "
        "[sources](../sources.md).",
        table(["subject", "measurements", "limits"], rows),
        "## How a reading is held against a limit",
        "\n".join(f"- {line}" for line in HELD),
        "## Units",
        "A value is a number with its unit: `25.4mm`, `1 1/2 in`, `20F`, `-10 °C`, `85 lbf·ft`, `25 inH2O`.",
        table(["measures", "units"], units),
    )


def limits_pages(rules: Rules) -> dict[str, str]:
    """Every page of limits, by the name of its file under docs/reference."""
    pages = {f"limits/{id}.md": subject_page(subject) for id, subject in rules.subjects.items()}
    return {"limits/README.md": index_page(rules), **pages}

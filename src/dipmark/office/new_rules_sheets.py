"""The sheets that a person fills in for a new truck: which columns, and what stands there from the kind of truck."""

from __future__ import annotations

from typing import Final, Literal, get_args

import msgspec

from dipmark.adapters.exporting.workbook import Column, Filling, Form
from dipmark.rules.model import After, Check, Kind, Service, Symptom, Task
from dipmark.rules.window import Window
from dipmark.views.words import SERIOUSNESS

YES_NO: Final = {"yes": True, "no": False}
WHEN: Final = {
    "key off": "key-off",
    "key on": "key-on",
    "running": "running",
    "driving": "drive",
    "end of shift": "shift-end",
}
SERIOUS: Final[dict[str, str]] = {words: code for code, words in SERIOUSNESS.items()}
METERS: Final = ("engine", "key", "working", "drive", "lift")

What = Literal["text", "whole", "number", "yes", "choice", "many", "ids", "day"]


class Field(msgspec.Struct, frozen=True, kw_only=True):
    """One column with what it means.

    Args:
        key: its name in the program.
        header: as it stands in the sheet.
        width: in characters.
        what: what a cell holds; ``many`` is texts set apart by semicolons, ``ids`` names set apart by anything.
        toml: the key it becomes in the rules file; empty: it is no plain value.
        words: for a choice, the words to choose from and what they stand for.
        must: a new row must have it.
        note: what to write.
        finding: it is about what may be found, not about the check.
    """

    key: str
    header: str
    width: int
    what: What = "text"
    toml: str = ""
    words: dict[str, str] = {}
    must: bool = False
    note: str = ""
    finding: bool = False

    @property
    def column(self) -> Column:
        """How it is written."""
        choices = tuple(YES_NO) if self.what == "yes" else tuple(self.words)
        locked = self.key == "id"
        return Column(header=self.header, width=self.width, note=self.note, choices=choices, locked=locked)


class Page(msgspec.Struct, frozen=True, kw_only=True):
    """One sheet: its fields and what stands there."""

    name: str
    fields: tuple[Field, ...]
    rows: tuple[tuple[Filling, ...], ...]
    spare: int

    @property
    def form(self) -> Form:
        """How it is written."""
        columns = tuple(field.column for field in self.fields)
        return Form(name=self.name, columns=columns, rows=self.rows, spare=self.spare)

    def field(self, key: str) -> Field:
        """The field of that name."""
        return next(field for field in self.fields if field.key == key)


_ID: Final = Field(key="id", header="id", width=22, note="Leave it. In a new row it stays blank.")
_PAGE: Final = Field(key="page", header="page of the manual", width=10, note="Where the manual says so, such as 2.")
_NEEDS: Final = Field(
    key="needs",
    header="only if fitted",
    width=16,
    what="ids",
    toml="needs",
    note="Names from the sheet `fitted`, set apart by ; . Blank: on every such truck.",
)


def pages(kind: Kind) -> tuple[Page, ...]:
    """All sheets to fill in, with the values of the kind of truck they start from."""
    return (_truck(kind), _fitted(kind), _checks(kind), _services(kind), _tasks(kind), _cautions(kind))


def edges(window: Window) -> str:
    """How early and how late a task may be done, in words."""
    bound = "" if window.late_most_hours is None else f", at most {window.late_most_hours:f} h"
    return f"{window.early_percent:f} % early, {window.late_percent:f} % late{bound}"


def windows(kind: Kind) -> dict[str, Window]:
    """Every window that tasks of a kind have, by its words."""
    return {edges(task.window): task.window for task in kind.tasks}


def _many(values: tuple[str, ...]) -> str:
    return "; ".join(values)


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _truck(kind: Kind) -> Page:
    fields = (
        _ID,
        Field(key="asked", header="what", width=44),
        Field(key="answer", header="answer", width=50),
        Field(key="how", header="how to fill it", width=70),
    )
    rows: list[tuple[Filling, ...]] = [
        ("kind", "Kind of truck", kind.key, "Leave it: these rules are laid over those of this kind."),
        ("manual", "The manual: title and edition", "", "As it stands on its cover; no address."),
        ("read-by", "Read by", "", "Your name."),
        ("read-on", "Read on", "", "A date such as 2026-11-20."),
        ("every", "Has every truck of this kind in the yard this manual?", "no",
         "yes or no. Only with yes may a text hold litres, torques, pressures or counts from it."),
        ("meters", "Hour meters", _many(kind.meters), f"Of {_many(METERS)}; the first counts where nothing is said."),
    ]  # fmt: skip
    for choice in kind.choices:
        usual = f"One of {_many(tuple(one.id for one in choice.of))}."
        rows.append((f"choice-{choice.id}", f"Usual {choice.id} in this yard", choice.usual, usual))
    return Page(name="truck", fields=fields, rows=tuple(rows), spare=0)


def _fitted(kind: Kind) -> Page:
    fields = (
        _ID,
        Field(key="name", header="what such a truck may carry", width=34, note="Short, such as work-lamp."),
        Field(key="usual", header="usually fitted here", width=14, what="yes", must=True),
    )
    chosen = {option for choice in kind.choices for option in choice.options()}
    rows = tuple((one, one, _yes(one in kind.usual)) for one in kind.options if one not in chosen)
    return Page(name="fitted", fields=fields, rows=rows, spare=20)


def _checks(kind: Kind) -> Page:
    places = {place.text: place.id for place in kind.places}
    fields = (
        _ID,
        Field(key="place", header="place", width=24, what="choice", words=places, toml="place", must=True),
        Field(key="look", header="what to look at", width=34, toml="text", must=True,
              note="At most 110 characters. A row without it is one more finding of the check above."),
        Field(key="normal", header="normal", width=26, toml="normal", must=True),
        Field(key="when", header="when", width=11, what="choice", words=WHEN, toml="when", must=True),
        Field(key="shift", header="before every shift", width=9, what="yes", toml="shift", must=True,
              note="yes: on the short list before every shift. no: on the full list only."),
        _NEEDS,
        Field(key="found", header="what may be found", width=34, toml="text", must=True, finding=True),
        Field(key="serious", header="how serious", width=14, what="choice", words=SERIOUS, toml="seriousness",
              must=True, finding=True, note="Repair by and Watch never for what affects safety."),
        Field(key="safety", header="affects safety", width=9, what="yes", toml="affects_safety", must=True,
              finding=True),
        Field(key="days", header="days", width=7, what="whole", toml="days", finding=True,
              note="Only with Repair by: within how many days, 1 to 90."),
        Field(key="right", header="put right on the spot", width=28, toml="put_right", finding=True,
              note="What the driver may do himself and writes down. Blank: nothing."),
        _PAGE,
    )  # fmt: skip
    place_of = {place.id: place.text for place in kind.places}
    when = {code: words for words, code in WHEN.items()}

    def row(check: Check, symptom: Symptom, *, first: bool) -> tuple[Filling, ...]:
        about = (
            place_of[check.place],
            check.text,
            check.normal,
            when[check.when],
            _yes(check.shift),
            _many(check.needs),
        )
        return (
            f"{check.id}.{symptom.id}",
            *(about if first else ("",) * len(about)),
            symptom.text,
            SERIOUSNESS[symptom.seriousness],
            _yes(symptom.affects_safety),
            symptom.days,
            symptom.put_right,
            "",
        )

    rows = tuple(
        row(check, symptom, first=number == 0) for check in kind.checks for number, symptom in enumerate(check.symptoms)
    )
    return Page(name="checks", fields=fields, rows=rows, spare=200)


def _services(kind: Kind) -> Page:
    meters = {meter: meter for meter in METERS}
    after = {one: one for one in get_args(After)}
    fields = (
        _ID,
        Field(key="name", header="service", width=44, toml="text", must=True),
        Field(key="hours", header="hours", width=9, what="number", toml="interval_hours"),
        Field(key="months", header="months", width=9, what="whole", toml="months", note="Whichever comes first."),
        Field(key="after", header="called for by", width=16, what="choice", words=after, toml="after",
              note="Instead of hours and months: what has to happen."),
        Field(key="includes", header="includes", width=26, what="ids", toml="includes",
              note="The ids of the shorter services it holds, set apart by ; ."),
        Field(key="meter", header="hours of which meter", width=12, what="choice", words=meters, toml="meter",
              note="Blank: the first that the truck has."),
        Field(key="once", header="once only", width=8, what="yes", toml="once"),
        _NEEDS,
        _PAGE,
    )  # fmt: skip

    def row(one: Service) -> tuple[Filling, ...]:
        return (one.id, one.text, one.interval_hours, one.months, one.after,
                _many(one.includes), one.meter, _yes(one.once),
                _many(one.needs), "")  # fmt: skip

    return Page(name="services", fields=fields, rows=tuple(row(one) for one in kind.services), spare=20)


def _tasks(kind: Kind) -> Page:
    fields = (
        _ID,
        Field(key="services", header="service", width=20, what="ids", must=True,
              note="The ids of the services it is done at, set apart by ; . A longer service includes it."),
        Field(key="what", header="what to do", width=44, toml="text", must=True, note="At most 150 characters."),
        Field(key="minutes", header="minutes", width=9, what="whole", toml="minutes", must=True),
        Field(key="parts", header="parts", width=24, what="many", toml="parts", note="Names, set apart by ; ."),
        Field(key="fluids", header="fluids", width=18, what="many", toml="fluids", note="Names, set apart by ; ."),
        Field(key="cautions", header="cautions", width=28, what="many", toml="cautions",
              note="Ids from the sheet `cautions`, or a sentence of your own, set apart by ; ."),
        Field(key="window", header="how early and late", width=22, what="choice", must=True, toml="window",
              words={words: words for words in windows(kind)}),
        _NEEDS,
        Field(key="retest", header="test before release", width=10, what="yes", toml="retest",
              note="yes: a repair of brakes, steering, lift, mast, forks or chain."),
        _PAGE,
    )  # fmt: skip
    names = {caution.text: caution.id for caution in kind.cautions}

    def row(task: Task) -> tuple[Filling, ...]:
        services = tuple(service.id for service in kind.services if task.id in service.tasks)
        cautions = tuple(names[text] for text in task.cautions)
        return (task.id, _many(services), task.text, task.minutes, _many(task.parts), _many(task.fluids),
                _many(cautions), edges(task.window), _many(task.needs), _yes(task.retest), "")  # fmt: skip

    return Page(name="tasks", fields=fields, rows=tuple(row(task) for task in kind.tasks), spare=100)


def _cautions(kind: Kind) -> Page:
    fields = (_ID, Field(key="text", header="to look up only: what stands beside a task", width=110))
    return Page(name="cautions", fields=fields, rows=tuple((one.id, one.text) for one in kind.cautions), spare=0)

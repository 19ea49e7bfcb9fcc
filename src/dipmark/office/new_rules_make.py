"""From the filled sheets to a yard's own rules: only what was changed or added, each with the page of the manual."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Final

import msgspec

from dipmark.facts.problems import Where
from dipmark.office.new_rules_read import CELL, Reading, Row, Written, items, name_of
from dipmark.office.new_rules_sheets import Field, Page, What, pages, windows
from dipmark.rules.model import Kind
from dipmark.rules.typed import Path, near
from dipmark.rules.value import Value

ANSWERS: Final[dict[str, What]] = {"manual": "text", "read-by": "text", "read-on": "day", "every": "yes"}
"""What must be answered on the first sheet."""


class Manual(msgspec.Struct, frozen=True):
    """The manual that the rules come from.

    Args:
        title: title and edition.
        read_by: who read it.
        read_on: on which day.
        every: every truck of the kind in the yard has it, so that its numbers may be written.
    """

    title: str = ""
    read_by: str = ""
    read_on: str = ""
    every: bool = False


class Making:
    """Makes the rules of one kind of truck from its sheets."""

    def __init__(self, reading: Reading, kind: Kind) -> None:
        self.reading = reading
        self.kind = kind
        self.pages = {page.name: page for page in pages(kind)}
        self.written = Written({"kind": kind.key}, {})
        self.manual = Manual()
        self.new: dict[str, str] = {}

    def run(self) -> Written:
        """All sheets, one after another; faults are with the reading."""
        self.truck(self.pages["truck"])
        self.fitted(self.pages["fitted"])
        self.checks(self.pages["checks"])
        self.services(self.pages["services"])
        self.tasks(self.pages["tasks"])
        return self.written

    def truck(self, page: Page) -> None:
        now, was = self.reading.rows(page)
        answers = {row.id: row for row in now}
        for id in (id for id in was if id not in answers):
            row = was[id]
            self.reading.fault(CELL, row, page.field("asked"), "no such row", f"the row {row.cells['asked']!r}")
        told = {id: row.cells["answer"] for id, row in answers.items()}
        for id in ANSWERS:
            if id in answers:
                self.reading.value(answers[id], msgspec.structs.replace(page.field("answer"), what=ANSWERS[id]))
        every = told.get("every", "").casefold() == "yes"
        title, read_by, read_on = (told.get(id, "") for id in ("manual", "read-by", "read-on"))
        self.manual = Manual(title, read_by, read_on, every)
        if "kind" in answers and told["kind"] != self.kind.key:
            hint = f"Write another workbook with --from {ascii(told['kind'])[1:-1][:40]}."
            self.reading.fault(
                CELL, answers["kind"], page.field("answer"), ascii(told["kind"])[:60], self.kind.key, hint
            )
        for id, row in answers.items():
            where = self.reading.where(row, page.field("answer"))
            if id == "meters" and told[id] != was[id].cells["answer"]:
                self.written.put(("meters",), items(re.sub(r"[,\s]", ";", told[id])), where)
            elif id.startswith("choice-") and told[id] != was[id].cells["answer"]:
                self.written.put(("choices", id.removeprefix("choice-"), "usual"), told[id], where)

    def fitted(self, page: Page) -> None:
        field = page.field("usual")
        for row, before in self.both(page):
            if before is None or row.cells["usual"] != before.cells["usual"]:
                usual = self.reading.value(row, field)
                name = row.id or name_of(row.cells["name"], self.kind.options)
                self.written.put(("options", name), usual, self.reading.where(row, field))

    def both(self, page: Page) -> Iterator[tuple[Row, Row | None]]:
        """Every row with what it was; None for a new one."""
        now, was = self.reading.rows(page)
        for row in now:
            yield row, was.get(row.id)

    def checks(self, page: Page) -> None:
        about = [field for field in page.fields if field.toml and not field.finding]
        finding = [field for field in page.fields if field.finding]
        above: Path | None = None
        for row, before in self.both(page):
            if before is not None:
                part, what, symptom = f"{row.id}..".split(".")[:3]
                above = ("checks", part, what)
                check = self.kind.check(f"{part}.{what}")
                self.changed(above, about, row, before, check)
                found = check.symptom(symptom) if check else None
                self.changed((*above, "symptoms", symptom), finding, row, before, found)
                continue
            if row.cells["look"]:
                above = ("checks", "own", self.unused(("checks", "own"), row.cells["look"]))
                self.added(above, about, row)
            elif above is None:
                self.reading.fault(CELL, row, page.field("look"), "nothing", "what to look at")
                continue
            below = (*above, "symptoms")
            self.added((*below, self.unused(below, row.cells["found"])), finding, row)

    def unused(self, path: Path, text: str) -> str:
        """An id for something new, unlike those that stand there and ours."""
        held: object = self.written.tree
        for key in path:
            held = held.get(key) if isinstance(held, dict) else None
        check = self.kind.check(".".join(path[1:3]))
        ours = [symptom.id for symptom in check.symptoms] if check else []
        ours += [check.id.partition(".")[2] for check in self.kind.checks if check.id.startswith("own.")]
        ours += [task.id.partition(".")[2] for task in self.kind.tasks if task.id.startswith("own.")]
        return name_of(text, [*ours, *(held if isinstance(held, dict) else ())])

    def changed(self, path: Path, fields: Iterable[Field], row: Row, before: Row, ours: Value | None) -> None:
        """What a person changed in a row of ours; with the page alone: that the manual says so too."""
        fields = list(fields)
        differ = [field for field in fields if row.cells[field.key] != before.cells[field.key]]
        for field in differ:
            if field.key == "days" and not row.cells["days"]:
                continue  # whoever says how serious says the days with it
            if (value := self.value(row, field)) is not None:
                self.written.put((*path, field.toml), value, self.reading.where(row, field))
        if any(field.key == "serious" for field in differ) and row.cells["serious"].casefold() == "repair by":
            days = next(field for field in fields if field.key == "days")
            self.written.put((*path, "days"), self.value(row, days), self.reading.where(row, days))
        alone = {key for key in row.cells if row.cells[key] != before.cells[key]} == {"page"}
        confirmed = alone and any(row.cells[field.key] for field in fields)
        if (differ or confirmed) and not (ours and ours.legal):
            self.sourced(path, row)

    def added(self, path: Path, fields: Iterable[Field], row: Row) -> None:
        """A new row."""
        for field in fields:
            if row.cells[field.key] or field.must:
                value = self.value(row, field)
                if value is not None:
                    self.written.put((*path, field.toml), value, self.reading.where(row, field))
        self.sourced(path, row)

    def sourced(self, path: Path, row: Row) -> None:
        """Where a value comes from: the manual, with the page where one is named."""
        page = row.cells["page"]
        key = f"manual-{self.kind.key}" + (f"-p{name_of(page, ())}" if page else "")
        field = Field(key="page", header="page of the manual", width=0)
        where = self.reading.where(row, field)
        manual = self.manual
        source = {"title": manual.title, "clause": f"page {page}" if page else "the whole of it"}
        if manual.every:
            source |= {"read_by": manual.read_by, "read_on": manual.read_on}
        self.written.tree.setdefault("sources", {})[key] = source  # type: ignore[index]
        self.written.put((*path, "source"), key, where)
        self.written.put((*path, "mark"), "seen", where)

    def value(self, row: Row, field: Field) -> object:
        """The value of a cell as the rules file holds it."""
        value = self.reading.value(row, field)
        if field.key == "window" and isinstance(value, str):
            return self.window(value, self.reading.where(row, field))
        if field.key == "cautions" and isinstance(value, list):
            return [name for text in value if (name := self.caution(text, row, field))]
        return value

    def window(self, words: str, where: Where) -> str:
        """A window by its words, said anew in this file so that it stands by itself."""
        window = windows(self.kind)[words]
        name = name_of(words.replace("%", ""), ())
        bound = {} if window.late_most_hours is None else {"late_most_hours": window.late_most_hours}
        name += f"-{window.late_percent:f}-late" + (f"-{window.late_most_hours:f}" if bound else "")
        held = {"early_percent": window.early_percent, "late_percent": window.late_percent, **bound}
        for key, value in {**held, "source": window.source, "mark": window.mark}.items():
            self.written.put(("windows", name.replace(".", "-"), key), value, where)
        return name.replace(".", "-")

    def caution(self, text: str, row: Row, field: Field) -> str | None:
        """A caution by its id; a sentence becomes a new one."""
        known = [caution.id for caution in self.kind.cautions]
        if text in known or text in self.new.values():
            return text
        if " " not in text:
            hint = near(text, known) or "Write a whole sentence for a new one."
            self.reading.fault(CELL, row, field, ascii(text)[:60], "an id of the sheet `cautions`, or a sentence", hint)
            return None
        if text not in self.new:
            self.new[text] = name_of(f"own {text}", [*known, *self.new.values()])
            self.written.put(("cautions", self.new[text], "text"), text, self.reading.where(row, field))
            self.sourced(("cautions", self.new[text]), row)
        return self.new[text]

    def services(self, page: Page) -> None:
        fields = [field for field in page.fields if field.toml]
        for row, before in self.both(page):
            if before is not None:
                self.changed(("services", row.id), fields, row, before, self.kind.service(row.id))
                continue
            hours, months = row.cells["hours"], row.cells["months"]
            id = f"{hours.replace('.', '-').replace(',', '-')}h" if hours else f"{months}-months"
            if not hours and not months:
                self.reading.fault(CELL, row, page.field("hours"), "nothing", "hours, months or both")
            elif self.kind.service(id) is not None:
                hint = f"Change the row {id}, or the hours of this one."
                self.reading.fault(CELL, row, page.field("hours"), f"{id}, which is there already", "a new one", hint)
            else:
                self.added(("services", id), fields, row)

    def tasks(self, page: Page) -> None:
        fields = [field for field in page.fields if field.toml]
        held = {service.id: list(service.tasks) for service in self.kind.services}
        added = self.written.tree.get("services", {})
        held |= {id: [] for id in (added if isinstance(added, dict) else {}) if id not in held}
        at = page.field("services")
        for row, before in self.both(page):
            if before is None:
                id = f"own.{self.unused(('tasks', 'own'), row.cells['what'])}"
                self.added(("tasks", *id.split(".")), fields, row)
            else:
                id = row.id
                self.changed(("tasks", *id.split(".")), fields, row, before, self.kind.task(id))
            services, then = items(row.cells["services"]), items(before.cells["services"]) if before else []
            for gone in (service for service in then if service not in services):
                hint = "A task of ours stays where it is; change the hours of the service instead."
                self.reading.fault(CELL, row, at, f"no {gone}", f"{gone} among the services", hint)
            if not services:
                self.reading.fault(CELL, row, at, "nothing", "the id of a service")
            for service in (service for service in services if service not in then):
                if service not in held:
                    expected, hint = "an id of the sheet `services`", near(service, tuple(held))
                    self.reading.fault(CELL, row, at, ascii(service)[:60], expected, hint)
                else:
                    held[service].append(id)
                    self.written.put(("services", service, "tasks"), held[service], self.reading.where(row, at))

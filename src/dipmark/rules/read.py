"""From parsed rules tables to the rules: every value typed and ranged, every fault at once with its place."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final, Literal

from dipmark.facts.base import RANK
from dipmark.facts.problems import Problem
from dipmark.rules.choice import read_choices
from dipmark.rules.duty import LONGEST_MONTHS, read_duties
from dipmark.rules.limits import read_subjects
from dipmark.rules.merge import Laid
from dipmark.rules.model import (
    After,
    Asked,
    Check,
    Kind,
    Place,
    Rules,
    Service,
    Source,
    Symptom,
    Task,
    When,
    rules_of,
)
from dipmark.rules.symptoms import LONGEST_DAYS, read_systems
from dipmark.rules.typed import Faults, Path, Table, near
from dipmark.rules.value import MARKS, REFERENCE, SERIOUSNESS, read_caution
from dipmark.rules.window import Window

WHEN: Final[tuple[When, ...]] = ("key-off", "key-on", "running", "drive", "shift-end")

AFTER: Final[tuple[After, ...]] = ("hit", "rest", "leaving", "wheel")

LATE: Final[tuple[Literal["restricted", "out-of-service"], ...]] = ("restricted", "out-of-service")

LAST_PLACE: Final = 99
LONGEST_MINUTES: Final = 600
LONGEST_SECONDS: Final = 600

USUAL_SECONDS: Final = 10
"""What looking at one thing takes where a file does not say. Common practice, no source."""

LONGEST_HOURS: Final = 20_000
WIDEST_PERCENT: Final = 50


def read(laid: Laid) -> tuple[Rules | None, tuple[Problem, ...]]:
    """Read rules from files laid over one another.

    Args:
        laid: the files; their own problems are handed on.

    Returns:
        The rules, or None when anything is wrong, and every problem with file and key.
    """
    rules, faults = draft(laid)
    problems = (*laid.problems, *faults)
    return (None if problems else rules), problems


def draft(laid: Laid) -> tuple[Rules, tuple[Problem, ...]]:
    """Rules as far as they can be read, so that all else that is wrong with them can be told too.

    Args:
        laid: the files.

    Returns:
        The rules, with harmless stand-ins for what is wrong: to be linted, never to be used; and what is wrong.
    """
    faults = Faults(laid.place)
    root = Table(laid.tree, (), faults)
    version = root.text("version")
    sources = {key: _source(table) for key, table in root.tables("sources")}
    kinds = {key: _Kind(table, key).read() for key, table in root.table("kinds").each()}
    duties = {country: read_duties(table, country) for country, table in root.table("duties").each()}
    systems = read_systems(root.table("systems"))
    subjects = read_subjects(root.table("subjects"))
    root.close()
    return rules_of(kinds, duties, sources, version, systems, subjects), tuple(faults.all)


_STRICT: Final = Window(early_percent=Decimal(0), late_percent=Decimal(0), source="", mark="unverified")
"""Stands in while reading for a window that no file explains; such rules are never handed out."""


def _source(table: Table) -> Source:
    source = Source(
        title=table.text("title"),
        clause=table.text("clause", ""),
        read_by=table.text("read_by", ""),
        read_on=table.text("read_on", ""),
    )
    table.close()
    return source


class _Kind:
    """Reads one kind of truck; cautions and windows are looked up by their names."""

    def __init__(self, table: Table, key: str) -> None:
        self.table = table
        self.key = key
        self.faults = table.faults
        self.cautions = {id: read_caution(one, id) for id, one in table.tables("cautions")}
        self.windows = {id: _window(one) for id, one in table.tables("windows")}
        self.choices = read_choices(table)
        self.named: set[str] = set()
        self.steps: dict[str, list[Task]] = {}

    def read(self) -> Kind:
        table = self.table
        places = sorted((_place(one, id) for id, one in table.tables("places")), key=lambda place: place.number)
        turn = {place.id: place.number for place in places}
        checks = [self.check(one, f"{part}.{what}") for part, what, one in _two_deep(table, "checks")]
        tasks = tuple(self.task(one, f"{part}.{what}") for part, what, one in _two_deep(table, "tasks"))
        services = tuple(self.service(one, id) for id, one in table.tables("services"))
        options, usual = self.options()
        takes = table.table("takes")
        for part in takes.names():
            takes.words(part)
        kind = Kind(
            key=self.key,
            text=table.text("text"),
            places=tuple(places),
            checks=tuple(sorted(checks, key=lambda check: (turn.get(check.place, LAST_PLACE), WHEN.index(check.when)))),
            services=tuple(sorted(services, key=_shortest_first)),
            tasks=tasks,
            meters=table.words("meters"),
            options=options,
            usual=usual,
            choices=self.choices,
            cautions=tuple(caution for id, caution in self.cautions.items() if id in self.named),
        )
        table.close()
        return kind

    def options(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """All options, and those taken as fitted."""
        table = self.table.table("options")
        usual = {id: table.flag(id) for id in table.names()}
        for choice in self.choices:
            fitted = choice.chosen((), ())
            usual |= {option: option in fitted for option in sorted(choice.options())}
        return tuple(usual), tuple(option for option in usual if usual[option])

    def check(self, table: Table, id: str) -> Check:
        check = Check(
            id=id,
            place=table.text("place"),
            text=table.text("text"),
            normal=table.text("normal"),
            symptoms=_most_serious_first([_symptom(one, key) for key, one in table.tables("symptoms")]),
            when=table.choice("when", WHEN),
            seconds=table.whole("seconds", 1, LONGEST_SECONDS) if table.has("seconds") else USUAL_SECONDS,
            shift=table.flag("shift"),
            needs=table.words("needs"),
            retest=table.flag("retest", default=False),
            asked=_asked(table.table("asked")) if table.has("asked") else None,
            cautions=self.looked_up(table),
            legal=table.flag("legal", default=False),
            source=table.text("source"),
            mark=table.choice("mark", MARKS),
        )
        table.close()
        return check

    def task(self, table: Table, id: str) -> Task:
        task = Task(
            id=id,
            text=table.text("text"),
            minutes=table.whole("minutes", 1, LONGEST_MINUTES),
            window=self.window(table),
            parts=table.words("parts"),
            fluids=table.words("fluids"),
            cautions=self.looked_up(table),
            needs=table.words("needs"),
            plate=table.words("plate"),
            measures=table.words("measures"),
            calls=table.choice("calls", AFTER) if table.has("calls") else None,
            retest=table.flag("retest", default=False),
            legal=table.flag("legal", default=False),
            source=table.text("source"),
            mark=table.choice("mark", MARKS),
        )
        for step in table.words("steps"):
            self.steps.setdefault(step, []).append(task)
        table.close()
        return task

    def service(self, table: Table, id: str) -> Service:
        severe = table.table("severe")
        hours = table.number("interval_hours", 1, LONGEST_HOURS) if table.has("interval_hours") else None
        needs = table.words("needs")
        step = self.steps.get(table.text("step"), []) if table.has("step") else []
        tasks = (task.id for task in step if all(choice.allows((*needs, *task.needs)) for choice in self.choices))
        service = Service(
            id=id,
            text=table.text("text"),
            interval_hours=hours,
            meter=table.text("meter") if table.has("meter") else None,
            months=table.whole("months", 1, LONGEST_MONTHS) if table.has("months") else None,
            after=table.choice("after", AFTER) if table.has("after") else None,
            tasks=tuple(dict.fromkeys((*tasks, *table.words("tasks")))),
            includes=table.words("includes"),
            severe={use: factor for use in severe.names() if (factor := severe.number(use, 0, 1)) is not None},
            state_when_late=table.choice("state_when_late", LATE) if table.has("state_when_late") else None,
            once=table.flag("once", default=False),
            grid=table.flag("grid", default=False),
            needs=needs,
            legal=table.flag("legal", default=False),
            source=table.text("source"),
            mark=table.choice("mark", MARKS),
        )
        table.close()
        return service

    def window(self, table: Table) -> Window:
        name = table.text("window")
        if name and name not in self.windows:
            self.unknown((*table.path, "window"), name, "windows", tuple(self.windows))
        return self.windows.get(name, _STRICT)

    def looked_up(self, table: Table) -> tuple[str, ...]:
        names = table.words("cautions")
        for name in names:
            if name not in self.cautions:
                self.unknown((*table.path, "cautions"), name, "cautions", tuple(self.cautions))
        self.named |= set(names)
        return tuple(self.cautions[name].text for name in names if name in self.cautions)

    def unknown(self, path: Path, name: str, where: str, known: tuple[str, ...]) -> None:
        self.faults.add(REFERENCE, path, ascii(name)[:60], f"a name in {where}", near(name, known))


def _window(table: Table) -> Window:
    bounded = table.has("late_most_hours")
    window = Window(
        early_percent=table.number("early_percent", 0, WIDEST_PERCENT) or Decimal(0),
        late_percent=table.number("late_percent", 0, WIDEST_PERCENT) or Decimal(0),
        late_most_hours=table.number("late_most_hours", 0, LONGEST_HOURS) if bounded else None,
        source=table.text("source"),
        mark=table.choice("mark", MARKS),
    )
    table.close()
    return window


def _place(table: Table, id: str) -> Place:
    place = Place(id=id, text=table.text("text"), number=table.whole("number", 0, LAST_PLACE))
    table.close()
    return place


def _two_deep(table: Table, key: str) -> Iterator[tuple[str, str, Table]]:
    """The tables of ``[checks.chain.tension]``: part, what, table."""
    for part, group in table.tables(key):
        group.names()
        for what, one in group.each():
            yield part, what, one


def _symptom(table: Table, id: str) -> Symptom:
    symptom = Symptom(
        id=id,
        text=table.text("text"),
        seriousness=table.choice("seriousness", SERIOUSNESS),
        affects_safety=table.flag("affects_safety"),
        days=table.whole("days", 1, LONGEST_DAYS) if table.has("days") else None,
        put_right=table.text("put_right") if table.has("put_right") else None,
        needs=table.words("needs"),
        legal=table.flag("legal", default=False),
        source=table.text("source"),
        mark=table.choice("mark", MARKS),
    )
    table.close()
    return symptom


def _most_serious_first(symptoms: list[Symptom]) -> tuple[Symptom, ...]:
    return tuple(sorted(symptoms, key=lambda symptom: -RANK[symptom.seriousness]))


def _asked(table: Table) -> Asked:
    asked = Asked(quantity=table.text("quantity"), unit=table.text("unit"))
    table.close()
    return asked


def _shortest_first(service: Service) -> tuple[bool, bool, Decimal, int, str]:
    hours = service.interval_hours
    return (service.after is not None, hours is None, hours or Decimal(0), service.months or 0, service.id)

"""What the rules are: places, checks, tasks, services of each kind of truck, duties, troubles, as frozen values."""

from __future__ import annotations

import hashlib
import re
from decimal import Decimal
from typing import TYPE_CHECKING, Final, Literal

import msgspec

from dipmark.facts.base import RANK, Seriousness
from dipmark.rules.choice import Choice
from dipmark.rules.duty import About, Duty
from dipmark.rules.limits import Subject
from dipmark.rules.symptoms import System
from dipmark.rules.value import Caution, Value
from dipmark.rules.window import Window

if TYPE_CHECKING:
    from collections.abc import Collection

When = Literal["key-off", "key-on", "running", "drive", "shift-end"]
"""In which condition of the truck a check is made."""

After = Literal["hit", "rest", "leaving", "wheel"]
"""What calls for a service that no rhythm brings: a hit, a rest, being sold or scrapped, a wheel put on."""

KIND_KEYS: Final = (
    "electric-counterbalanced",
    "reach",
    "order-picker",
    "pallet",
    "engine-cushion",
    "engine-pneumatic-petrol",
    "engine-pneumatic-lpg",
    "engine-pneumatic-diesel",
    "tow-tractor",
    "rough-terrain",
    "telescopic",
)
"""Every kind of truck known by name, with or without rules."""


class Source(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a value comes from: title and clause, never a maker and never an address.

    Args:
        title: what it is called, with its date.
        clause: the place in it, empty when the whole is meant.
        read_by: who read it for this yard's own trucks; with `read_on` its litres, torques and counts may be written.
        read_on: on which day.
    """

    title: str
    clause: str = ""
    read_by: str = ""
    read_on: str = ""

    @property
    def full(self) -> str:
        """Title and clause, as one reads them out."""
        return ", ".join(part for part in (self.title, self.clause) if part)

    @property
    def has_reader(self) -> bool:
        """True where somebody of the yard answers with name and day for what he read in it."""
        return bool(self.read_by and self.read_on)


class Symptom(Value, frozen=True, kw_only=True):
    """One way a check can turn out badly, and how serious that is.

    Args:
        id: short, unique within its check.
        text: what the driver sees, hears or feels.
        seriousness: what follows for the truck.
        affects_safety: whether it can hurt somebody; then it is never `repair-by` or `watch`.
        days: only for `repair-by`: within how many days, 1 to 90.
        put_right: what the driver may put right on the spot and writes down with its amount; None: nothing.
        needs: options of the truck that must all be fitted; empty: always asked.
    """

    id: str
    text: str
    seriousness: Seriousness
    affects_safety: bool
    days: int | None = None
    put_right: str | None = None
    needs: tuple[str, ...] = ()

    @property
    def stop_worthy(self) -> bool:
        """True when the truck may not work with it."""
        return RANK[self.seriousness] >= RANK["stop"]


class Asked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The value a check may ask for.

    Args:
        quantity: what is read or measured, such as ``hour meter``.
        unit: its unit, such as ``h``.
    """

    quantity: str
    unit: str


class Check(Value, frozen=True, kw_only=True):
    """One thing to look at on the walk-round.

    Args:
        id: ``part.what``, such as ``chain.tension``.
        place: id of the place it belongs to.
        text: what to look at.
        normal: what it looks like when nothing is wrong.
        symptoms: what may be found, the most serious first.
        when: the condition of the truck.
        seconds: what looking takes who knows the truck, 1 to 600; an estimate, common practice.
        shift: on the short list before the start of every shift; the full list holds all checks, and those made at
            ``shift-end`` are the list after it.
        needs: options of the truck that must all be fitted; empty: always asked.
        retest: repairs of it need a recorded test before release.
        asked: the value to read, if any.
        cautions: what can hurt while looking, as texts.
    """

    id: str
    place: str
    text: str
    normal: str
    symptoms: tuple[Symptom, ...]
    when: When
    shift: bool
    seconds: int = 10
    needs: tuple[str, ...] = ()
    retest: bool = False
    asked: Asked | None = None
    cautions: tuple[str, ...] = ()

    @property
    def stop_worthy(self) -> bool:
        """True when any of its symptoms keeps the truck from working."""
        return any(symptom.stop_worthy for symptom in self.symptoms)

    def symptom(self, id: str) -> Symptom | None:
        """The symptom of that id, or None."""
        return next((symptom for symptom in self.symptoms if symptom.id == id), None)

    def for_truck(self, options: Collection[str]) -> Check:
        """The same check without the symptoms that a truck with these options cannot show."""
        shown = tuple(symptom for symptom in self.symptoms if set(symptom.needs) <= set(options))
        return self if shown == self.symptoms else msgspec.structs.replace(self, symptoms=shown)


class Place(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where on the truck one stands.

    Args:
        id: its name in the files.
        text: its name for people.
        number: its turn in walking order, from 0.
    """

    id: str
    text: str
    number: int


class Task(Value, frozen=True, kw_only=True):
    """One piece of work in a service.

    Args:
        id: ``part.what``, such as ``engine-oil.change``.
        text: what to do.
        minutes: one trained person at the truck, parts to hand, 1 to 600; an estimate.
        parts: what is fitted new, by name only: never a count, litre or torque.
        fluids: what is filled, by name only.
        cautions: what can hurt while doing it, as texts.
        window: how far before and after its mark it may be done.
        needs: options of the truck that must all be fitted; empty: always done.
        plate: names of values read on the truck itself that belong beside it, such as ``grease-fittings``: what nobody
            has read there stays a blank.
        measures: what is measured in it, by the names of measurements such as ``chain``.
        calls: what doing it calls for; None: nothing.
        retest: it needs a recorded test before release.
    """

    id: str
    text: str
    minutes: int
    window: Window
    parts: tuple[str, ...] = ()
    fluids: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    plate: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()
    calls: After | None = None
    retest: bool = False


class Service(Value, frozen=True, kw_only=True):
    """What falls due together: by hours or by months, whichever first, or because something has happened.

    Args:
        id: such as ``150h``.
        text: its name for people.
        interval_hours: hours of the meter from one to the next; None: by months only.
        meter: the kind of meter the hours are counted on; None: the first that the truck has of those of its kind.
        months: calendar months from one to the next; None: by hours only.
        after: what calls for it, once each time; then its hours are those within which it is to be done, without hours
            it is due at once, and it has no months; None: nothing does.
        tasks: ids of the tasks it adds to those it includes.
        includes: ids of the lower services it holds and starts anew.
        severe: factor on hours and months by kind of use, over 0 up to 1.
        state_when_late: what being late does to the truck's state; None: nothing.
        once: done one time only, counted from new.
        grid: its hours are due at fixed marks of the meter, every interval from zero, not counted from the last time.
        needs: options of the truck that must all be there; empty: for every truck of the kind.
    """

    id: str
    text: str
    tasks: tuple[str, ...]
    interval_hours: Decimal | None = None
    meter: str | None = None
    months: int | None = None
    after: After | None = None
    includes: tuple[str, ...] = ()
    severe: dict[str, Decimal] = msgspec.field(default_factory=dict)
    state_when_late: Literal["restricted", "out-of-service"] | None = None
    once: bool = False
    grid: bool = False
    needs: tuple[str, ...] = ()

    def factor(self, uses: Collection[str]) -> Decimal:
        """The factor on its interval for a truck used so: the worst one counts, they never multiply.

        Args:
            uses: kinds of use that apply, keys of `severe`; others change nothing.

        Returns:
            The smallest factor, 1 when none applies.
        """
        return min((self.severe[use] for use in uses if use in self.severe), default=Decimal(1))


class Kind(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything one kind of truck asks for.

    Args:
        key: one of `KIND_KEYS`.
        text: its name for people.
        places: in walking order.
        checks: in walking order; within a place key off, key on, engine running.
        services: shortest first.
        tasks: of all services.
        meters: the kinds of meter such a truck usually has.
        options: what such a truck may or may not carry.
        usual: those of the options taken as fitted until somebody has said what is on the truck.
        choices: options of which it always has one; they are options too, and the usual ones usual.
        cautions: those that its checks and tasks name, with their sources.
    """

    key: str
    text: str
    places: tuple[Place, ...]
    checks: tuple[Check, ...]
    services: tuple[Service, ...]
    tasks: tuple[Task, ...]
    meters: tuple[str, ...]
    options: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    cautions: tuple[Caution, ...] = ()

    def check(self, id: str) -> Check | None:
        """The check of that id, or None."""
        return next((check for check in self.checks if check.id == id), None)

    def service(self, id: str) -> Service | None:
        """The service of that id, or None."""
        return next((service for service in self.services if service.id == id), None)

    def task(self, id: str) -> Task | None:
        """The task of that id, or None."""
        return next((task for task in self.tasks if task.id == id), None)

    def fitted(self, options: Collection[str] | None, fuel: str | None = None) -> frozenset[str]:
        """What is on a truck of this kind.

        Args:
            options: what somebody has said is on it; None: nobody has, then what is usual.
            fuel: its fuel in the words of its people.

        Returns:
            Its options; of every choice one at least: a truck runs on something and is serviced in some rhythm.
        """
        words = re.findall(r"\w+", (fuel or "").lower())
        held = frozenset(self.usual if options is None else options)
        for choice in self.choices:
            held = (held - choice.options()) | choice.chosen(options or (), words)
        return held

    def checks_for(self, options: Collection[str]) -> tuple[Check, ...]:
        """The full list in walking order for a truck with these options: what is not on it is not on the list."""
        return tuple(check.for_truck(options) for check in self.checks if set(check.needs) <= set(options))

    def services_for(self, options: Collection[str]) -> tuple[Service, ...]:
        """The services of a truck with these options, shortest first."""
        return tuple(service for service in self.services if set(service.needs) <= set(options))

    def window(self, service: Service) -> Window:
        """How far before and after its mark a service may be done: the strictest of the tasks it adds.

        Args:
            service: one of this kind whose tasks are all known.

        Returns:
            The least of every edge; the source is that of the task with the least late part.

        *Edge*: both edges belong to the window.
        """
        windows = [task.window for task in self.tasks if task.id in service.tasks]
        strictest = min(windows, key=lambda window: (window.late_percent, window.early_percent))
        bounds = [window.late_most_hours for window in windows if window.late_most_hours is not None]
        return msgspec.structs.replace(
            strictest,
            early_percent=min(window.early_percent for window in windows),
            late_most_hours=min(bounds, default=None),
        )

    def all_tasks(self, service: Service, options: Collection[str] | None = None) -> tuple[Task, ...]:
        """Everything to be done at a service: its own tasks and those of the services it includes.

        Args:
            service: one of this kind.
            options: what is on the truck; None: whatever such a truck may carry.
        """
        held = {service.id, *service.includes}
        wanted = {task for one in self.services if one.id in held for task in one.tasks}
        fitted = self.options if options is None else options
        return tuple(task for task in self.tasks if task.id in wanted and set(task.needs) <= set(fitted))


class Rules(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """All rules that hold in a yard.

    Args:
        kinds: by key; a kind without rules is not there.
        duties: by country code.
        sources: by key.
        systems: what may be wrong, by system.
        subjects: what is measured, with its limits, by subject.
        words: what screens and sheets say, by the English for it; empty: English.
        language: IETF tag of the language they are in.
        wording: digest of all that the language says; empty: English, as it stands in the rules and the program.
        version: of the shipped rules, or of the yard's own where they give one; not that of the program.
        digest: SHA-256 over the canonical content, hex: two sets with one digest say the same.
    """

    kinds: dict[str, Kind]
    duties: dict[str, tuple[Duty, ...]]
    sources: dict[str, Source]
    version: str
    digest: str
    systems: dict[str, System] = {}
    subjects: dict[str, Subject] = {}
    words: dict[str, str] = {}
    language: str = "en"
    wording: str = ""

    def word(self, english: str) -> str:
        """What a screen or a sheet says, in the language of these rules."""
        return self.words.get(english, english)

    def kind(self, key: str) -> Kind | None:
        """The rules of that kind of truck, or None while there are none."""
        return self.kinds.get(key)

    def law_of(self, country: str | None) -> str | None:
        """Whose law is counted for a yard.

        Args:
            country: ISO 3166 code of the yard, such as ``GB`` or ``CA-ON``; None where nobody has said.

        Returns:
            The country itself where its duties are entered; for a part of a country the whole, unless other parts have
            a law of their own: then no other's is borrowed. None: no duty is known.

        *Source*: in Canada the provinces' law, not the federal one, holds for most yards: common practice, no source.
        """
        if country is None or country in self.duties:
            return country
        whole = country.partition("-")[0]
        parted = any(one.startswith(f"{whole}-") for one in self.duties)
        return whole if whole in self.duties and not parted else None

    def examinations(self, country: str | None, about: About = "truck") -> tuple[Duty, ...]:
        """The duties about trucks that fall on a day: not the walk-round of each shift, not those of drivers and items.

        Args:
            country: ISO 3166 code of the yard; None where nobody has said.
            about: ``item`` for those of items instead.
        """
        law = self.law_of(country)
        duties = self.duties[law] if law else ()
        return tuple(duty for duty in duties if duty.about == about and not duty.each_shift)


def rules_of(
    kinds: dict[str, Kind],
    duties: dict[str, tuple[Duty, ...]],
    sources: dict[str, Source],
    version: str,
    systems: dict[str, System] | None = None,
    subjects: dict[str, Subject] | None = None,
) -> Rules:
    """Put rules together and give them their digest.

    Returns:
        The rules; the digest depends on their content only, not on the order in which files were read.
    """
    told = (kinds, duties, sources, version, systems or {}, subjects or {})
    digest = hashlib.sha256(msgspec.json.encode(told, order="deterministic")).hexdigest()
    return Rules(
        kinds=kinds,
        duties=duties,
        sources=sources,
        version=version,
        digest=digest,
        systems=systems or {},
        subjects=subjects or {},
    )

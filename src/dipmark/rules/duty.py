"""What a country's law asks for, apart from hours: its model and its reader."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import msgspec

from dipmark.rules.typed import Table
from dipmark.rules.value import MARKS, Trucks, Value, read_trucks

if TYPE_CHECKING:
    from collections.abc import Collection

Lapsed = Literal["out-of-service", "not-checked", "not-you", "nothing"]
"""What follows when a duty has lapsed: the truck is out of service, it is not checked, the driver may not drive it, or
nothing beyond its being late."""

About = Literal["truck", "driver", "item"]
"""Whom a duty is about: the truck, its driver, or an item that moves between trucks."""

LAPSED: Final[tuple[Lapsed, ...]] = ("out-of-service", "not-checked", "not-you", "nothing")
ABOUT: Final[tuple[About, ...]] = ("truck", "driver", "item")

LONGEST_MONTHS: Final = 120


class Sooner(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A shorter rhythm of a duty for some of its trucks.

    Args:
        id: its name in the files.
        months: calendar months.
        trucks: those it is for.
    """

    id: str
    months: int
    trucks: Trucks


class Duty(Value, frozen=True, kw_only=True):
    """What a country's law asks for, apart from hours.

    Args:
        id: short, unique within the country.
        country: ISO 3166 code, such as ``GB``, or ``CA-ON`` where a part of a country has a law of its own.
        text: what must be done.
        who: who may do it.
        kept: how long the paper is kept, or that the law asks for none.
        when_lapsed: what follows.
        about: whom it is about.
        each_shift: done before each shift or each day of use; the walk-round is its proof.
        every_months: calendar months; None: no fixed rhythm.
        after_harm: done again after what may have harmed the truck.
        written: the law asks for it in writing; False: what is kept is kept by the yard's own rule.
        trucks: those it is for.
        sooner: shorter rhythms for some of them.
    """

    id: str
    country: str
    text: str
    who: str
    kept: str
    when_lapsed: Lapsed
    about: About = "truck"
    each_shift: bool = False
    every_months: int | None = None
    after_harm: bool = False
    written: bool = True
    trucks: Trucks = Trucks()
    sooner: tuple[Sooner, ...] = ()

    @property
    def name(self) -> str:
        """What it is called: its id as people read it."""
        return self.id.replace("-", " ").capitalize()

    def months(self, kind: str, has: Collection[str]) -> int | None:
        """Its rhythm for a truck: the shortest that fits.

        Args:
            kind: key of the truck's kind.
            has: its options and uses.

        Returns:
            Calendar months; None where it has no fixed rhythm.
        """
        fits = [one.months for one in self.sooner if one.trucks.hold(kind, has)]
        return min([*fits, *([self.every_months] if self.every_months else [])], default=None)


def read_duties(table: Table, country: str) -> tuple[Duty, ...]:
    """All duties of a country.

    Args:
        table: the table of the country.
        country: its code.
    """
    duties = tuple(_duty(one, id, country) for id, one in table.tables("duties"))
    table.close()
    return duties


def _duty(table: Table, id: str, country: str) -> Duty:
    duty = Duty(
        id=id,
        country=country,
        text=table.text("text"),
        who=table.text("who"),
        kept=table.text("kept"),
        when_lapsed=table.choice("when_lapsed", LAPSED),
        about=table.choice("about", ABOUT) if table.has("about") else "truck",
        each_shift=table.flag("each_shift", default=False),
        every_months=table.whole("every_months", 1, LONGEST_MONTHS) if table.has("every_months") else None,
        after_harm=table.flag("after_harm", default=False),
        written=not table.has("written") or table.flag("written"),
        trucks=read_trucks(table.table("trucks")),
        sooner=tuple(_sooner(one, name) for name, one in table.tables("sooner")),
        legal=table.flag("legal", default=False),
        source=table.text("source"),
        mark=table.choice("mark", MARKS),
    )
    table.close()
    return duty


def _sooner(table: Table, id: str) -> Sooner:
    sooner = Sooner(id=id, months=table.whole("months", 1, LONGEST_MONTHS), trucks=read_trucks(table.table("trucks")))
    table.close()
    return sooner

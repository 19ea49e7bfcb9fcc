"""What stands on a truck's plate, in its manual, or was counted on it; and the sheet of a service that prints it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final, Literal

from dipmark.adapters.importing.cells import parse_number
from dipmark.facts.base import truck_book
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.problems import Problem, code
from dipmark.facts.truck import PlateRead, PlateText, PlateValue
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told
from dipmark.views.service_sheet import ServiceSheet, service_sheet

PLATE_UNFIT: Final = code("plate-unfit", "A value read on a truck is not NAME=VALUE.")

Source = Literal["plate", "manual", "counted"]


def read_plate(
    office: Office, name: str, pairs: Sequence[str], source: Source, when: When, fitted: Sequence[str] = ()
) -> Entered:
    """Note values and words read on one truck, such as ``grease-fittings.rear-wheel-left=2`` or ``engine-oil=5.5 l``.

    What the plate says must hang on the truck for them to hold stands in `fitted`, by name or kind of item.

    Raises:
        Refused: something is not NAME=VALUE; nothing was written.
    """
    values: list[PlateValue] = []
    texts: list[PlateText] = []
    problems: list[Problem] = []
    for pair in pairs:
        key, equals, said = (part.strip() for part in pair.partition("="))
        if not (key and equals and said):
            hint = "Write it as grease-fittings.rear-wheel-left=2."
            problems.append(Problem(PLATE_UNFIT, f"{pair!r}", "NAME=VALUE", hint))
            continue
        number = parse_number(said, None)
        if isinstance(number, Problem) and said[0].isdigit() and number.code == "number-ambiguous":
            problems.append(number)
        elif isinstance(number, Problem):
            texts.append(PlateText(name=key, text=said, source=source))
        else:
            values.append(PlateValue(name=key, value=number.value, unit=number.unit, source=source))
    if problems:
        raise Refused(told(problems), problems)
    now = truck(office, name, office.clock())
    body = PlateRead(values=tuple(values), texts=tuple(texts), fitted=tuple(fitted))
    return enter(office, [office.fact(truck_book(now.name), body, when.happened, whole_day=when.whole_day)])


def sheet_of(office: Office, name: str, service: str, as_of: datetime) -> ServiceSheet:
    """The sheet of a service of one truck; see `views.service_sheet`.

    Raises:
        NotFound: its kind has no such service.
    """
    now = truck(office, name, as_of)
    found = service_sheet(now, service, office.rules, office.people.names())
    if found is None:
        kind = office.rules.kind(now.enrolled.what)
        known = ", ".join(one.id for one in kind.services) if kind else "none yet"
        raise NotFound(f"Trucks of the kind {now.enrolled.what} have no service {service}. There are: {known}.")
    return found

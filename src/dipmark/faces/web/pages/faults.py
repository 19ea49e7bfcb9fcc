"""All open faults of the yard, and what falls due."""

from __future__ import annotations

from itertools import groupby
from typing import Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler

from dipmark.derive.days import local_day
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.truck import NEXT
from dipmark.faces.web.show import Asked, office_of, show
from dipmark.faces.web.words import said
from dipmark.facts.base import truck_book
from dipmark.office.look import due_list, to_read, trucks
from dipmark.views.due_soon import PRESSING, duties_words
from dipmark.views.faults import yard_cards, yard_faults
from dipmark.views.words import SERIOUSNESS, moment

GROUPS: Final = {
    "late": said("Late"),
    "due": said("Due"),
    "open": said("May be done now"),
    "unknown": said("Not known: ask"),
    "later": said("Later"),
}


@get("/faults", act="look", sync_to_thread=True)
def faults(request: Asked, asker: AskerHere) -> Response[str]:
    """Every open fault, the most serious first; and every card that hangs."""
    office = office_of(request)
    at = office.clock()
    seen = [one for one in trucks(office, at) if asker.sees(one.book)]
    names = office.people.names()
    rows = yard_faults(seen, names, office.zone, office.rules.word)
    groups = {code: tuple(found) for code, found in groupby(rows, lambda row: row.fault.seriousness)}
    return show(
        request,
        "faults.html",
        groups=groups,
        serious=SERIOUSNESS,
        cards=yard_cards(seen, names, office.zone, office.rules.word),
        next_words=NEXT,
        may_mend=asker.may("mend"),
        may_release=asker.may("release"),
        count=len(rows),
        now=moment(at, office.zone, office.rules.word),
    )


@get("/due", act="look", sync_to_thread=True)
def due(request: Asked, asker: AskerHere) -> Response[str]:
    """What falls due, grouped by how it stands."""
    office = office_of(request)
    at = office.clock()
    rows = [row for row in due_list(office, at) if asker.sees(truck_book(row.truck))]
    groups = {code: [row for row in rows if row.state == code] for code in PRESSING}
    services = {one.id: one.text for kind in office.rules.kinds.values() for one in kind.services}
    sheets = {(key, one.id) for key, kind in office.rules.kinds.items() for one in kind.services}
    kinds = {one.name: one.enrolled.what for one in trucks(office, at)}
    return show(
        request,
        "due.html",
        groups={code: found for code, found in groups.items() if found},
        titles=GROUPS,
        services=services,
        has_sheet={(row.truck, row.service) for row in rows if (kinds.get(row.truck), row.service) in sheets},
        asks=[one for one in to_read(office, at) if asker.sees(truck_book(one.truck))],
        law=duties_words(office.rules, office.yard.country),
        now=moment(at, office.zone, office.rules.word),
        today=local_day(at, office.zone),
    )


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (faults, due)

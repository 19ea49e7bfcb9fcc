"""One truck: state with reasons, faults, what is due, meters, measurements, logbook, what it is, who has the key."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from markupsafe import Markup

from dipmark.derive.bills import questions
from dipmark.derive.papers import unanswered
from dipmark.derive.truck import TruckNow
from dipmark.faces.web.deeds import given, who_may
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.deeds import DEEDS
from dipmark.faces.web.show import Asked, named, office_of, show
from dipmark.faces.web.words import said
from dipmark.facts.base import name_of, truck_book
from dipmark.facts.errors import NotFound
from dipmark.office.access import Asker, book_seen
from dipmark.office.familiarise import known_since
from dipmark.office.filing import bulletins_for
from dipmark.office.hit import hits
from dipmark.office.instead import instead_of
from dipmark.office.items import carries
from dipmark.office.look import log_of, page_of, truck
from dipmark.office.open import Office
from dipmark.office.receive import pictures_of
from dipmark.office.settings import who_releases
from dipmark.rules.model import Kind
from dipmark.views.called import called_rows
from dipmark.views.charts import Chart, meter_chart, wear_chart
from dipmark.views.custody import custody_page
from dipmark.views.drawing.draw import drawing
from dipmark.views.drawing.kinds import OUTLINES
from dipmark.views.drawing.svg import svg
from dipmark.views.hits import hit_rows
from dipmark.views.items import carried
from dipmark.views.know_truck import plate_lines
from dipmark.views.papers import question_rows
from dipmark.views.place import place_here
from dipmark.views.truck import TruckPage
from dipmark.views.words import moment

RECENT: Final = 12
"""So many entries of the logbook stand on the truck's own page."""

NOTED: Final = {
    **{deed.id: deed.title for deed in DEEDS},
    "walk": said("Walk-round"),
    "service": said("Service"),
    "measure": said("Measured"),
    "wrong": said("Something is wrong"),
    "know": said("Getting to know it"),
}

KINDS: Final = {
    "enrolled": said("enrolled"),
    "plate-read": said("plate read"),
    "retired": said("retired"),
    "meter-read": said("meter read"),
    "meter-changed": said("meter changed"),
    "walk-round": said("walk-round"),
    "fault": said("fault"),
    "out-of-service": said("card hung"),
    "released": said("released"),
    "worked": said("work done"),
    "work-begun": said("lock on"),
    "work-ended": said("lock off"),
    "measured": said("measured"),
    "sampled": said("laboratory's sheet"),
    "topped-up": said("topped up"),
    "charged": said("charged"),
    "fitted": said("fitted"),
    "removed": said("taken off"),
    "held-by": said("key"),
    "incident": said("incident"),
    "document": said("paper"),
    "corrected": said("correction"),
    "withdrawn": said("withdrawal"),
    "yard-set": said("yard settings"),
    "shift-pattern": said("shifts"),
    "person-set": said("person"),
    "permit": said("permit"),
    "familiarised": said("led round"),
    "stock": said("stock"),
}
"""What facts are called in a logbook."""

NEXT: Final = {
    "mend": said("Next: mend it"),
    "test, then release": said("Next: test it, then release"),
    "release": said("Next: release"),
}
"""What comes next for an open fault."""

LOOKS: Final = {
    "good": said("agrees"),
    "doubtful": said("does not agree"),
    "renewed": said("after renewal"),
}
"""How a reading of a chart is told in its table."""


def drawn(kind: Kind | None, title: str, here: str | None = None) -> Markup:
    """The drawing of a kind with its numbered places; nothing where none is known."""
    if kind is None or kind.key not in OUTLINES:
        return Markup("")
    # The drawing's own text is escaped where it is made.
    return Markup(svg(drawing(kind.key, kind.places), title, here))  # noqa: S704


def charts_of(now: TruckNow, page: TruckPage) -> tuple[Chart, ...]:
    """A chart for each worn part with a series, then one for each meter."""
    found = (*(wear_chart(row) for row in page.measures), *(meter_chart(life) for life in now.meters))
    return tuple(one for one in found if one is not None)


@get("/truck/{name:str}", act="look", sync_to_thread=True)
def truck_itself(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """One truck."""
    office = office_of(request)
    at = office.clock()
    number = name_of(book_seen(office, asker, named(name)))
    now, page = truck(office, number, at), page_of(office, number, at)
    kind = office.rules.kind(now.enrolled.what)
    names = office.people.names()
    rows = log_of(office, number, at)
    return show(
        request,
        "truck.html",
        page=page,
        kind=kind,
        **given(office, now, at),
        **_deeds(office, asker, now),
        noted=NOTED.get(str(request.query_params.get("noted", ""))),
        charts=charts_of(now, page),
        looks=LOOKS,
        next_words=NEXT,
        plate=plate_lines(now.counting, names, office.rules.word),
        led=led_words(office, asker, now),
        hits=hit_rows(hits(office, now), names, office.zone, office.rules.word),
        custody=custody_page(now, names, at, office.zone, office.rules.word),
        reach=who_releases(office) if now.state.code == "out-of-service" else None,
        instead=_instead(office, asker, now) if now.state.code == "out-of-service" else (),
        prints=[(sheet, text) for sheet, text in PRINTS.items() if sheet != "file" or asker.may("people")],
        called=called_rows(now, office.rules),
        here_now=place_here(now, office.yard, office.rules.word),
        bulletins=bulletins_for(office, now, at),
        unanswered=unanswered(now.counting, now.faults),
        bills=question_rows(number, questions(now.counting, kind, office.zone, office.rules.word)),
        hangs=carried(carries(office, now, at), office.zone, office.rules.word),
        log=rows[::-1][:RECENT],
        count=len(rows),
        log_kinds=KINDS,
        drawing=drawn(kind, kind.text if kind else ""),
        services=tuple(one.id for one in kind.services) if kind else (),
    )


def _instead(office: Office, asker: Asker, now: TruckNow) -> list[str]:
    """The trucks to take instead, of those that are his to see."""
    return [name for name in instead_of(office, now, office.clock()) if asker.sees(truck_book(name))]


PRINTS: Final = {
    "out": said("Out-of-service card"),
    "service": said("Service sheet"),
    "job": said("Job sheet of the last work"),
    "card": said("Truck card"),
    "file": said("Truck file"),
    "labels": said("Labels"),
}


def led_words(office: Office, asker: Asker, now: TruckNow) -> str:
    """When whoever asks was led round this truck; empty: never."""
    one = known_since(office, asker, now)
    return "" if one is None else moment(one.effective, office.zone, office.rules.word)


def _deeds(office: Office, asker: Asker, now: TruckNow) -> dict[str, Any]:
    """What may be done to it now: by whoever asks, and what is for others."""
    mine = any(lock.by == office.by for lock in now.locks)
    keeps = bool(now.cards) or any(fault.open and fault.stops for fault in now.faults)
    now_fits = {
        "begin": not mine,
        "end": mine,
        "except": bool(now.locks) and not mine,
        "release": keeps,
        "repair": any(fault.mended is None for fault in now.faults),
        "withdraw": False,
    }
    fitting = [deed for deed in DEEDS if now_fits.get(deed.id, True)]
    return {
        "deeds": [deed for deed in fitting if asker.may(deed.act)],
        "not_his": [(deed, who_may(deed.act)) for deed in fitting if not asker.may(deed.act)],
        "may_mend": asker.may("mend"),
        "may_release": asker.may("release"),
        "may_correct": asker.may("correct"),
        "may_walk": asker.may("walk"),
        "menders": who_may("mend"),
        "releasers": who_may("release"),
    }


@get("/truck/{name:str}/log", act="look", sync_to_thread=True)
def log(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """The logbook: every entry, the latest first, with both times and what became of it."""
    office = office_of(request)
    at = office.clock()
    number = name_of(book_seen(office, asker, named(name)))
    now, rows = truck(office, number, at), log_of(office, number, at)
    only = str(request.query_params.get("only", ""))
    shown = [row for row in rows if not only or row.kind == only]
    return show(
        request,
        "log.html",
        **given(office, now, at),
        log=shown[::-1],
        only=only,
        there=tuple(dict.fromkeys(row.kind for row in rows)),
        log_kinds=KINDS,
        pictures={item.fact.id: sorted(pictures_of(item.fact.body)) for item in office.book(now.book)},
        may_correct=asker.may("correct"),
        code=page_of(office, number, at).code,
    )


@get("/truck/{name:str}/picture/{digest:str}", act="look", sync_to_thread=True)
def picture(request: Asked, asker: AskerHere, name: FromPath[str], digest: FromPath[str]) -> Response[bytes]:
    """A photo that stands in this truck's book."""
    office = office_of(request)
    book = book_seen(office, asker, named(name))
    found = office.store.blob(digest)
    if found is None or not any(digest in pictures_of(item.fact.body) for item in office.book(book)):
        raise NotFound("There is no such picture in this truck's book.")
    return Response(found.data, media_type=found.media, headers={"cache-control": "private, max-age=86400"})


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (truck_itself, log, picture)

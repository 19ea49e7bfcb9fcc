"""The key board of 500 trucks over HTTP, against a bare template with as many rows served by the same framework.

Two servers, each a process of its own on loopback, one browser that asks for one page after another. The baseline is a
handler that fills a template of 500 plain rows (number, kind, state, place, key, hours) from a list in memory: no
store, nobody to be known, no gauge. Ours is the whole page: who asks is looked up in the store, and what is shown is
what the record says at that minute. Rounds alternate; the ratio is that of the medians of pages a second, 0.5 the
bound. Last, a fact is written before every page, so that nothing made for the page before serves again.
"""

from __future__ import annotations

import http.client
import multiprocessing
import socket
import statistics
import sys
import tempfile
import time
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import uvicorn
from jinja2 import Environment
from litestar import Litestar, Response, get

from dipmark.faces.web.serve import Serving, app_of, listening
from dipmark.facts.base import YARD, Fact, Reading, truck_book
from dipmark.facts.meter import MeterRead
from dipmark.facts.people import PersonSet
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.office.open import Office, open_office
from dipmark.office.sign_in import begin_session

TRUCKS, ROUNDS, PAGES, BOUND = 500, 9, 30, 0.5
PLAIN: Final = Environment(autoescape=True).from_string(
    "<!doctype html><html><body><table>{% for row in rows %}<tr><td>{{ row.truck }}</td><td>{{ row.kind }}</td>"
    "<td>{{ row.state }}</td><td>{{ row.place }}</td><td>{{ row.key }}</td><td>{{ row.hours }}</td></tr>{% endfor %}"
    "</table></body></html>"
)


def fill(office: Office) -> str:
    """Five hundred trucks with a walk-round, a service and readings; somebody who is signed in."""
    now = office.clock()
    facts: list[Fact] = []
    for number in range(TRUCKS):
        book = truck_book(str(number))
        enrolled = Enrolled(what="engine-pneumatic-lpg", place=f"hall {number % 20}")
        serviced = Worked(services=("150h",), meter=Reading(hours=Decimal(number)))
        facts += [
            office.fact(book, enrolled, now - timedelta(days=90)),
            office.fact(book, serviced, now - timedelta(days=number % 40 + 2)),
            office.fact(book, WalkRound(answers=(Answer(check="chain.tension"),)), now - timedelta(hours=1)),
            office.fact(book, MeterRead(hours=Decimal(number + 5)), now - timedelta(minutes=30)),
        ]
    lead = office.people.key_or_new("Lena")
    facts.append(office.fact(YARD, PersonSet(person=lead, roles=("lead",)), now, by=lead))
    office.append(facts)
    return begin_session(office, lead)


def bare() -> Litestar:
    """The baseline."""
    row = {"kind": "engine truck", "state": "Not checked", "place": "hall 3", "key": "on its hook", "hours": "1,234 h"}
    rows = [{"truck": str(number), **row} for number in range(TRUCKS)]

    @get("/", sync_to_thread=True)
    def page() -> Response[str]:
        return Response(PLAIN.render(rows=rows), media_type="text/html")

    return Litestar([page], openapi_config=None, logging_config=None)


def serve(listener: socket.socket, store: str | None) -> None:
    """One server, until it is ended."""
    made = bare() if store is None else app_of(Serving(store=store))
    uvicorn.Server(uvicorn.Config(made, log_config=None, access_log=False)).run([listener])


def started(store: str | None) -> tuple[Any, int]:
    """A server in a process of its own, and its port."""
    listener = listening(Serving(store=store or "", port=0))
    process = multiprocessing.get_context("spawn").Process(target=serve, args=(listener, store))
    process.start()
    return process, listener.getsockname()[1]


def after_an_entry(port: int, headers: dict[str, str], office: Office) -> float:
    """Pages a second where each shows a fact that was written just before it."""
    client = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    spent = 0.0
    for number in range(PAGES):
        office.append([office.fact(truck_book("7"), MeterRead(hours=Decimal(20 + number)), office.clock())])
        start = time.perf_counter()
        client.request("GET", "/", headers=headers)
        client.getresponse().read()
        spent += time.perf_counter() - start
    client.close()
    return PAGES / spent


def pages_a_second(port: int, headers: dict[str, str]) -> float:
    client, body = http.client.HTTPConnection("127.0.0.1", port, timeout=60), b""
    start = time.perf_counter()
    for _ in range(PAGES):
        client.request("GET", "/", headers=headers)
        answer = client.getresponse()
        body = answer.read()
        assert answer.status == 200, answer.status
    spent = time.perf_counter() - start
    client.close()
    assert body.count(b"<tr>") == TRUCKS or body.count(b'class="hook ') == TRUCKS
    return PAGES / spent


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        store = str(Path(folder, "yard.dip"))
        with open_office(store, create=True, language="en") as office:
            headers = {"cookie": f"dipmark_session={fill(office)}"}
        servers = [started(None), started(store)]
        try:
            theirs, ours = [], []
            for _ in range(ROUNDS + 1):
                theirs.append(pages_a_second(servers[0][1], {}))
                ours.append(pages_a_second(servers[1][1], headers))
            with open_office(store, create=False, language="en") as office:
                anew = after_an_entry(servers[1][1], headers, office)
        finally:
            for process, _ in servers:
                process.terminate()
                process.join()
    base, mine = statistics.median(theirs[1:]), statistics.median(ours[1:])  # the first round warms up
    print(f"baseline  bare template of {TRUCKS} rows        {base:7.0f} pages/s")
    print(f"ours      key board of {TRUCKS} trucks, signed in {mine:6.0f} pages/s")
    print(f"anew      the same, an entry before each page   {anew:6.1f} pages/s")
    print(f"ratio     {mine / base:.2f} (bound {BOUND}, {ROUNDS} rounds of {PAGES}, medians)")
    return 0 if mine / base >= BOUND else 1


if __name__ == "__main__":
    sys.exit(main())

"""Sheets of 40 answers from 300 phones, against the same server's bare handler with the same group commit.

One server process over SQLite (WAL, synchronous FULL) and one client with 300 open connections, one a phone. The
baseline is a handler of the same application that reads one fact, hands it to the same `Batch` and answers when it is
durable: it knows neither phone nor person, judges nothing and derives nothing. Ours looks up the phone, checks the
signature, judges each fact against its book, and derives the verdict anew. First every phone sends sheet after sheet;
then, spread over three seconds, one each. Nothing may be lost. Bounds: throughput at least 0.5 of the baseline's when
all send at once, p99 at most 2.5 times its.
"""

from __future__ import annotations

import asyncio
import hmac
import multiprocessing
import random
import socket
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any, Final

import msgspec
import uvicorn
from litestar import Response, post

from dipmark.adapters.clock import new_id
from dipmark.adapters.store import Device
from dipmark.faces.web import app as web
from dipmark.faces.web.guard import OPEN, SiteHere
from dipmark.faces.web.serve import Serving, app_of, listening
from dipmark.faces.web.show import Asked
from dipmark.facts.base import YARD, PersonKey, truck_book
from dipmark.facts.codec import decode_body, fact_of
from dipmark.facts.people import PersonSet
from dipmark.facts.truck import Enrolled
from dipmark.office.open import Office, open_office
from dipmark.office.receive import Sent
from dipmark.office.sheet_for_phone import Compiled
from dipmark.office.sign_in import digest_of, set_pin

PHONES, TRUCKS, PEOPLE, EACH, ROUNDS, SPREAD = 300, 100, 10, 2, 3, 3.0
ANSWERS: Final = 40
LEAST, MOST = 0.5, 2.5


@post("/bare", act=OPEN, status_code=200)
async def bare(request: Asked, site: SiteHere) -> Response[bytes]:
    """The baseline."""
    sent = msgspec.json.decode(await request.body(), type=Sent)
    fact = fact_of(sent.id, sent.book, sent.happened, PersonKey("p-bench"), decode_body(bytes(sent.body)))
    done = await asyncio.wrap_future(site.batch.submit([fact]))
    return Response(str(len(done.accepted)).encode())


def serve(listener: socket.socket, store: str) -> None:
    real = web.all_routes
    web.all_routes = lambda: (*real(), bare)
    uvicorn.Server(uvicorn.Config(app_of(Serving(store=store)), log_config=None, access_log=False)).run([listener])


class Load:
    """A yard with its phones, and what they send."""

    def __init__(self, office: Office) -> None:
        now = office.clock()
        self.office, self.compiled, self.made = office, Compiled(), now
        people = [office.people.key_or_new(f"driver {number}") for number in range(PEOPLE)]
        facts = [office.fact(YARD, PersonSet(person=one, roles=("driver",)), now, by=one) for one in people]
        enrolled = Enrolled(what="engine-pneumatic-lpg")
        facts += [office.fact(truck_book(str(number)), enrolled, now - timedelta(days=90)) for number in range(TRUCKS)]
        office.append(facts)
        self.keys: dict[PersonKey, bytes] = {}
        for one in people:
            set_pin(office, one, "482913")
            account = office.store.sign_ins.account(one)
            assert account is not None
            self.keys[one] = account.pin_key or b""
        for number in range(PHONES):
            device = Device(token=digest_of(f"phone {number}"), id=f"d{number}", name="p", by_key=people[0], made_us=1)
            office.store.sign_ins.add_device(device)
        kind = office.rules.kinds["engine-pneumatic-lpg"]
        self.answers = [{"check": check.id, "mark": "ok"} for check in kind.checks[:ANSWERS]]
        assert len(self.answers) == ANSWERS
        sheets = [self.compiled.truck(office, truck_book(str(number)), now) for number in range(TRUCKS)]
        self.sheets = [sheet[0] for sheet in sheets if sheet is not None]

    def request(self, phone: int, port: int, *, ours: bool) -> bytes:
        """One sheet as it goes over the wire."""
        sheet, person = self.sheets[phone % TRUCKS], list(self.keys)[phone % PEOPLE]
        body = {"kind": "walk-round", "answers": self.answers, "rules": sheet.rules, "verdict": "checked"}
        fact = {"id": new_id(), "book": f"truck:{phone % TRUCKS}", "happened": self.made, "body": body}
        data, path = msgspec.json.encode(fact), "/bare"
        if ours:
            text = msgspec.json.encode({"made_from": sheet.digest, "seq": sheet.seq, "facts": [fact]})
            proof = hmac.digest(self.keys[person], text, "sha256").hex()
            envelope = {"person": person, "proof": proof, "sent": self.office.clock(), "sheet": text.decode()}
            data, path = msgspec.json.encode(envelope), "/phone/sheets"
        head = (
            f"POST {path} HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\norigin: http://127.0.0.1:{port}\r\n"
            f"cookie: dipmark_device=phone {phone}\r\ncontent-type: application/json\r\n"
            f"content-length: {len(data)}\r\n\r\n"
        )
        return head.encode() + data


async def one_phone(port: int, requests: Sequence[bytes], wait: float, spent: list[float]) -> None:
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    await asyncio.sleep(wait)
    for request in requests:
        start = time.perf_counter()
        writer.write(request)
        head = await reader.readuntil(b"\r\n\r\n")
        length = int(head.lower().partition(b"content-length: ")[2].partition(b"\r\n")[0])
        answer = await reader.readexactly(length)
        spent.append(time.perf_counter() - start)
        assert head.startswith(b"HTTP/1.1 200"), (head, answer)
        assert answer == b"1" or b'"fate":"taken"' in answer, answer
    writer.close()
    await writer.wait_closed()


async def together(port: int, requests: Sequence[Sequence[bytes]], over: float) -> tuple[float, float]:
    """All phones at once, or spread: sheets a second, and the 99th percentile of seconds to the answer."""
    spent: list[float] = []
    rng = random.Random(20261120)
    start = time.perf_counter()
    await asyncio.gather(*(one_phone(port, each, rng.uniform(0, over), spent) for each in requests))
    return len(spent) / (time.perf_counter() - start), statistics.quantiles(spent, n=100)[98]


def measured(load: Load, port: int) -> dict[tuple[bool, float], tuple[float, float]]:
    """Medians of the rounds, by whose and how spread."""
    found: dict[tuple[bool, float], list[tuple[float, float]]] = {}
    for _ in range(ROUNDS):
        for over, count in ((0.0, EACH), (SPREAD, 1)):
            for ours in (False, True):
                requests = [[load.request(phone, port, ours=ours) for _ in range(count)] for phone in range(PHONES)]
                found.setdefault((ours, over), []).append(asyncio.run(together(port, requests, over)))
    return {
        key: (statistics.median(a for a, _ in two), statistics.median(b for _, b in two)) for key, two in found.items()
    }


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        store = str(Path(folder, "yard.dip"))
        with open_office(store, create=True, language="en") as office:
            load = Load(office)
            before = sum(seq for seq, _ in office.store.heads().values())
            listener = listening(Serving(store=store, port=0))
            server: Any = multiprocessing.get_context("spawn").Process(target=serve, args=(listener, store))
            server.start()
            try:
                said = measured(load, listener.getsockname()[1])
            finally:
                server.terminate()
                server.join()
            sent = 2 * ROUNDS * PHONES * (EACH + 1)
            lost = sent - (sum(seq for seq, _ in office.store.heads().values()) - before)
    good = lost == 0
    for over, what in ((0.0, "all at once"), (SPREAD, f"spread over {SPREAD:.0f} s")):
        (base, base99), (mine, mine99) = said[False, over], said[True, over]
        slower = mine99 / base99
        print(f"{what}")
        print(f"  baseline  bare handler, same group commit  {base:7.0f} sheets/s   p99 {base99 * 1000:6.0f} ms")
        print(f"  ours      signed, judged, derived          {mine:7.0f} sheets/s   p99 {mine99 * 1000:6.0f} ms")
        print(f"  ratio     {mine / base:.2f} of the throughput, {slower:.2f} times the p99 (bounds {LEAST}, {MOST})")
        good = good and slower <= MOST and (over > 0 or mine / base >= LEAST)
    print(f"lost      {lost} of {sent:,} ({ROUNDS} rounds of {PHONES} phones, medians)")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())

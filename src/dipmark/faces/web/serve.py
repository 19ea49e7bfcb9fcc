"""Starting the server: one process on SQLite, several on PostgreSQL; a stop lets whoever waits go first."""

from __future__ import annotations

import asyncio
import importlib
import logging
import os
import socket
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Final, cast

import msgspec
import uvicorn
from litestar import Litestar
from uvicorn.supervisors import Multiprocess

from dipmark.faces.web.app import create_app
from dipmark.faces.web.site import Press, Site
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, code
from dipmark.office.open import open_office

ONE_PROCESS: Final = code("one-process", "Several server processes are asked for over a SQLite store.")
PORT_TAKEN: Final = code("port-taken", "The server cannot listen at that address.")

_SETTINGS: Final = "DIPMARK_SERVING"
"""How a process of several is told what to serve."""

STOPPING: Final = 5
"""Seconds that answers under way are given when the server stops."""

THREADS: Final = 64
"""So many requests at once may wait for the store."""

_open_sites: Final[list[Site]] = []


class Serving(msgspec.Struct, frozen=True, kw_only=True):
    """What is served, and how.

    Args:
        store: its address.
        host: the address of this machine to listen at.
        port: the port; 0: any that is free.
        own_rules: folder of the yard's own rules.
        processes: how many.
        server: file of the server's certificate; None: plain http.
        key: file of its key.
        authority: file of the yard's own authority's certificate; None: phones are not given one.
        proxy: address of a proxy in front that ends TLS; None: there is none.
        press: what sets sheets into a PDF, as ``module:name``; None: this server prints nothing.
    """

    store: str
    host: str = "127.0.0.1"
    port: int = 8080
    own_rules: str | None = None
    processes: int = 1
    server: str | None = None
    key: str | None = None
    authority: str | None = None
    proxy: str | None = None
    press: str | None = None

    @property
    def secure(self) -> bool:
        """True where browsers reach it by TLS only."""
        return self.server is not None or self.proxy is not None


class Server(uvicorn.Server):
    """Lets pages that follow go as soon as it stops: they would never end by themselves."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop."""
        for site in _open_sites:
            site.feed.close()
        await super().shutdown(sockets)


def app_of(serving: Serving) -> Litestar:
    """The application, opened; it closes its yard when it is stopped."""
    rules = Path(serving.own_rules) if serving.own_rules else None
    office = open_office(serving.store, create=False, own_rules=rules, language="en")
    authority = Path(serving.authority).read_bytes() if serving.authority else None
    site = Site(office, secure=serving.secure, own_rules=rules, authority=authority, press=_named(serving.press))
    made = create_app(site)
    _open_sites.append(site)
    made.on_startup.append(_more_threads)
    made.on_shutdown.append(site.close)
    return made


def _named(press: str | None) -> Press | None:
    """What is named as ``module:name``: another process imports it anew."""
    if press is None:
        return None
    module, _, name = press.partition(":")
    return cast("Press", getattr(importlib.import_module(module), name))


async def _more_threads() -> None:
    """Handlers wait for the disk; as many threads as processors would let few of them wait together."""
    asyncio.get_running_loop().set_default_executor(ThreadPoolExecutor(THREADS, "dipmark-answer"))


def worker() -> Litestar:
    """The application of one process of several."""
    return app_of(msgspec.json.decode(os.environ[_SETTINGS], type=Serving))


def listening(serving: Serving) -> socket.socket:
    """The socket to listen at.

    Raises:
        Refused: several processes over a SQLite store; or somebody else listens there.
    """
    if serving.processes > 1 and "://" not in serving.store:
        found = f"{serving.processes} processes over {serving.store}"
        hint = "One process serves a yard well. For several, keep the record in PostgreSQL."
        problem = Problem(ONE_PROCESS, found, "one process on SQLite", hint)
        raise Refused(problem.message, [problem])
    family = socket.AF_INET6 if ":" in serving.host else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)  # named, or answers are sent 40 ms late
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((serving.host, serving.port))
        made.listen(2048)  # from here on whoever comes waits, also while the yard is still opened
    except (OSError, OverflowError) as fault:
        made.close()
        found = f"{serving.host} port {serving.port}: {getattr(fault, 'strerror', None) or fault}"
        problem = Problem(PORT_TAKEN, found, "an address of this machine and a free port", "Give another: --port.")
        raise Refused(problem.message, [problem]) from fault
    return made


def run_server(serving: Serving, listener: socket.socket) -> None:
    """Serve until stopped."""
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    several = serving.processes > 1
    if several:
        os.environ[_SETTINGS] = msgspec.json.encode(serving).decode()
    config = uvicorn.Config(
        "dipmark.faces.web.serve:worker" if several else app_of(serving),
        factory=several,
        workers=serving.processes,
        log_config=None,
        access_log=False,  # addresses of one-time links are secrets
        server_header=False,
        ssl_certfile=serving.server,
        ssl_keyfile=serving.key,
        proxy_headers=serving.proxy is not None,
        forwarded_allow_ips=serving.proxy,
        timeout_graceful_shutdown=STOPPING,
    )
    if several:
        Multiprocess(config, sockets=[listener]).run()
    else:
        Server(config).run([listener])

"""The server as a program: starts, says where it is, serves by TLS, lets pages go and stops."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from dipmark.adapters.store import open_store
from dipmark.faces.web.serve import Serving, listening
from dipmark.facts.errors import Refused
from faces.cli.running import dipmark as run
from office.taking import NOW


@contextmanager
def serving(store: Path, *words: str) -> Iterator[tuple[subprocess.Popen[str], list[str]]]:
    """The program, once it has said where it is, and what it said."""
    told = {name: value for name, value in os.environ.items() if not name.startswith(("DIPMARK_", "PORT"))}
    command = [sys.executable, "-m", "dipmark", "--store", str(store), "serve", "--port", "0", *words]
    process = subprocess.Popen(command, env=told, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    said = []
    for line in process.stdout:
        said.append(line.strip())
        if line.startswith("Stop"):
            break
    try:
        yield process, said
    finally:
        process.kill()
        process.communicate()


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "yard.db"
    open_store(str(path), clock=lambda: NOW, create=True).close()
    return path


def port_of(said: list[str]) -> int:
    return int(re.findall(r":(\d+)$", said[0])[0])


def test_it_says_where_it_is_serves_and_stops_when_asked(store: Path) -> None:
    with serving(store) as (process, said):
        port = port_of(said)
        assert said[0] == f"The yard is at http://127.0.0.1:{port}"
        link = re.findall(r"(/first/\S+)$", said[1])[0]
        client = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        form = {"content-type": "application/x-www-form-urlencoded", "origin": f"http://127.0.0.1:{port}"}
        client.request("POST", link, "name=Owen&passphrase=four+plain+old+words", form)
        answer = client.getresponse()
        cookie = (answer.headers["set-cookie"] or "").partition(";")[0]
        assert (answer.status, answer.headers["location"], answer.read()) == (303, "/", b"")
        client.request("GET", "/feed", headers={"cookie": cookie})
        feed = client.getresponse()
        assert feed.status == 200
        assert feed.readline() == b"retry: 2000\n"
        process.send_signal(signal.SIGTERM)
        _, errors = process.communicate(timeout=20)
        feed.close()
        client.close()
        assert (process.returncode in {0, -signal.SIGTERM}, errors) == (True, "")
    assert "Nobody owns it yet" not in run("--store", str(store), "yard").out
    with serving(store) as (_, said):
        assert said[1].startswith("Stop")


def test_by_tls_under_its_name_with_the_yards_own_certificate(store: Path) -> None:
    with serving(store, "--tls-name", "localhost", "--tls-name", "127.0.0.1") as (_, said):
        port = port_of(said)
        assert said[0] == f"The yard is at https://localhost:{port}"
        folder = store.parent / "tls"
        trusting = ssl.create_default_context(cafile=str(folder / "yard.crt"))
        client = http.client.HTTPSConnection("127.0.0.1", port, context=trusting, timeout=20)
        client.request("GET", "/trust/yard.crt")
        answer = client.getresponse()
        assert answer.read() == (folder / "yard.crt").read_bytes()
        assert answer.headers["strict-transport-security"]
        client.close()
        with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
            urllib.request.urlopen(f"https://127.0.0.1:{port}/trust", timeout=20)


def test_several_processes_over_sqlite_are_refused(store: Path) -> None:
    refused = run("--store", str(store), "serve", "--processes", "2")
    assert (refused.code, refused.out) == (1, "")
    assert "one process on SQLite" in refused.err
    with pytest.raises(Refused):
        listening(Serving(store="yard.db", processes=2))


def test_a_port_that_is_taken_is_named(store: Path) -> None:
    held = listening(Serving(store=str(store), port=0))
    port = held.getsockname()[1]
    with held, pytest.raises(Refused, match=f"port {port}"):
        listening(Serving(store=str(store), port=port))
    with pytest.raises(Refused):
        listening(Serving(store=str(store), host="203.0.113.1", port=0))  # RFC 5737: nobody's address


def test_answers_are_not_held_back() -> None:
    # asyncio sends at once (TCP_NODELAY) only on sockets that name their protocol
    with listening(Serving(store="yard.db", port=0)) as held:
        assert held.proto == socket.IPPROTO_TCP


def test_there_must_be_a_store(tmp_path: Path) -> None:
    refused = run("--store", str(tmp_path / "none.db"), "serve", "--port", "0")
    assert (refused.code, refused.out) == (1, "")
    assert "No store at" in refused.err

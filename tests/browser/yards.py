"""A yard served for browsers: trucks 7, 12 and 20, a lead hand and two drivers, over TLS by name or on plain http."""

from __future__ import annotations

import base64
import hashlib
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Final

import msgspec
from cryptography import x509
from cryptography.hazmat.primitives import serialization

from browser.network import Network
from dipmark.adapters.clock import system_clock
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.adapters.tls import certificates
from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.people import Permit, PersonSet, YardSet
from dipmark.facts.truck import Enrolled
from dipmark.office.access import Role, asker_of
from dipmark.office.devices import device_link
from dipmark.office.enter import When, enrol, read_meter, report_fault
from dipmark.office.items import fit
from dipmark.office.open import Office
from dipmark.office.sign_in import issue_badge, set_passphrase, set_pin

NAME: Final = "yard.test"
LPG: Final = "engine-pneumatic-lpg"
PIN: Final = "482913"
PASSPHRASE: Final = "three old wet planks"


class Yard(msgspec.Struct):
    """A served yard.

    Args:
        store: its file.
        network: between browser and server.
        secure: over TLS.
        spki: digest of the server's key, by which a browser of a test trusts it; empty on plain http.
        badges: by name.
        link: by which the phone becomes known.
    """

    store: Path
    network: Network
    secure: bool
    spki: str
    badges: dict[str, str]
    link: str

    @property
    def address(self) -> str:
        """Where a browser finds it, by name."""
        return f"{'https' if self.secure else 'http'}://{NAME}:{self.network.port}"

    def office(self) -> Office:
        """The yard, opened beside the server."""
        return Office(open_store(str(self.store), clock=system_clock, create=False), read_rules(), system_clock)

    def leave(self, name: str) -> None:
        """Somebody leaves the yard."""
        with self.office() as office:
            person = office.people.key_or_new(name)
            body = PersonSet(person=person, roles=("driver",), gone=True)
            office.append([office.fact(YARD, body, office.clock(), by=person)])


def _person(office: Office, name: str, *roles: Role) -> PersonKey:
    key = office.people.key_or_new(name)
    office.append([office.fact(YARD, PersonSet(person=key, roles=roles), office.clock(), by=key)])
    return key


def furnish(store: Path) -> tuple[dict[str, str], str]:
    """Make the yard; its badges, and the link for its phone."""
    with Office(open_store(str(store), clock=system_clock, create=True), read_rules(), system_clock) as office:
        now = datetime.now(UTC).replace(microsecond=0)
        new = When(now - timedelta(days=200))
        settings = YardSet(zone="Europe/London", languages=("en-GB",), name="Ninefold Wharf")
        office.append([office.fact(YARD, settings, now - timedelta(days=200))])
        lead = _person(office, "Ruth Ashby", "lead")
        office.by = lead
        first = date(2026, 1, 5)
        for name, what in (("7", LPG), ("8", LPG), ("12", "reach")):
            enrol(office, name, Enrolled(what=what, commissioned=first, capacity_kg=Decimal(2500), place="Hall A"), new)
            read_meter(office, name, Decimal(1240), When(now - timedelta(days=1)))
        enrol(office, "99", Enrolled(what="airship"), new)
        report_fault(office, "8", "Seat torn", When(now - timedelta(days=1)), seriousness="watch")
        fit(office, "8", "clamp 1", When(now - timedelta(days=1)), what="attachment")
        fit(office, "12", "battery 2", When(now - timedelta(days=1)), what="traction-battery")
        badges = {}
        asker = asker_of(office.yard, lead, "Ruth Ashby")
        assert asker is not None
        for name, role in (("Dan Pruett", "driver"), ("Carl Voss", "mechanic")):
            key = _person(office, name, role)  # type: ignore[arg-type]
            permit = Permit(person=key, what=LPG, trained=first, evaluated=now.date(), by=lead)
            office.append([office.fact(YARD, permit, now - timedelta(hours=1))])
            badges[name] = issue_badge(office, asker, key)
            set_pin(office, key, PIN)
        set_passphrase(office, lead, PASSPHRASE)
        return badges, device_link(office, asker, "gate phone")


def _spki(server: Path) -> str:
    key = x509.load_pem_x509_certificate(server.read_bytes()).public_key()
    form = serialization.PublicFormat.SubjectPublicKeyInfo
    return base64.b64encode(hashlib.sha256(key.public_bytes(serialization.Encoding.DER, form)).digest()).decode()


@contextmanager
def served(folder: Path, *, secure: bool = True) -> Iterator[Yard]:
    """A yard of its own, served by a process of its own."""
    store = folder / "yard.db"
    badges, link = furnish(store)
    made = certificates(folder / "tls", (NAME,), datetime.now(UTC)) if secure else None
    listener = socket.create_server(("127.0.0.1", 0))
    port = listener.getsockname()[1]
    listener.close()
    files = [str(made.server), str(made.key)] if made else []
    process = subprocess.Popen([sys.executable, "-m", "browser.serving", str(store), str(port), *files], env=_env())
    network = Network(port)
    try:
        _wait(port)
        yield Yard(store, network, secure, _spki(made.server) if made else "", badges, link)
    finally:
        network.close()
        process.send_signal(signal.SIGTERM)
        process.wait(20)


def _env() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}


def _wait(port: int) -> None:
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise AssertionError(f"nobody listens at {port}")

"""The yard's own certificates: a browser that trusts the authority trusts the server, by its names and no others."""

from __future__ import annotations

import socket
import ssl
import stat
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509 import DNSName, IPAddress, verification

from dipmark.adapters.tls import AUTHORITY_HOLDS, RENEWED, SERVER_HOLDS, Certificates, certificates
from dipmark.facts.errors import Refused

NOW = datetime(2026, 11, 20, 6, tzinfo=UTC)
NAMES = ("yard.test", "192.0.2.5")


def load(path: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(path.read_bytes())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "tls"


@pytest.fixture
def made(folder: Path) -> Certificates:
    return certificates(folder, NAMES, NOW)


@pytest.mark.parametrize("name", NAMES)
def test_the_server_is_trusted_by_each_of_its_names(made: Certificates, name: str) -> None:
    import ipaddress

    store = verification.Store([load(made.authority)])
    subject = IPAddress(ipaddress.ip_address(name)) if name[0].isdigit() else DNSName(name)
    # RFC 5280 and what browsers ask for beyond it, as the library checks them
    verifier = verification.PolicyBuilder().store(store).time(NOW).build_server_verifier(subject)
    assert len(verifier.verify(load(made.server), [])) == 2


def test_the_authority_is_bound_to_the_yards_names(made: Certificates) -> None:
    authority = load(made.authority)
    bound = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert bound.critical
    assert [str(one.value) for one in bound.value.permitted_subtrees or []] == ["yard.test", "192.0.2.5/32"]
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)


def test_a_real_handshake_by_name(made: Certificates) -> None:
    # The clock of the handshake is the machine's: certificates of now.
    fresh = certificates(made.authority.parent / "fresh", ("yard.test",), datetime.now(UTC))
    server_side = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server_side.load_cert_chain(fresh.server, fresh.key)
    client_side = ssl.create_default_context(cafile=str(fresh.authority))
    left, right = socket.socketpair()

    def serve() -> None:
        with server_side.wrap_socket(right, server_side=True) as held:
            held.sendall(b"key board")

    thread = threading.Thread(target=serve)
    thread.start()
    with client_side.wrap_socket(left, server_hostname="yard.test") as held:
        assert held.recv(20) == b"key board"
    thread.join()


def test_telephones_accept_how_long_it_holds(made: Certificates) -> None:
    server = load(made.server)
    # Telephones refuse server certificates of more than 398 days; from memory.
    assert server.not_valid_after_utc - server.not_valid_before_utc <= timedelta(days=398)
    assert server.not_valid_before_utc < NOW
    assert load(made.authority).not_valid_after_utc == NOW + AUTHORITY_HOLDS


def test_nobody_else_reads_the_keys(made: Certificates, folder: Path) -> None:
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    for secret in (made.key, folder / "yard.key"):
        assert stat.S_IMODE(secret.stat().st_mode) == 0o600
    assert sorted(path.name for path in folder.iterdir()) == ["server.crt", "server.key", "yard.crt", "yard.key"]


def test_a_second_start_changes_nothing_until_it_is_time(made: Certificates, folder: Path) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    later = NOW + SERVER_HOLDS - RENEWED - timedelta(seconds=1)
    certificates(folder, NAMES, later)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    certificates(folder, NAMES, later + timedelta(seconds=1))
    after = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert {name for name in after if after[name] != before[name]} == {"server.crt", "server.key"}


def test_towards_its_own_end_the_authority_signs_nothing_longer(made: Certificates, folder: Path) -> None:
    certificates(folder, NAMES, NOW + AUTHORITY_HOLDS - timedelta(days=90))
    assert load(made.server).not_valid_after_utc == load(made.authority).not_valid_after_utc


def test_fewer_names_make_another_server_certificate_and_other_names_are_refused(
    made: Certificates, folder: Path
) -> None:
    certificates(folder, ("YARD.test",), NOW)
    names = load(made.server).extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(DNSName) == ["yard.test"]
    with pytest.raises(Refused, match="one for other"):
        certificates(folder, ("yard.test", "other.test"), NOW)


def test_a_lost_server_key_is_made_anew_under_the_same_authority(made: Certificates, folder: Path) -> None:
    authority = made.authority.read_bytes()
    made.key.unlink()
    certificates(folder, NAMES, NOW)
    assert made.key.exists()
    assert made.authority.read_bytes() == authority

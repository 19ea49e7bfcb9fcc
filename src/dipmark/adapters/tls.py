"""The yard's own certificates: an authority bound to its names, and the server's certificate, renewed in time."""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

import msgspec
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, code

TLS_NAMES: Final = code("tls-names", "The yard's own certificate is bound to other names than the server's.")

AUTHORITY_HOLDS: Final = timedelta(days=3650)
SERVER_HOLDS: Final = timedelta(days=397)
"""Telephones refuse a server's certificate that holds longer than 398 days."""

RENEWED: Final = timedelta(days=60)
"""So long before its end the server's certificate is made anew."""

EARLIER: Final = timedelta(days=1)
"""A telephone's clock may be behind."""


class Certificates(msgspec.Struct, frozen=True):
    """Files of the yard's certificates.

    Args:
        authority: the authority's certificate, for phones to trust.
        server: the server's certificate.
        key: the server's key; secret.
    """

    authority: Path
    server: Path
    key: Path


def certificates(folder: Path, names: Sequence[str], now: datetime) -> Certificates:
    """The yard's certificates, made where there are none, the server's renewed where it ends soon or lacks a name.

    Args:
        folder: where they lie; nobody else may read it.
        names: host names and IP addresses by which the server is reached.
        now: now.

    Raises:
        Refused: the authority that phones trust is bound to other names.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    found = Certificates(folder / "yard.crt", folder / "server.crt", folder / "server.key")
    wanted = tuple(_general(name) for name in names)
    secret = folder / "yard.key"
    if not (found.authority.exists() and secret.exists()):
        _make_authority(found.authority, secret, wanted, now)
    authority = x509.load_pem_x509_certificate(found.authority.read_bytes())
    _must_cover(authority, names, folder)
    if not _holds(found, authority, wanted, now):
        _make_server(found, authority, secret, wanted, now)
    return found


def _general(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name.lower())


def _bound(name: x509.GeneralName) -> x509.GeneralName:
    """The same as an authority is bound to it: an address as a network of one."""
    return x509.IPAddress(ipaddress.ip_network(name.value)) if isinstance(name, x509.IPAddress) else name


def _must_cover(authority: x509.Certificate, names: Sequence[str], folder: Path) -> None:
    bound = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    if missing := [name for name in names if _bound(_general(name)) not in bound]:
        found = f"a certificate bound to {', '.join(str(one.value) for one in bound)}"
        hint = (
            f"Give the same names as before; or move {folder} away: then a new one is made, "
            "and every phone has to trust it anew."
        )
        problem = Problem(TLS_NAMES, found, f"one for {', '.join(missing)} as well", hint)
        raise Refused(problem.message, [problem])


def _holds(
    found: Certificates, authority: x509.Certificate, names: tuple[x509.GeneralName, ...], now: datetime
) -> bool:
    if not (found.server.exists() and found.key.exists()):
        return False
    server = x509.load_pem_x509_certificate(found.server.read_bytes())
    held = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    same = server.issuer == authority.subject and set(names) == set(held)
    return same and now + RENEWED < server.not_valid_after_utc


def _make_authority(path: Path, secret: Path, names: tuple[x509.GeneralName, ...], now: datetime) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"dipmark yard {x509.random_serial_number():x}"[:64])])
    made = (
        _certificate(name, name, key.public_key(), now, AUTHORITY_HOLDS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.NameConstraints([_bound(one) for one in names], None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write_secret(secret, key)
    _write(path, made.public_bytes(serialization.Encoding.PEM), 0o644)


def _make_server(
    found: Certificates, authority: x509.Certificate, secret: Path, names: tuple[x509.GeneralName, ...], now: datetime
) -> None:
    signer = serialization.load_pem_private_key(secret.read_bytes(), None)
    if not isinstance(signer, ec.EllipticCurvePrivateKey):
        raise TypeError(f"{secret} holds another kind of key than was written there")
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, str(names[0].value)[:64])])
    holds = min(SERVER_HOLDS, authority.not_valid_after_utc - now)
    made = (
        _certificate(name, authority.subject, key.public_key(), now, holds)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )
    _write_secret(found.key, key)
    _write(found.server, made.public_bytes(serialization.Encoding.PEM), 0o644)


def _certificate(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime, holds: timedelta
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(now + holds)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _write_secret(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    form = serialization.PrivateFormat.PKCS8
    _write(path, key.private_bytes(serialization.Encoding.PEM, form, serialization.NoEncryption()), 0o600)


def _write(path: Path, data: bytes, mode: int) -> None:
    """Whole or not at all; a secret is never readable by others, not for a moment."""
    new = path.with_name(f".{path.name}.new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
        file.write(data)
    new.replace(path)

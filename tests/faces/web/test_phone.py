"""The phone's page, what it keeps, what it takes along and what it may send."""

from __future__ import annotations

import gzip
import json
import re
import tomllib
from typing import Final

import msgspec
import pytest

from dipmark.faces.web.phone import said_on_phones, shell, worker
from dipmark.faces.web.site import Site
from dipmark.faces.web.words import WEB, said_in
from dipmark.office.access import asker_of
from dipmark.office.devices import device_link, enrol_device
from dipmark.office.sign_in import issue_badge, set_pin
from faces.web.running import BASE, Client, enter_person

FIRST_LOAD: Final = 120_000
"""Bytes, compressed: the page, what it keeps and the list of one truck."""


@pytest.fixture
def known(site: Site, client: Client) -> Client:
    """A phone that the yard knows, with one driver who has badge and PIN."""
    office = site.office
    lead, dan = enter_person(office, "Ruth", "lead"), enter_person(office, "Dan", "driver")
    asker = asker_of(office.yard, lead, "Ruth")
    assert asker is not None
    issue_badge(office, asker, dan)
    set_pin(office, dan, "482913")
    held, _ = enrol_device(office, device_link(office, asker, "gate phone"))
    client.cookies.set("dipmark_device", held)
    return client


def packed(*parts: bytes) -> int:
    return sum(len(gzip.compress(part, 9)) for part in parts)


def test_the_first_load_is_small(known: Client) -> None:
    page, bundle = known.get("/phone").content, known.get("/phone/bundle").content
    size = packed(page, worker(), *shell().values(), bundle)
    assert size <= FIRST_LOAD, size
    assert size > 20_000


def test_the_worker_keeps_every_file_of_the_page(client: Client) -> None:
    answer = client.get("/phone/sw.js")
    assert answer.headers["service-worker-allowed"] == "/phone"
    kept = json.loads(re.search(r"SHELL = (\[.*?\]);", answer.text)[1])  # type: ignore[index]
    for path in kept:
        assert client.get(path).status_code == 200, path
    assert {f"/static/phone/{file.name}" for file in (WEB / "static" / "phone").iterdir()} <= set(kept)
    imports = {name for data in shell().values() for name in re.findall(rb'from "\./([a-z]+\.js)"', data)}
    assert {f"/static/phone/{name.decode()}" for name in imports} <= set(kept)


def test_only_a_known_phone_is_given_anything(client: Client) -> None:
    assert client.get("/phone").status_code == 200
    assert client.get("/phone/bundle").status_code == 401
    assert client.post("/phone/sheets", content=b"{}").status_code == 401


def test_the_bundle_is_not_given_twice(known: Client, site: Site) -> None:
    first = known.get("/phone/bundle")
    tag = first.headers["etag"]
    assert known.get("/phone/bundle", headers={"if-none-match": tag}).status_code == 304
    enter_person(site.office, "Eve", "lead")
    again = known.get("/phone/bundle", headers={"if-none-match": tag})
    assert again.status_code == 200
    assert again.json()["call"] == ["Eve", "Ruth"]


def test_it_comes_packed_to_whoever_can_unpack_it(known: Client) -> None:
    plain = known.get("/phone/bundle", headers={"accept-encoding": "identity"})
    packed_ = known.get("/phone/bundle")
    assert packed_.headers["content-encoding"] == "gzip"
    assert int(packed_.headers["content-length"]) * 4 < int(plain.headers["content-length"])
    assert packed_.json() == plain.json()


def test_it_holds_trucks_lists_people_and_no_secret(known: Client) -> None:
    data = known.get("/phone/bundle").json()
    assert [sheet["truck"] for sheet in data["sheets"]] == ["7", "12", "20"]
    assert {sheet["list"] for sheet in data["sheets"]} == set(data["lists"])
    assert len(data["lists"]) == 2
    (person,) = data["people"]
    assert set(person["who"]) == {"person", "name", "badge", "salt", "iterations", "check"}
    assert len(person["who"]["check"]) == 2


@pytest.mark.parametrize(
    ("tag", "said"), [("es", "Fuera de servicio"), ("en-US", "Out of service"), ("xx", "Out of service")]
)
def test_it_speaks_the_language_asked_for(known: Client, tag: str, said: str) -> None:
    known.get("/phone/bundle", params={"language": "en"})
    data = known.get("/phone/bundle", params={"language": tag}).json()
    assert data["words"].get("Out of service", "Out of service") == said
    assert set(data["languages"]) == {"en", "en-US", "es"}
    places = {place["text"] for asked in data["lists"].values() for place in asked["places"]}
    assert ("Front: forks, carriage, mast" in places) == (tag != "es")
    pressure = data["words"].get("Tyre pressure", "Tyre pressure")
    assert pressure == {"es": "Presión de los neumáticos", "en-US": "Tire pressure"}.get(tag, "Tyre pressure")


def test_every_text_of_the_phone_is_said_in_spanish() -> None:
    said = {*said_on_phones(), *said_in((WEB / "templates" / "phone.html").read_text("utf-8"))}
    lines = tomllib.loads((WEB / "texts" / "es" / "phone.toml").read_text("utf-8"))
    assert said - set(lines) == set()
    assert set(lines) - said == set()
    for english, spanish in lines.items():
        assert english.count("{}") == spanish.count("{}"), english


def test_no_text_is_written_into_a_screen_past_the_words() -> None:
    for path, data in shell().items():
        for text in re.findall(rb'el\("(?:h1|h2|p|button|strong|legend|span)", \{[^}]*\}, "([^"]+)"', data):
            raise AssertionError(f"{path}: {text!r}")


def test_markup_is_never_made_of_data() -> None:
    for path, data in shell().items():
        for word in (b"innerHTML", b"outerHTML", b"insertAdjacentHTML", b"eval(", b"document.write", b"style="):
            assert word not in data, (path, word)


def test_a_sheet_from_another_site_or_without_one_is_refused(known: Client) -> None:
    for headers in ({"origin": f"{BASE}.elsewhere"}, {"origin": ""}):
        assert known.post("/phone/sheets", content=b"{}", headers=headers).status_code == 403
    answer = known.post("/phone/sheets", content=b"{}", headers={"origin": BASE})
    assert answer.status_code == 422
    assert answer.json()["error"]["problems"][0]["code"] == "envelope-unreadable"


def test_a_sheet_too_large_is_refused(known: Client) -> None:
    answer = known.post("/phone/sheets", content=b"x" * 6_000_001)
    assert answer.status_code == 413
    assert answer.json()["error"]["code"]


def test_the_manifest_begins_at_the_page(client: Client) -> None:
    said = msgspec.json.decode(client.get("/phone/manifest.webmanifest").content)
    assert (said["start_url"], said["scope"]) == ("/phone", "/phone")

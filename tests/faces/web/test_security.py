"""What somebody would try who means harm."""

from __future__ import annotations

import logging
import re
from typing import Final

import pytest

from dipmark.faces.web.headers import HEADERS, SOURCES
from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD, BookId
from dipmark.facts.fault import Fault, OutOfService
from dipmark.facts.people import YardSet
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import WorkBegun
from dipmark.office.devices import device_link, owners_link, passphrase_link
from dipmark.office.sign_in import issue_badge, issue_pin, set_passphrase
from faces.web.running import Client, asking, enter_person, form, served, sign_in_as
from office.test_sign_in import LEAD, PHRASE

MARKUP: Final = "\"><script>alert(1)</script><img src=x onerror=alert(2)>'{{7*7}}"


def test_a_session_planted_before_is_worth_nothing_after_signing_in(client: Client, site: Site) -> None:
    set_passphrase(site.office, enter_person(site.office, "Lena", "lead"), PHRASE)
    client.cookies.set("dipmark_session", "planted")
    answer = client.post("/sign-in", data={"who": "Lena", "secret": PHRASE})
    assert answer.status_code == 303
    given = answer.cookies["dipmark_session"]
    assert given != "planted"
    first = given
    again = client.post("/sign-in", data={"who": "Lena", "secret": PHRASE}).cookies["dipmark_session"]
    assert again not in {"planted", first}


def test_cookies_are_out_of_reach_of_scripts_and_other_sites(client: Client, site: Site) -> None:
    set_passphrase(site.office, enter_person(site.office, "Lena", "lead"), PHRASE)
    said = client.post("/sign-in", data={"who": "Lena", "secret": PHRASE}).headers["set-cookie"]
    assert {"HttpOnly", "Path=/", "SameSite=lax"} <= {part.strip() for part in said.split(";")}
    assert "Secure" not in said
    assert "Domain" not in said


def test_under_tls_cookies_are_secure_and_bound_to_the_host() -> None:
    with served(secure=True) as site, asking(site) as client:
        set_passphrase(site.office, enter_person(site.office, "Lena", "lead"), PHRASE)
        answer = client.post("/sign-in", data={"who": "Lena", "secret": PHRASE})
        said = answer.headers["set-cookie"]
        assert said.startswith("__Host-dipmark_session=")
        assert {"Secure", "HttpOnly", "Path=/"} <= {part.strip() for part in said.split(";")}
        assert answer.headers["strict-transport-security"].startswith("max-age=")


def test_signing_out_ends_the_session_in_the_store(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    held = client.cookies["dipmark_session"]
    assert client.post("/sign-out", data=form(token)).status_code == 303
    client.cookies.set("dipmark_session", held)
    assert client.get("/account").status_code == 303


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/sign-in", 200),
        ("/", 303),
        ("/nothing-here", 404),
        ("/truck/99", 303),
        ("/api/yard", 401),
        ("/api/nothing", 404),
        ("/static/desk.css", 200),
        ("/static/nothing.css", 404),
        ("/first/nothing", 404),
    ],
)
def test_every_answer_carries_the_headers(client: Client, path: str, status: int) -> None:
    answer = client.get(path)
    assert answer.status_code == status
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    assert answer.headers["cache-control"]
    assert "server" not in answer.headers


def test_errors_of_every_kind_carry_the_headers(client: Client, site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    monkeypatch.setattr(site, "kept", lambda *_: 1 / 0)
    broken = [
        client.get("/"),
        client.get("/api/yard"),
        client.post("/", data=form(token)),
        client.post("/sign-out"),
        client.post(
            "/sign-in", content=b"x" * 3_000_000, headers={"content-type": "application/x-www-form-urlencoded"}
        ),
    ]
    assert [answer.status_code for answer in broken] == [500, 500, 405, 403, 413]
    for answer in broken:
        assert answer.headers["content-security-policy"] == HEADERS["content-security-policy"]
        assert "ZeroDivision" not in answer.text
        assert "Traceback" not in answer.text


def test_the_policy_lets_nothing_run_that_is_written_into_a_page() -> None:
    assert "unsafe" not in HEADERS["content-security-policy"]
    assert SOURCES["default-src"] == "'none'"
    assert all(not where.startswith("http") and "*" not in where for where in SOURCES.values())


def test_no_page_holds_a_script_a_style_or_a_handler_of_its_own(client: Client, site: Site) -> None:
    pages = [client.get("/sign-in"), client.get("/trust"), client.get(f"/first/{owners_link(site.office)}")]
    sign_in_as(client, site, "Lena", "lead")
    pages += [client.get(path) for path in ("/", "/truck/7", "/account", "/nothing")]
    for page in pages:
        assert not re.search(r"<script(?![^>]*\bsrc=)", page.text)
        assert not re.search(r"<style|\sstyle=|\son\w+=|javascript:", page.text)


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e%2fapp.py",
        "/static/....//app.py",
        "/static//etc/passwd",
        "/static/%00",
        "/static/\\..\\app.py",
    ],
)
def test_no_path_leads_out_of_the_static_files(client: Client, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code in {400, 404}
    assert "def " not in answer.text
    assert "root:" not in answer.text


@pytest.mark.parametrize(
    "target",
    [
        "//evil.example.org",
        "https://evil.example.org",
        "/\\evil.example.org",
        "javascript:alert(1)",
        "/%0d%0a\r\nx: y",
        "evil",
    ],
)
def test_nobody_is_sent_elsewhere(client: Client, site: Site, target: str) -> None:
    set_passphrase(site.office, enter_person(site.office, "Lena", "lead"), PHRASE)
    answer = client.post("/sign-in", data={"who": "Lena", "secret": PHRASE, "next": target})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    answer = client.post("/look", data={"theme": "dark", "next": target})
    assert answer.headers["location"] == "/"


def test_markup_in_every_text_of_the_record_is_shown_as_text(client: Client, site: Site) -> None:
    office = site.office
    office.by = office.people.key_or_new(MARKUP[:100])
    now = office.clock()
    book = BookId(f"truck:{MARKUP.replace('/', '')[:60]}")
    facts = [
        office.fact(book, Enrolled(what=MARKUP[:100], place=MARKUP, note=MARKUP, serial=MARKUP[:100]), now),
        office.fact(book, OutOfService(reason=MARKUP), now),
        office.fact(book, Fault(text=MARKUP, seriousness="stop", affects_safety=True), now),
        office.fact(book, WorkBegun(text=MARKUP), now),
        office.fact(YARD, YardSet(name=MARKUP), now),
    ]
    office.append(facts)
    sign_in_as(client, site, MARKUP, "owner")
    board = client.get("/")
    link = re.search(r'class="number" href="(/truck/[^"]*script[^"]*)"', board.text)
    assert link is not None
    token = passphrase_link(office, LEAD, enter_person(office, MARKUP, "driver"))
    device = device_link(office, LEAD, MARKUP[:60])
    typed = client.post("/sign-in", data={"who": MARKUP, "secret": "x", "next": "/"})
    pages = [
        client.get(link[1]),
        client.get("/account"),
        client.get(f"/first/{token}"),
        client.get(f"/device/{device}"),
    ]
    assert [page.status_code for page in (board, *pages)] == [200] * 5
    for page in (board, *pages, typed, client.get(f"/truck/{MARKUP[:40]}")):
        assert "<script>alert" not in page.text
        assert "<img src=x" not in page.text
        assert "49" not in re.findall(r"\{\{7\*7\}\}|49(?=&#39;|')", page.text)
        assert "&lt;script&gt;alert(1)" in page.text or page.status_code == 404


def test_a_pin_is_not_found_by_trying(client: Client, site: Site) -> None:
    dan = enter_person(site.office, "Dan", "driver")
    badge, pin = issue_badge(site.office, LEAD, dan), issue_pin(site.office, LEAD, dan)
    tried = [client.post("/sign-in", data={"who": badge, "secret": f"{number:06d}"}) for number in range(8)]
    assert [answer.status_code for answer in tried] == [422] * 5 + [429] * 3
    assert int(tried[-1].headers["retry-after"]) in range(1, 32)
    assert client.post("/sign-in", data={"who": badge, "secret": pin}).status_code == 429
    assert len({re.sub(r'value="[^"]*"', "", answer.text) for answer in tried[:5]}) == 1


def test_what_was_typed_comes_back_but_no_secret(client: Client) -> None:
    page = client.post("/sign-in", data={"who": "Somebody", "secret": "very-secret-words"})
    assert 'value="Somebody"' in page.text
    assert "very-secret-words" not in page.text


def test_no_secret_is_written_to_a_log(
    client: Client, site: Site, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    caplog.set_level(logging.DEBUG)
    caplog.set_level(logging.WARNING, "httpx")  # the test's own browser
    link = owners_link(site.office)
    client.post(f"/first/{link}", data={"name": "Owen", "passphrase": "short-one"})
    client.post("/sign-in", data={"who": "Lena", "secret": "secret-words-typed"})
    session = sign_in_as(client, site, "Lena", "lead")
    held = client.cookies["dipmark_session"]
    monkeypatch.setattr(site, "kept", lambda *_: 1 / 0)
    assert client.get("/").status_code == 500
    assert client.get(f"/first/{link}").status_code == 200
    assert "GET / failed" in caplog.text
    for secret in (link, "short-one", "secret-words-typed", session, held):
        assert secret not in caplog.text


def test_one_who_asks_too_much_is_told_to_wait(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dipmark.faces.web.app.MOST_A_MINUTE", 5)
    with asking(site) as client:
        got = [client.get("/sign-in").status_code for _ in range(7)]
        assert got == [200] * 5 + [429] * 2
        assert client.get("/static/desk.css").status_code == 200
        sign_in_as(client, site, "Lena", "lead")
        assert client.get("/account").status_code == 200


@pytest.mark.parametrize("sent", [b"%ED%A0%80", b"%00", b"%FF%FE", b"%F0%9F%94%91", b"a" * 100_000, b""])
def test_odd_bytes_in_a_field_are_a_wrong_try_and_no_fault(client: Client, site: Site, sent: bytes) -> None:
    form_kind = {"content-type": "application/x-www-form-urlencoded"}
    for body in (b"who=" + sent + b"&secret=x", b"who=Lena&secret=" + sent, b"next=" + sent):
        assert client.post("/sign-in", content=body, headers=form_kind).status_code in {400, 422}
    link = owners_link(site.office)
    answer = client.post(f"/first/{link}", content=b"passphrase=x&name=" + sent, headers=form_kind)
    assert answer.status_code in {400, 422}


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "multipart/form-data; boundary=x", "x/y"])
def test_a_form_in_another_form_is_no_fault_of_the_program(client: Client, kind: str) -> None:
    for body in (b"", b"{", b'{"who": 1}', b"--x\r\n", b"\xff" * 50):
        got = client.post("/sign-in", content=body, headers={"content-type": kind}).status_code
        assert got in {400, 415, 422, 429}

"""One shape for whatever goes wrong, in JSON; a page for people."""

from __future__ import annotations

from typing import Any

import httpx
import pytest

from dipmark.faces.web.site import Site
from dipmark.facts.errors import StoreError
from faces.web.running import Client, sign_in_as, text_of


def said(answer: httpx.Response, status: int, code: str) -> dict[str, Any]:
    """Asserts the one shape, and gives back what it says."""
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/json"
    body = answer.json()
    assert set(body) == {"error"}
    assert set(body["error"]) == {"code", "message", "problems"}
    assert body["error"]["code"] == code
    assert body["error"]["message"].endswith(".")
    for problem in body["error"]["problems"]:
        assert {"code", "found", "expected", "hint"} <= set(problem)
    found: dict[str, Any] = body["error"]
    return found


def test_json_has_one_shape_for_every_status(client: Client, site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    said(client.get("/api/yard"), 401, "not-signed-in")
    sign_in_as(client, site, "Lena", "lead")
    said(client.get("/api/nothing"), 404, "not-found")
    said(client.get("/api/truck/99"), 404, "not-found")
    said(client.post("/api/yard"), 405, "method-not-allowed")
    monkeypatch.setattr(site, "kept", _raising(StoreError("Store x: full.")))
    said(client.get("/api/yard"), 503, "store")
    monkeypatch.setattr(site, "kept", _raising(RuntimeError("inner words")))
    assert "inner words" not in str(said(client.get("/api/yard"), 500, "fault"))


def _raising(fault: Exception) -> Any:
    def kept(*_: object) -> None:
        raise fault

    return kept


def test_a_page_says_what_is_wrong_and_where_to_go_on(client: Client, site: Site) -> None:
    missing = client.get("/nothing")
    assert missing.status_code == 404
    assert "There is nothing at this address." in text_of(missing.text)
    sign_in_as(client, site, "Lena", "driver")
    assert "No truck 99 is enrolled." in text_of(client.get("/truck/99").text)
    client.cookies.set("dipmark_language", "es")
    assert "No hay nada en esta dirección." in text_of(client.get("/nothing").text)


def test_who_is_not_signed_in_is_asked_to_and_goes_on_where_he_wanted(client: Client) -> None:
    answer = client.get("/truck/7")
    assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in?next=%2Ftruck%2F7")
    assert 'name="next" value="/truck/7"' in client.get(answer.headers["location"]).text

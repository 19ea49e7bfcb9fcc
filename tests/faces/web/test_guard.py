"""Every route against every role, from the table; and what comes from nobody, from elsewhere, or from long ago."""

from __future__ import annotations

from typing import Final

import pytest

from dipmark.faces.web.app import all_routes, create_app
from dipmark.faces.web.guard import DEVICE, OPEN, act_of, form_token
from dipmark.faces.web.site import Site
from dipmark.office.access import ACTS, MAY, ROLES, Role
from dipmark.office.devices import device_link, enrol_device
from dipmark.office.sign_in import begin_session
from faces.web.running import BASE, Client, asking, enter_person, form, sign_in_as, text_of
from office.test_sign_in import LEAD

ROUTES: Final = [
    (method, path, act_of(handler))
    for handler in all_routes()
    for path in sorted(handler.paths)
    for method in sorted(handler.http_methods - {"OPTIONS", "HEAD"})
]
FOLLOWS: Final = "/feed"
"""Answers for as long as the page is open; tested in test_feed."""


def address(path: str) -> str:
    """A path with something in its places."""
    for place, value in (("{name:str}", "7"), ("{token:str}", "nothing"), ("{what:str}", "pin")):
        path = path.replace(place, value)
    parts = [part if not part.startswith("{") else "x" for part in path.split("/")]
    return "/".join(parts)


def test_there_are_routes_and_each_names_its_act() -> None:
    assert len(ROUTES) >= 20
    assert {act for _, _, act in ROUTES} <= {OPEN, DEVICE, *ACTS}


def test_a_route_without_an_act_stops_the_server_from_starting(site: Site) -> None:
    async def forgotten() -> str:
        return "x"

    from litestar import get
    from litestar.exceptions import ImproperlyConfiguredException

    for bad in (get("/forgotten")(forgotten), get("/forgotten", act="everything")(forgotten)):
        with pytest.raises(ImproperlyConfiguredException, match="no table has"):
            create_app(site, [bad])


@pytest.mark.parametrize("role", [None, *ROLES])
def test_every_route_lets_in_whom_the_table_names_and_nobody_else(site: Site, role: Role | None) -> None:
    with asking(site) as client:
        token = "" if role is None else sign_in_as(client, site, "Mo", role, books=("truck:7",))
        session = client.cookies.get("dipmark_session")
        for method, path, act in ROUTES:
            if path in {FOLLOWS, "/sign-out"}:
                continue
            if session:
                client.cookies.set("dipmark_session", session)
            answer = client.request(method, address(path), data=form(token) if method == "POST" else None)
            let_in = act == OPEN or (role is not None and act in MAY[role])
            got = answer.status_code
            if act == DEVICE or (role is None and not let_in and method == "POST") or (role is None and "/api" in path):
                assert (got == 401) is (act != OPEN), (method, path, got)
            elif role is None and not let_in:
                assert (got, answer.headers["location"][:8]) == (303, "/sign-in"), (method, path)
            elif let_in:
                assert got not in {401, 403, 500}, (method, path, role, got)
            else:
                assert got == 403, (method, path, role, got)


def test_a_known_phone_reaches_what_is_for_phones_and_nothing_else(client: Client, site: Site) -> None:
    held, _ = enrol_device(site.office, device_link(site.office, LEAD, "gate phone"))
    client.cookies.set("dipmark_device", held)
    for method, path, act in ROUTES:
        if act == DEVICE:
            assert client.request(method, address(path)).status_code not in {401, 403, 500}, path
    assert client.get("/").status_code == 303
    client.cookies.set("dipmark_device", "another")
    for method, path, act in ROUTES:
        if act == DEVICE:
            assert client.request(method, address(path)).status_code == 401, path


def test_an_outside_mechanic_sees_his_trucks_as_if_there_were_no_others(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    assert [row["truck"] for row in client.get("/api/yard").json()] == ["7"]
    assert {row["truck"] for row in client.get("/api/due").json()} == {"7"}
    for path in ("/truck/{}", "/api/truck/{}", "/api/truck/{}/log"):
        assert client.get(path.format("7")).status_code == 200
        hidden, missing = client.get(path.format("12")), client.get(path.format("99"))
        assert (hidden.status_code, missing.status_code) == (404, 404)
        assert text_of(hidden.text).replace("12", "?") == text_of(missing.text).replace("99", "?")
    assert "hook-12" not in client.get("/").text


@pytest.mark.parametrize(
    "origin",
    [None, "null", "http://evil.example.org", "http://127.0.0.1.evil.example.org", "http://127.0.0.1:81", "file://"],
)
def test_a_form_that_stands_elsewhere_is_refused(client: Client, site: Site, origin: str | None) -> None:
    token = sign_in_as(client, site, "Mo", "owner")
    del client.headers["origin"]
    if origin is not None:
        client.headers["origin"] = origin
    for path in ("/sign-out", "/sign-in", "/look", "/account/pin"):
        assert client.post(path, data=form(token)).status_code == 403
    client.headers["origin"] = BASE
    assert client.get("/account").status_code == 200


def test_a_form_without_the_token_of_its_session_is_refused(client: Client, site: Site) -> None:
    right = sign_in_as(client, site, "Mo", "owner")
    another = form_token(begin_session(site.office, enter_person(site.office, "Eve", "driver")))
    for token in ("", "x", another, right[:-1], right + "x", "é"):
        assert client.post("/sign-out", data=form(token)).status_code == 403
        assert client.post("/sign-out", headers={b"x-dipmark-form": token.encode("latin-1")}).status_code == 403
    assert client.post("/sign-out", json={"form_token": right}).status_code == 403
    assert client.post("/sign-out", headers={"x-dipmark-form": right}).status_code == 303


def test_options_says_which_methods_there_are_and_no_more(client: Client) -> None:
    answer = client.request("OPTIONS", "/account")
    assert (answer.status_code, answer.content) == (204, b"")

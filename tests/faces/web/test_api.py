"""The JSON of the views: as the command line prints them, as the description says, whatever is asked."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import hypothesis
import pytest
import schemathesis
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance

import dipmark.views.yard
from dipmark.faces.web.site import Site
from dipmark.office.board import yard_board
from dipmark.office.look import due_list, log_of, page_of
from faces.cli.running import dipmark as run
from faces.web.running import Client, asking, served, sign_in_as
from office.desk import at, clean_walk


@pytest.fixture
def signed_in(client: Client, site: Site) -> Client:
    clean_walk(site.office, at("2026-11-20T05:30"), hours="1234.5")
    sign_in_as(client, site, "Beth", "auditor")
    return client


def test_json_says_what_the_views_say(signed_in: Client, site: Site) -> None:
    office, now = site.office, site.office.clock()
    assert [row["truck"] for row in signed_in.get("/api/yard").json()] == [row.truck for row in yard_board(office, now)]
    assert len(signed_in.get("/api/due").json()) == len(due_list(office, now))
    page = signed_in.get("/api/truck/7").json()
    assert page["code"] == page_of(office, "7", now).code
    assert page["row"]["words"].startswith("Checked, nothing found")
    log = signed_in.get("/api/truck/7/log").json()
    assert [row["id"] for row in log] == [row.id for row in log_of(office, "7", now)]


def test_the_answer_is_what_the_command_line_prints(tmp_path: Any) -> None:
    store = str(tmp_path / "yard.db")
    with served(store) as site, asking(site) as client:
        clean_walk(site.office, at("2026-11-20T05:30"), hours="1234.5")
        sign_in_as(client, site, "Beth", "auditor")
        printed = run("--store", store, "yard", "--json", "--as-of", site.office.clock().isoformat()).json
        raw = client.get("/api/yard").content
        sent = json.loads(raw)
    assert sent == printed
    assert next(row["hours"] for row in sent if row["truck"] == "7") == 1234.5
    assert b'"hours":1234.5,' in raw


def test_the_description_is_openapi_31_and_every_operation_has_every_fault(signed_in: Client) -> None:
    answer = signed_in.get("/api/openapi.json")
    assert answer.headers["content-type"] == "application/vnd.oai.openapi+json"
    described = answer.json()
    assert described["openapi"].startswith("3.1")
    assert {"/api/yard", "/api/due", "/api/faults", "/api/truck/{name}", "/api/truck/{name}/log"} <= set(
        described["paths"]
    )
    for operations in described["paths"].values():
        for operation in operations.values():
            for status in ("400", "401", "403", "404", "429", "503"):
                schema = operation["responses"][status]["content"]["application/json"]["schema"]
                assert schema == {"$ref": "#/components/schemas/ErrorAnswer"}
    hours = described["components"]["schemas"]["YardRow"]["properties"]["hours"]
    assert hours == {"oneOf": [{"type": "number"}, {"type": "null"}]}
    assert set(described["components"]["schemas"]["YardRow"]["required"]) == set(
        dipmark.views.yard.YardRow.__struct_fields__
    )


@pytest.fixture
def described() -> Iterator[Any]:
    """The API by its own description, asked through a browser that is signed in."""
    with served() as site, asking(site) as client:
        clean_walk(site.office, at("2026-11-20T05:30"), hours="1234.5")
        sign_in_as(client, site, "Lena", "lead")
        schema = schemathesis.openapi.from_dict(client.get("/api/openapi.json").json())
        yield schema, client


def test_whatever_is_asked_is_answered_as_described(described: Any) -> None:
    schema, client = described
    asked = 0
    for found in schema.get_all_operations():
        operation = found.ok()

        @hypothesis.settings(max_examples=40, deadline=None, suppress_health_check=list(hypothesis.HealthCheck))
        @hypothesis.given(case=operation.as_strategy())
        def ask(case: Any) -> None:
            nonlocal asked
            asked += 1
            sent = case.as_transport_kwargs(base_url="http://127.0.0.1")
            answer = client.request(
                sent["method"], sent["url"], headers=dict(sent.get("headers") or {}), params=sent.get("params")
            )
            assert answer.status_code < 500
            case.validate_response(answer, excluded_checks=[negative_data_rejection, positive_data_acceptance])

        ask()
    assert asked > 40

"""The rules with their sources, and the yard's own values from the desk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.faces.web.site import Site
from faces.web.running import Client, asking, form, sign_in_as, text_of
from office.desk import desk

OIL = "interval:engine-pneumatic-lpg:150h"


@pytest.fixture
def own_site(tmp_path: Path) -> Iterator[Site]:
    """A site whose yard has a folder for its own rules."""
    with desk() as office:
        found = Site(office, own_rules=tmp_path)
        try:
            yield found
        finally:
            found.feed.close()
            found.batch.close()


def test_every_value_stands_with_its_source_and_how_far_it_may_be_trusted(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    assert "/rules/kind/reach" in client.get("/rules").text
    kind = client.get("/rules/kind/reach").text
    assert kind.count('class="source"') > 100
    assert "its text was read" in kind
    for part, said in (("duties", "1910.178"), ("limits", "3 %"), ("sources", "29 CFR")):
        assert said in client.get(f"/rules/{part}").text, part
    assert client.get("/rules/kind/airship").status_code == 404
    assert client.get("/rules/nonsense").status_code == 404


def test_a_driver_changes_none(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    assert "Changed by: lead, owner" in text_of(client.get("/rules").text)
    assert client.get("/rules/own").status_code == 403


def test_without_a_folder_it_says_how(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    assert "Start the server with --rules FOLDER" in client.get("/rules/own").text
    answer = client.post("/rules/own", data=form(token, id=OIL, value="120", source="x"))
    assert answer.status_code == 422
    assert "DIPMARK_RULES" in answer.text


def test_the_difference_is_shown_then_written_and_used_at_once(own_site: Site, tmp_path: Path) -> None:
    with asking(own_site) as client:
        token = sign_in_as(client, own_site, "Lena", "lead")
        assert f"value={OIL.replace(':', '%3A')}" in client.get("/rules/own").text
        assert "150 h" in client.get(f"/rules/own?value={OIL}").text
        data = form(token, id=OIL, value="120", source="Manual, page 12")
        look = client.post("/rules/own", data=data)
        assert look.status_code == 200
        said = text_of(look.text)
        assert "150 h → 120 h" in said
        assert "as strict as today, or stricter" in said
        assert list(tmp_path.iterdir()) == []
        saved = client.post("/rules/own", data=data | {"step": "save"})
        assert saved.status_code == 303, text_of(saved.text)
        assert "Written." in text_of(client.get(saved.headers["location"]).text)
        assert own_site.office.rules.digest == read_rules(tmp_path).digest
        kind = client.get("/rules/kind/engine-pneumatic-lpg").text
        assert "120 h" in kind
        assert "read by Lena on 2026-11-20" in kind


def test_what_was_written_elsewhere_holds_here_too_and_what_is_unfit_changes_nothing(
    own_site: Site, tmp_path: Path
) -> None:
    file = tmp_path / "mine.toml"
    with asking(own_site) as client:
        sign_in_as(client, own_site, "Lena", "lead")
        assert "133 h" not in client.get("/rules/kind/engine-pneumatic-lpg").text
        file.write_text('kind = "engine-pneumatic-lpg"\n[services.150h]\ninterval_hours = 133\n', "utf-8")
        assert "133 h" in client.get("/rules/kind/engine-pneumatic-lpg").text
        file.write_text("kind = ", "utf-8")
        assert "133 h" in client.get("/rules/kind/engine-pneumatic-lpg").text
    folder = own_site.own_rules
    assert folder is not None
    assert own_site.spoken("en").rules.digest == own_site.office.rules.digest


def test_looser_than_safety_or_law_is_refused_with_its_problem(own_site: Site, tmp_path: Path) -> None:
    with asking(own_site) as client:
        token = sign_in_as(client, own_site, "Lena", "lead")
        data = form(token, id="limit:chain:worn", value="4", source="he said so")
        look = client.post("/rules/own", data=data)
        assert "asks for less than today" in text_of(look.text)
        assert "So it is not written." in look.text
        assert client.post("/rules/own", data=data | {"step": "save"}).status_code == 422
        assert list(tmp_path.iterdir()) == []
        empty = client.post("/rules/own", data=form(token, id=OIL, value="soon", source=""))
        assert empty.status_code == 422
        assert 'id="value-wrong"' in empty.text
        assert 'id="source-wrong"' in empty.text
        assert 'value="soon"' in empty.text
        assert client.post("/rules/own", data=form(token, id="no:such:value")).status_code == 404

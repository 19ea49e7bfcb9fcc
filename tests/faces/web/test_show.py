"""Names in addresses, amounts, themes."""

from __future__ import annotations

from decimal import Decimal
from urllib.parse import unquote

import pytest

from dipmark.faces.web.show import amount, as_part, named
from dipmark.faces.web.site import Site
from faces.web.running import Client, sign_in_as


@pytest.mark.parametrize("name", ["7", "T 07", "a/b", "50%", "%2F", "ä?#&=", '"><', "..", "a\\b"])
def test_a_name_survives_the_address(name: str) -> None:
    part = as_part(name)
    assert "/" not in part
    assert "/" not in unquote(part)
    assert named(unquote(part)) == name


def test_amounts_are_said_to_a_tenth_without_needless_noughts() -> None:
    said = [amount(Decimal(text)) for text in ("98.30", "150.00", "1084.5", "0.04", "-3")]
    assert said == ["98.3", "150", "1,084.5", "0", "-3"]


@pytest.mark.parametrize("theme", ["light", "dark", "as-device"])
def test_a_theme_is_kept_on_the_browser(client: Client, theme: str) -> None:
    answer = client.post("/look", data={"theme": theme, "language": "es", "next": "/sign-in"})
    assert answer.headers["location"] == "/sign-in"
    page = client.get("/sign-in").text
    assert f'data-theme="{theme}"' in page
    assert '<html lang="es"' in page


def test_a_theme_or_language_that_there_is_not_changes_nothing(client: Client) -> None:
    client.post("/look", data={"theme": "purple", "language": "tlh"})
    client.cookies.set("dipmark_theme", "purple")
    page = client.get("/sign-in").text
    assert 'data-theme="as-device"' in page
    assert '<html lang="en-GB"' in page


def test_a_page_is_shown_in_the_language_of_the_reader(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    client.cookies.set("dipmark_language", "es")
    page = client.get("/").text
    for said in ("Tablero de llaves", "Sin revisar", "Salir"):
        assert said in page
    for english in ("Key board", "Not checked", "Sign out"):
        assert english not in page

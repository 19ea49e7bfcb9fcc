"""The key board as a page."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from faces.web.running import Client, sign_in_as, text_of


def test_the_key_board_shows_every_truck_and_how_it_stands(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    answer = client.get("/")
    assert answer.status_code == 200
    said = text_of(answer.text)
    for one in ("Key board", "7", "12", "20", "Not checked"):
        assert one in said

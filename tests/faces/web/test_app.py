"""The application as a whole: every route has its act, and every handler runs in its thread."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from faces.web.running import Client, asking


def test_get_and_post_of_one_address_both_answer_also_in_a_second_application(client: Client, site: Site) -> None:
    assert client.get("/sign-in").status_code == 200
    with asking(site) as other:
        assert other.get("/sign-in").status_code == 200
        assert other.post("/sign-in", data={"who": "nobody", "secret": "x"}).status_code == 422

"""Reading forms, whatever is sent in their place."""

from __future__ import annotations

from typing import Any

import pytest

from dipmark.faces.web.forms import field, fields, within


@pytest.mark.parametrize(
    ("sent", "one", "many"),
    [
        ({}, "", ()),
        ({"x": "a"}, "a", ("a",)),
        ({"x": ["a", "b"]}, "a", ("a", "b")),
        ({"x": []}, "", ()),
        ({"x": object()}, "", ()),
        ({"x": [object(), "b"]}, "", ("b",)),
    ],
)
def test_a_field_is_a_text_or_nothing(sent: dict[str, Any], one: str, many: tuple[str, ...]) -> None:
    assert field(sent, "x") == one
    assert fields(sent, "x") == many


@pytest.mark.parametrize("path", ["/", "/truck/7", "/find?q=a%20b", "/truck/a%252Fb"])
def test_a_path_of_ours_is_gone_on_to(path: str) -> None:
    assert within(path) == path


@pytest.mark.parametrize("path", ["", "x", "//a", "/\\a", "http://example.com", "/a\nb", "/a\\b", "\\/a", " /a"])
def test_anything_else_leads_to_the_key_board(path: str) -> None:
    assert within(path) == "/"

"""What every kind of fact is held to: its full form, what may be left out, what is refused."""

from __future__ import annotations

import json
from typing import Any

import msgspec
import pytest

from dipmark.facts.codec import decode_body, decode_stored, encode_body
from dipmark.facts.kinds import KINDS, AnyBody, kind_of

FACT = "01934567-89ab-7cde-8f01-23456789abcd"
PICTURE = "a1" * 32
READING = {"hours": "1234.50"}


def written(fields: dict[str, Any]) -> bytes:
    """The canonical bytes that these fields ought to have, made without the codec."""
    return json.dumps(fields, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def read(fields: dict[str, Any]) -> AnyBody:
    """The body of these fields, which are the canonical ones."""
    body = decode_stored(written(fields))
    assert encode_body(body) == written(fields)
    return body


def refused(fields: dict[str, Any]) -> str:
    """Why these fields are no body."""
    with pytest.raises(ValueError, match=r".+") as caught:
        decode_body(written(fields))
    return str(caught.value)


def held(fields: dict[str, Any]) -> AnyBody:
    """A body given in full, held to all that is asked of its kind."""
    body = read(fields)
    kind = KINDS[fields["kind"]]
    assert type(body) is kind
    assert kind_of(body) == fields["kind"]
    assert set(fields) == {"kind", *kind.__struct_fields__}, "the example names every field"
    for name, default in ((field.name, field.default) for field in msgspec.structs.fields(kind)):
        rest = {key: value for key, value in fields.items() if key != name}
        if default is msgspec.NODEFAULT:
            assert f"`{name}`" in refused(rest)
            assert "null" in refused({**fields, name: None})
        else:
            assert getattr(read(rest), name) == default
        assert f"$.{name}" in refused({**fields, name: [[0.5]]})
    for odd in _with_unknown(fields):
        assert "unknown field `odd`" in refused(odd)
    return body


def _with_unknown(fields: dict[str, Any]) -> list[dict[str, Any]]:
    """The fields with one that nobody knows, on top and in every part."""
    found = [{**fields, "odd": 1}]
    for name, value in fields.items():
        if isinstance(value, dict):
            found.extend({**fields, name: part} for part in _with_unknown(value))
        elif isinstance(value, list):
            found.extend(
                {**fields, name: [*value[:index], part, *value[index + 1 :]]}
                for index, element in enumerate(value)
                if isinstance(element, dict)
                for part in _with_unknown(element)
            )
    return found

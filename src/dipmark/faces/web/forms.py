"""Reading forms."""

from __future__ import annotations

from typing import Annotated, Any, Final

from litestar.datastructures import UploadFile
from litestar.enums import RequestEncodingType
from litestar.params import Body

Form = Annotated[dict[str, Any], Body(media_type=RequestEncodingType.URL_ENCODED)]
"""What a handler takes as `data` to read a form without files."""

MOST_BYTES: Final = 60_000_000
"""Of all pictures sent at once."""

Files = Annotated[dict[str, Any], Body(media_type=RequestEncodingType.MULTI_PART)]
"""What a handler takes as `data` to read a form with files."""


def uploads(data: dict[str, Any], name: str) -> list[tuple[str, bytes]]:
    """The files chosen in a field, each with its name."""
    sent = data.get(name, [])
    files = [one for one in (sent if isinstance(sent, list) else [sent]) if isinstance(one, UploadFile)]
    return [(one.filename, one.file.read()) for one in files if one.filename]


def field(data: dict[str, Any], name: str) -> str:
    """What was typed in a field; nothing where the form has none of that name, or a file."""
    value = data.get(name, "")
    if isinstance(value, list):
        value = value[0] if value else ""
    return value if isinstance(value, str) else ""


def fields(data: dict[str, Any], name: str) -> tuple[str, ...]:
    """Everything chosen in fields of the same name."""
    value = data.get(name, ())
    return tuple(one for one in (value if isinstance(value, list | tuple) else (value,)) if isinstance(one, str))


def within(path: str) -> str:
    """A path of ours to go on to; the key board for anything else."""
    plain = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable() and "\\" not in path
    return path if plain else "/"

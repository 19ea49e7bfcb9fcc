"""Every kind of fact by its tag; the union that the codec reads."""

from __future__ import annotations

from typing import Final

from dipmark.facts.amend import Corrected, PlainBody, Withdrawn
from dipmark.facts.base import Body

AnyBody = PlainBody | Corrected | Withdrawn

KINDS: Final[dict[str, type[Body]]] = {
    str(kind.__struct_config__.tag): kind for kind in (*PlainBody.__args__, Corrected, Withdrawn)
}
"""Tag to class, in the order of the manual."""


def kind_of(body: Body) -> str:
    """The tag of a body, such as ``meter-read``.

    Args:
        body: of any kind.
    """
    return str(body.__struct_config__.tag)

"""Papers as they are entered at a desk or taken from a table."""

from __future__ import annotations

from collections.abc import Sequence

from dipmark.facts.base import Reading
from dipmark.facts.document import Document, Line


def examination(duties: Sequence[str], text: str | None, reading: Reading | None) -> Document:
    """A report of a legal examination, with a line for each duty that it proves.

    Args:
        duties: ids of the duties; none where the yard's country is not known or asks for no examination.
        text: what it says.
        reading: the hours on it.
    """
    lines = tuple(Line(text=text or duty.replace("-", " ").capitalize(), duty=duty) for duty in duties)
    return Document(what="examination", title="Report", lines=lines, note=None if lines else text, meter=reading)

"""How a generated page is put together, and how a docstring is taken apart."""

from __future__ import annotations

import inspect
import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

MADE: Final = "<!-- written by scripts/generate_docs.py; change the program and run `make docs` -->"
SERIOUSNESS: Final = {"now": "Don't start", "stop": "Out of service", "repair-by": "Repair by …", "watch": "Watch"}

_SECTION: Final = re.compile(r"^(?:(Args|Returns|Raises|Example):$|\*(Edge|Source)\*: ?)", re.MULTILINE)


def page(title: str, opening: str, *blocks: str) -> str:
    """A page from its title, its opening sentence and its blocks."""
    return "\n\n".join([f"# {title}", MADE, opening, *blocks]) + "\n"


def table(head: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    """A table; a bar in a cell does not end the cell."""
    lines = [list(head)]
    lines.append(["---"] * len(lines[0]))
    lines += [[" ".join(str(cell).split()).replace("|", "\\|") for cell in row] for row in rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def sections(thing: object) -> dict[str, str]:
    """A docstring by its sections, each as it stands; what comes before the first has no name."""
    text = inspect.getdoc(thing) or ""
    heads = list(_SECTION.finditer(text))
    ends = [head.start() for head in heads] + [len(text)]
    told = {head[1] or head[2]: text[head.end() : end] for head, end in zip(heads, ends[1:], strict=True)}
    return {"": text[: ends[0]].strip(), **{name: inspect.cleandoc(one).strip() for name, one in told.items()}}


def opening(thing: object) -> str:
    """What a docstring says before its first section."""
    return sections(thing)[""]


def arguments(thing: object) -> dict[str, str]:
    """The section *Args* of a docstring: name to meaning."""
    found = re.finditer(r"^(\w+): (.*(?:\n +.*)*)", sections(thing).get("Args", ""), re.MULTILINE)
    return {match.group(1): " ".join(match.group(2).split()) for match in found}

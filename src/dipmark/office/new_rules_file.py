"""A yard's own rules as a file that a person could have written: tables in the order of reading, each with its row."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.facts.problems import Where
from dipmark.rules.typed import Path, dotted

ORDER: Final = (
    *("kind", "subject", "meters", "options", "choices", "sources", "windows"),
    *("cautions", "checks", "limits", "services", "tasks"),
)


def rules_text(tree: dict[str, object], origin: dict[str, Where], head: list[str]) -> str:
    """The file.

    Args:
        tree: its tables.
        origin: by key, the cell it comes from: a comment above each table.
        head: lines to stand at its top.
    """
    ordered: dict[str, object] = {key: tree[key] for key in ORDER if key in tree}
    lines = [*(f"# {line}" for line in head), ""]
    return "\n".join([*lines, *_table(ordered, (), origin)]) + "\n"


def _table(table: dict[str, object], path: Path, origin: dict[str, Where]) -> Iterator[str]:
    plain = {key: value for key, value in table.items() if not isinstance(value, dict)}
    if path and plain:
        where = origin.get(dotted(path))
        yield ""
        if where is not None:
            yield f"# sheet {where.sheet}, row {where.line}"
        yield f"[{dotted(path)}]"
    for key, value in plain.items():
        yield f"{dotted((key,))} = {_value(value)}"
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _table(value, (*path, key), origin)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return f"[{', '.join(_value(one) for one in value)}]"
    if isinstance(value, (int, Decimal)):
        return f"{Decimal(value):f}"
    return msgspec.json.encode(str(value)).decode()

"""The rows that were refused, handed back in a file that can be mended and taken again."""

from __future__ import annotations

import csv
import io
import os
import re
import tempfile
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from dipmark.adapters.importing.table import REASON_HEADER

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dipmark.adapters.importing.rows import ReadRow
    from dipmark.adapters.importing.table import Table
    from dipmark.facts.problems import Problem

_REFUSED = re.compile(r"\.refused(-\d+)?\.csv$", re.IGNORECASE)


def write_refused(source: Path, table: Table, refused: Sequence[tuple[ReadRow, Sequence[Problem]]]) -> Path:
    """Write the refused rows beside their file: the reason first, then every cell as it was.

    It is written whole or not at all. Another file of that name is kept and the new one numbered; only the very file
    that was taken gives way to what is left of it.

    Args:
        source: the file that was taken.
        table: its table.
        refused: each row with everything that is wrong with it.

    Returns:
        The file written.
    """
    content = _content(table, refused)
    target = _target(source, table, content)
    handle, name = tempfile.mkstemp(dir=source.parent, prefix=f".{target.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(source.stat().st_mode & 0o777)
        part.replace(target)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return target


def _content(table: Table, refused: Sequence[tuple[ReadRow, Sequence[Problem]]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=table.sheet.delimiter or ",")
    writer.writerow([REASON_HEADER, *(column.header for column in table.columns)])
    for row, problems in refused:
        writer.writerow([_reason(problems), *row.raw])
    return text.getvalue().encode("utf-8-sig")


def _reason(problems: Sequence[Problem]) -> str:
    return " · ".join(f"{p.where.column.strip()}: {p.message}" if p.where.column else p.message for p in problems)


def _target(source: Path, table: Table, content: bytes) -> Path:
    if _REFUSED.search(source.name):
        return source
    sheet = re.sub(r'[\\/:*?"<>|\x00-\x1f]', "_", table.sheet.name or "") if table.sheet.count > 1 else ""
    stem = f"{source.stem}.{sheet}" if sheet else source.stem
    names = (f"{stem}.refused.csv" if n == 1 else f"{stem}.refused-{n}.csv" for n in count(1))
    return next(path for name in names if not (path := source.with_name(name)).exists() or path.read_bytes() == content)

"""Prints every value of the rules that changed since the last release: old, new, source."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
DATA: Final = "src/dipmark/rules/data"


def flat(value: object, path: str = "") -> dict[str, object]:
    """Every leaf of a parsed file by its key path; a table in a list goes by its id where it has one."""
    if isinstance(value, dict):
        items = [(f"{path}.{key}" if path else str(key), below) for key, below in value.items()]
    elif isinstance(value, list) and any(isinstance(one, dict) for one in value):
        items = [(f"{path}[{one.get('id', number)}]", one) for number, one in enumerate(value)]
    else:
        return {path: value}
    return {key: leaf for name, below in items for key, leaf in flat(below, name).items()}


def source_near(leaves: dict[str, object], path: str) -> object:
    """The source that stands nearest above a value."""
    while path:
        path = path.rpartition(".")[0]
        if (source := leaves.get(f"{path}.source" if path else "source")) is not None:
            return source
    return "no source"


def changes(old: str, new: str) -> list[str]:
    """The values that differ between two texts of a rules file, one line each."""
    before, after = (flat(tomllib.loads(text, parse_float=Decimal)) for text in (old, new))
    return [
        f"{path}: {before.get(path, 'nothing')} → {after.get(path, 'nothing')} "
        f"({source_near(after if path in after else before, path)})"
        for path in sorted(before.keys() | after.keys())
        if before.get(path) != after.get(path)
    ]


def _git(*words: str) -> str | None:
    done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout if done.returncode == 0 else None


def since(tag: str) -> list[str]:
    """All changed values since a tag, each with its file."""
    then = {name for name in (_git("ls-tree", "-r", "--name-only", tag, DATA) or "").split() if name.endswith(".toml")}
    now = {path.relative_to(ROOT).as_posix() for path in (ROOT / DATA).rglob("*.toml")}
    found = []
    for name in sorted(then | now):
        old = (_git("show", f"{tag}:{name}") or "") if name in then else ""
        new = (ROOT / name).read_text("utf-8") if name in now else ""
        found += [f"{name.removeprefix(DATA + '/')}: {line}" for line in changes(old, new)]
    return found


def last_release() -> str | None:
    """The last tag, or None before the first."""
    tag = _git("describe", "--tags", "--abbrev=0")
    return tag.strip() if tag else None


if __name__ == "__main__":
    tag = last_release()
    if tag is None:
        print("No release yet: nothing to compare with.")
        sys.exit(0)
    lines = since(tag)
    print(f"{len(lines)} values of the rules changed since {tag}.")
    print("\n".join(lines))

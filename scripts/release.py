"""Makes a release: changelog from changes/, version, tag. Publishing waits for a person.

Fragments are files changes/WORD.KIND.md; KIND is safety, breaking, new, better or fixed; each holds one entry.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Final

from rules_changed import last_release, since

ROOT: Final = Path(__file__).resolve().parents[1]
KINDS: Final = {
    "safety": "Bears on safety",
    "breaking": "Works differently now",
    "new": "New",
    "better": "Better",
    "fixed": "Mended",
}


def section(version: str, fragments: dict[str, str], limits: list[str]) -> str:
    """The changelog's section of a version; what bears on safety first, then every changed value of the rules."""
    parts = [f"## {version}"]
    for kind, title in KINDS.items():
        texts = [text.strip() for name, text in sorted(fragments.items()) if name.split(".")[1:2] == [kind]]
        lines = [f"- {text}" for text in texts]
        if kind == "safety":
            lines += [f"- Rule changed: {line}" for line in limits]
        if lines:
            parts.append(f"### {title}\n\n" + "\n".join(lines))
    return "\n\n".join(parts) + "\n"


def _run(*words: str) -> str:
    return subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True).stdout


def main(version: str) -> int:
    """Write changelog and version, commit and tag."""
    if not re.fullmatch(r"\d+\.\d+\.\d+", version):
        print(f"Found version {version!r}; expected three numbers: make release VERSION=1.2.3")
        return 1
    if _run("git", "status", "--porcelain"):
        print("The tree is not clean; commit or put away what is there first.")
        return 1
    files = sorted((ROOT / "changes").glob("*.*.md"))
    tag = last_release()
    new = section(version, {path.name: path.read_text("utf-8") for path in files}, since(tag) if tag else [])
    log = ROOT / "CHANGELOG.md"
    head, mark, rest = log.read_text("utf-8").partition("\n## ")
    log.write_text(f"{head.rstrip()}\n\n{new}{mark}{rest}" if mark else f"{head.rstrip()}\n\n{new}", "utf-8")
    project = ROOT / "pyproject.toml"
    text = re.sub(r'(?m)^version = ".*"$', f'version = "{version}"', project.read_text("utf-8"), count=1)
    project.write_text(text, "utf-8")
    for path in files:
        path.unlink()
    _run("git", "commit", "--all", "--message", f"Release {version}")
    _run("git", "tag", "--annotate", f"v{version}", "--message", f"dipmark {version}")
    print(f"Tagged v{version}. A person builds and publishes it: .venv/bin/python -m build")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else ""))

"""How quickly the command line answers: `dipmark --help` against the help of a typer program with nothing in it.

Both are whole processes of the same Python, in turn; the ratio is that of the medians of their processor time, and 2 is
the bound.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Final

ROUNDS: Final = 11
BOUND: Final = 2.0

BARE: Final = '''"""A bare typer program."""
import typer

app = typer.Typer()


@app.command()
def hello(name: str) -> None:
    """Say hello."""


@app.command()
def bye(name: str) -> None:
    """Say goodbye."""


app()
'''


def seconds(command: list[str]) -> float:
    """Processor seconds of one run, the system's share included."""
    before = os.times()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        bare = Path(folder, "bare.py")
        bare.write_text(BARE, encoding="utf-8")
        theirs, ours = [], []
        for _ in range(ROUNDS + 1):
            theirs.append(seconds([sys.executable, str(bare), "--help"]))
            ours.append(seconds([sys.executable, "-m", "dipmark", "--help"]))
    base, mine = statistics.median(theirs[1:]), statistics.median(ours[1:])  # the first round warms up
    print(f"baseline  a typer program with two empty commands  {base * 1000:6.0f} ms")
    print(f"dipmark   --help                                   {mine * 1000:6.0f} ms")
    print(f"ratio     {mine / base:.2f} (bound {BOUND}, {ROUNDS} rounds, medians of processor time)")
    return 0 if mine / base < BOUND else 1


if __name__ == "__main__":
    sys.exit(main())

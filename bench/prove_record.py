"""The record under faults, in full: writes its section of docs/evidence.md.

Programs are killed ``DIPMARK_PROVE_KILLS`` times (10,000), most of them on SQLite, the rest on PostgreSQL;
every byte of a small store is changed; several programs write at once. The campaigns of kills run side by side, as
programs of their own. It takes about half an hour on two cores; it ends with 1 at the first thing that does not hold.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import msgspec

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "scripts"))


from evidence import PAGE, write
from faults.flips import column_flips, cut_tails, file_flips
from faults.killing import SEED
from faults.places import FilePlace, ServerPlace
from faults.rounds import Outcome
from faults.server import KilledServer
from faults.together import together

ROOT: Final = Path(__file__).resolve().parents[1]
KILLS: Final = int(os.environ.get("DIPMARK_PROVE_KILLS", "10000"))
EVERY: Final = int(os.environ.get("DIPMARK_PROVE_EVERY", "1"))
"""Only every so many bytes are changed, to try the rest out."""

MASKS: Final = (0x01, 0x80)
TITLE: Final = "## The record under faults"


def main() -> int:
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the campaigns end as well
    campaigns = [_started(*share, SEED + number) for number, share in enumerate(_shares())]
    try:
        with tempfile.TemporaryDirectory(prefix="dipmark-prove-") as name:
            parts = [*_flips(Path(name)), *_together(Path(name))]
        outcomes = _summed(outcome for campaign in campaigns for outcome in _ended(campaign))
    finally:
        for campaign in campaigns:
            if campaign.poll() is None:
                campaign.terminate()
                campaign.wait()
    if any(campaign.returncode for campaign in campaigns):
        return 1
    write(TITLE, [*_kills(outcomes), *parts])
    print(f"{sum(outcome.kills for outcome in outcomes):,} kills; written to {PAGE.name}")
    return 0


def _shares() -> list[tuple[str, int, str]]:
    """Kind of store, kills and folder of each campaign: a fifth on the disk, the rest in memory, which is quicker."""
    memory = "/dev/shm" if Path("/dev/shm").is_dir() else tempfile.gettempdir()
    on_disk, of_server = KILLS // 5, KILLS * 3 // 20
    return [
        ("sqlite", on_disk, tempfile.gettempdir()),
        ("sqlite", KILLS - on_disk - of_server, memory),
        ("postgres", of_server, memory),
    ]


def _started(where: str, kills: int, folder: str, seed: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "faults.killing", where, str(kills), str(seed)]
    around = os.environ | {"PYTHONPATH": str(ROOT / "tests"), "TMPDIR": folder}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=around)


def _ended(campaign: subprocess.Popen[str]) -> Iterator[Outcome]:
    said = campaign.communicate()[0]
    sys.stdout.write(said)
    return (msgspec.json.decode(line, type=Outcome) for line in said.splitlines())


def _summed(outcomes: Iterator[Outcome]) -> list[Outcome]:
    """One outcome for each work and store."""
    sums: dict[tuple[str, str], list[Outcome]] = {}
    for one in outcomes:
        sums.setdefault((one.store, one.work), []).append(one)
    return [
        Outcome(
            work=work,
            store=store,
            kills=sum(one.kills for one in parts),
            late=sum(one.late for one in parts),
            acknowledged=sum(one.acknowledged for one in parts),
            verified=sum(one.verified for one in parts),
            left=sum(one.left for one in parts),
            seconds=sum(one.seconds for one in parts),
        )
        for (store, work), parts in sums.items()
    ]


def _kills(outcomes: list[Outcome]) -> Iterator[str]:
    kills, left = sum(one.kills for one in outcomes), sum(one.left for one in outcomes)
    yield f"""### Killed

Programs were ended by SIGKILL {kills:,} times, each at a random moment before it had come to the end of its work; a
kill that came later was looked at all the same, and is not counted. A program acknowledged only what the store had
answered. After each kill the store was opened again, which recovers it, and looked at:

- All that was acknowledged is there. Of what was not, the whole batch, rows, store or file is there, or nothing of it.
- `verify` found nothing, after every kill that left a store. One that was being backed up was verified after every
  tenth whole backup and at the end; every whole backup was.
- A store, a backup or a file of refused rows lies under its name whole, or not at all. Tables taken again added all of
  their good rows or none, and handed the bad ones back.
- A migration is done and recorded, or neither. Two made-up ones were used: one fills a table from the record, one makes
  a table anew.

| killed while | store | kills | came late | acknowledged | stores verified |
| --- | --- | ---: | ---: | ---: | ---: |"""
    for one in outcomes:
        yield f"| {one.work} | {one.store} | {one.kills:,} | {one.late:,} | {one.acknowledged:,} | {one.verified:,} |"
    yield f"""
Acknowledged are facts (appending), rows (taking), stores (making, migrating, restoring) or files (backing up). “The
server killed” means one of its processes and, by turns, all of them at once; programs are then told that the server
ended the connection, and go on when it is back. A killed program leaves hidden names beside the file that it was
writing (`.NAME.….new`, `.NAME.….part`), {left:,} here; nothing reads them and they may be removed.

A fifth of the kills fell on stores on a disk, the rest on stores in memory, where there is no waiting for a disk.
SIGKILL ends a program, not the machine: the power was not cut.
"""


def _flips(folder: Path) -> Iterator[str]:
    columns, pages, tails = column_flips(folder, MASKS, EVERY), file_flips(folder, EVERY), cut_tails(folder)
    total = pages.total()
    share = {name: f"{pages[name]:,} ({100 * pages[name] / total:.1f} %)" for name in ("named", "damaged", "harmless")}
    yield f"""### Changed

A small store of eleven facts in three books, with a picture, a correction, and a fact merged from elsewhere.

- Every byte of every column of every fact was changed in turn, its lowest and its highest bit, by a hand in the
  database that takes a guard away and puts it back: {columns.total():,} changes. `verify` named the very fact in
  {columns["named"]:,}; the keys of the database refused the other {columns["refused"]:,}.
- In the file, one bit of every byte of the pages that hold facts or their keys was changed: {total:,} changes.
  `verify` named a fact in {share["named"]}; SQLite or `verify` reported the store as damaged in
  {share["damaged"]}; nothing reads the other {share["harmless"]}, and every fact, name and picture
  was as before.
- Every possible tail was cut off every book, {tails} in all. The chain that is left is sound in itself, as it must be;
  `verify --against` with the code of the last fact found each cut.
"""


def _together(folder: Path) -> Iterator[str]:
    place = FilePlace(folder)
    done = [together(place, 2, 100), together(place, 4, 100)]
    with KilledServer() as server:
        done.append(together(ServerPlace(folder, server), 8, 100))
    yield """### Together

Programs appended at the same time to six books, three facts a time in books of any order; some facts were offered by
all of them. Every book is numbered from 1 without gap or double, every fact is there once, each program was told the
truth, `verify` found nothing.

| store | programs | facts | of these offered by all |
| --- | ---: | ---: | ---: |"""
    for one in done:
        yield f"| {one.store} | {one.programs} | {one.facts:,} | {one.shared:,} |"
    yield """
A full disk, a disk that may only be read, and clocks that jump a day back, a year ahead or through the change of summer
time are in the short tests (`tests/faults/`): a clear word or a wait, and nothing lost."""


if __name__ == "__main__":
    sys.exit(main())

"""Rounds of a trial: work, a kill at random, recovery, check; and what the rounds came to."""

from __future__ import annotations

import random
import time
from functools import partial
from itertools import count
from typing import Final

import msgspec

from dipmark.facts.base import PersonKey
from dipmark.facts.errors import StoreError
from faults.forks import Say, Worker, killed
from faults.places import ServerPlace, left_over
from faults.trials import Appending, Trial, batch, opened

FIRST_WINDOW: Final = 0.05


class Outcome(msgspec.Struct, frozen=True):
    """What the rounds of one trial came to.

    Args:
        work: what was being done.
        store: SQLite or PostgreSQL.
        kills: how many were killed before they had come to the end.
        late: how many had come to the end already.
        acknowledged: facts, stores or files that had been acknowledged.
        verified: how often a store was verified.
        left: hidden names beside the file that a killed program left.
        seconds: how long it took.
    """

    work: str
    store: str
    kills: int
    late: int
    acknowledged: int
    verified: int
    left: int
    seconds: float


def rounds(trial: Trial, kills: int, rng: random.Random) -> Outcome:
    """Kill so many in the middle of their work; a kill that comes too late is looked at and not counted.

    The kill falls anywhere in a window from the fork on, which follows how long the work takes: about one kill in six
    comes too late, so that the last moments are hit as well. Endless work has said something in two rounds of three.
    """
    begun, in_the_middle, late, left, window = time.monotonic(), 0, 0, 0, FIRST_WINDOW
    while in_the_middle < kills:
        trial.prepare(in_the_middle + late)
        said, done = killed(trial.work, rng.uniform(0, window))
        trial.place.quiet()
        left += left_over(trial.place.folder)
        try:
            trial.check(said, done=done)
        except Exception as fault:
            raise AssertionError(f"{trial.name}, {trial.place.kind}, kill {in_the_middle + late}") from fault
        in_the_middle += not done
        late += done
        if trial.endless:
            window *= 0.97 if said else 1.06
        else:
            window *= 0.8 if done else 1.05
    trial.close()
    seconds = time.monotonic() - begun
    return Outcome(trial.name, trial.place.kind, in_the_middle, late, trial.acknowledged, trial.verified, left, seconds)


class Pestered(Appending):
    """Three append at once and try again where the store says that it cannot be reached."""

    name = "appending, three at once, the server killed"

    def work_as(self, who: int, say: Say) -> None:
        """Append until killed, as one of several."""
        for life in count():
            name = ""
            try:
                with opened(self.address) as store:
                    for step in count():
                        name = f"{self.number}-{who}-{life}-{step}"
                        facts, picture = batch(name)
                        store.append(facts, blobs=[picture], names={PersonKey(f"p-{name}"): name})
                        say(*(fact.id for fact in facts))
            except StoreError as fault:
                assert "ry again" in str(fault), str(fault)
                say(("not:" if "nothing of this was written" in str(fault) else "perhaps:") + name)
                time.sleep(0.01)

    def check(self, said: list[str], *, done: bool) -> None:
        denied = {word.removeprefix("not:") for word in said if word.startswith("not:")}
        with opened(self.address) as store:
            assert denied.isdisjoint(name for name in store.names().values() if name), "written all the same"
        super().check([word for word in said if ":" not in word], done=done)


def server_rounds(place: ServerPlace, kills: int, rng: random.Random) -> Outcome:
    """Kill one process of the server, by turns all of it, while three append; it recovers, and nothing is lost."""
    begun, left, trial = time.monotonic(), 0, Pestered(place)
    for number in range(kills):
        trial.prepare(number)
        workers = [Worker(partial(trial.work_as, who)) for who in range(3)]
        time.sleep(rng.uniform(0.02, 0.4))
        if number % 2:
            place.server.die()
            time.sleep(0.03)  # they meet a server that is not there
            place.server.start()
        else:
            while not place.server.kill_backend(rng):
                time.sleep(0.005)
            place.server.ready()
        time.sleep(0.1)  # they go on
        for worker in workers:
            worker.kill()
        said = [word for worker in workers for word in worker.said()[0]]
        place.quiet()
        left += left_over(place.folder)
        trial.check(said, done=False)
    seconds = time.monotonic() - begun
    return Outcome(trial.name, place.kind, kills, 0, trial.acknowledged, trial.verified, left, seconds)

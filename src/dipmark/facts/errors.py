"""Refusals and faults of the program. Wrong facts and rules are `Problem` values instead.

DipmarkError
├── Refused        what was asked may not be done: carries the problems     (office)
├── NotAllowed     who asks may not do that, or is not known               (office.access, office.sign_in)
├── Paused         too many wrong tries: carries until when                (office.sign_in)
├── NotFound       no such store, truck, fact, file                        (office, adapters)
├── StoreError     the store cannot be read or written                     (adapters.store)
├── RulesError     the rules cannot be used: carries the problems          (adapters.rulefiles)
└── ImportError_   a file cannot be read as a table at all                 (adapters.importing)
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from dipmark.facts.problems import Problem


class DipmarkError(Exception):
    """Anything that dipmark refuses or cannot do; its text is one a person can act on."""

    def __init__(self, message: str, problems: Sequence[Problem] = ()) -> None:
        super().__init__(message)
        self.problems = tuple(problems)


class Refused(DipmarkError):
    """What was asked may not be done; `problems` say why."""


class NotAllowed(DipmarkError):
    """Who asks may not do that, or is not known."""


class Paused(DipmarkError):
    """Too many wrong tries; `until` says when the next is listened to."""

    def __init__(self, message: str, until: datetime) -> None:
        super().__init__(message)
        self.until = until


class NotFound(DipmarkError):
    """No such store, truck, fact or file."""


class StoreError(DipmarkError):
    """The store cannot be read or written."""


class RulesError(DipmarkError):
    """The rules cannot be used; `problems` name every fault of the files at once."""


class ImportError_(DipmarkError):
    """A file cannot be read as a table at all."""

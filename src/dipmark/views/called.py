"""What something that happened calls for: a list after a hit, before a laid-up truck works again, before it leaves."""

from __future__ import annotations

import msgspec

from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.rules.model import Rules


class CalledRow(msgspec.Struct, frozen=True):
    """A list that is called for.

    Args:
        service: its id, under which it is ticked off.
        text: its name for people.
        why: what happened, and on which day.
        waits: True while it need not be done yet.
        tasks: what stands on it.
    """

    service: str
    text: str
    why: str
    waits: bool
    tasks: tuple[str, ...]


def called_rows(truck: TruckNow, rules: Rules) -> tuple[CalledRow, ...]:
    """The lists that are called for and not done.

    Args:
        truck: as it stands.
        rules: of today.
    """
    kind = rules.kind(truck.enrolled.what)
    if kind is None:
        return ()
    options = options_of(truck.counting, kind)
    named = ((due, kind.service(due.service or "")) for due in truck.dues)
    return tuple(
        CalledRow(
            one.id,
            one.text,
            due.because.text,
            due.state == "open",
            tuple(task.text for task in kind.all_tasks(one, options)),
        )
        for due, one in named
        if one is not None and one.after is not None
    )

"""Which truck to take instead: like it, checked, its key on the hook, nothing against what hangs on it."""

from __future__ import annotations

from datetime import datetime

from dipmark.derive.like import like_of
from dipmark.derive.truck import TruckNow
from dipmark.office.items import not_so
from dipmark.office.look import truck, trucks
from dipmark.office.open import Office


def instead_of(office: Office, now: TruckNow, as_of: datetime) -> tuple[str, ...]:
    """The trucks that stand in for one, by number; see `derive.like`."""
    kind = office.rules.kind(now.enrolled.what)
    wanted, against = like_of(now, kind), not_so(office, as_of)
    free = (
        one.name
        for one in trucks(office, as_of)
        if one.book != now.book
        and one.enrolled.what == now.enrolled.what
        and one.state.code == "checked"
        and (one.held is None or one.held.what.who == "yard")
        and one.name not in against
    )
    return tuple(name for name in free if wanted and like_of(truck(office, name, as_of), kind) == wanted)

"""The day card of somebody who drives for one shift."""

from __future__ import annotations

import msgspec

from dipmark.views.day_card import day_card
from dipmark.views.paper import Head
from dipmark.views.people import LedRow
from views.test_file_around import permit

HEAD = Head(yard="Y", book="yard", code="1-A", when="now", rules="1")  # type: ignore[arg-type]
BASE = permit("refresher wanted")


def test_only_a_day_card_that_holds_is_printed() -> None:
    """29 CFR 1910.178(l)(6): certified before he drives; that a day card ends with its shift: common practice."""
    assert day_card(BASE, None, HEAD).lines == ()
    held = msgspec.structs.replace(BASE.permits[0], ends="Fri 06:00", seen="card 4711 (Ruth)")
    person = msgspec.structs.replace(BASE, permits=(held,), firm="Quay Hands", led=(LedRow("7", "Ruth", "Fri"),))
    found = day_card(person, "+44 1", HEAD)
    (line,) = found.lines
    assert (line.ends, line.seen, line.asks) == ("Fri 06:00", "card 4711 (Ruth)", ("refresher wanted",))
    assert (found.name, found.firm, found.led, found.telephone) == ("Dan", "Quay Hands", ("7: Fri, Ruth",), "+44 1")
    ended = msgspec.structs.replace(held, may=False)
    assert day_card(msgspec.structs.replace(person, permits=(ended,)), None, HEAD).lines == ()
    assert day_card(msgspec.structs.replace(person, firm=None), None, HEAD).telephone == ""

"""What the workshop has, line by line: read, written, refused."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.facts.errors import Refused
from dipmark.facts.work import Money
from dipmark.facts.workshop import Asks, Bays, Outside, Wanted
from dipmark.office.workshop_told import lines_of, told_from

RULES = read_rules()
TEXT = """minutes 330
overtime 45
set-up 15
level 95
hour 35.50 GBP
extra 48 GBP
bay pit 1
want reach 2 1600kg early
want pallet 1
ask 900h bay pit
ask reach skill gas
ask reach permit reach
firm Wain & Sons: thorough-examination, inspection; Tue Thu; 240"""


def test_every_kind_of_line() -> None:
    told = told_from(f"# what we have\n\n  {TEXT}", RULES)
    assert (told.minutes, told.overtime, told.set_up, told.level) == (330, 45, 15, 95)
    assert (told.hour, told.extra) == (
        Money(amount=Decimal("35.50"), currency="GBP"),
        Money(amount=Decimal(48), currency="GBP"),
    )
    assert told.bays == (Bays(kind="pit", count=1),)
    assert told.wanted == (
        Wanted(what="reach", trucks=2, capacity_kg=Decimal(1600), shift="early"),
        Wanted(what="pallet", trucks=1),
    )
    assert told.asks == (Asks(of="900h", bay="pit"), Asks(of="reach", skill="gas"), Asks(of="reach", permit="reach"))
    assert told.firms == (
        Outside(firm="Wain & Sons", work=("thorough-examination", "inspection"), days=(2, 4), minutes=240),
    )


def test_what_is_written_reads_back_as_it_was() -> None:
    told = told_from(TEXT, RULES)
    assert lines_of(told) == TEXT
    assert told_from(lines_of(told), RULES) == told
    nothing = told_from("", RULES)
    assert (nothing.bays, nothing.firms, nothing.minutes) == ((), (), None)
    assert lines_of(nothing) == ""


@pytest.mark.parametrize(
    "line",
    [
        "minutes many",
        "minutes 1441",
        "level 49",
        "level 100",
        "hour 35",
        "bay pit",
        "want airship 2",
        "want reach",
        "ask 900h",
        "ask never bay pit",
        "firm Wain",
        "firm Wain: never; Tue; 240",
        "firm Wain: inspection; Someday; 240",
        "firm Wain: ,; Tue; 240",
        "tea 5",
    ],
)
def test_a_line_that_cannot_be_read_is_named(line: str) -> None:
    with pytest.raises(Refused) as caught:
        told_from(f"minutes 330\n{line}", RULES)
    (problem,) = caught.value.problems
    assert (problem.code, problem.where.line, problem.found) == ("workshop-line-unreadable", 2, line)

"""The truck file: every fact with both times, each fault with its end, who may drive, whether the record holds."""

from __future__ import annotations

from datetime import UTC

from dipmark.derive.past import past
from dipmark.facts.base import PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.facts.problems import Problem
from dipmark.views.file_around import Around
from dipmark.views.log import log_rows
from dipmark.views.paper import truck_head
from dipmark.views.people import LedRow, PermitRow, PersonRow
from dipmark.views.truck_file import REST, SECTIONS, TruckFile, truck_file
from dipmark.views.yard import Reason
from views.yards import ANA, RULES, instant, made

TRUCK = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
fault truck:7 2026-11-18T08:00:00+00:00 ana
  text "left chain slack"
  seriousness stop
  affects_safety true
fault truck:7 2026-11-19T08:00:00+00:00 ana
  text "lamp out"
  seriousness watch
walk-round truck:7 2026-11-19T08:30:00+00:00 bo
"""
NOW = instant("2026-11-20T08:00")
HOLDS = Reason("holds to 2029", "x", None, ())


def permit(kind: str, *, may: bool = True) -> PermitRow:
    return PermitRow(kind=kind, text=kind, may=may, reasons=(HOLDS,), asks=(), until=None, ends=None, under=None)


def person(name: str, *permits: PermitRow, led: tuple[LedRow, ...] = (), gone: bool = False) -> PersonRow:
    return PersonRow(PersonKey(name), name, ("driver",), None, gone, (), (), (), permits, led)


LPG = "engine-pneumatic-lpg"
PEOPLE = (
    person("Bo", permit(LPG), permit("reach"), led=(LedRow("9", "Ana", "Mon"), LedRow("7", "Ana", "Fri"))),
    person("Cy", permit(LPG, may=False)),
    person("Di", permit(LPG), gone=True),
)


def file_of(text: str = TRUCK, *problems: Problem) -> TruckFile:
    truck, record = made(text, "2026-11-20T08:00"), chain(parse(text).facts)
    log = log_rows(record, past(record, NOW), ANA, NOW, UTC)
    head = truck_head(truck, "4-A", None, RULES, NOW, UTC)
    return truck_file(truck, RULES, ANA, head, UTC, log, Around((), (), {}, PEOPLE), problems)


def mended() -> str:
    """The first fault mended, and the truck released."""
    first = parse(TRUCK).facts[1].id
    return (
        TRUCK
        + f'worked truck:7 2026-11-18T12:00:00+00:00 bo\n  mends - "{first}"\n  text adjusted\n'
        + '  tests - {"test": "lift", "passed": true}\n'
        + f'released truck:7 2026-11-18T13:00:00+00:00 ana\n  clears - "{first}"\n'
    )


def test_every_fact_stands_in_one_section_with_both_times() -> None:
    found = file_of()
    rows = [row for section in found.sections for row in section.rows]
    assert sorted(row.seq for row in rows) == [1, 2, 3, 4]
    assert found.facts == 4
    assert [section.title for section in found.sections] == [*(title for title, _ in SECTIONS), REST]
    walk = found.sections[0].rows[0]
    assert walk.when == "Thu 2026-11-19 08:30"
    assert walk.taken


def test_each_fault_has_its_end() -> None:
    newest, oldest = file_of(mended()).faults
    assert (newest.text, newest.open, newest.mended, newest.released) == ("lamp out", True, "", "")
    assert (oldest.text, oldest.open) == ("left chain slack", False)
    assert oldest.mended == "Wed 2026-11-18 12:00, bo"
    assert oldest.released == "Wed 2026-11-18 13:00, Ana Ruiz"


def test_who_may_drive_such_a_truck() -> None:
    assert [(one.name, one.may, one.why, one.led) for one in file_of().permits] == [
        ("Bo", True, "holds to 2029", "Fri, Ana"),
        ("Cy", False, "holds to 2029", ""),
    ]


def test_what_verifying_found_is_said() -> None:
    assert file_of().problems == ()
    problem = Problem("fact-changed", "fact 2", "its digest")
    assert file_of(TRUCK, problem).problems == (problem.message,)


def test_what_was_measured_is_shown_with_its_place() -> None:
    read = '  values - {"quantity": "length", "value": "512", "unit": "mm", "place": "left"}\n'
    found = file_of(TRUCK + f"measured truck:7 2026-11-19T09:00:00+00:00 ana\n  subject chain\n{read}").measures
    assert [(one.text, one.words, one.day, one.by) for one in found] == [
        ("Lift chain: length over so many pitches, left", "Not judged", "2026-11-19", "Ana Ruiz")
    ]

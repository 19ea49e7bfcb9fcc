"""Trucks whose texts are as long as they come: every kind with every option, long names, long faults."""

from __future__ import annotations

from datetime import datetime, time
from decimal import Decimal
from functools import cache
from typing import Final
from zoneinfo import ZoneInfo

import msgspec

from dipmark.adapters.languages import in_language
from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.impact import hits_of
from dipmark.derive.makeup import hung_of
from dipmark.derive.past import past
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.faces.paper.press import Doc
from dipmark.facts.base import Accepted, PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.facts.people import PersonSet, Shift
from dipmark.facts.problems import Problem
from dipmark.facts.work import PartUsed, Tested, Worked
from dipmark.rules.model import Kind, Rules
from dipmark.views.battery import BatteryLog, RoomRow
from dipmark.views.card import truck_card
from dipmark.views.day_card import DayCard, day_card
from dipmark.views.due_list import due_list
from dipmark.views.file_around import Around
from dipmark.views.gauge import Gauge
from dipmark.views.items import ItemRow
from dipmark.views.items_sheet import ItemsSheet
from dipmark.views.job_sheet import JobSheet, job_sheet
from dipmark.views.labels import labels
from dipmark.views.lessons import METHOD, TITLES, LessonsPage, Row, Section, Vigilance
from dipmark.views.lessons_fooled import FOOLED
from dipmark.views.lessons_sheet import lessons_sheet
from dipmark.views.lessons_signs import SIGN, WATCH, posted_words
from dipmark.views.lessons_tables import COLUMNS, MORE, limits
from dipmark.views.log import log_rows
from dipmark.views.out_card import out_card
from dipmark.views.paper import Head, service_paper, truck_head, yard_head
from dipmark.views.part_names import PARTS
from dipmark.views.parts import KitLine, KitRow, OrderRow, PartRow, PartsPage
from dipmark.views.people import LedRow, PermitRow, PersonRow
from dipmark.views.planning_sheets import PartsSheet, WorkshopSheet
from dipmark.views.release_list import release_list
from dipmark.views.service_sheet import service_sheet
from dipmark.views.sheet_geometry import Paper
from dipmark.views.truck_file import truck_file
from dipmark.views.week_sheet import one_shift, shifts_of_week, week_sheet
from dipmark.views.words import CAUTION
from dipmark.views.workshop import DECIDES, CardRow, CellRow, DayRow, LeftRow, PlanPage
from dipmark.views.yard import Reason

ZONE: Final = ZoneInfo("Europe/Madrid")
NOW: Final = datetime(2026, 11, 25, 9, 30, tzinfo=ZONE)
LANGUAGES: Final = ("en", "en-US", "es")
PAPERS: Final[tuple[Paper, ...]] = ("a4", "letter")
CODE: Final = "999999999-WWWW-MMMM-WWWW-MMMM"
LONG: Final = "Maximiliana-Wilhelmina Montgomery-Wolffenbüttel"
NAMES: Final = {PersonKey("max"): LONG, PersonKey("ana"): "Ana"}
WIDE: Final = "WM" * 30
"""A name without a space, as wide as letters come."""

SHIFTS: Final = tuple(
    Shift(name=name, days=(1, 2, 3, 4, 5, 6, 7), start=time(hour), end=time((hour + 8) % 24))
    for name, hour in (("early morning shift", 6), ("late", 14), ("night", 22))
)
YARD: Final = YardNow(
    zone="Europe/Madrid",
    country="ES",
    name="The warehouses behind the old harbour, north side, halls one to fourteen (an invented yard)",
    shifts=SHIFTS,
    people={
        PersonKey("max"): PersonSet(person=PersonKey("max"), roles=("mechanic", "lead", "owner")),
        PersonKey("ana"): PersonSet(person=PersonKey("ana"), roles=("mechanic",), shifts=("late",)),
    },
)
FAULT: Final = (
    "the left tilt cylinder is wet at its gland and drops of oil fall when the mast is tilted back with a load"
)


@cache
def rules_in(language: str) -> Rules:
    return in_language(read_rules(), language)


def record_of(kind: Kind, name: str = "WW-1234567") -> str:
    """A truck of a kind with all it may carry, two open faults and a mended one, a card, readings, a correction."""
    options = "".join(f"  options - {one}\n" for one in kind.options)
    work = '  meter {"hours": "11999.5"}\n'
    return f"""
enrolled truck:{name} 2026-01-05T06:00:00+01:00 max
  what {kind.key}
  serial "{WIDE[:40]}"
  place "the cold store behind hall fourteen, loading bays nine to twenty-seven, upper floor"
  capacity_kg "12500"
{options}
worked truck:{name} 2026-03-02T10:00:00+01:00 max
  services - {kind.services[-1].id}
  text "{FAULT}; {FAULT}; {FAULT}"
{work}
fault truck:{name} 2026-11-01T06:10:00+01:00 max
  text "{FAULT}; {FAULT}; {FAULT}"
  seriousness stop
  affects_safety true
fault truck:{name} 2026-11-20T06:10:00+01:00 ana
  text "{WIDE}"
  seriousness repair-by
  days 30
out-of-service truck:{name} 2026-11-20T06:12:00+01:00 max
  reason "{FAULT}"
incident truck:{name} 2026-11-21T06:12:00+01:00 max
  what hit
  text "{FAULT}"
  person max
  struck - "{WIDE}"
document truck:{name} 2026-11-21T07:12:00+01:00 max
  what examination
  title "{WIDE}"
  lines - {{"text": "{FAULT}"}}
fitted truck:{name} 2026-11-21T08:12:00+01:00 max
  item "item:{WIDE}"
  position "{WIDE[:40]}"
held-by truck:{name} 2026-11-21T09:12:00+01:00 max
  who hired-out
  firm "{WIDE}"
  owes - {kind.services[0].id}
"""


@cache
def truck_of(language: str, key: str, name: str = "WW-1234567") -> tuple[TruckNow, Rules, Kind, str]:
    rules = rules_in(language)
    kind = rules.kinds[key]
    text = record_of(kind, name)
    parsed = parse(text)
    assert not parsed.problems, parsed.problems
    found = truck_now(chain(parsed.facts), rules, YARD, ZONE, NOW)
    assert found is not None
    return found, rules, kind, text


def head_of(truck: TruckNow, rules: Rules) -> Head:
    return truck_head(truck, CODE, YARD.name, rules, NOW, ZONE)


def people() -> tuple[PersonRow, ...]:
    """Two drivers: one may, one may not any more."""
    why = (Reason("Not you: the evaluation of 2023-08-28 held to 2026-08-28. Ask the lead hand.", "x", None, ()),)

    def one(name: str, may: bool) -> PersonRow:
        permits = tuple(
            PermitRow(kind=key, text=key, may=may, reasons=why, asks=why, until=None, ends=None, under=None)
            for key in rules_in("en").kinds
        )
        led = (LedRow("WW-1234567", LONG, "Fri 2026-11-20 06:00"),) if may else ()
        return PersonRow(PersonKey(name), name, ("driver",), None, False, (), (), (), permits, led)

    return one(LONG, may=True), one("Bo", may=False)


def _job(truck: TruckNow, rules: Rules, head: Head) -> JobSheet:
    """The last work, with all that may stand on its sheet."""
    one, work = next((one, one.body) for one in reversed(truck.counting) if isinstance(one.body, Worked))
    more = msgspec.structs.replace(
        work,
        mends=tuple(fault.ref for fault in truck.faults),
        parts=(PartUsed(part=WIDE, quantity=Decimal("12.5"), unit="l", serial=WIDE),) * 3,
        tests=(Tested(test="road-test", passed=True), Tested(test=WIDE, passed=False)),
        minutes=480,
        firm=WIDE,
    )
    return job_sheet(truck, one, more, rules, NAMES, head, ZONE)


def _around(truck: TruckNow, record: tuple[Accepted, ...], kind: Kind) -> Around:
    """All that was around it."""
    lists = [one for one in kind.services if one.after == "hit"]
    stays = hung_of({truck.book: truck.counting})
    found = hits_of(record, truck.counting, truck.meters, lists)
    return Around(found, stays, {one.item: "work-platform" for one in stays}, people())


def truck_docs(language: str, key: str, paper: Paper, *, problems: bool = False) -> tuple[Doc, ...]:
    """Every sheet about one truck."""
    truck, rules, kind, text = truck_of(language, key)
    head = head_of(truck, rules)
    record = chain(parse(text).facts)
    log = log_rows(record, past(record, NOW), NAMES, NOW, ZONE)
    wrong = [Problem("fact-changed", "fact 7 of truck:7", "the digest", "Restore it.")] if problems else []
    longest = max(kind.services, key=lambda one: len(kind.all_tasks(one)))
    largest = service_sheet(truck, longest.id, rules, NAMES)
    assert largest is not None
    return (
        week_sheet(truck, kind, rules, head, paper, shifts_of_week(YARD, NOW.date())),
        week_sheet(truck, kind, rules, head, paper, one_shift(NOW.date()), single=True),
        truck_card(truck, kind, rules, NAMES, head),
        out_card(truck, rules, NAMES, head, ZONE, (LONG, WIDE), "+44 20 7946 0000", (WIDE, "8")),
        service_paper(truck, largest, head),
        _job(truck, rules, head),
        truck_file(truck, rules, NAMES, head, ZONE, log, _around(truck, record, kind), wrong),
        labels(truck, kind, head, "https" + f"://yard.test/phone#truck={truck.name}"),
    )


def yard_docs(language: str) -> tuple[Doc, ...]:
    """Every sheet about the whole yard."""
    rules = rules_in(language)
    trucks = [truck_of(language, key)[0] for key in rules.kinds]
    named = [msgspec.structs.replace(one, book=f"truck:{turn}") for turn, one in enumerate(trucks)]
    head = yard_head(trucks[0].book, CODE, YARD.name, rules, NOW, ZONE)
    return (
        due_list(named, rules, "ES", head),
        release_list(YARD, ("mechanic", "lead", "owner"), NAMES, head),
        _card(head),
        _items(head, rules),
        lessons_sheet(lessons_of(rules), head),
        WorkshopSheet(head=head, page=plan_of(rules), parts=stores_of(rules)),
        PartsSheet(head=head, page=stores_of(rules)),
    )


def _items(head: Head, rules: Rules) -> ItemsSheet:
    """Items with the longest names, and a battery of which everything is asked."""
    row = ItemRow(WIDE, rules.word("traction battery"), "", FAULT, (FAULT, WIDE), (FAULT,), WIDE)
    room = RoomRow(999, "Fri 2026-11-20 06:00", "–", "–", FAULT, (FAULT, FAULT), (FAULT,) * 7)
    return ItemsSheet(head=head, rows=(row,) * 12, batteries=(BatteryLog(WIDE, WIDE, room),) * 4)


def _card(head: Head) -> DayCard:
    """A day card for every kind of truck."""
    driver = people()[0]
    permits = tuple(
        msgspec.structs.replace(one, ends="Fri 2026-11-20 06:00", seen=f"{FAULT} ({LONG})") for one in driver.permits
    )
    return day_card(msgspec.structs.replace(driver, permits=permits, firm=WIDE), "+44 20 7946 0000", head)


def plan_of(rules: Rules) -> PlanPage:
    """A fortnight whose texts are as long as they come."""
    card = CardRow("k", LONG, (FAULT, FAULT), 480, (), (WIDE,), (FAULT,), moved=True)
    cells = tuple(CellRow(who, LONG, (card,) * 3, 480, 360, 420) for who in ("a", "b"))
    return PlanPage(
        first=NOW.date(),
        people={"a": LONG, "b": LONG},
        days=(DayRow(NOW.date(), rules.word("today"), cells),) * 4,
        left=(LeftRow(LONG, FAULT, True, (FAULT, FAULT)), LeftRow(LONG, FAULT, False, ())),
        complaints=(FAULT,),
        cost=((FAULT, "1,234.00"),),
        sure=FAULT,
        guessed=FAULT,
        visits="[]",
        changes=FAULT,
        cautions=(rules.word(DECIDES), rules.word(CAUTION)),
    )


def stores_of(rules: Rules) -> PartsPage:
    """Stores whose texts are as long as they come."""
    gauge = Gauge(WIDE, Decimal(0), Decimal(9), Decimal(2), unit="piece")
    part = PartRow(LONG, "piece", Decimal("123456.5"), WIDE, gauge, (FAULT, FAULT), (FAULT,), (WIDE,), None)
    orders = (
        OrderRow(LONG, 123, "piece", NOW.date(), rules.word("today"), FAULT, None, None),
        OrderRow(WIDE, 1, "l", NOW.date(), "2", FAULT, 5, LONG),
    )
    kit = KitRow(LONG, FAULT, rules.word("today"), (KitLine(WIDE, 2, None), KitLine(LONG, 1, Decimal(3))), ready=False)
    return PartsPage((part,) * 5, orders * 3, (kit,) * 4, 95, NOW.date())


def lessons_of(rules: Rules) -> LessonsPage:
    """A page of every question, its texts as long as they come."""
    sections = tuple(
        Section(
            id=id_,
            title=rules.word(TITLES[id_]),
            fooled=" ".join(rules.word(line) for line in FOOLED.get(id_, ())),
            columns=tuple(map(rules.word, COLUMNS[id_])),
            rows=tuple(Row(FAULT, turn == 0, {}, (), cells) for turn in range(12)),
        )
        for id_, cells in cells_of(rules).items()
    )
    posted = tuple(posted_words(sign, rules.word) for sign in SIGN)
    signs = Vigilance(on=True, note=rules.word(WATCH), posted=posted, yard=posted, own=(), others=())
    return LessonsPage(
        advice=(f"{FAULT}; {WIDE}", FAULT, WIDE),
        method=rules.word(METHOD),
        sections=sections,
        curves=(),
        signs=signs,
        unheard=(WIDE, "7"),
        caution=rules.word(CAUTION),
    )


def cells_of(rules: Rules) -> dict[str, tuple[str, ...]]:
    """A row of each question, every cell as wide as it comes."""
    word, truck, name = rules.word, "WW-1234567", WIDE[:14]
    kind = max((one.text for one in rules.kinds.values()), key=len)
    rate, more = limits(123456, 99999, 123456, word), word(MORE).format("1,234,567")
    return {
        "trucks": (truck, "12,345,678", "12,345", rate, more),
        "bad": (truck, rate, ", ".join(f"{word(part)} 1,234" for part in sorted(PARTS, key=len)[-3:])),
        "intervals": (f"1200h, {kind}", "12,345 h", "12,345", rate, rate, f"{rate} h", more),
        "parts": (f"{name} {WIDE}, {kind}", "1,234", "1,234", "12,345,678", rate, "12,345 h", more),
        "repairs": (truck, f"{name} {WIDE}", "1,234", "1,234"),
        "missed": (truck, f"{name} {WIDE}", "12,345 h"),
        "kinds": (f"{name}, {kind}", "1,234", "12,345,678", "12,345", rate),
        "upkeep": (truck, "12,345", "1,234 h", "1,234,567 GBP, 1,234,567 EUR", "100.0 %", "1,234", "12,345 h"),
        "topups": (truck, f"{name} {WIDE}", FAULT),
    }

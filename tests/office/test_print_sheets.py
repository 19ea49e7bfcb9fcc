"""What is printed: the record as it stood; each sheet that is read back is kept by its digest."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Final

import pytest

from dipmark.derive.yard import YardNow
from dipmark.facts.base import YARD, Reading, truck_book
from dipmark.facts.codec import read_book_code
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.people import Permit, PersonSet, YardSet
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.office.enter import When, enrol
from dipmark.office.items import enrol_item
from dipmark.office.open import Office
from dipmark.office.plan import publish, suggested
from dipmark.office.print_sheets import Asked, Doc, sheets
from dipmark.office.sheet_names import SHEETS, Sheet
from dipmark.views.day_card import DayCard
from dipmark.views.due_list import DueList
from dipmark.views.items_sheet import ItemsSheet
from dipmark.views.job_sheet import JobSheet
from dipmark.views.labels import Labels
from dipmark.views.lessons_sheet import LessonsSheet
from dipmark.views.out_card import OutCard
from dipmark.views.paper import ServicePaper
from dipmark.views.planning_sheets import WorkshopSheet
from dipmark.views.release_list import ReleaseList
from dipmark.views.sheet_code import read_sheet_code
from dipmark.views.sheet_geometry import printed_of
from dipmark.views.truck_file import TruckFile
from dipmark.views.week_sheet import WeekSheet
from office.desk import airship, at, desk
from office.taking import NOW, yard

FREE: Final[tuple[Sheet, ...]] = ("out", "file", "labels", "due")
RULED: Final[tuple[Sheet, ...]] = ("week", "shift", "card")


@pytest.fixture
def office() -> Iterator[Office]:
    with desk() as found:
        yield found


def printed(office: Office, sheet: Sheet, *trucks: str, **more: object) -> tuple[Doc, ...]:
    return sheets(office, Asked(sheet=sheet, as_of=NOW, trucks=trucks, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize("sheet", [sheet for sheet in SHEETS if sheet not in {"workshop", "job", "day"}])
def test_every_sheet_of_every_truck_carries_the_code_of_its_book(office: Office, sheet: Sheet) -> None:
    docs = printed(office, sheet)
    heads = office.store.heads()
    for doc in docs:
        seq, digest = heads.get(doc.head.book, (0, ""))
        assert doc.head.code == "0" if seq == 0 else read_book_code(doc.head.code) == (seq, digest[:20])
    if sheet not in {"due", "release", "lessons", "parts", "items"}:
        assert [doc.head.truck for doc in docs] == ["7", "12", "20"]


def test_the_plan_is_printed_once_there_is_one(office: Office) -> None:
    with pytest.raises(Refused, match="No plan has been published yet"):
        printed(office, "workshop")
    publish(office, suggested(office, office.clock(), 0.5).visits, When(office.clock()))
    (doc,) = printed(office, "workshop")
    assert isinstance(doc, WorkshopSheet)
    assert doc.page.days


def test_the_same_input_gives_the_same_sheet(office: Office) -> None:
    before = printed(office, "file", "7")
    office.clock = lambda: NOW + timedelta(days=3)
    assert printed(office, "file", "7") == before


def test_a_week_sheet_is_kept_to_be_read_back(office: Office) -> None:
    (doc,) = printed(office, "week", "7")
    assert isinstance(doc, WeekSheet)
    code = read_sheet_code(doc.pages[0].code)
    assert code is not None
    kept = office.store.blob(code.sheet)
    assert kept is not None
    assert printed_of(kept.data) == doc.printed
    assert office.store.verify() == ()


def test_a_sheet_of_another_day(office: Office) -> None:
    (week,) = printed(office, "week", "7", day=date(2026, 12, 2))
    (shift,) = printed(office, "shift", "7", day=date(2026, 12, 2), paper="letter")
    assert isinstance(week, WeekSheet)
    assert isinstance(shift, WeekSheet)
    assert week.printed.shifts[0].day == date(2026, 11, 30)
    assert [one.day for one in shift.printed.shifts] == [date(2026, 12, 2)]
    assert shift.printed.paper == "letter"


def test_a_service_sheet_is_of_what_presses_most_unless_one_is_named(office: Office) -> None:
    body = Worked(services=("450h",), meter=Reading(hours=Decimal(100)))
    later = Worked(services=("150h",), meter=Reading(hours=Decimal(500)))
    book = truck_book("7")
    office.append(
        [
            office.fact(book, body, NOW - timedelta(days=300)),
            office.fact(book, later, NOW - timedelta(days=2)),
        ]
    )
    (most,) = printed(office, "service", "7")
    (named,) = printed(office, "service", "7", service="1800h")
    assert isinstance(most, ServicePaper)
    assert isinstance(named, ServicePaper)
    assert (most.sheet.service, named.sheet.service) == ("450h", "1800h")
    with pytest.raises(NotFound, match="no service 77h"):
        printed(office, "service", "7", service="77h")


def test_of_a_kind_without_rules_there_is_what_needs_none(office: Office) -> None:
    name = airship(office)
    assert all(len(printed(office, sheet, name)) == 1 for sheet in FREE)
    for sheet in RULED:
        with pytest.raises(NotFound, match="no rules yet"):
            printed(office, sheet, name)
        assert [doc.head.truck for doc in printed(office, sheet)] == ["7", "12", "20"]
    with pytest.raises(Refused, match="has no service in its rules"):
        printed(office, "service", name)


def test_labels_open_the_sheet_where_the_yard_is_served(office: Office) -> None:
    (bare,) = printed(office, "labels", "7")
    (served,) = printed(office, "labels", "7", address="https" + "://yard.test/")
    assert isinstance(bare, Labels)
    assert isinstance(served, Labels)
    assert (bare.opens, served.opens) == ("truck:7", "https" + "://yard.test/phone#truck=7")


def test_no_two_trucks_have_one_label(office: Office) -> None:
    new = at("2026-01-05T08:00")
    for name in ("漢", "字", "4/b"):
        enrol(office, name, Enrolled(what="reach"), new)
    codes = {doc.opens for doc in printed(office, "labels") if isinstance(doc, Labels)}
    assert len(codes) == 6
    assert all(code.isascii() for code in codes)


def test_a_due_list_counts_the_law_of_the_yard(office: Office) -> None:
    office.append([office.fact(YARD, YardSet(country="GB"), NOW - timedelta(days=1))])
    (doc,) = printed(office, "due", "7")
    assert isinstance(doc, DueList)
    assert "Law of GB" in doc.law
    assert {row.truck for row in doc.rows} == {"7"}


def test_who_may_release_is_who_was_there(office: Office) -> None:
    key = office.people.key_or_new("Ruth")
    office.append([office.fact(YARD, PersonSet(person=key, roles=("lead",)), NOW)])
    (before,) = sheets(office, Asked(sheet="release", as_of=NOW - timedelta(days=2)))
    (after,) = printed(office, "release")
    assert isinstance(before, ReleaseList)
    assert isinstance(after, ReleaseList)
    assert [one.name for one in before.shifts[-1].people] == []
    assert [one.name for one in after.shifts[-1].people] == ["Ruth"]


def test_a_truck_file_says_whether_the_record_holds(office: Office) -> None:
    (doc,) = printed(office, "file", "7")
    assert isinstance(doc, TruckFile)
    assert doc.problems == ()
    assert doc.facts == office.store.heads()[truck_book("7")][0]


def test_lessons_are_of_the_whole_yard_and_name_nobody(office: Office) -> None:
    mo = office.people.key_or_new("Mo Vale")
    facts = [
        office.fact(
            truck_book("7"),
            WalkRound(answers=(Answer(check="horn.heard"),), meter=Reading(hours=Decimal(5 * day)), seconds=1),
            NOW - timedelta(days=60 - day),
            by=mo,
        )
        for day in range(20)
    ]
    office.append(facts)
    office.append([office.fact(YARD, YardSet(country="GB"), NOW - timedelta(days=1))])
    (doc,) = printed(office, "lessons")
    assert isinstance(doc, LessonsSheet)
    assert doc.head.truck is None
    assert doc.unheard == ("12", "20")
    assert doc.note.startswith("A reason to go and watch")
    assert "Mo Vale" not in repr(doc)
    assert mo not in repr(doc)


def test_without_trucks_there_is_nothing_to_print() -> None:
    with yard() as empty:
        assert empty.yard == YardNow()
        with pytest.raises(Refused, match="nothing to print"):
            printed(empty, "week")
        (doc,) = printed(empty, "release")
        assert doc.head.code == "0"


def test_a_job_sheet_is_of_the_last_work_or_of_the_one_that_is_named(office: Office) -> None:
    with pytest.raises(Refused, match="Found no work on truck 7"):
        printed(office, "job", "7")
    glen = office.people.key_or_new("Glen")
    body = PersonSet(person=glen, roles=("outside-mechanic",), firm="Quay Lift", books=(truck_book("7"),))
    office.append([office.fact(YARD, body, NOW - timedelta(days=3))])
    first = Worked(services=("150h",), text="oil and filter")
    last = Worked(text="lamp renewed", firm="Other")
    entered = [
        office.fact(truck_book("7"), one, NOW - timedelta(hours=hour), by=glen) for one, hour in ((first, 5), (last, 2))
    ]
    office.append(entered)
    (doc,) = printed(office, "job", "7")
    assert isinstance(doc, JobSheet)
    assert (doc.text, doc.firm, doc.by) == ("lamp renewed", "Other", "Glen")
    (doc,) = printed(office, "job", "7", fact=entered[0].id)
    assert isinstance(doc, JobSheet)
    assert (doc.text, doc.firm) == ("oil and filter", "Quay Lift")
    with pytest.raises(Refused, match="Found entry x on truck 7"):
        printed(office, "job", "7", fact="x")


def test_day_cards_are_printed_while_they_hold(office: Office) -> None:
    with pytest.raises(Refused, match="No day card holds now"):
        printed(office, "day")
    dan = office.people.key_or_new("Dan")
    office.append(
        [office.fact(YARD, PersonSet(person=dan, roles=("driver",), firm="Quay Hands"), NOW - timedelta(days=1))]
    )
    card = Permit(
        person=dan,
        what="reach",
        trained=date(2026, 1, 1),
        evaluated=date(2026, 1, 2),
        ends=NOW + timedelta(hours=3),
        certificate="card 4711",
    )
    office.append([office.fact(YARD, card, NOW - timedelta(hours=1))])
    (doc,) = printed(office, "day")
    assert isinstance(doc, DayCard)
    assert (doc.name, doc.firm, [one.kind for one in doc.lines]) == ("Dan", "Quay Hands", ["Reach truck"])
    (own,) = printed(office, "day", person=dan)
    assert own == doc
    with pytest.raises(Refused, match="No day card holds now"):
        sheets(office, Asked(sheet="day", as_of=NOW + timedelta(hours=3)))


def test_the_out_of_service_card_says_who_may_release_and_what_to_take(office: Office) -> None:
    (doc,) = printed(office, "out", "7")
    assert isinstance(doc, OutCard)
    assert doc.instead == ()
    ruth = office.people.key_or_new("Ruth")
    office.append([office.fact(YARD, PersonSet(person=ruth, roles=("lead",)), NOW - timedelta(days=1))])
    (doc,) = printed(office, "out", "7")
    assert isinstance(doc, OutCard)
    assert "Ruth" in doc.release


def test_items_are_printed_with_a_log_for_each_battery(office: Office) -> None:
    (doc,) = printed(office, "items")
    assert isinstance(doc, ItemsSheet)
    assert (doc.rows, doc.batteries) == ((), ())
    before = When(NOW - timedelta(days=2))
    enrol_item(office, "b-1", "traction-battery", before, "K-9")
    enrol_item(office, "clamp 3", "attachment", before)
    (doc,) = printed(office, "items")
    assert isinstance(doc, ItemsSheet)
    assert [(row.name, row.serial) for row in doc.rows] == [("b-1", "K-9"), ("clamp 3", "")]
    assert [(one.name, one.room.charged) for one in doc.batteries] == [("b-1", "not noted")]

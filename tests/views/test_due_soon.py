"""What falls due comes in the order of its pressing."""

from __future__ import annotations

from datetime import UTC, date
from decimal import Decimal

import msgspec
import pytest

from dipmark.derive.expected import Expected, Forecast, Pace, Worn
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import BookId
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.rules.duty import Duty
from dipmark.rules.model import Rules
from dipmark.views.due_soon import DueRow, all_rows, due_rows, duties_words
from dipmark.views.expected import worn_title
from views.yards import RULES, instant, made

TRUCK = """
enrolled truck:{name} 2026-01-05T00:00:00+00:00 ana
  what {kind}

worked truck:{name} 2026-11-10T00:00:00+00:00/day ana
  services - {service}
  meter {{"hours":"1000"}}

meter-read truck:{name} 2026-11-19T00:00:00+00:00/day ana
  hours {hours}
"""


def text(name: str, hours: str, kind: str = "engine-pneumatic-lpg", service: str = "150h") -> str:
    return TRUCK.format(name=name, hours=hours, kind=kind, service=service)


def test_late_comes_first_and_each_row_says_what_it_was_counted_from() -> None:
    as_of = "2026-11-20T08:00"
    trucks = [made(text("1", "1100"), as_of), made(text("2", "1170"), as_of), made(text("3", "1150"), as_of)]
    rows = [row for row in due_rows(trucks, RULES) if row.service == "150h"]
    assert [(row.truck, row.state) for row in rows] == [("2", "late"), ("3", "due"), ("1", "later")]
    late = rows[0]
    assert (late.due_hours, late.opens_hours, late.latest_hours) == (Decimal(1150), Decimal(1135), Decimal(1165))
    assert (str(late.due_date), str(late.opens_date), str(late.latest_date)) == (
        "2026-12-10",
        "2026-12-07",
        "2026-12-13",
    )
    assert late.reason.text == "counted from 150h on 2026-11-10 at 1000 h"
    assert late.minutes == 20
    assert late.gauge is not None
    assert late.gauge.word == "past by 20 h"
    assert late.hours == Decimal(1170)


def test_a_kind_without_rules_is_not_known() -> None:
    (row,) = due_rows([made(text("9", "1100", kind="reach", service="250h"), "2026-11-20T08:00")], RULES)
    assert (row.service, row.state, row.minutes, row.gauge) == ("250h", "unknown", None, None)


def law(id: str, *, each_shift: bool = False, written: bool = True) -> Duty:
    return Duty(
        id=id,
        country="GB",
        text="x",
        who="an examiner",
        kept="x",
        when_lapsed="out-of-service",
        each_shift=each_shift,
        written=written,
        every_months=None if each_shift else 12,
        source="practice",
        mark="seen",
    )


def lands() -> Rules:
    walk = law("walk-round", each_shift=True, written=False)
    paper = law("walk-round", each_shift=True)
    duties = {"GB": (law("thorough-examination"), law("inspection"), paper), "US": (walk,), "CA-ON": (law("yearly"),)}
    return msgspec.structs.replace(RULES, duties=duties)


def test_a_legal_examination_is_a_row_of_its_own() -> None:
    report = "\ndocument truck:1 2026-01-31T10:00:00+00:00 ana\n  what examination\n  title Report\n"
    report += '  lines - {"text": "x", "duty": "inspection"}\n'
    parsed = parse(text("1", "1100") + report)
    truck = truck_now(chain(parsed.facts), lands(), YardNow(country="GB"), UTC, instant("2027-02-01T00:00"))
    assert truck is not None
    rows = {row.service: row for row in due_rows([truck], lands())}
    assert list(rows)[-1] == "thorough-examination"
    unknown, late = rows["thorough-examination"], rows["inspection"]
    assert (unknown.state, unknown.due_date, late.state, str(late.due_date)) == ("unknown", None, "late", "2027-01-31")
    for row in (unknown, late):
        assert (row.due_hours, row.opens_hours, row.latest_hours, row.minutes, row.gauge) == (None,) * 5
    assert (str(late.opens_date), str(late.latest_date)) == ("2026-12-31", "2027-01-31")
    assert late.reason.text == "Report of 2026-01-31 held to 2027-01-31, 12 months"


NO_PAPER = "Walk-rounds need no paper by it: what is kept of them is kept by your own rule."


@pytest.mark.parametrize(
    ("country", "said"),
    [
        ("GB", "Law of GB: by date it asks for thorough examination, inspection."),
        ("GB-ENG", "Law of GB, for GB-ENG: by date it asks for thorough examination, inspection."),
        ("US", f"Law of US: it asks for no examination of a truck by date. {NO_PAPER}"),
        ("CA-ON", "Law of CA-ON (its own, not that of CA as a whole): by date it asks for yearly."),
    ],
)
def test_the_list_says_whose_law_is_counted(country: str, said: str) -> None:
    assert duties_words(lands(), country) == f"{said} The law of the place decides."


def test_the_list_says_where_no_law_is_counted() -> None:
    assert duties_words(lands(), None).startswith("No country is set for this yard, so no legal duty is counted here:")
    assert duties_words(lands(), "FR") == (
        "No duties are entered for FR (there are: GB, US, CA-ON), so none is counted; keep to the law there."
    )


def test_what_is_expected_what_wears_and_what_has_a_deadline() -> None:
    fault = """
fault truck:1 2026-11-15T08:00:00+00:00 ana
  text "dry chain"
  seriousness repair-by
  days {days}
"""
    nov = date(2026, 11, 23), date(2026, 11, 26), date(2026, 11, 30)
    worn = Worn("chain", (), None, Decimal(1200), Decimal(1300), Decimal(1400), Expected(*nov))
    ahead = {BookId("truck:1"): Forecast(Pace(25, 3, None), {"150h": Expected(*nov)}, (worn,))}
    today = date(2026, 11, 20)

    def rows(day: int) -> dict[str | None, DueRow]:
        truck = made(text("1", "1100") + fault.format(days=day - 15), "2026-11-20T08:00")
        return {row.service: row for row in all_rows([truck], RULES, ahead, today)}

    found = rows(25)
    service, chain, dry = found["150h"], found[worn_title(worn)], found["dry chain"]
    assert service.expected is not None
    assert service.expected.words == "about Thu 26, not before 23, by 30"
    assert service.expected.because == "About 25 h a week, from 3 readings of the meter."
    assert found["8h"].expected is None
    assert (chain.state, chain.due_hours, chain.hours) == ("later", Decimal(1300), Decimal(1100))
    assert chain.reason.text.endswith("For ordering only; the limit decides.")
    assert chain.expected is not None
    assert (dry.state, dry.due_date, dry.reason.text) == ("open", date(2026, 11, 25), "Repair by Wed 2026-11-25")
    assert dry.expected is not None
    assert dry.expected.words == "on Wed 25"
    assert (rows(20)["dry chain"].state, rows(20)["dry chain"].expected) == ("due", None)
    assert rows(19)["dry chain"].state == "late"


def test_by_the_calendar_alone_no_pace_is_named_and_without_a_forecast_nothing_wears() -> None:
    day = date(2026, 12, 1)
    ahead = {BookId("truck:9"): Forecast(Pace(25, 3, None), {"thorough-examination": Expected(day, day, day)}, ())}
    truck = made(text("9", "1100"), "2026-11-20T08:00")
    due = msgspec.structs.replace(truck.dues[0], service="thorough-examination", hours=None, state="open")
    truck = msgspec.structs.replace(truck, dues=(due,))
    (row,) = all_rows([truck], RULES, ahead, date(2026, 11, 20))
    assert row.expected is not None
    assert row.expected.because is None
    assert all_rows([truck], RULES, {}, date(2026, 11, 20))[0].expected is None

"""When services and worn parts are expected: by hours or the calendar, whichever first."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import msgspec

from derive.builders import ENROLLED, KIND, RULES, ZONE, at, record
from derive.measuring import RULES as MEASURED
from derive.measuring import chain, measured_truck
from dipmark.derive.expected import Forecast, forecast_of
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.usage.calendar import Calendar, Week
from dipmark.derive.usage.prior import Prior
from dipmark.derive.yard import YardNow

MONDAY = date(2026, 1, 5)
WEEK = Calendar((Week(MONDAY, (8.0,) * 5 + (0.0, 0.0)),))
NOON = "2026-05-25T12:00:00"
"""A Monday, twenty weeks after the first."""


def read(hours: str, day: date) -> str:
    return f"\nmeter-read truck:7 {day.isoformat()}T16:00:00+01:00 ana\n  hours {hours}\n"


def weekly(per_week: int = 24, weeks: int = 20) -> str:
    return "".join(read(f"{100 + at * per_week}", MONDAY + timedelta(days=7 * at)) for at in range(weeks + 1))


def worked(service: str, hours: str, day: str) -> str:
    meter = f'  meter {{"hours":"{hours}"}}\n'
    return f"\nworked truck:7 {day}T16:00:00+02:00 ana\n  services - {service}\n{meter}"


def truck(text: str, as_of: str = NOON) -> TruckNow:
    found = truck_now(record(ENROLLED + text), RULES, YardNow(), ZONE, at(as_of))
    assert found is not None
    return found


def ahead(text: str, as_of: str = NOON) -> Forecast:
    return forecast_of(truck(text, as_of), RULES, WEEK, Prior(), at(as_of), ZONE)


def test_a_service_is_expected_by_its_hours() -> None:
    found = ahead(weekly() + worked("450h", "556", "2026-05-18"))
    assert found.pace is not None
    assert (round(found.pace.per_week), found.pace.readings, found.pace.changed) == (24, 21, None)
    one = found.dues["450h"]
    # 426 h to go at 24 a week are 17.75 weeks; three months, the 18th of August, come first
    assert (one.early, one.about, one.late, one.ask) == (date(2026, 8, 18),) * 3 + (None,)
    soon = ahead(weekly() + worked("150h", "570", "2026-05-25"), "2026-05-26T12:00:00").dues["150h"]
    assert soon.early is not None
    assert soon.late is not None
    # due at 720 h: 120 h and five weeks away at the last reading, or in a month
    assert soon.late == date(2026, 6, 25)
    assert soon.early <= soon.late


def test_what_is_due_or_not_known_is_not_foretold() -> None:
    found = ahead(weekly() + worked("150h", "400", "2026-03-25"))
    states = {due.service: due.state for due in truck(weekly() + worked("150h", "400", "2026-03-25")).dues}
    assert (states["150h"], states["450h"]) == ("late", "unknown")
    assert not {"150h", "450h"} & found.dues.keys()


def test_the_walk_round_asks_for_no_reading_since_it_is_one() -> None:
    walked = worked("150h", "578", "2026-05-25")
    assert ahead(weekly() + walked, "2026-05-25T17:00:00").dues["8h"].ask is None


def test_by_the_calendar_alone() -> None:
    found = ahead("\nworked truck:7 2026-03-01T12:00:00+01:00 ana\n  services - 12mo\n")
    assert found.pace is None
    one = found.dues["12mo"]
    assert (one.early, one.about, one.late) == (date(2027, 3, 1),) * 3


def test_laid_up_it_has_no_pace_and_only_the_calendar_runs() -> None:
    rests = "\nheld-by truck:7 2026-05-20T12:00:00+02:00 ana\n  who laid-up\n"
    found = ahead(weekly() + worked("450h", "556", "2026-05-18") + rests)
    assert found.pace is None
    assert found.dues["450h"].about == date(2026, 8, 18)


def test_the_meter_that_a_service_counts() -> None:
    own = tuple(msgspec.structs.replace(one, meter="lift") if one.id == "450h" else one for one in KIND.services)
    rules = msgspec.structs.replace(RULES, kinds={KIND.key: msgspec.structs.replace(KIND, services=own)})
    now = truck_now(record(ENROLLED + weekly() + worked("450h", "556", "2026-05-18")), rules, YardNow(), ZONE, at(NOON))
    assert now is not None
    found = forecast_of(now, rules, WEEK, Prior(), at(NOON), ZONE)
    assert found.dues["450h"].about == date(2026, 8, 18)


def test_a_kind_without_rules_has_nothing_ahead() -> None:
    text = ENROLLED.replace("engine-pneumatic-lpg", "unheard-of") + weekly()
    now = truck_now(record(text), RULES, YardNow(), ZONE, at(NOON))
    assert now is not None
    assert forecast_of(now, RULES, WEEK, Prior(), at(NOON), ZONE).dues == {}


def test_a_chain_that_wears_reaches_its_limit_on_a_day() -> None:
    """Half a millimetre in a hundred hours, read monthly: about 2,148 h left of 3 %, as in the test of wear."""
    days = [date(2026, month, 1) for month in range(2, 11)]
    text = "".join(
        chain(day.isoformat(), f"{Decimal(508) + Decimal(at) / 2:f}", rest=f'  meter {{"hours": "{100 * at}"}}\n')
        for at, day in enumerate(days, start=1)
    )
    now = measured_truck(text)
    (worn,) = forecast_of(now, MEASURED, WEEK, Prior(), at("2026-10-02T12:00:00"), ZONE).worn
    assert worn.name == "chain"
    assert abs(worn.middle - 3048) <= 25
    assert worn.high is not None
    assert worn.low < worn.middle < worn.high
    one = worn.expected
    assert one.early is not None
    assert one.about is not None
    # 100 h a month: some 21 months
    assert one.early < one.about
    assert date(2028, 3, 1) < one.about < date(2028, 12, 1)


def test_a_chain_read_too_seldom_or_with_no_end_in_sight() -> None:
    def worn(lengths: list[str]) -> tuple[object, ...]:
        text = "".join(
            chain(f"2026-0{at}-01", mm, rest=f'  meter {{"hours": "{100 * at}"}}\n')
            for at, mm in enumerate(lengths, start=1)
        )
        return forecast_of(measured_truck(text), MEASURED, WEEK, Prior(), at("2026-10-02T12:00:00"), ZONE).worn

    assert worn(["508.5", "509"]) == ()

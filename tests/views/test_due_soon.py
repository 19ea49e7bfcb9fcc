"""What falls due comes in the order of its pressing."""

from __future__ import annotations

from decimal import Decimal

from dipmark.views.due_soon import due_rows
from views.yards import RULES, made

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

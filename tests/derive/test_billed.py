"""Which papers bill something, which days their work may be of, and which work it may be."""

from __future__ import annotations

from datetime import date

import pytest

from derive.builders import ENROLLED, KIND, ZONE, counting, fid
from derive.test_bills import WORKED, bill
from dipmark.derive.billed import Bill, bills_of, jobs_of, named, told_by


def bills(text: str) -> tuple[Bill, ...]:
    return bills_of(counting(ENROLLED + text), ZONE)


@pytest.mark.parametrize(
    ("more", "services", "bills_it"),
    [("", "", False), ("  minutes 0\n", "", True), ("", "150h", True), ('  parts - {"part": "hose"}\n', "", True)],
)
def test_a_job_sheet_bills_something_or_nothing(more: str, services: str, bills_it: bool) -> None:
    found = bills(bill("2026-03-02", more=more, services=services))
    assert bool(found) is bills_it
    assert bills(bill("2026-03-02", more=more, services=services).replace("job-sheet", "other")) == ()


def test_without_its_day_a_bill_may_be_of_two_months_before() -> None:
    """Common practice, no source: a bill comes weeks late; the yard notes work within three days."""
    (dated,) = bills(bill("2026-03-20", of="2026-03-05", services="150h"))
    assert (dated.since, dated.day) == (date(2026, 3, 5), date(2026, 3, 5))
    assert (dated.first, dated.last) == (date(2026, 3, 2), date(2026, 3, 8))
    (bare,) = bills(bill("2026-03-20", services="150h"))
    assert (bare.since, bare.first, bare.day, bare.last) == (
        date(2026, 1, 17),
        date(2026, 1, 17),
        date(2026, 3, 20),
        date(2026, 3, 20),
    )


def test_bills_stand_in_the_order_of_their_days_not_of_their_coming() -> None:
    found = bills(
        bill("2026-03-10", of="2026-03-09", services="8h") + bill("2026-03-20", of="2026-03-01", services="8h")
    )
    assert [one.day.day for one in found] == [1, 9]


def test_work_belongs_to_one_bill_only() -> None:
    text = WORKED.format("2026-03-05", "150h")
    text += bill("2026-03-10", of="2026-03-05", services="150h") + bill("2026-03-11", of="2026-03-05", services="150h")
    book = counting(ENROLLED + text)
    jobs = jobs_of(bills_of(book, ZONE), book, KIND, ZONE)
    assert [one.work is None for one in jobs.values()] == [False, True]
    assert [one.done.id for one in jobs.values()] == [fid(2), fid(4)]


def test_a_paper_is_called_by_title_number_and_firm() -> None:
    (one,) = bills(bill("2026-03-02", services="8h"))
    assert one.name == named(one.paper) == "Bill TL-1, Tarn"
    assert told_by(one.one, {one.one.id})
    assert not told_by(one.one, ())

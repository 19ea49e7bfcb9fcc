"""Who had the truck, who owed what: at, inside and outside every edge."""

from __future__ import annotations

import pytest

from derive.builders import ENROLLED, KIND, ZONE, at, counting, fid, truck
from dipmark.derive.custody import Owes, Span, fell_due, held_at, off_hire, owes, spans_of
from dipmark.derive.meter import meters_of
from dipmark.facts.base import PersonKey


def held(when: str, who: str, rest: str = "") -> str:
    return f"\nheld-by truck:7 {when}:00+01:00 lead\n  who {who}\n{rest}"


FIRM = '  firm "Quayside Hire"\n'
DAY = "  until 2026-02-28\n"
SOLD = "\nretired truck:7 2026-05-01T12:00:00+01:00 lead\n  how sold\n"
HIRED = held("2026-02-01T08:00", "hired-in", FIRM + DAY + "  owes - 150h\n  owes - thorough-examination\n")
DRIVEN = held("2026-03-01T08:00", "driver", "  person p-dan\n")
BACK = held("2026-03-01T16:00", "yard")


def spans(text: str) -> tuple[Span, ...]:
    return spans_of(counting(ENROLLED + text))


def test_from_coming_to_leaving_without_gap_or_overlap() -> None:
    found = spans(HIRED + DRIVEN + BACK + SOLD)
    assert [one.held.who if one.held else None for one in found] == [None, "hired-in", "driver", "yard"]
    assert [one.start for one in found[1:]] == [one.end for one in found[:-1]]
    assert found[0].start == at("2026-01-01T06:00:00")
    assert found[-1].end == at("2026-05-01T13:00:00")
    assert held_at(found, at("2026-05-01T13:00:00")) is None
    assert held_at(found, at("2025-12-31T00:00:00")) is None
    assert held_at(found, at("2026-02-01T07:59:59")) == found[0]
    assert held_at(found, at("2026-02-01T08:00:00")) == found[1]


def test_of_two_words_of_one_instant_the_last_counts_and_who_never_came_has_no_time() -> None:
    twice = spans(DRIVEN + held("2026-03-01T08:00", "laid-up"))
    assert [one.held.who if one.held else None for one in twice] == [None, "laid-up"]
    assert spans_of(counting("")) == ()
    assert [one.fact for one in spans(HIRED + DRIVEN)] == [None, fid(2), fid(2)]


@pytest.mark.parametrize(
    ("what", "instant", "expected"),
    [
        ("8h", "2026-01-15T00:00:00", Owes("yard")),
        ("150h", "2026-02-15T00:00:00", Owes("firm", firm="Quayside Hire")),
        ("thorough-examination", "2026-02-15T00:00:00", Owes("firm", firm="Quayside Hire")),
        ("8h", "2026-02-15T00:00:00", Owes("yard")),
        ("8h", "2026-03-01T08:00:00", Owes("driver", person=PersonKey("p-dan"))),
        ("150h", "2026-03-01T08:00:00", Owes("firm", firm="Quayside Hire")),
        ("150h", "2026-03-01T16:00:00", Owes("firm", firm="Quayside Hire")),
        ("8h", "2026-03-01T16:00:00", Owes("yard")),
        ("8h", "2026-06-01T00:00:00", None),
    ],
)
def test_one_owes_each_duty(what: str, instant: str, expected: Owes | None) -> None:
    assert owes(spans(HIRED + DRIVEN + BACK + SOLD), what, at(instant)) == expected


def test_what_a_nameless_firm_owes_stays_with_the_yard() -> None:
    lent = held("2026-02-01T08:00", "other-site", "  owes - 150h\n")
    assert owes(spans(lent), "150h", at("2026-02-02T00:00:00")) == Owes("yard")


@pytest.mark.parametrize(
    ("who", "instant", "days"),
    [
        ("hired-in", "2026-02-28T23:59:59", None),
        ("hired-in", "2026-03-01T00:00:00", "1"),
        ("hired-out", "2026-03-02T00:00:00", "2"),
        ("other-site", "2026-03-02T00:00:00", "2"),
        ("laid-up", "2026-03-02T00:00:00", None),
    ],
)
def test_past_the_day_that_was_agreed(who: str, instant: str, days: str | None) -> None:
    """Common practice, no source."""
    found = off_hire(spans(held("2026-02-01T08:00", who, FIRM + DAY)), (), at(instant), ZONE)
    assert (found is None) is (days is None)
    if found is not None:
        assert f", {days} days over" in found.text
        assert found.facts == (fid(2),)


def test_without_a_day_or_back_in_the_yard_nothing_is_over() -> None:
    late = at("2026-04-01T00:00:00")
    out = held("2026-02-01T08:00", "hired-out", FIRM + DAY)
    for text in ("", held("2026-02-01T08:00", "hired-in", FIRM), out + BACK, SOLD):
        assert off_hire(spans(text), (), late, ZONE) is None
    assert off_hire(spans(SOLD), (), at("2026-06-01T00:00:00"), ZONE) is None


@pytest.mark.parametrize(
    ("who", "then", "lasts"),
    [
        ("hired-in", "driver", True),
        ("hired-in", "yard", True),
        ("hired-in", "laid-up", True),
        ("hired-out", "driver", True),
        ("hired-out", "yard", False),
        ("other-site", "yard", False),
        ("other-site", "laid-up", False),
    ],
)
def test_a_hire_lasts_whoever_takes_the_key(who: str, then: str, lasts: bool) -> None:
    """Common practice, no source: a hire ends with its own end, not with a key on a hook."""
    terms = held("2026-02-01T08:00", who, FIRM + DAY + "  owes - 150h\n")
    found = spans(terms + held("2026-02-05T08:00", then))
    late = at("2026-03-04T00:00:00")
    assert (off_hire(found, (), late, ZONE) is not None) is lasts
    assert owes(found, "150h", late) == (Owes("firm", firm="Quayside Hire") if lasts else Owes("yard"))


def test_hired_out_while_it_is_hired_in_it_is_hired_in_again_after() -> None:
    out = held("2026-02-05T08:00", "hired-out", '  firm "Brook Timber"\n  owes - 8h\n')
    found = spans(HIRED + out + held("2026-02-09T08:00", "yard"))
    assert owes(found, "8h", at("2026-02-06T00:00:00")) == Owes("firm", firm="Brook Timber")
    assert owes(found, "150h", at("2026-02-06T00:00:00")) == Owes("yard")
    assert owes(found, "150h", at("2026-02-10T00:00:00")) == Owes("firm", firm="Quayside Hire")
    again = spans(HIRED + held("2026-02-20T08:00", "hired-in", '  firm "Brook Timber"\n'))
    assert owes(again, "150h", at("2026-02-21T00:00:00")) == Owes("yard")


def test_hours_it_ran_after_that_day_are_told() -> None:
    read = "\nmeter-read truck:7 2026-{}:00+01:00 dan\n  hours {}\n"
    text = HIRED + read.format("02-28T18:00", "100.0") + read.format("03-03T18:00", "110.0")
    book = counting(ENROLLED + text)
    found = off_hire(spans_of(book), meters_of(book, ZONE), at("2026-03-04T00:00:00"), ZONE)
    assert found is not None
    assert found.text.endswith("h after that day.")
    unread = counting(ENROLLED + HIRED)
    found = off_hire(spans_of(unread), meters_of(unread, ZONE), at("2026-03-04T00:00:00"), ZONE)
    assert found is not None
    assert "It ran" not in found.text


def test_what_fell_due_while_it_rested_waits() -> None:
    laid = held("2026-02-01T08:00", "laid-up")
    now = truck(ENROLLED + laid, "2026-06-01T00:00:00", KIND)
    found = fell_due(spans(laid), now.dues, at("2026-06-01T00:00:00"))
    assert {one.state for one in found} <= {"due", "late", "unknown"}
    assert found
    assert fell_due(spans(""), now.dues, at("2026-06-01T00:00:00")) == ()
    assert fell_due((), now.dues, at("2026-06-01T00:00:00")) == ()

"""Feeds: what stands in them, who may read them, and until when."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from datetime import date, datetime

import pytest
import vobject

from dipmark.facts.errors import NotAllowed, NotFound
from dipmark.office.access import Asker
from dipmark.office.devices import calendar_link, device_link, end_calendar
from dipmark.office.feeds import DUE, PLAN, due_feed, feed_of, plan_feed
from dipmark.office.look import due_list
from dipmark.office.open import Office
from dipmark.office.plan import publish, suggested
from office.demo_desk import demo_desk, noon
from office.taking import yard


@pytest.fixture(name="office", scope="module")
def _office() -> Iterator[Office]:
    with demo_desk() as office:
        yield office


def asker(office: Office, role: str = "lead") -> Asker:
    return Asker(person=office.by, name="Ruth Ashby", roles=(role,))  # type: ignore[arg-type]


def test_what_falls_due_stands_on_the_day_it_is_expected(office: Office) -> None:
    now = office.clock()
    events = {event.uid.value: event for event in vobject.readOne(due_feed(office, now).decode()).vevent_list}
    rows = {f"due-{row.truck}-{row.service}@dipmark".replace(" ", "-"): row for row in due_list(office, now)}
    late = events["due-5-450h@dipmark"]
    assert late.dtstart.value == now.date()
    assert late.summary.value == "Truck 5: 450h"
    row = rows["due-2-450h@dipmark"]
    assert row.expected is not None
    event = events["due-2-450h@dipmark"]
    assert event.dtstart.value == row.expected.about
    assert row.expected.words in event.description.value
    assert "The meter decides, never the date." in event.description.value
    assert not any(uid.startswith("due-12-") for uid in events)
    assert all(rows[uid].state != "unknown" for uid in events)


def test_the_published_plan_of_all_and_of_one(office: Office) -> None:
    now = office.clock()
    page = suggested(office, now, 2.0)
    publish(office, page.visits, noon(office))
    events = vobject.readOne(plan_feed(office, now).decode()).vevent_list
    visits = sum(len(cell.cards) for day in page.days for cell in day.cells)
    assert len(events) == visits
    assert all(isinstance(event.dtstart.value, datetime) for event in events)
    spans = sorted((event.location.value, event.dtstart.value, event.dtend.value) for event in events)
    for (who, _, end), (other, begin, _) in itertools.pairwise(spans):
        assert who != other or begin >= end
    carl = next(key for key, name in page.people.items() if name == "Carl Voss")
    his = vobject.readOne(plan_feed(office, now, carl).decode()).vevent_list
    assert {event.location.value for event in his} == {"Carl Voss"}
    assert 0 < len(his) < visits


def test_a_secret_link_reads_a_feed_until_it_is_ended(office: Office) -> None:
    token = calendar_link(office, asker(office), DUE)
    assert feed_of(office, token).startswith(b"BEGIN:VCALENDAR")
    assert feed_of(office, token) == feed_of(office, token)
    second = calendar_link(office, asker(office), DUE)
    with pytest.raises(NotFound):
        feed_of(office, token)
    plan = calendar_link(office, asker(office), PLAN)
    end_calendar(office, asker(office), DUE)
    with pytest.raises(NotFound):
        feed_of(office, second)
    assert b"VEVENT" in feed_of(office, plan)
    with pytest.raises(NotFound):
        feed_of(office, device_link(office, asker(office, "owner"), "gate phone"))


def test_only_who_plans_makes_and_ends_them(office: Office) -> None:
    for role in ("driver", "mechanic", "auditor"):
        with pytest.raises(NotAllowed):
            calendar_link(office, asker(office, role), PLAN)
        with pytest.raises(NotAllowed):
            end_calendar(office, asker(office, role), PLAN)


def test_the_days_of_a_feed_are_dates(office: Office) -> None:
    events = vobject.readOne(due_feed(office, office.clock()).decode()).vevent_list
    assert all(type(event.dtstart.value) is date for event in events)


def test_without_a_plan_the_feed_is_empty() -> None:
    with yard() as office:
        assert b"VEVENT" not in plan_feed(office, office.clock())

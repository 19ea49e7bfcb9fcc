"""The key board says of each truck what, why, until when, who."""

from __future__ import annotations

from datetime import UTC
from decimal import Decimal

import msgspec

from dipmark.derive.because import Because
from dipmark.views.yard import YardRow, due_gauge, next_service, reason, state_words, yard_row, yard_rows
from views.yards import ANA, RULES, instant, made

NEW = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
  place dock
"""
CHECKED = (
    NEW
    + """
worked truck:7 2026-11-10T00:00:00+00:00/day ana
  services - 150h
  meter {"hours":"1000"}

walk-round truck:7 2026-11-20T06:00:00+00:00 ana
  answers - {"check":"chain.tension"}
  meter {"hours":"1040.5"}
"""
)
WATCHED = CHECKED.replace(
    '{"check":"chain.tension"}', '{"check":"chain.tension","mark":"fault","symptom":"dull","seriousness":"watch"}'
)
DRY = CHECKED.replace(
    '{"check":"chain.tension"}',
    '{"check":"chain.tension","mark":"fault","symptom":"dry","seriousness":"repair-by","days":3}',
)


def row(text: str, as_of: str = "2026-11-20T08:00") -> YardRow:
    return yard_row(made(text, as_of), RULES, ANA, instant(as_of), UTC)


def test_a_clean_walk_round_names_who_and_when() -> None:
    clean = row(CHECKED)
    assert (clean.truck, clean.kind, clean.state) == ("7", "engine-pneumatic-lpg", "checked")
    assert clean.words == "Checked, nothing found, Ana Ruiz, Fri 2026-11-20 06:00"
    assert clean.hours == Decimal("1040.5")
    assert clean.key == "on its hook"
    assert clean.place == "dock"
    assert clean.lock is None


def test_a_fault_to_watch_is_said_beside_the_check() -> None:
    assert row(WATCHED).words.startswith("Checked, nothing that stops it, Ana Ruiz")


def test_restricted_says_until_when() -> None:
    assert row(DRY).words == "Restricted until Mon 2026-11-23"


def test_restricted_by_a_late_service_has_no_date_of_its_own() -> None:
    truck = made(CHECKED, "2026-11-20T08:00")
    late = msgspec.structs.replace(truck, state=msgspec.structs.replace(truck.state, code="restricted"))
    assert state_words(late, ANA, UTC) == "Restricted"


def test_the_gauges_show_cover_and_next_service() -> None:
    cover, service = row(CHECKED, "2026-11-20T15:00").gauges
    assert (cover.what, cover.value, cover.full, cover.word) == ("walk-round", Decimal(9), Decimal(18), "")
    assert (service.what, service.value, service.full) == ("150h", Decimal("109.5"), Decimal(150))
    over, _ = row(CHECKED, "2026-11-21T01:00").gauges
    assert over.word == "over"
    assert row(NEW).gauges == ()


def test_a_gauge_past_its_mark_carries_a_word() -> None:
    due = next_service(made(CHECKED, "2026-11-20T08:00").dues)
    assert due is not None
    assert due_gauge(due, Decimal(1150)).word == "due now"
    assert due_gauge(due, Decimal(1170)).word == "past by 20 h"
    assert due_gauge(due, Decimal(1149)).word == ""
    assert due_gauge(due, None).value is None
    unknown = msgspec.structs.replace(due, hours=None, start=None)
    assert due_gauge(unknown, Decimal(5)).value == Decimal(-5)


def test_the_walk_round_is_not_the_next_service() -> None:
    assert next_service([due for due in made(CHECKED, "2026-11-20T08:00").dues if due.service == "8h"]) is None


def test_the_key_of_a_truck_out_of_service_lies_in_the_locked_box() -> None:
    stopped = CHECKED + "\nout-of-service truck:7 2026-11-20T07:00:00+00:00 ana\n  reason leak\n"
    assert row(stopped).words == "Out of service"
    assert row(stopped).key == "in the locked box"


def test_the_key_says_who_has_the_truck_and_where_it_is() -> None:
    head = CHECKED + "\nheld-by truck:7 2026-11-20T07:00:00+00:00 ana\n  who "
    assert row(head + "driver\n  person ana\n").key == "driver, Ana Ruiz, since Fri 2026-11-20 07:00"
    hired = row(head + 'hired-out\n  firm "North Quay"\n  place "North Quay"\n')
    assert (hired.key, hired.place) == ("hired out, North Quay, since Fri 2026-11-20 07:00", "North Quay")
    assert row(head + "laid-up\n").key == "laid up, since Fri 2026-11-20 07:00"
    assert row(head + "yard\n").key == "on its hook"


def test_a_lock_names_the_person() -> None:
    locked = CHECKED + "\nwork-begun truck:7 2026-11-20T07:00:00+00:00 ana\n  text hoses\n"
    assert row(locked).lock == "Ana Ruiz since Fri 2026-11-20 07:00"


def test_a_person_without_a_name_is_shown_by_key() -> None:
    truck = made(CHECKED, "2026-11-20T08:00")
    assert "ana, Fri" in yard_row(truck, RULES, {}, instant("2026-11-20T08:00"), UTC).words


def test_doubtful_readings_are_counted() -> None:
    slip = CHECKED + "\nmeter-read truck:7 2026-11-20T07:00:00+00:00 ana\n  hours 905\n"
    assert row(slip).doubtful == 1


def test_a_reason_carries_title_and_clause_of_its_source() -> None:
    assert reason(Because("why", "rule", "us-178-p1"), RULES).source == "29 CFR 1910.178, (p)(1)"
    assert reason(Because("why", "rule", "practice"), RULES).source == "common practice"
    assert reason(Because("why", "rule", "nowhere"), RULES).source is None
    assert reason(Because("why", "rule"), RULES).source is None


def test_rows_keep_their_order() -> None:
    truck = made(CHECKED, "2026-11-20T08:00")
    rows = yard_rows([truck, made(NEW, "2026-11-20T08:00")], RULES, ANA, instant("2026-11-20T08:00"), UTC)
    assert [one.state for one in rows] == ["checked", "not-checked"]

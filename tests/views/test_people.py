"""Who is in the yard, and what each may drive: each sees his own first."""

from __future__ import annotations

from datetime import UTC

from dipmark.derive.past import past
from dipmark.derive.yard import yard_now
from dipmark.facts.base import PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.views.people import People, person_row, person_rows
from views.yards import RULES, instant

AS_OF = "2026-11-20T10:00"
NAMES = {PersonKey(key): name for key, name in (("ana", "Ana"), ("bo", "Bo"), ("zed", "Zed"), ("cy", "Cy"))}

YARD = """
person-set yard 2026-01-01T08:00:00+00:00 ana
  person ana
  roles - driver

person-set yard 2026-01-01T08:01:00+00:00 ana
  person bo
  roles - driver
  firm "Tollgate"
  skills - forks
  shifts - day
  books - truck:7

person-set yard 2026-01-01T08:02:00+00:00 ana
  person cy
  roles - mechanic
  gone true

person-set yard 2026-01-01T08:03:00+00:00 ana
  person zed
  roles - driver

permit yard 2026-01-02T08:00:00+00:00 ana
  person ana
  what engine-pneumatic-lpg
  trained 2025-01-02
  evaluated 2025-01-03

permit yard 2026-01-02T08:01:00+00:00 ana
  person bo
  what airship
  trainee_under ana

permit yard 2026-01-02T08:02:00+00:00 ana
  person zed
  what engine-pneumatic-lpg
  trained 2025-01-02
  evaluated 2025-01-03
  by ana
  ends 2026-11-20T14:00:00+00:00

familiarised yard 2026-01-03T08:00:00+00:00 ana
  person bo
  truck truck:12
  led_by ana

familiarised yard 2026-01-04T08:00:00+00:00 ana
  person bo
  truck truck:7
  led_by ana

familiarised yard 2026-02-04T08:00:00+00:00 ana
  person bo
  truck truck:7
  led_by zed

familiarised yard 2026-02-05T08:00:00+00:00 ana
  person zed
  truck truck:7
  led_by ana
"""

HIT = """
incident truck:7 2026-06-01T08:00:00+00:00 bo
  what hit
  text "a rack"
  person ana
"""


def people() -> People:
    yard = parse(YARD)
    hit = parse(HIT)
    assert not yard.problems
    assert not hit.problems
    record, now = chain(yard.facts), instant(AS_OF)
    return People(
        book=past(record, now),
        yard=yard_now(record, now),
        rules=RULES,
        names=NAMES,
        kinds=frozenset({"engine-pneumatic-lpg"}),
        incidents=past(chain(hit.facts), now),
        as_of=now,
        zone=UTC,
    )


def test_whoever_asks_comes_first_and_who_has_left_at_the_end() -> None:
    assert [row.name for row in person_rows(people(), PersonKey("zed"))] == ["Zed", "Ana", "Bo", "Cy"]


def test_what_somebody_does_and_which_trucks_he_knows() -> None:
    row = person_row(people(), PersonKey("bo"))
    assert (row.roles, row.firm, row.gone, row.skills, row.shifts, row.trucks) == (
        ("driver",),
        "Tollgate",
        False,
        ("forks",),
        ("day",),
        ("7",),
    )
    assert [(one.truck, one.by, one.when) for one in row.led] == [
        ("7", "Zed", "Wed 2026-02-04 08:00"),
        ("12", "Ana", "Sat 2026-01-03 08:00"),
    ]


def test_a_driver_sees_every_kind_of_the_yard_and_why_not() -> None:
    row = person_row(people(), PersonKey("bo"))
    assert [(one.kind, one.may, one.under) for one in row.permits] == [
        ("airship", True, "Ana"),
        ("engine-pneumatic-lpg", False, None),
    ]
    assert row.permits[1].reasons[0].text.startswith("Not you: no permit")
    assert person_row(people(), PersonKey("cy")).permits == ()


def test_until_when_and_what_is_wanted_all_the_same() -> None:
    (ana,) = person_row(people(), PersonKey("ana")).permits
    assert (ana.may, str(ana.until), ana.ends) == (True, "2028-01-03", None)
    assert [one.text for one in ana.asks] == [
        "Who trained or evaluated him is not named on his certificate: add it",
        "Hit on 2026-06-01: a refresher and a new evaluation",
    ]
    (zed,) = person_row(people(), PersonKey("zed")).permits
    assert (zed.ends, zed.asks) == ("Fri 2026-11-20 14:00", ())


def test_somebody_the_yard_does_not_name_has_nothing() -> None:
    row = person_row(people(), PersonKey("nobody"))
    assert (row.name, row.roles, row.permits, row.led) == ("nobody", (), (), ())

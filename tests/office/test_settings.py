"""The yard's own settings: only what changed is written, all that is wrong is said with its field, whom to call."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import Any

import msgspec
import pytest

from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.codec import faults_of
from dipmark.facts.errors import NotAllowed, Refused
from dipmark.facts.people import PersonSet, Shift, ShiftPattern, YardSet
from dipmark.office.access import Asker, Role
from dipmark.office.open import Office
from dipmark.office.settings import (
    CLOSED_UNREADABLE,
    LANGUAGE_WORDLESS,
    LAW_UNKNOWN,
    SETTING_UNFIT,
    SHIFT_GONE,
    SHIFT_UNFIT,
    TELEPHONE_UNREADABLE,
    UNITS,
    Reach,
    ShiftTyped,
    YardTyped,
    set_shifts,
    set_yard,
    standing_doubts,
    who_releases,
)
from dipmark.office.take_yard import COUNTRY_UNKNOWN
from office.desk import desk
from office.taking import NOW, bodies

LEAD = Asker(person=PersonKey("lead"), name="Lead", roles=("lead",))
DRIVER = Asker(person=PersonKey("driver"), name="Driver", roles=("driver",))
SPOKEN = ("en", "en-US", "es")

FRESH = YardTyped(zone="UTC", country="", units="metric", languages="en-GB", name="", telephone="")
EARLY = ShiftTyped(name="early", days=("1", "5"), start="06:00", end="14:00")


def typed(**changed: str) -> YardTyped:
    """The settings of a new yard, some of them typed anew."""
    return msgspec.structs.replace(FRESH, **changed)


def found(refusal: pytest.ExceptionInfo[Refused]) -> list[tuple[str, str | None]]:
    """What is wrong, with its field."""
    return [(problem.code, problem.where.column) for problem in refusal.value.problems]


def written(office: Office) -> list[Any]:
    """What stands in the yard's book of settings and shifts."""
    return [fact.body for kind in (YardSet, ShiftPattern) for fact in bodies(office, kind)]


def test_only_what_was_changed_is_written() -> None:
    with desk() as office:
        set_yard(office, LEAD, FRESH, SPOKEN)
        assert written(office) == []
        changes = {"name": " Lower  yard ", "telephone": "+44  900", "country": "gb", "languages": "es; en-GB"}
        set_yard(office, LEAD, typed(**changes), SPOKEN)
        as_read = YardSet(name="Lower yard", telephone="+44 900", country="GB", languages=("es", "en-GB"))
        assert written(office) == [as_read]
        set_yard(office, LEAD, typed(**changes), SPOKEN)
        assert written(office) == [as_read]


@pytest.mark.parametrize("units", UNITS)
def test_every_kind_of_units_is_one_of_the_record(units: str) -> None:
    with desk() as office:
        assert faults_of(office.fact(YARD, YardSet(units=units), NOW)) == ()  # type: ignore[arg-type]


def test_a_number_is_taken_back_other_settings_are_not() -> None:
    with desk() as office:
        set_yard(office, LEAD, typed(name="Yard", telephone="417", country="GB"), SPOKEN)
        set_yard(office, LEAD, typed(name="Yard", country="GB"), SPOKEN)
        assert office.yard.telephone == ""
        assert who_releases(office).telephone is None
        with pytest.raises(Refused) as refusal:
            set_yard(office, LEAD, typed(zone=" ", languages=","), SPOKEN)
        blank = [(SETTING_UNFIT, name) for name in ("zone", "country", "languages", "name")]
        assert found(refusal) == blank


def test_all_that_is_wrong_is_said_at_once_and_nothing_is_written() -> None:
    with desk() as office:
        wrong = YardTyped(
            zone="Europe/Madird", country="UK", units="furlong", languages="es, xx", name="Yard", telephone="(0)20-1"
        )
        with pytest.raises(Refused) as refusal:
            set_yard(office, LEAD, wrong, SPOKEN)
        assert found(refusal) == [
            ("zone-unknown", "zone"),
            (COUNTRY_UNKNOWN, "country"),
            (SETTING_UNFIT, "units"),
            (LANGUAGE_WORDLESS, "languages"),
            (TELEPHONE_UNREADABLE, "telephone"),
        ]
        assert "Europe/Madrid" in str(refusal.value)
        assert written(office) == []


def test_what_stands_already_is_not_judged_again() -> None:
    with desk() as office:
        office.append([office.fact(YARD, YardSet(languages=("fr",)), NOW - timedelta(hours=1))])
        set_yard(office, LEAD, typed(languages="fr", name="Yard"), SPOKEN)
        assert office.yard.name == "Yard"


def test_shifts_and_closed_days_are_written_once() -> None:
    night = ShiftTyped(name="night  shift", days=("7",), start="22:00", end="06:00", telephone=" 9  01 ")
    with desk() as office:
        for _ in range(2):
            set_shifts(office, LEAD, (EARLY, ShiftTyped(), night), "2026-12-26, 2026-12-25\n2026-12-25")
        assert written(office) == [
            ShiftPattern(
                shifts=(
                    Shift(name="early", days=(1, 5), start=time(6), end=time(14)),
                    Shift(name="night shift", days=(7,), start=time(22), end=time(6), telephone="9 01"),
                ),
                closed=(date(2026, 12, 25), date(2026, 12, 26)),
            )
        ]
        set_shifts(office, LEAD, (), "")
        assert office.yard.shifts == ()


def test_what_is_wrong_with_shifts_stands_beside_each_field() -> None:
    rows = (
        EARLY,
        msgspec.structs.replace(EARLY, name=" EARLY", days=()),
        ShiftTyped(days=("8", "x"), start="6 o'clock", end="14:00+01:00", telephone="Ruth"),
    )
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            set_shifts(office, LEAD, rows, "Christmas 2026-12-25")
        assert found(refusal) == [
            (SHIFT_UNFIT, "shift-1-name"),
            (SHIFT_UNFIT, "shift-1-days"),
            (SHIFT_UNFIT, "shift-2-name"),
            (SHIFT_UNFIT, "shift-2-days"),
            (SHIFT_UNFIT, "shift-2-start"),
            (SHIFT_UNFIT, "shift-2-end"),
            (TELEPHONE_UNREADABLE, "shift-2-telephone"),
            (CLOSED_UNREADABLE, "closed"),
        ]
        assert written(office) == []


def test_only_whoever_may_change_rules_changes_settings() -> None:
    with desk() as office:
        with pytest.raises(NotAllowed):
            set_yard(office, DRIVER, typed(name="Yard"), SPOKEN)
        with pytest.raises(NotAllowed):
            set_shifts(office, DRIVER, (EARLY,), "")
        assert written(office) == []


def person(office: Office, name: str, role: Role, *, gone: bool = False, shifts: tuple[str, ...] = ()) -> None:
    key = office.people.key_or_new(name)
    body = PersonSet(person=key, roles=(role,), gone=gone, shifts=shifts)
    office.append([office.fact(YARD, body, NOW - timedelta(hours=2), by=key)])


def test_what_stands_and_should_be_looked_at() -> None:
    with desk() as office:
        assert [(one.code, one.hard) for one in standing_doubts(office)] == [(LAW_UNKNOWN, False)]
        set_yard(office, LEAD, typed(country="GB"), SPOKEN)
        assert standing_doubts(office) == ()
        set_yard(office, LEAD, typed(country="FR"), SPOKEN)  # no duties of France are entered
        person(office, "Mo", "mechanic", shifts=("early", "late"))
        person(office, "Pete", "mechanic", gone=True, shifts=("late",))
        set_shifts(office, LEAD, (EARLY,), "")
        law, gone = standing_doubts(office)
        assert (law.code, law.found) == (LAW_UNKNOWN, "FR")
        assert (gone.code, gone.found) == (SHIFT_GONE, "Mo in late")


def test_who_gives_a_truck_back_just_now() -> None:
    with desk() as office:
        person(office, "mo", "mechanic", shifts=("early",))
        person(office, "Lu", "mechanic", shifts=("late",))
        person(office, "Dan", "driver")
        person(office, "Pete", "lead", gone=True)
        person(office, "Ruth", "lead")
        assert who_releases(office) == Reach(("Lu", "mo", "Ruth"), None)
        set_yard(office, LEAD, typed(telephone="900"), SPOKEN)
        set_shifts(office, LEAD, (msgspec.structs.replace(EARLY, telephone="901"),), "")  # NOW is Friday, 6:00 UTC
        assert who_releases(office) == Reach(("mo", "Ruth"), "901")
        set_shifts(office, LEAD, (EARLY,), "2026-11-20")
        assert who_releases(office) == Reach(("Lu", "mo", "Ruth"), "900")

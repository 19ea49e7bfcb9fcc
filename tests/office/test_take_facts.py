"""What a row says, in three languages and with everything a row can hold."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.facts.base import FaultRef, Reading
from dipmark.facts.document import Document
from dipmark.facts.fault import Fault, Released
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled, Meter
from dipmark.facts.work import Worked
from dipmark.office.take import TakeOptions
from office.taking import TRUCKS, bodies, counts, file, taken, yard

TABLES = Path(__file__).parent / "tables"


def copied(folder: Path, *names: str) -> list[Path]:
    """The sample tables in a folder that may be written to."""
    paths = [folder / name for name in names]
    for path in paths:
        path.write_bytes((TABLES / path.name).read_bytes())
    return paths


def test_a_german_yard(tmp_path: Path) -> None:
    fleet, services = copied(tmp_path, "flotte.csv", "wartung.csv")
    with yard() as office:
        result = taken(office, services, fleet, options=TakeOptions(zone="Europe/Berlin", country="DE"))
        assert counts(result) == (4, 0, 1)
        assert [(r.line, r.column, "Ölwechsel" in r.found) for r in result.refused] == [(4, "Wartung", True)]
        assert [fact.body for fact in bodies(office, Enrolled)] == [
            Enrolled(
                what="reach", commissioned=date(2023, 5, 2), fuel="elektro", capacity_kg=Decimal(1600),
                place="Halle Nord",
            ),
            Enrolled(
                what="engine-pneumatic-lpg", commissioned=date(2024, 1, 15), fuel="treibgas",
                capacity_kg=Decimal(2500), place="Halle Süd",
            ),
        ]  # fmt: skip
        assert [(fact.happened.isoformat(), fact.body) for fact in bodies(office, Worked)] == [
            (
                "2026-02-03T00:00:00+01:00",
                Worked(services=("150h",), text="Öl und Filter", meter=Reading(hours=Decimal("1250.5"))),
            ),
            ("2026-06-05T00:00:00+02:00", Worked(services=("450h",), meter=Reading(hours=Decimal("1550.0")))),
        ]
        assert list(office.store.names().values()) == ["Jörg"]
        assert "Ölwechsel" in (tmp_path / "wartung.refused.csv").read_text("utf-8-sig")


def test_a_spanish_yard(tmp_path: Path) -> None:
    readings, faults = copied(tmp_path, "lecturas.csv", "averias.csv")
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", TRUCKS), readings, faults)
        assert counts(result) == (6, 0, 1)
        assert (result.refused[0].line, result.refused[0].column) == (4, "Carretilla")
        assert [(fact.happened.date(), fact.body) for fact in bodies(office, MeterRead)] == [
            (date(2026, 3, 3), MeterRead(hours=Decimal("1300.0"))),
            (date(2026, 4, 4), MeterRead(hours=Decimal("1401.5"))),
        ]
        assert [fact.body for fact in bodies(office, Fault)] == [
            Fault(text="Fuga en el latiguillo", seriousness="stop"),
            Fault(text="Luz de trabajo fundida", seriousness="watch"),
        ]
        assert len(bodies(office, Released)) == 1


def test_an_english_yard_with_all_its_columns(tmp_path: Path) -> None:
    (trucks,) = copied(tmp_path, "yard.csv")
    with yard() as office:
        assert counts(taken(office, trucks)) == (2, 0, 0)
        assert bodies(office, Enrolled)[1].body == Enrolled(
            what="engine-pneumatic-lpg",
            commissioned=date(2024, 1, 15),
            start_hours=Decimal("3.5"),
            tyres="pneumatic",
            serial="A-100",
            built=2023,
            capacity_kg=Decimal("2267.962"),  # 5000 lb of 0.45359237 kg (international agreement of 1959)
            note="the old one",
        )


def test_a_fault_mended_since_is_mended_and_released_by_reference(tmp_path: Path) -> None:
    faults = file(
        tmp_path,
        "f.csv",
        "Truck,Fault,Date,Mended,Seriousness,Hours,By,Note\n"
        "7,Horn dead,2026-04-01,2026-04-03,,1300.5,Ana,fuse\n"
        "7,Lamp dim,2026-04-01,2026-04-01,watch,,,\n",
    )
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", TRUCKS), faults)
        horn, lamp = bodies(office, Fault)
        assert horn.body == Fault(text="Horn dead; fuse", seriousness="stop", meter=Reading(hours=Decimal("1300.5")))
        assert "1 fault says nothing on how serious" in result.notes[0]
        first, second = bodies(office, Worked)
        assert isinstance(first.body, Worked)
        assert isinstance(second.body, Worked)
        assert (first.body.mends, first.happened.date()) == ((FaultRef(horn.id),), date(2026, 4, 3))
        assert (second.body.mends, second.happened) == ((FaultRef(lamp.id),), lamp.happened)
        assert lamp.id < second.id
        assert [fact.body for fact in bodies(office, Released)] == [Released(clears=(FaultRef(horn.id),))]
        assert counts(taken(office, faults)) == (0, 2, 0)


def test_a_fault_taken_open_and_later_mended_stays_one_fault(tmp_path: Path) -> None:
    with yard() as office:
        row = "Truck,Fault,Date,Mended\n7,Horn dead,2026-04-01,{}\n"
        assert counts(taken(office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "f.csv", row.format("")))) == (
            3,
            0,
            0,
        )
        assert counts(taken(office, file(tmp_path, "f.csv", row.format("2026-04-02")))) == (1, 0, 0)
        assert len(bodies(office, Fault)) == 1
        assert len(bodies(office, Released)) == 1


def test_a_fault_mended_before_it_was_seen_is_refused(tmp_path: Path) -> None:
    faults = file(
        tmp_path,
        "f.csv",
        "Truck,Fault,Date,Mended\n7,Horn dead,2026-04-02,2026-04-01\n7,Leak,2026-04-02 10:00,2026-04-02 09:00\n",
    )
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", TRUCKS), faults)
        assert counts(result) == (2, 0, 2)
        assert result.refused[0].found == "mended 2026-04-01"
        assert result.refused[0].expected.startswith("on or after 2026-04-02")


def test_a_row_can_serve_several_ends_at_once(tmp_path: Path) -> None:
    text = (
        "Truck,Kind,Date,Hours,Service,Fault,Note,Meter name,Digits\n"
        "9,reach truck,2026-01-05,100.5,150h,Horn dead,all of it,engine,5\n"
        "9,reach truck,2026-01-06,107,,,only read,engine,5\n"
    )
    with yard() as office:
        assert counts(taken(office, file(tmp_path, "a.csv", text))) == (2, 0, 0)
        reading = Reading(hours=Decimal("100.5"), meter="engine")
        assert bodies(office, Enrolled)[0].body == Enrolled(what="reach", meters=(Meter(name="engine", digits=5),))
        assert bodies(office, Worked)[0].body == Worked(services=("150h",), text="all of it", meter=reading)
        assert bodies(office, Fault)[0].body == Fault(text="Horn dead", seriousness="stop")
        assert bodies(office, MeterRead)[0].body == MeterRead(hours=Decimal(107), meter="engine", note="only read")


def test_a_truck_list_whose_only_date_is_called_date(tmp_path: Path) -> None:
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", "Truck,Kind,Date,Hours\n9,reach truck,2026-01-05,\n"))
        assert bodies(office, Enrolled)[0].body == Enrolled(what="reach", commissioned=date(2026, 1, 5))


@pytest.mark.parametrize(
    ("table", "column", "expected"),
    [
        ("Truck,Kind,Capacity\n9,reach truck,2.5\n", "Capacity", "a weight in kg, t or lb"),
        (f"Truck,Kind\n{'9' * 81},reach truck\n", "Truck", "at most 80"),
        (f"Truck,Kind,Fault,Date\n9,reach truck,{'x' * 1901},2026-01-01\n", "Fault", "at most 1,900"),
        ("Truck,Kind,Fault\n9,reach truck,horn\n", "Fault", "the day it was done or seen"),
        ("Truck,Kind\n9,hovercraft\n", "Kind", "one of electric-counterbalanced"),
        ("Truck,Kind\n,reach truck\n", "Truck", "number"),
        ("Truck,Kind,Fault,Date,Seriousness\n9,reach truck,horn,2026-01-01,medium\n", "Seriousness", "watch"),
    ],
)
def test_what_a_row_may_not_say(tmp_path: Path, table: str, column: str, expected: str) -> None:
    with yard() as office:
        result = taken(office, file(tmp_path, "a.csv", table))
        assert counts(result) == (0, 0, 1)
        assert [(r.line, r.column) for r in result.refused] == [(2, column)]
        assert expected in result.refused[0].expected


def test_a_time_that_the_clocks_skip_moves_on_with_them(tmp_path: Path) -> None:
    """Source: the IANA time zone database, Europe/Madrid: 2026-03-29 02:00 became 03:00."""
    hours = file(tmp_path, "h.csv", "Truck,Date,Hours\n7,2026-03-29 02:30,5\n")
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", TRUCKS), hours, options=TakeOptions(zone="Europe/Madrid"))
        (fact,) = bodies(office, MeterRead)
        assert fact.happened == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
        assert fact.happened.isoformat() == "2026-03-29T03:30:00+02:00"


@pytest.mark.parametrize(
    ("country", "words", "duties"),
    [
        ("DE", "UVV-Prüfung", ("yearly-examination",)),
        ("GB", "Thorough examination", ("thorough-examination",)),
        ("US", "annual examination", ()),
        (None, "LOLER", ()),
    ],
)
def test_an_examination_is_a_paper_that_proves_the_duties_of_the_country(
    tmp_path: Path, country: str | None, words: str, duties: tuple[str, ...]
) -> None:
    trucks = file(tmp_path, "trucks.csv", TRUCKS)
    done = file(tmp_path, "done.csv", f"Truck,Date,Service,Hours,Note\n7,2026-03-01,{words},1000,all well\n")
    with yard() as office:
        options = TakeOptions(country=country)
        assert counts(taken(office, trucks, done, options=options))[2] == 0
        (paper,) = bodies(office, Document)
        assert isinstance(paper.body, Document)
        assert (paper.body.what, paper.body.meter) == ("examination", Reading(hours=Decimal(1000)))
        assert tuple(line.duty for line in paper.body.lines) == duties
        assert (paper.whole_day, paper.happened.date()) == (True, date(2026, 3, 1))
        assert counts(taken(office, done, options=options)) == (0, 1, 0)
        assert bodies(office, Worked) == []


def test_a_service_and_an_examination_of_one_row_are_two_facts(tmp_path: Path) -> None:
    trucks = file(tmp_path, "trucks.csv", TRUCKS)
    done = file(tmp_path, "done.csv", "Truck,Date,Service\n7,2026-03-01,150 h + thorough examination\n")
    with yard() as office:
        assert counts(taken(office, trucks, done, options=TakeOptions(country="GB")))[2] == 0
        assert len(bodies(office, Document)) == 1
        assert [fact.body for fact in bodies(office, Worked)] == [Worked(services=("150h",))]

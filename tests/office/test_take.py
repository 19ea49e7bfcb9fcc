"""Taking tables into the record: counting, handing back, one transaction, the same file twice."""

from __future__ import annotations

import itertools
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.adapters.store import store as store_module
from dipmark.facts.base import YARD, Reading
from dipmark.facts.errors import Refused, StoreError
from dipmark.facts.fault import Fault
from dipmark.facts.meter import MeterRead
from dipmark.facts.people import YardSet
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.take import LeftOut, TakeOptions, take
from office.taking import NOW, TRUCKS, bodies, counts, facts, file, taken, yard

HOURS = "Truck,Date,Hours\n7,2026-01-05,1200.5\n12,2026-01-06,800\n"


def test_every_kind_of_row_becomes_its_facts(tmp_path: Path) -> None:
    services = file(
        tmp_path, "s.csv", "Truck,Service,Date,Hours,By,Note\n7,150 h + 450h,2026-02-01,1250.5,Ana,new filter\n"
    )
    faults = file(tmp_path, "f.csv", "Truck,Fault,Date,Seriousness\n12,Mast chain slack,2026-02-02,stop\n")
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", HOURS), services, faults)
        assert counts(result) == (6, 0, 0)
        assert [fact.body for fact in bodies(office, MeterRead)] == [
            MeterRead(hours=Decimal(800)), MeterRead(hours=Decimal("1200.5")),
        ]  # fmt: skip
        (worked,) = bodies(office, Worked)
        assert worked.body == Worked(
            services=("150h", "450h"), text="new filter", meter=Reading(hours=Decimal("1250.5"))
        )
        assert (worked.book, worked.happened.isoformat(), worked.whole_day) == (
            "truck:7", "2026-02-01T00:00:00+00:00", True,
        )  # fmt: skip
        assert office.store.names()[worked.by] == "Ana"
        assert bodies(office, Fault)[0].body == Fault(text="Mast chain slack", seriousness="stop")
        assert {fact.happened.date() for fact in bodies(office, Enrolled)} == {date(2024, 1, 15), date(2023, 5, 2)}
        assert office.store.verify() == ()


def test_the_same_files_twice_add_nothing(tmp_path: Path) -> None:
    files = [file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", HOURS + "7,2026-01-05,1200.50\n")]
    with yard() as office:
        assert counts(taken(office, *files)) == (4, 1, 0)
        before = facts(office)
        assert counts(taken(office, *files, *files)) == (0, 10, 0)
        assert facts(office) == before


def test_known_whoever_says_it_but_not_with_another_value_or_time(tmp_path: Path) -> None:
    again = file(
        tmp_path,
        "a.csv",
        "Truck,Date,Hours,By\n7,2026-01-05,1200.5,Bo\n7,2026-01-05 06:00,1200.5,\n7,2026-01-06,1200.5,\n",
    )
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", HOURS))
        assert counts(taken(office, again)) == (2, 1, 0)
        assert office.store.names() == {}


def test_the_order_of_files_does_not_matter(tmp_path: Path) -> None:
    files = [
        file(tmp_path, "t.csv", TRUCKS),
        file(tmp_path, "h.csv", HOURS),
        file(tmp_path, "s.csv", "Truck,Service,Date\n7,150h,2026-02-01\n"),
    ]
    seen = set()
    for order in itertools.permutations(files):
        with yard() as office:
            result = taken(office, *order)
            kept = sorted((f.book, f.happened.isoformat(), repr(f.body)) for f in facts(office))
            seen.add((counts(result), tuple(kept)))
    assert len(seen) == 1


def test_a_truck_that_nobody_enrolled_is_refused_with_the_nearest_names(tmp_path: Path) -> None:
    with yard() as office:
        result = taken(
            office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", "Truck,Date,Hours\n13,2026-01-05,5\n")
        )
        (refusal,) = result.refused
        assert (refusal.line, refusal.column, refusal.found, refusal.expected) == (
            2, "Truck", "truck '13'", "an enrolled truck",
        )  # fmt: skip
        assert "12" in refusal.hint
        assert "nrol it" in refusal.hint


def test_a_row_whose_enrolment_was_refused_says_so(tmp_path: Path) -> None:
    trucks = file(tmp_path, "t.csv", "Truck,Kind,Built\n9,reach truck,soon\n")
    with yard() as office:
        result = taken(office, trucks, file(tmp_path, "h.csv", "Truck,Date,Hours\n9,2026-01-05,5\n"))
        assert counts(result) == (0, 0, 2)
        assert "t.csv, line 2" in result.refused[1].hint
        assert facts(office) == []


def test_refused_rows_mended_and_taken_again_add_exactly_those(tmp_path: Path) -> None:
    hours = file(tmp_path, "h.csv", HOURS + "7,soon,1300\n7,2026-03-01,lots\n99,2026-03-02,5\n")
    with yard() as office:
        first = taken(office, file(tmp_path, "t.csv", TRUCKS), hours)
        assert counts(first) == (4, 0, 3)
        (handed_back,) = first.refused_files
        assert handed_back.name == "h.refused.csv"
        text = handed_back.read_text("utf-8-sig").replace("7,soon", "7,2026-02-01").replace(",lots", ",1350")
        handed_back.write_text(text, "utf-8")
        second = taken(office, handed_back)
        assert counts(second) == (2, 0, 1)
        assert second.refused_files == (handed_back,)
        assert "soon" not in handed_back.read_text("utf-8-sig")
        assert counts(taken(office, hours)) == (0, 2, 3)
        assert len(bodies(office, MeterRead)) == 4


def test_a_row_goes_in_whole_or_not_at_all(tmp_path: Path) -> None:
    both = file(tmp_path, "b.csv", "Truck,Kind,Date,Hours\n9,reach truck,2026-01-05,wet\n12,reach truck,2026-01-05,7\n")
    with yard() as office:
        assert counts(taken(office, both)) == (1, 0, 1)
        assert {fact.book for fact in facts(office)} == {"truck:12"}


def test_soft_problems_are_accepted_and_shown(tmp_path: Path) -> None:
    hours = "Truck,Date,Hours\n" + "".join(f"7,2026-01-{day:02},{1000 + day}\n" for day in range(1, 9))
    with yard() as office:
        result = taken(
            office,
            file(tmp_path, "t.csv", TRUCKS),
            file(tmp_path, "h.csv", hours + "7,2026-01-09,104\n7,2027-06-01,1100\n"),
        )
        assert counts(result) == (12, 0, 0)
        assert [(p.code, p.where.line, p.hard) for p in result.doubtful] == [
            ("meter-doubtful", 10, False), ("in-the-future", 11, False),
        ]  # fmt: skip
        assert "104 h of 2026-01-09" in result.doubtful[0].found


def test_a_store_that_fails_in_the_middle_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise StoreError("the disk is full")

    with yard(str(tmp_path / "yard.db")) as office:
        files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", HOURS + "7,soon,1\n"))
        with monkeypatch.context() as patched:
            patched.setattr(store_module, "add_names", broken)
            with pytest.raises(StoreError, match="full"):
                taken(office, *files)
        assert facts(office) == []
        assert not (tmp_path / "h.refused.csv").exists()
        assert counts(taken(office, *files)) == (4, 0, 1)
        assert office.store.verify() == ()


def test_a_dry_run_writes_nothing_and_says_the_same(tmp_path: Path) -> None:
    files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", HOURS + "7,soon,1\n"))
    with yard() as office:
        dry = taken(office, *files, options=TakeOptions(dry_run=True, zone="Europe/Madrid"))
        assert facts(office) == []
        assert office.store.names() == {}
        assert sorted(path.name for path in tmp_path.iterdir()) == ["h.csv", "t.csv"]
        wet = taken(office, *files)
        assert (counts(dry), dry.refused) == (counts(wet), wet.refused)
        assert dry.refused_files == ()


def test_zone_and_country_are_written_once_and_say_when_a_day_begins(tmp_path: Path) -> None:
    options = TakeOptions(zone="Europe/Madrid", country="es")
    timed = "Truck,Date,Hours\n7,2026-07-05,1200\n7,2026-07-06 06:30,1207\n7,2026-07-07T06:30Z,1214\n"
    with yard() as office:
        for _ in range(2):
            taken(office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", timed), options=options)
        assert [f.body for f in facts(office) if f.book == YARD] == [YardSet(zone="Europe/Madrid", country="ES")]
        assert [(f.happened.isoformat(), f.whole_day) for f in bodies(office, MeterRead)] == [
            ("2026-07-05T00:00:00+02:00", True),
            ("2026-07-06T06:30:00+02:00", False),
            ("2026-07-07T06:30:00+00:00", False),
        ]
        assert counts(taken(office, file(tmp_path, "h.csv", timed))) == (0, 3, 0)


def test_days_stay_known_when_the_zone_of_the_yard_is_set_later(tmp_path: Path) -> None:
    files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", HOURS))
    with yard() as office:
        taken(office, *files)
        assert counts(taken(office, *files, options=TakeOptions(zone="America/New_York"))) == (0, 4, 0)


def test_a_day_whose_midnight_the_clocks_skip_begins_when_they_do(tmp_path: Path) -> None:
    """Source: the IANA time zone database, America/Santiago: clocks went forward at 2026-09-06T00:00."""
    hours = file(tmp_path, "h.csv", "Truck,Date,Hours\n7,2026-09-06,1200\n")
    with yard() as office:
        taken(office, file(tmp_path, "t.csv", TRUCKS), hours, options=TakeOptions(zone="America/Santiago"))
        assert bodies(office, MeterRead)[0].happened.isoformat() == "2026-09-06T01:00:00-03:00"


@pytest.mark.parametrize(
    ("options", "found", "hint"),
    [
        (TakeOptions(zone="Madrid"), "time zone 'Madrid'", "Europe/Madrid"),
        (TakeOptions(zone="europe/madrid"), "time zone", "Europe/Madrid"),
        (TakeOptions(zone="Europe"), "time zone 'Europe'", "IANA|meant|city"),
        (TakeOptions(zone="../etc"), "time zone", "city"),
        (TakeOptions(country="UK"), "country 'UK'", "GB"),
        (TakeOptions(country="Spain"), "country 'SPAIN'", "ES"),
        (TakeOptions(country="ZZ-1"), "country 'ZZ-1'", "Two letters"),
    ],
)
def test_a_zone_or_country_that_is_none_stops_everything(
    tmp_path: Path, options: TakeOptions, found: str, hint: str
) -> None:
    with yard() as office:
        with pytest.raises(Refused, match=hint) as refused:
            taken(office, file(tmp_path, "t.csv", TRUCKS), options=options)
        assert found in str(refused.value)
        assert facts(office) == []


def test_zone_and_country_are_refused_both_at_once() -> None:
    with yard() as office, pytest.raises(Refused) as refused:
        taken(office, options=TakeOptions(zone="Nowhere/Land", country="X"))
    assert [problem.code for problem in refused.value.problems] == ["zone-unknown", "country-unknown"]


def test_unknown_columns_are_named_and_left_out_and_can_be_mapped(tmp_path: Path) -> None:
    hours = file(tmp_path, "h.csv", "Truck,Day seen,Hours,Colour\n7,2026-01-05,1200,red\n")
    with yard() as office:
        trucks = file(tmp_path, "t.csv", TRUCKS)
        mapped = taken(office, trucks, hours, options=TakeOptions(columns={"Day seen": "date"}))
        assert counts(mapped) == (3, 0, 0)
        assert mapped.left_out == (LeftOut(str(hours), None, ("Colour",)),)
        unmapped = taken(office, hours)
        assert unmapped.refused[0].line == 1
        assert "Day seen" in unmapped.refused[0].found
        typo = taken(office, trucks, options=TakeOptions(columns={"Dia": "date"}))
        assert counts(typo) == (0, 2, 0)
        assert "Dia" in typo.notes[0]


def test_a_file_that_is_none_is_named_and_does_not_stop_the_others(tmp_path: Path) -> None:
    noise = tmp_path / "noise.xlsx"
    noise.write_bytes(bytes(range(256)) * 40)
    with yard() as office:
        result = taken(
            office, tmp_path / "gone.csv", tmp_path, noise, file(tmp_path, "e.csv", ""), file(tmp_path, "t.csv", TRUCKS)
        )
        assert counts(result) == (2, 0, 0)
        assert [refusal.file for refusal in result.refused] == [
            str(tmp_path / "gone.csv"), str(tmp_path), str(noise), str(tmp_path / "e.csv"),
        ]  # fmt: skip
        assert all(refusal.expected for refusal in result.refused)


def test_refused_rows_that_cannot_be_written_are_still_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> Path:
        raise OSError("read-only")

    monkeypatch.setattr("dipmark.office.take.write_refused", broken)
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", "Truck,Date,Hours\n7,soon,1\n"))
        assert counts(result) == (2, 0, 1)
        assert result.refused_files == ()
        assert "could not be written" in result.notes[0]


def test_long_work_tells_how_far_it_is(tmp_path: Path) -> None:
    heard: list[tuple[int, int]] = []
    rows = "".join(f"7,2026-01-{1 + n % 28:02},{n}\n" for n in range(1200))
    with yard() as office:
        files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", "Truck,Date,Hours\n" + rows))
        take(office, files, TakeOptions(), lambda done, total: heard.append((done, total)))
    assert heard == [(500, 1202), (1000, 1202), (1202, 1202)]


def test_the_clock_of_the_office_is_when_a_truck_without_a_date_is_enrolled(tmp_path: Path) -> None:
    with yard() as office:
        office.by = office.people.key_or_new("Lead hand")
        assert counts(taken(office, file(tmp_path, "t.csv", "Truck,Kind\n7,reach truck\n"))) == (1, 0, 0)
        (fact,) = facts(office)
        assert (fact.happened, fact.whole_day, fact.by) == (NOW, False, office.by)

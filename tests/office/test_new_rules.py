"""Rules for a new truck by spreadsheet: filled as a person would, read back, every slip named with its cell."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from dipmark.adapters.rulefiles import read_problems, read_rules
from dipmark.facts.errors import ImportError_, NotFound, Refused
from dipmark.facts.problems import Problem
from dipmark.office.new_rules import blank_workbook, rules_from
from office.filling import LPG, Workbook, check, task


@pytest.fixture
def book(tmp_path: Path) -> Workbook:
    path = tmp_path / "lpg.xlsx"
    path.write_bytes(blank_workbook(read_rules(), LPG))
    return Workbook(path)


def refused(book: Workbook, into: Path | None = None) -> list[Problem]:
    """Everything wrong with a workbook."""
    into = into or book.path.parent / "own"
    with pytest.raises(Refused) as caught:
        rules_from(book.save(), into)
    assert not (into / f"{LPG}.toml").exists()
    return list(caught.value.problems)


def places(problems: list[Problem]) -> list[tuple[str, str | None, int | None, str | None]]:
    """Code, sheet, row and column of each."""
    return [(one.code, one.where.sheet, one.where.line, one.where.column) for one in problems]


def hollowdale(book: Workbook) -> None:
    """What a person changes who has the manual of `examples/manual-of-an-invented-truck.md` beside him."""
    book.manual()
    book.change("truck", "choice-rhythm", answer="rhythm-200")
    book.change("fitted", "display", usually_fitted_here="yes")
    book.add("fitted", {"what such a truck may carry": "Work lamp", "usually fitted here": "yes"})
    book.change("checks", "chain.oil.dry", days=3, page_of_the_manual=1)
    book.change(
        "checks", "belts.whole.frayed", how_serious="Out of service", affects_safety="yes", page_of_the_manual=1
    )
    book.add("checks", check(only_if_fitted="work-lamp"))
    found = "a bracket is loose over the driver"
    book.add("checks", {"what may be found": found, "how serious": "Out of service", "affects safety": "yes"})
    lamp = check(what_to_look_at="Air-filter lamp in the display", normal="out", when="running", days=1)
    book.add("checks", lamp | {"only if fitted": "display", "what may be found": "the lamp is lit"})
    book.add("services", {"service": "Wheel nuts, once after 20 hours", "hours": 20, "once only": "yes",
                          "page of the manual": 2})  # fmt: skip
    book.change("services", "2400h", months=10, page_of_the_manual=2)
    book.add("tasks", task())
    nuts = task(what_to_do="Tighten the wheel nuts crosswise: 180 Nm", minutes=20, parts=None, fluids=None)
    book.add("tasks", nuts | {"service": "20h", "cautions": "book-torque; road-test", "test before release": "yes"})


def test_the_invented_truck_gets_its_rules(book: Workbook) -> None:
    own = book.path.parent / "own"
    hollowdale(book)
    made = rules_from(book.save(), own)
    assert (made.path, made.kind, made.changed, made.odd) == (own / f"{LPG}.toml", LPG, 9, ())
    assert read_problems(own) == ()
    rules = read_rules(own)
    kind = rules.kinds[LPG]
    lamp = kind.check("own.work-lamp-glass-and")
    assert lamp is not None
    assert (lamp.place, lamp.needs, lamp.shift, lamp.mark) == ("operator", ("work-lamp",), True, "seen")
    assert [one.seriousness for one in lamp.symptoms] == ["stop", "repair-by"]
    frayed = next(one for one in kind.checks if one.id == "belts.whole").symptom("frayed")
    assert frayed is not None
    assert (frayed.seriousness, frayed.affects_safety, frayed.days) == ("stop", True, None)
    assert {"work-lamp", "display", "rhythm-200"} <= set(kind.usual)
    assert kind.fitted(None) >= {"rhythm-200"}
    nuts = kind.service("20h")
    assert nuts is not None
    assert (nuts.once, nuts.tasks) == (True, ("own.tighten-the-wheel-nuts",))
    longest = kind.service("2400h")
    assert longest is not None
    assert (longest.months, f"{longest.interval_hours}") == (10, "2400")
    source = rules.sources[f"manual-{LPG}-p2"]
    assert (source.clause, source.read_by, source.read_on) == ("page 2", "A. Ruiz", "2026-11-20")


def test_a_new_task_joins_its_service_with_all_that_was_there(book: Workbook) -> None:
    hollowdale(book)
    rules_from(book.save(), book.path.parent / "own")
    kind = read_rules(book.path.parent / "own").kinds[LPG]
    then, now = (one.service("600h") for one in (read_rules().kinds[LPG], kind))
    assert then is not None
    assert now is not None
    assert now.tasks == (*then.tasks, "own.drain-the-sump-of")
    drain = kind.task("own.drain-the-sump-of")
    assert drain is not None
    assert (drain.parts, f"{drain.window.late_percent}", drain.retest) == (("sump plug washer",), "0", False)
    assert drain.cautions[1] == "Never with the forks raised: they come down when it runs empty."


def test_what_is_not_touched_is_not_written_and_the_rest_names_its_row(book: Workbook) -> None:
    book.manual()
    row = book.change("checks", "chain.oil.dry", days=3, page_of_the_manual=1)
    rules_from(book.save(), book.path.parent / "own")
    text = (book.path.parent / "own" / f"{LPG}.toml").read_text("utf-8")
    assert text.count("\n[") == 2  # the source and the finding
    assert f"# sheet checks, row {row}\n[checks.chain.oil.symptoms.dry]\ndays = 3\n" in text


def test_a_page_alone_says_that_the_manual_says_so_too(book: Workbook) -> None:
    book.manual(every="no")
    book.change("checks", "chain.oil.dry", page_of_the_manual="1-2")
    rules_from(book.save(), book.path.parent / "own")
    rules = read_rules(book.path.parent / "own")
    oil = next(one for one in rules.kinds[LPG].checks if one.id == "chain.oil")
    assert [oil.source, oil.symptoms[0].source] == [f"manual-{LPG}-p1-2"] * 2
    assert not rules.sources[oil.source].has_reader


def test_days_go_with_how_serious_it_is(book: Workbook) -> None:
    book.manual()
    book.change("checks", "chain.oil.dry", how_serious="out of service", days="")
    book.change("checks", "fuel.gauge.empty", how_serious="Repair by", days=2)
    book.change("truck", "meters", answer="engine\ndrive")
    rules_from(book.save(), book.path.parent / "own")
    kind = read_rules(book.path.parent / "own").kinds[LPG]
    found = [kind.check(id) for id in ("chain.oil", "fuel.gauge")]
    told = [(one.seriousness, one.days) for check in found if check for one in check.symptoms]
    assert told == [("stop", None), ("repair-by", 2)]
    assert kind.meters == ("engine", "drive")


def test_cells_are_read_as_people_write_them(book: Workbook) -> None:
    book.manual()
    book.change("truck", "read-on", answer=date(2026, 11, 19))
    book.change("fitted", "display", usually_fitted_here=True)
    book.add("tasks", task(service="450h, 900h", only_if_fitted="air-tyres,\nmirrors", parts="bolt, long; washer"))
    book.add("tasks", task())
    rules_from(book.save(), book.path.parent / "own")
    rules = read_rules(book.path.parent / "own")
    kind = rules.kinds[LPG]
    first, second = (kind.task(id) for id in ("own.drain-the-sump-of", "own.drain-the-sump-of-2"))
    assert first is not None
    assert second is not None
    assert (first.needs, first.parts) == (("air-tyres", "mirrors"), ("bolt, long", "washer"))
    assert [one.id for one in kind.services if first.id in one.tasks] == ["450h", "900h"]
    assert "display" in kind.usual
    assert rules.sources[first.source].read_on == "2026-11-19"


def test_the_place_of_what_the_law_says_stays_with_it(book: Workbook) -> None:
    book.manual()
    book.change("checks", "lpg.tight.leak", what_may_be_found="a smell of gas, frost or a hiss", page_of_the_manual=1)
    rules_from(book.save(), book.path.parent / "own")
    tight = next(one for one in read_rules(book.path.parent / "own").kinds[LPG].checks if one.id == "lpg.tight")
    leak = tight.symptom("leak")
    assert leak is not None
    assert (leak.text, leak.source) == ("a smell of gas, frost or a hiss", "us-178-p4")


def test_looser_than_the_law_is_refused_with_its_clause(book: Workbook) -> None:
    book.manual()
    row = book.change("checks", "lpg.tight.leak", how_serious="Watch", page_of_the_manual=1)
    problems = refused(book)
    assert places(problems)[-1] == ("rule-looser", "checks", row, "how serious")
    assert "It rests on: 29 CFR 1910.178" in problems[-1].hint


def test_looser_in_a_check_or_a_task_names_its_ground_too(book: Workbook) -> None:
    book.manual()
    shift = book.change("checks", "horn.heard.weak", before_every_shift="no")
    retest = book.change("tasks", "chain.look", test_before_release="no")
    problems = refused(book)
    assert places(problems) == [
        ("rule-looser", "checks", shift, "before every shift"),
        ("rule-looser", "tasks", retest, "test before release"),
    ]
    assert all("It rests on: " in one.hint for one in problems)


def test_litres_and_torques_need_a_manual_that_every_truck_has(book: Workbook) -> None:
    book.manual(every="no")
    row = book.add("tasks", task())
    problems = refused(book)
    assert places(problems) == [("rule-invented", "tasks", row, "what to do")]
    book.change("truck", "every", answer="yes")
    assert rules_from(book.save(), book.path.parent / "own").changed == 2


DRY = "chain.oil.dry"

SLIPS: list[tuple[str, Callable[[Workbook], Any], str, str]] = [
    ("checks", lambda b: b.change("checks", DRY, days="soon"), "new-rules-cell", "days"),
    ("checks", lambda b: b.change("checks", DRY, how_serious="Bad"), "new-rules-cell", "how serious"),
    ("checks", lambda b: b.change("checks", DRY, affects_safety="perhaps"), "new-rules-cell", "affects safety"),
    ("checks", lambda b: b.change("checks", DRY, what_may_be_found=""), "new-rules-cell", "what may be found"),
    ("checks", lambda b: b.change("checks", "engine-oil.level.low", put_right_on_the_spot=""), "new-rules-cell",
     "put right on the spot"),
    ("checks", lambda b: b.add("checks", check(place=None)), "new-rules-cell", "place"),
    ("checks", lambda b: b.add("checks", check(place="The roof")), "new-rules-cell", "place"),
    ("checks", lambda b: b.add("checks", check(only_if_fitted="wings")), "rule-reference", "only if fitted"),
    ("checks", lambda b: b.add("checks", check(what_to_look_at="x" * 111)), "rule-length", "what to look at"),
    ("checks", lambda b: b.add("checks", check(affects_safety="yes")), "rule-safety", "how serious"),
    ("checks", lambda b: b.add("checks", check(id="no.such.one")), "new-rules-row", "id"),
    ("checks", lambda b: b.add("checks", check(id="chain.oil.dry")), "new-rules-row", "id"),
    ("services", lambda b: b.add("services", {"service": "Whenever"}), "new-rules-cell", "hours"),
    ("services", lambda b: b.add("services", {"service": "Again", "hours": 450}), "new-rules-cell", "hours"),
    ("services", lambda b: b.change("services", "450h", hours="often"), "new-rules-cell", "hours"),
    ("tasks", lambda b: b.add("tasks", task(service="777h")), "new-rules-cell", "service"),
    ("tasks", lambda b: b.add("tasks", task(service=None)), "new-rules-cell", "service"),
    ("tasks", lambda b: b.add("tasks", task(cautions="hot-oli")), "new-rules-cell", "cautions"),
    ("tasks", lambda b: b.change("tasks", "chain.oil", service="900h"), "new-rules-cell", "service"),
    ("truck", lambda b: b.change("truck", "read-on", answer="last week"), "new-rules-cell", "answer"),
    ("truck", lambda b: b.change("truck", "every", answer="mostly"), "new-rules-cell", "answer"),
    ("truck", lambda b: b.change("truck", "kind", answer="reach"), "new-rules-cell", "answer"),
    ("truck", lambda b: b.change("truck", "manual", answer=""), "new-rules-cell", "answer"),
    ("truck", lambda b: b.change("truck", "choice-rhythm", answer="daily"), "rule-choice", "answer"),
    ("truck", lambda b: b.change("truck", "meters", answer="sundial"), "rule-unit", None),  # type: ignore[list-item]
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "slip", "code", "column"), SLIPS)
def test_a_slip_is_named_with_its_cell(
    book: Workbook, sheet: str, slip: Callable[[Workbook], int], code: str, column: str | None
) -> None:
    book.manual()
    row = slip(book)
    problems = refused(book)
    if column is None:
        assert code in [one.code for one in problems]
    else:
        assert (code, sheet, row, column) in places(problems)
        assert all(one.where.file == str(book.path) for one in problems)


def test_all_slips_are_named_at_once(book: Workbook) -> None:
    book.change("checks", "chain.oil.dry", days="soon")
    book.add("tasks", task(service="777h", minutes="some"))
    found = places(refused(book))
    assert {one[1] for one in found} == {"truck", "checks", "tasks"}
    assert len(found) == 6  # title, name and day of the manual; days; minutes; service


def test_a_finding_before_any_check_has_nothing_to_belong_to(book: Workbook) -> None:
    book.manual()
    book.book["checks"].delete_rows(2, 200)
    book.add("checks", {"what may be found": "it hums"})
    assert ("new-rules-cell", "checks", 2, "what to look at") in places(refused(book))


def test_a_lost_sheet_header_or_row_is_named(book: Workbook) -> None:
    book.manual()
    del book.book["cautions"]
    del book.book["fitted"]
    book.book["checks"].cell(1, 2, "where")
    book.book["truck"].delete_rows(book.row("truck", "read-by"))
    problems = refused(book)
    assert ("new-rules-sheet", "fitted", None, None) in places(problems)
    assert ("new-rules-sheet", "checks", 1, "place") in places(problems)
    assert "'Read by'" in " ".join(one.expected for one in problems)


def test_a_workbook_that_changes_nothing_writes_nothing(book: Workbook) -> None:
    book.manual()
    assert [one.code for one in refused(book)] == ["new-rules-there"]


def test_rules_of_that_kind_are_never_written_over(book: Workbook) -> None:
    hollowdale(book)
    own = book.path.parent / "own"
    rules_from(book.save(), own)
    before = (own / f"{LPG}.toml").read_bytes()
    with pytest.raises(Refused, match="expected no rules for that kind"):
        rules_from(book.path, own)
    assert (own / f"{LPG}.toml").read_bytes() == before


def test_it_stands_beside_what_the_yard_has_of_its_own(book: Workbook) -> None:
    own = book.path.parent / "own"
    own.mkdir()
    (own / "a.toml").write_text(f'kind = "{LPG}"\n[checks.chain.oil.symptoms.dry]\ndays = 2\n', "utf-8")
    book.manual()
    row = book.change("checks", "chain.oil.dry", days=3)
    assert ("rule-twice", "checks", row, "days") in places(refused(book, own))


def test_another_workbook_is_no_workbook_of_ours(book: Workbook) -> None:
    del book.book["was truck"]
    assert [one.code for one in refused(book)] == ["new-rules-there"]
    (book.path.parent / "x.xlsx").write_bytes(b"PK\x03\x04 cut off")
    with pytest.raises(ImportError_):
        rules_from(book.path.parent / "x.xlsx", book.path.parent / "own")


def test_a_kind_without_rules_is_none_to_start_from() -> None:
    with pytest.raises(NotFound, match="no rules for 'hovercraft'"):
        blank_workbook(read_rules(), "hovercraft")


@pytest.mark.parametrize("key", read_rules().kinds)
def test_every_kind_can_be_started_from_and_read_back(tmp_path: Path, key: str) -> None:
    (tmp_path / "new.xlsx").write_bytes(blank_workbook(read_rules(), key))
    book = Workbook(tmp_path / "new.xlsx")
    book.manual()
    assert [one.code for one in refused_of(book, key)] == ["new-rules-there"]


def refused_of(book: Workbook, key: str) -> list[Problem]:
    """What a workbook that changes nothing is told."""
    with pytest.raises(Refused) as caught:
        rules_from(book.save(), book.path.parent / "own")
    assert "nothing changed" in str(caught.value), key
    return list(caught.value.problems)

"""`plan` and `parts` on the invented yard."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import vobject

from faces.cli.running import dipmark, yard_of


@pytest.fixture(name="store", scope="module")
def _store(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """The invented yard as of now: a plan begins today."""
    named = ("--store", str(tmp_path_factory.mktemp("planning") / "yard.db"))
    made = dipmark(*named, "demo")
    assert made.code == 0, made.err
    return named


def test_a_plan_is_shown_published_and_given_to_calendars(store: tuple[str, str], tmp_path: Path) -> None:
    none = dipmark(*yard_of(tmp_path), "plan", "--published")
    assert (none.code, none.out) == (0, "No plan has been published yet: dipmark plan --publish\n")
    shown = dipmark(*store, "plan", "--why", "--seconds", "2")
    assert (shown.code, shown.err) == (0, "")
    assert "Carl Voss" in shown.out
    assert "What it is paid for, for comparing only" in shown.out
    assert "No plan of these visits costs less" in shown.out
    assert "competent person" in shown.out
    feed = tmp_path / "plan.ics"
    done = dipmark(*store, "plan", "--publish", "--seconds", "2", "--by", "Ruth Ashby", "--calendar", str(feed))
    assert (done.code, done.out.splitlines()[-1]) == (0, "Published.")
    assert vobject.readOne(feed.read_bytes().decode()).vevent_list
    kept = dipmark(*store, "plan", "--published", "--json").json
    assert kept["complaints"] == []
    assert json.loads(kept["visits"])


def test_one_truck_and_why(store: tuple[str, str]) -> None:
    shown = dipmark(*store, "plan", "--seconds", "2", "--truck", "5").out
    assert "450-hour service" in shown
    assert "it would cost" in shown or "nowhere does it cost less" in shown
    assert "Thorough examination" not in shown
    assert dipmark(*store, "plan", "--truck", "no such").code != 0


def test_publishing_goes_with_no_other_day(store: tuple[str, str]) -> None:
    for other in ("--published", "--as-of=2026-01-01"):
        assert dipmark(*store, "plan", "--publish", other).code == 2


def test_the_stores_are_shown(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "parts")
    assert (ran.code, ran.err) == (0, "")
    for wanted in ("Order, for 95 % of what is asked for", "Kits", "Shelf", "engine oil filter", "not kept"):
        assert wanted in ran.out
    page = dipmark(*store, "parts", "--json").json
    assert set(page) == {"shelf", "orders", "kits", "level", "day"}


def test_what_happens_on_the_shelf(store: tuple[str, str]) -> None:
    def there(part: str) -> object:
        shelf = dipmark(*store, "parts", "--json").json["shelf"]
        return next(row["there"] for row in shelf if row["part"] == part)

    assert dipmark(*store, "parts", "count", "mirror glass", "3", "--shelf", "B2").out == "Noted.\n"
    assert dipmark(*store, "parts", "receive", "mirror glass", "2", "--use-by", "2090-01-31").code == 0
    assert dipmark(*store, "parts", "issue", "mirror glass", "1").code == 0
    assert there("mirror glass") == 4
    gone = dipmark(*store, "parts", "discard", "mirror glass", "9")
    assert "Look at this:" in gone.out
    ordered = dipmark(*store, "parts", "order", "mirror glass", "4", "--expected", "2090-01-31", "--json").json
    assert len(ordered["accepted"]) == 1
    bought = dipmark(
        *store, "parts", "bought", "mirror glass", "--days", "3", "--longest", "5", "--pack", "2", "--level", "90",
        "--keeps", "900", "--from", "Parts Counter",
    )  # fmt: skip
    assert bought.code == 0
    row = next(row for row in dipmark(*store, "parts", "--json").json["shelf"] if row["part"] == "mirror glass")
    assert (row["lead_days"], len(row["coming"])) == (3, 1)


@pytest.mark.parametrize("words", [("count", "plug", "many"), ("issue", "plug", "4 l"), ("bought", "plug")])
def test_what_cannot_be_read_is_refused(store: tuple[str, str], words: tuple[str, ...]) -> None:
    assert dipmark(*store, "parts", *words).code == 2


def test_a_longer_time_that_is_shorter_is_refused(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "parts", "bought", "plug", "--days", "5", "--longest", "3")
    assert ran.code == 1
    assert "5 days or more" in ran.err

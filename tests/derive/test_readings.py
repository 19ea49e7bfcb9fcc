"""What a record says of the parts of a truck: what was read, what stays the same, when a part was renewed."""

from __future__ import annotations

import pytest

from derive.builders import ENROLLED, counting, fid
from derive.measuring import PLATE, PRESSED, chain, heel, measured, pressed, value
from dipmark.derive.judging import Given
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.readings import Readings, reading_of, readings_of
from dipmark.facts.base import BookId


def book(text: str) -> Readings:
    return readings_of(counting(ENROLLED + text), PRESSED)


def known(text: str, name: str, item: str | None = None) -> dict[str, str]:
    found = book(text).known(MEASUREMENTS[name], None if item is None else BookId(item))
    return {key: str(read[0].value) for key, read in found.read.items()} | found.words


def whole(text: str) -> Given:
    found = book(text)
    given = found.whole(found.all[-1])
    assert isinstance(given, Given), given
    return given


def wrong(text: str) -> list[str]:
    found = book(text)
    given = found.whole(found.all[-1])
    assert not isinstance(given, Given)
    return [f"{problem.code}: {problem.found}" for problem in given]


def test_what_stays_the_same_is_known_once_it_was_said() -> None:
    text = chain("2026-02-01", "510.0") + measured("chain", "2026-03-01", value("length", "511.0", "mm"))
    assert known(text, "chain") == {"pitches": "20 count", "pitch": "25.4 mm"}
    assert whole(text).one("pitch").unit == "mm"
    assert str(whole(text).one("length")) == "511 mm"


def test_what_was_said_last_stands_whenever_that_was() -> None:
    text = heel("2026-02-01", ("left", "39.0"), new="41.0") + heel("2026-03-01", ("left", "38.8"), new="40.0")
    assert known(text, "fork-heel") == {"new": "40 mm"}
    early = heel("2026-02-01", ("left", "39.0")) + heel("2026-03-01", ("left", "38.8"), new="40.0")
    found = book(early)
    assert isinstance(found.whole(found.all[0]), Given)


def test_a_fact_is_judged_by_what_it_says_itself() -> None:
    text = heel("2026-02-01", ("left", "39.0"), new="41.0") + heel("2026-03-01", ("left", "38.8"), new="40.0")
    found = book(text)
    first = found.whole(found.all[0])
    assert isinstance(first, Given)
    assert str(first.one("new")) == "41 mm"


@pytest.mark.parametrize(
    "renewal",
    [
        f'worked truck:7 2026-02-10T08:00:00+01:00 mia\n  mends - "{fid(2)}"\n',
        'worked truck:7 2026-02-10T08:00:00+01:00 mia\n  parts - {"part": "chain"}\n',
    ],
)
def test_a_renewed_part_starts_with_nothing_known(renewal: str) -> None:
    text = chain("2026-02-01", "524.0") + "\n" + renewal
    assert known(text, "chain") == {}
    after = text + measured("chain", "2026-03-01", value("length", "508.0", "mm"))
    assert wrong(after) == ["measure-missing: no pitches"]
    assert [reading.life for reading in book(after).all] == [0, 1]


def test_a_subject_named_among_the_parts_renews_all_that_is_measured_of_it() -> None:
    both = heel("2026-02-01", ("left", "39.0"), new="40.0") + measured(
        "fork-tips", "2026-02-01", value("blade", "1200", "mm", key="conditions"), value("difference", "3", "mm")
    )
    work = '\nworked truck:7 2026-02-10T08:00:00+01:00 mia\n  parts - {"part": "forks"}\n'
    assert book(both + work).lives == {("fork-heel", None): 1, ("fork-tips", None): 1}
    other = '\nworked truck:7 2026-02-10T08:00:00+01:00 mia\n  mends - "x"\n  parts - {"part": "oil filter"}\n'
    assert set(book(both + other).lives.values()) == {0}


def test_each_item_has_its_own_part() -> None:
    text = heel("2026-02-01", ("left", "39.0"), new="40.0", rest="  item item:forks-1\n")
    assert known(text, "fork-heel") == {}
    assert known(text, "fork-heel", "item:forks-1") == {"new": "40 mm"}


def test_the_plate_of_the_truck_speaks_where_nobody_has() -> None:
    assert known(PLATE, "tyre-pressure") == {"asked": "8 bar"}
    more = PLATE + (
        "\nplate-read truck:7 2026-01-03T08:00:00+01:00 lead\n"
        '  values - {"name": "tyre-pressure.asked-at", "value": "20", "unit": "°C"}\n'
        '  values - {"name": "chain.pitches", "value": "20"}\n'
        '  values - {"name": "chain.pitch", "value": "3", "unit": "furlong"}\n'
        '  values - {"name": "fork-heel.new", "value": "40", "unit": "bar"}\n'
        '  values - {"name": "chain.designation", "value": "8"}\n'
        '  texts - {"name": "battery-sg.scale", "text": "Council"}\n'
        '  texts - {"name": "chain.pitches", "text": "many"}\n'
        '  texts - {"name": "chain.designation", "text": "BL823"}\n'
    )
    assert known(more, "tyre-pressure") == {"asked": "8 bar", "asked-at": "20 C"}
    assert known(more, "chain") == {"designation": "BL823"}
    assert known(more, "fork-heel") == {}
    assert known(more, "battery-sg") == {"scale": "council"}


def test_the_part_itself_speaks_before_the_plate() -> None:
    text = PLATE + measured(
        "tyre-pressure", "2026-02-01", value("now", "9", "bar"), value("asked", "9", "bar", key="conditions")
    )
    assert known(text, "tyre-pressure") == {"asked": "9 bar"}


def test_the_pressure_of_a_walk_round_is_a_reading() -> None:
    found = book(pressed("2026-11-20", "7.9") + pressed("2026-11-21", None))
    (one,) = found.all
    assert (one.measurement.name, one.ref) == ("tyre-pressure", f"{fid(2)}#tyre.pressure")
    assert str(one.given.one("now")) == "7.9 bar"
    assert readings_of(counting(ENROLLED + pressed("2026-11-20", "7.9")), None).all == []


def test_a_value_in_an_odd_unit_is_as_if_it_were_not_there() -> None:
    odd = measured("fork-heel", "2026-02-01", value("now", "39", "l"), value("new", "40", "cubit", key="conditions"))
    assert wrong(odd) == ["measure-missing: no new", "measure-missing: no now"]


def test_what_cannot_be_true_is_named() -> None:
    assert wrong(heel("2026-02-01", ("left", "-1"), new="40")) == ["measure-nonsense: now -1 mm"]


def test_words_are_taken_where_they_are_known() -> None:
    crack = '  chosen - {"quantity": "found", "word": "crack"}\n'
    assert whole(measured("fork-cracks", "2026-02-01", "  values []\n", crack)).words == {"found": "crack"}
    odd = crack.replace('"crack"', '"dragon"')
    assert wrong(measured("fork-cracks", "2026-02-01", "  values []\n", odd)) == ["measure-missing: no found"]


def test_what_stands_behind_the_at_belongs_to_the_value_before_it() -> None:
    text = measured(
        "viscosity",
        "2026-02-01",
        value("point", "32", "cSt"),
        value("point@", "40", "C"),
        value("point", "5.4", "cSt"),
        value("point@", "100", "C"),
        value("at", "80", "C"),
    )
    points = whole(text).all("point")
    assert [(str(point.value), str(point.at)) for point in points] == [("32 cSt", "40 C"), ("5.4 cSt", "100 C")]
    lost = measured("viscosity", "2026-02-01", value("point", "32", "cSt"), value("at", "80", "C"))
    assert wrong(lost) == ["measure-missing: no point"]


def test_an_unknown_subject_is_left_alone() -> None:
    assert book(measured("dragon", "2026-02-01", value("length", "3", "mm"))).all == []


@pytest.mark.parametrize(
    ("name", "first"),
    [("chain", "length"), ("tyre-pressure", "now"), ("fork-tips", "difference"), ("fork-cracks", "found")],
)
def test_what_a_walk_round_reads_is_what_changes(name: str, first: str) -> None:
    assert reading_of(MEASUREMENTS[name]).name == first

"""What the truck file says of all that was around the truck."""

from __future__ import annotations

from derive.builders import ENROLLED, ZONE, at, record, truck
from derive.test_called import KIND
from derive.test_impact import HIT, REPORT, TICKED, hits, release
from dipmark.derive.makeup import hung_of
from dipmark.derive.past import past
from dipmark.facts.base import BookId, PersonKey
from dipmark.views.file_around import Around, FilePart, file_around
from dipmark.views.log import log_rows
from dipmark.views.people import PermitRow, PersonRow
from dipmark.views.yard import Reason

NOW = "2026-03-01T00:00:00"
NAMES = {PersonKey("p-dan"): "Dan", PersonKey("carl"): "Carl", PersonKey("lead"): "Ruth", PersonKey("hugh"): "Hugh"}
FITTED = "\nfitted truck:7 2026-01-10T08:00:00+01:00 lead\n  item item:clamp-3\n  position carriage\n"
LENT = '\nheld-by truck:7 2026-01-20T08:00:00+01:00 lead\n  who hired-in\n  firm "Quayside Hire"\n  owes - 150h\n'
DRIVER = "  person p-dan\n"


def permit(*asks: str, may: bool = True, kind: str = "engine-pneumatic-lpg") -> PersonRow:
    said = tuple(Reason(one, "x", None, ()) for one in asks)
    row = PermitRow(kind, kind, may, (Reason("no permit", "x", None, ()),), said, None, None, None)
    return PersonRow(PersonKey("p-dan"), "Dan", ("driver",), None, False, (), (), (), (row,), ())


def parts(text: str, *people: PersonRow) -> dict[str, FilePart]:
    book = record(ENROLLED + text)
    counting = past(book, at(NOW))
    now = truck(ENROLLED + text, NOW, KIND)
    rows = {one.id: one for one in log_rows(book, counting, NAMES, at(NOW), ZONE)}
    stays = hung_of({now.book: counting})
    around = Around(hits(text), stays, {BookId("item:clamp-3"): "attachment"}, people)
    return {one.title: one for one in file_around(now, around, rows, NAMES, ZONE)}


def hit_lines(text: str, *people: PersonRow) -> list[str]:
    return [one.text for one in parts(text, *people)["Hits and near misses, and what followed"].lines]


def test_of_a_truck_around_which_nothing_was_nothing_is_said_but_whose_it_is() -> None:
    found = parts("")
    assert {title: len(part.lines) for title, part in found.items()} == {
        "Hits and near misses, and what followed": 0,
        "What hung on it": 0,
        "Who had it": 1,
        "Papers, line by line": 0,
    }


def test_every_step_after_a_hit_stands_with_who_made_it() -> None:
    text = HIT + DRIVER + TICKED + REPORT + release("2026-02-04T08:00")
    lines = parts(text, permit())["Hits and near misses, and what followed"].lines
    assert [(one.text, one.end) for one in lines] == [
        ("into rack 14", "dan"),
        ("Nobody sealed the record.", ""),
        ("Looked over: the list ticked off whole", "Carl"),
        ("Examined anew, found fit: Report", "Hugh"),
        ("Released", "Ruth"),
        ("Driver Dan: nothing more is asked of him", ""),
    ]
    assert [one.when for one in lines][2:5] == ["Mon 2026-02-02 09:00", "Tue 2026-02-03 09:00", "Wed 2026-02-04 08:00"]


def test_what_is_missing_after_a_hit_is_said() -> None:
    assert hit_lines(HIT + DRIVER, permit("refresher wanted")) == [
        "into rack 14",
        "Nobody sealed the record.",
        "The list after a hit is not ticked off",
        "No report of an examination after it",
        "Not released",
        "Driver Dan: refresher wanted",
    ]
    assert hit_lines(HIT + DRIVER, permit(may=False))[-1] == "Driver Dan: no permit"
    assert hit_lines(HIT + DRIVER, permit("x", kind="reach"))[-1] == "Driver Dan: nothing more is asked of him"
    assert hit_lines(HIT)[-1] == "Not released"  # nobody is named who drove
    assert len(hit_lines(HIT.replace("what hit", "what near-miss"))) == 2


def test_what_hung_on_it_and_who_had_it() -> None:
    found = parts(FITTED + LENT + "\nremoved truck:7 2026-01-30T08:00:00+01:00 lead\n  item item:clamp-3\n")
    (stay,) = found["What hung on it"].lines
    assert stay.when == "Sat 2026-01-10 08:00 – Fri 2026-01-30 08:00"
    assert stay.text == "clamp-3 attachment carriage"
    assert parts(FITTED)["What hung on it"].lines[0].when.endswith("– ")
    latest, first = found["Who had it"].lines
    assert (latest.text, latest.end) == ("hired in, Quayside Hire", "theirs meanwhile: 150h")
    assert first.end == ""


def test_each_line_of_a_paper_stands_with_its_answer() -> None:
    open_line = REPORT.replace(
        '  lines - {"text": "whole", "duty": "thorough-examination"}\n',
        '  number W-3\n  issuer Hugh\n  lines - {"text": "whole", "duty": "thorough-examination"}\n'
        '  lines - {"text": "hose to be renewed"}\n',
    )
    lines = parts(open_line)["Papers, line by line"].lines
    assert [(one.text, one.end) for one in lines] == [
        ("Report W-3 Hugh: hose to be renewed", "NOT ANSWERED"),
        ("Report W-3 Hugh: whole", "answered"),
    ]

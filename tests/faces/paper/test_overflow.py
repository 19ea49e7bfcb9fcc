"""Nothing is cut and nothing lies over anything else, with the longest texts, in every language and size."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache

import pypdfium2
import pytest

from dipmark.faces.paper import press
from dipmark.faces.paper.press import Doc
from dipmark.views.sheet_geometry import PAPERS as SIZES
from dipmark.views.sheet_geometry import Paper, ticks
from dipmark.views.week_sheet import WeekSheet
from faces.paper.trucks import LANGUAGES, NOW, PAPERS, rules_in, truck_docs, yard_docs

POINT = 72 / 254
"""Points in a tenth of a millimetre."""

AIR = 14.0
"""Points that stay white at every edge of the paper: about 5 mm, as far out as printers reach."""

TOUCH = 1.6
"""Points by which boxes of two texts may run into one another: a font's boxes are larger than its letters."""

Box = tuple[float, float, float, float]


WHOLE = ("engine-pneumatic-lpg", "reach")
"""Kinds of which every sheet is looked at; of all others the week sheet and the card, whose words are their own."""


@cache
def docs(language: str, paper: Paper) -> tuple[Doc, ...]:
    kinds = {key: truck_docs(language, key, paper) for key in rules_in(language).kinds}
    some = (one for key, sheets in kinds.items() for one in (sheets if key in WHOLE else (sheets[0], sheets[2])))
    return (*some, *yard_docs(language))


@cache
def told(language: str, paper: Paper) -> str:
    return press.told(docs(language, paper), rules_in(language), paper)


@cache
def pages(language: str, paper: Paper) -> tuple[tuple[Box, ...], ...]:
    """The rectangles of the lines of print of each page: left, bottom, right, top."""
    with pypdfium2.PdfDocument(press.compiled(told(language, paper), NOW)) as book:
        found = []
        for page in book:
            text = page.get_textpage()
            found.append(tuple(text.get_rect(turn) for turn in range(text.count_rects())))
        return tuple(found)


def over(boxes: tuple[Box, ...]) -> Iterator[tuple[Box, Box]]:
    """Pairs of lines of print that lie over one another."""
    rising = sorted(boxes, key=lambda box: box[1])
    for turn, (left, bottom, right, top) in enumerate(rising):
        for other in rising[turn + 1 :]:
            if other[1] >= top - TOUCH:
                break
            if min(right, other[2]) - max(left, other[0]) > TOUCH and min(top, other[3]) - other[1] > TOUCH:
                yield (left, bottom, right, top), other


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_text_fits_its_place(language: str, paper: Paper) -> None:
    assert json.loads(press.compiler(told(language, paper)).query("<overfull>", field="value")) == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_no_print_leaves_the_paper(language: str, paper: Paper) -> None:
    width, height = (size * POINT for size in SIZES[paper])
    outside = [
        (number, box)
        for number, boxes in enumerate(pages(language, paper), 1)
        for box in boxes
        if box[0] < AIR or box[1] < AIR or box[2] > width - AIR or box[3] > height - AIR
    ]
    assert outside == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_no_print_lies_over_other_print(language: str, paper: Paper) -> None:
    found = [(number, pair) for number, boxes in enumerate(pages(language, paper), 1) for pair in over(boxes)]
    assert found == []


@pytest.mark.parametrize("paper", PAPERS)
def test_no_print_lies_in_a_box_to_tick(paper: Paper) -> None:
    """The number in a ring is the one thing printed where a pen goes."""
    height, number = SIZES[paper][1] * POINT, 0
    for key in ("rough-terrain", "pallet"):
        doc = truck_docs("es", key, paper)[0]
        assert isinstance(doc, WeekSheet)
        data = press.compiled(press.told([doc], rules_in("es"), paper), NOW)
        with pypdfium2.PdfDocument(data) as book:
            for page, sheet in zip(book, doc.pages, strict=True):
                text = page.get_textpage()
                for one in ticks(sheet.layout):
                    if one.what == "digit":
                        continue
                    left, right = one.area.x * POINT, (one.area.x + one.area.w) * POINT
                    top, bottom = height - one.area.y * POINT, height - (one.area.y + one.area.h) * POINT
                    assert text.get_text_bounded(left + 1, bottom + 1, right - 1, top - 1).strip() == ""
                    number += 1
    assert number > 1_000


def test_print_that_lies_over_other_print_is_found() -> None:
    assert list(over(((0, 0, 50, 10), (40, 4, 90, 14)))) == [((0, 0, 50, 10), (40, 4, 90, 14))]
    assert list(over(((0, 0, 50, 10), (49, 4, 90, 14)))) == []
    assert list(over(((0, 0, 50, 10), (0, 9, 50, 19)))) == []


def test_a_text_that_does_not_fit_is_found() -> None:
    doc = docs("en", "a4")[0]
    assert isinstance(doc, WeekSheet)
    data = json.loads(press.told([doc], rules_in("en"), "a4"))
    data["docs"][0]["doc"]["lines"][0]["text"] = "long " * 200
    assert json.loads(press.compiler(json.dumps(data)).query("<overfull>", field="value"))[0] == 1

"""The text is well-formed, says what it is to who cannot see it, and carries no style."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from dipmark.rules.model import KIND_KEYS
from dipmark.views.drawing.draw import drawing
from dipmark.views.drawing.shapes import Disc, Drawing, Mark, line, shape
from dipmark.views.drawing.svg import LOOK, NAMESPACE, svg
from views.drawing.rounds import round_of

SPACE = f"{{{NAMESPACE}}}"


def small(*strokes: object, marks: tuple[Mark, ...] = ()) -> list[str]:
    """The lines of a drawing of these strokes, without its frame and title."""
    made = Drawing(kind="reach", width=320, height=200.25, strokes=strokes, marks=marks, radius=10, walk=())  # type: ignore[arg-type]
    return svg(made, "Small").splitlines()[2:-1]


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_it_is_well_formed_and_named(kind: str) -> None:
    root = ET.fromstring(svg(drawing(kind, round_of(kind)), "Fork <truck> & driver"))
    assert root.tag == f"{SPACE}svg"
    assert root.get("role") == "img"
    assert root[0].tag == f"{SPACE}title"
    assert root[0].text == "Fork <truck> & driver"
    assert [mark.get("data-place") for mark in root.iter(f"{SPACE}g")] == [place.id for place in round_of(kind)]
    assert [text.text for text in root.iter(f"{SPACE}text")] == [str(place.number) for place in round_of(kind)]


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_a_strict_page_takes_it(kind: str) -> None:
    text = svg(drawing(kind, round_of(kind)), kind)
    assert not re.search(r"\bstyle|<script|\bon\w+=|\bid=|href|url\(", text)
    assert len(text) < 26_000


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_numbers_are_short_and_inside_the_box(kind: str) -> None:
    text = svg(drawing(kind, round_of(kind)), kind)
    assert not re.search(r"\d\.\d\d", text)
    assert not re.search(r'[" ,LMQ]-\d', text)


def test_a_disc_and_an_open_line() -> None:
    assert small(Disc("rim", 1, 2.04, 3)) == [
        '<circle cx="1" cy="2" r="3" class="rim" fill="#fff" stroke-width="0.7"/>'
    ]
    assert small(line("chain", (0, 0), (5, 5.55))) == [
        '<path d="M0 0L5 5.5" class="chain" fill="none" stroke-width="0.7"/>'
    ]


def test_corners_are_rounded_but_never_past_the_middle() -> None:
    (path,) = small(shape("body", (0, 0), (10, 0), (10, 40), bend=8))
    assert 'd="M1.9 7.8Q0 0 5 0L5 0Q10 0 10 8L10 32Q10 40 8.1 32.2Z"' in path


def test_an_open_line_keeps_its_ends() -> None:
    walked = shape("walk", (0, 0), (20, 0), (20, 20), bend=4)
    (path,) = small(type(walked)("walk", walked.points, bend=4))
    assert 'd="M0 0L16 0Q20 0 20 4L20 20"' in path
    assert 'stroke-dasharray="2 3"' in path


def test_a_tint_lies_over_paper() -> None:
    under, over = small(Disc("seat", 5, 5, 2))
    assert under == '<circle cx="5" cy="5" r="2" class="seat" fill="#fff" stroke="none"/>'
    assert 'class="seat tint" fill="currentColor" fill-opacity=".16"' in over


def test_a_mark_tells_its_place_in_words() -> None:
    (text,) = small(marks=(Mark(number=3, place="rear", text='Rear "gas" & weight', x=10, y=20, side="right"),))
    assert text.startswith('<g class="mark" data-place="rear"><title>3 Rear &quot;gas&quot; &amp; weight</title>')
    assert text.endswith(">3</text></g>")


def test_only_paper_and_ink_are_used() -> None:
    assert {fill for fill, _ in LOOK.values()} == {"none", "#fff", "currentColor", "shade"}


def test_the_place_that_is_spoken_of_is_marked_and_no_other() -> None:
    marked = svg(drawing("reach", round_of("reach")), "Reach", "front")
    assert re.findall(r'class="mark here" data-place="([^"]+)"', marked) == ["front"]
    assert "here" not in svg(drawing("reach", round_of("reach")), "Reach")

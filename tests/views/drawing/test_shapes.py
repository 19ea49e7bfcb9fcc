"""Shapes are moved, enlarged, mirrored and measured."""

from __future__ import annotations

from dipmark.views.drawing.shapes import Disc, Line, bar, both, bounds, box, line, placed, shape


def test_a_bar_lies_about_its_middle_line() -> None:
    assert bar("mast", (5, 0), (5, 20), 6).points == ((2, 0), (2, 20), (8, 20), (8, 0))


def test_a_box_is_a_closed_shape() -> None:
    assert box("body", (0, 10), (2, 4), bend=1) == shape("body", (0, 2), (10, 2), (10, 4), (0, 4), bend=1)
    assert box("body", (0, 10), (2, 4)).closed


def test_both_sides_are_mirror_images() -> None:
    one = (Disc("tyre", 3, 4, 2), line("detail", (1, 5), (2, 6)))
    assert both(*one) == (*one, Disc("tyre", 3, -4, 2), Line("detail", ((1, -5), (2, -6))))


def test_what_is_placed_is_enlarged_then_moved() -> None:
    strokes = (Disc("rim", 1, 2, 3), shape("body", (0, 0), (1, 0), (1, 2), bend=4))
    assert placed(strokes, 2, -1, (100, 50)) == (
        Disc("rim", 102, 46, 6),
        shape("body", (100, 50), (102, 50), (102, 46), bend=8),
    )


def test_bounds_hold_discs_and_lines() -> None:
    assert bounds([Disc("rim", 0, 0, 5)]) == (-5, -5, 5, 5)
    assert bounds([line("chain", (7, 1), (2, 9)), Disc("rim", 0, 0, 1)]) == (-1, -1, 7, 9)

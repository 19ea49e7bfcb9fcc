"""Type marks against areas: every cell of the table in 29 CFR 1910.178(c).

What was read, in copies: OSHA letters of 24 May 1995 (Table N-1 lists no truck for Class I, Group C, Divisions 1 and
2), of 16 June 1995 (none for Class II, Group E, Division 1; (c)(2)(ii)(a) forbids them in metal dust) and of 3 June
1993 ((c)(2)(vi)(a), combustible dust in suspension: EX only); OSHA Instruction STD 1-11.6A (Class II, Division 2: DY,
EE and EX everywhere; DS, ES, GS and LPS where the dust stays in closed bins, conveyors, bags and the like); a training
page that sums up Class I (Division 1: none for gases such as acetylene, hydrogen, ether, EX for such as petrol;
Division 2 of the latter: DY, EE, EX, and DS, ES, GS, LPS where all is sealed). That page also allows trucks for the
former gases in Division 2, which Table N-1 by the letter does not: the letter is followed. The cells of Table N-1
itself were not seen: every other cell is from memory.
"""

from __future__ import annotations

from typing import Final

import pytest

from dipmark.derive.places import AREAS, MARKS, misplaced
from dipmark.facts.place import Area, PlaceSet

TABLE: Final = """
          D   DS  DY  E   ES  EE  EX  G   GS  LP  LPS
I-1-A     -   -   -   -   -   -   -   -   -   -   -
I-1-B     -   -   -   -   -   -   -   -   -   -   -
I-1-C     -   -   -   -   -   -   -   -   -   -   -
I-1-D     -   -   -   -   -   -   yes -   -   -   -
I-2-A     -   -   -   -   -   -   -   -   -   -   -
I-2-B     -   -   -   -   -   -   -   -   -   -   -
I-2-C     -   -   -   -   -   -   -   -   -   -   -
I-2-D     -   s   yes -   s   yes yes -   s   -   s
II-1-E    -   -   -   -   -   -   -   -   -   -   -
II-1-F    -   -   -   -   -   -   yes -   -   -   -
II-1-G    -   -   -   -   -   -   yes -   -   -   -
II-2-E    -   -   -   -   -   -   -   -   -   -   -
II-2-F    -   s   yes -   s   yes yes -   s   -   s
II-2-G    -   s   yes -   s   yes yes -   s   -   s
III-1     -   -   yes -   -   yes yes -   -   -   -
III-2     -   yes yes -   yes yes yes -   yes -   yes
"""
"""``s``: where all that could burn stays shut in. Stricter than the law on purpose: II-2-E, which STD 1-11.6A leaves to
DY, EE and EX while (c)(2)(ii)(a) forbids metal dust; III-2 with E, which (c)(2)(ix) only lets go on where it was so
before."""

HEAD, *ROWS = (line.split() for line in TABLE.strip().splitlines())
CELLS: Final = [(area, mark, cell) for area, *cells in ROWS for mark, cell in zip(HEAD, cells, strict=True)]


@pytest.mark.parametrize(("area", "mark", "cell"), CELLS)
def test_every_cell(area: Area, mark: str, cell: str) -> None:
    open_air, shut = PlaceSet(name="x", area=area), PlaceSet(name="x", area=area, sealed=True)
    assert (misplaced(mark, open_air) is None) is (cell == "yes")
    assert (misplaced(mark, shut) is None) is (cell in ("yes", "s"))


def test_the_table_is_whole() -> None:
    assert tuple(HEAD) == MARKS
    assert tuple(area for area, *_ in ROWS) == AREAS
    assert len(CELLS) == len(MARKS) * len(AREAS)


@pytest.mark.parametrize("area", AREAS)
def test_ex_is_allowed_wherever_any_mark_is(area: Area) -> None:
    """(c)(1): a truck with greater safeguards than asked may be used; from memory."""
    place = PlaceSet(name="x", area=area, sealed=True)
    if any(misplaced(mark, place) is None for mark in MARKS):
        assert misplaced("EX", place) is None


@pytest.mark.parametrize("area", AREAS)
@pytest.mark.parametrize("mark", [None, "", "CN", "X"])
def test_an_unknown_mark_is_allowed_nowhere(area: Area, mark: str | None) -> None:
    assert misplaced(mark, PlaceSet(name="x", area=area, sealed=True)) is not None

"""The walking line is walked once round, and one stops on it where there is something to look at."""

from __future__ import annotations

from itertools import pairwise
from math import dist

import pytest

from dipmark.views.drawing import walk

ROUND = walk.round_truck(0, 100, 300, 220)
LENGTH = walk.length_of(ROUND)


def at(*ids: str, **spots: tuple[float, float]) -> list[tuple[float, float]]:
    """Where one stops for these places."""
    return [walk.stop_at(ROUND, far)[0] for far in walk.stops(ROUND, ids, spots)]


def test_it_begins_before_the_left_fork_and_goes_by_the_front_the_right_and_the_rear() -> None:
    assert walk.stop_at(ROUND, 0) == ((0, 206), "left")
    assert walk.stop_at(ROUND, LENGTH) == ((20, 220), "below")
    sides = [walk.stop_at(ROUND, LENGTH * step / 100)[1] for step in range(101)]
    assert [side for turn, side in enumerate(sides) if side not in sides[:turn]] == ["left", "above", "right", "below"]


def test_a_place_is_looked_at_straight_from_its_side_of_the_line() -> None:
    stops = at(
        "front", "sides", "rear", "operator", front=(50, 160), sides=(90, 130), rear=(280, 150), operator=(170, 170)
    )
    assert [(round(x), round(y)) for x, y in stops] == [(0, 160), (90, 100), (300, 150), (170, 220)]


def test_a_spot_beyond_the_straight_is_looked_at_from_its_end() -> None:
    assert at("sides", sides=(-40, 130)) == [(14, 100)]
    assert at("rear", rear=(280, 400)) == [(300, 206)]


def test_the_ends_are_for_coming_and_leaving() -> None:
    assert at("approach", "shift-end") == [(0, 206), (20, 220)]


def test_places_without_a_spot_come_evenly_between_their_neighbours() -> None:
    stops = at("operator", "one", "two", "hydraulics", operator=(200, 170), hydraulics=(80, 170))
    assert stops == [(200, 220), (160, 220), (120, 220), (80, 220)]


def test_places_without_any_neighbour_share_the_line() -> None:
    assert walk.stops(ROUND, ("one", "two", "three"), {}) == pytest.approx([LENGTH / 4, LENGTH / 2, LENGTH * 3 / 4])
    assert walk.stops(ROUND, (), {}) == []


def test_crowded_stops_make_room_to_both_sides_alike() -> None:
    (first, _), (second, _) = at("operator", "running", operator=(150, 170), running=(150, 170))
    assert first - second == pytest.approx(walk.APART)
    assert (first + second) / 2 == pytest.approx(150)


def test_nobody_walks_back() -> None:
    stops = walk.stops(ROUND, ("battery", "operator"), {"battery": (100, 170), "operator": (200, 170)})
    assert stops[1] - stops[0] == pytest.approx(walk.APART)


def test_crowds_at_the_ends_stay_on_the_line() -> None:
    first = walk.stops(ROUND, ("approach", "front"), {"front": (0, 300)})
    assert first == pytest.approx([0, walk.APART])
    last = walk.stops(ROUND, ("hydraulics", "shift-end"), {"hydraulics": (0, 170)})
    assert last == pytest.approx([LENGTH - walk.APART, LENGTH])


@pytest.mark.parametrize("number", [1, 2, 12, 25, 26, 27, 28, 60])
def test_any_number_of_places_finds_room(number: int) -> None:
    stops = walk.stops(ROUND, [f"place-{turn}" for turn in range(number)], {})
    room = walk.apart(LENGTH, number)
    points = [walk.stop_at(ROUND, min(far, LENGTH))[0] for far in stops]
    assert stops == sorted(stops)
    assert -1e-9 <= stops[0] <= stops[-1] <= LENGTH + 1e-9
    assert all(dist(*pair) >= 2 * walk.RADIUS * room / walk.APART for pair in pairwise(points))


def test_room_shrinks_only_when_it_must() -> None:
    assert walk.apart(1000, 1) == walk.APART
    assert walk.apart(1000, 12) == walk.APART
    assert walk.apart(100, 11) == 10

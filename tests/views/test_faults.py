"""All open faults of the yard: the most serious first, then by deadline, then the oldest."""

from __future__ import annotations

from datetime import UTC

from dipmark.views.faults import yard_cards, yard_faults
from views.yards import ANA, made

AS_OF = "2026-11-20T10:00"


def truck(name: str, rest: str) -> str:
    return f"\nenrolled truck:{name} 2026-01-05T00:00:00+00:00 ana\n  what engine-pneumatic-lpg\n  place dock\n{rest}"


def fault(name: str, hour: str, text: str, more: str) -> str:
    return f'\nfault truck:{name} 2026-11-{hour}:00:00+00:00 ana\n  text "{text}"\n{more}\n'


def test_the_most_serious_comes_first_then_the_nearest_day_then_the_oldest() -> None:
    seven = truck(
        "7",
        fault("7", "19T05", "seat torn", "  seriousness watch")
        + fault("7", "19T06", "mirror", "  seriousness repair-by\n  days 9")
        + fault("7", "19T07", "brake", "  seriousness stop"),
    )
    eight = truck(
        "8",
        fault("8", "18T05", "lamp", "  seriousness repair-by\n  days 3")
        + fault("8", "18T06", "gas", "  seriousness now")
        + fault("8", "18T07", "dull paint", "  seriousness watch"),
    )
    rows = yard_faults([made(seven, AS_OF), made(eight, AS_OF)], ANA, UTC)
    assert [(row.truck, row.fault.text) for row in rows] == [
        ("8", "gas"),
        ("7", "brake"),
        ("8", "lamp"),
        ("7", "mirror"),
        ("8", "dull paint"),
        ("7", "seat torn"),
    ]
    assert (rows[0].place, rows[0].fault.by, rows[0].fault.since) == ("dock", "Ana Ruiz", "Wed 2026-11-18 06:00")


def test_cards_that_hang_the_oldest_first() -> None:
    late = truck("7", '\nout-of-service truck:7 2026-11-20T05:00:00+00:00 bo\n  reason "bent mast"\n')
    early = truck("8", '\nout-of-service truck:8 2026-11-19T05:00:00+00:00 ana\n  reason "no brakes"\n')
    rows = yard_cards([made(late, AS_OF), made(early, AS_OF)], ANA, UTC)
    assert [(row.truck, row.text, row.by) for row in rows] == [("8", "no brakes", "Ana Ruiz"), ("7", "bent mast", "bo")]
    assert yard_cards([made(truck("9", ""), AS_OF)], ANA, UTC) == ()

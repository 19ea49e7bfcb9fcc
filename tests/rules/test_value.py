"""Source, mark and trucks: what every rule carries."""

from __future__ import annotations

import pytest

from dipmark.rules.value import Trucks


@pytest.mark.parametrize(
    ("trucks", "kind", "has", "holds"),
    [
        (Trucks(), "reach", (), True),
        (Trucks(kinds=("reach",)), "reach", (), True),
        (Trucks(kinds=("reach",)), "pallet", (), False),
        (Trucks(kinds=("reach",), where=("stacker",)), "pallet", ("cab", "stacker"), True),
        (Trucks(where=("stacker",)), "pallet", ("cab",), False),
        (Trucks(where=("stacker",)), "stacker", (), False),
    ],
)
def test_a_rule_is_for_kinds_or_for_what_a_truck_has(
    trucks: Trucks, kind: str, has: tuple[str, ...], holds: bool
) -> None:
    assert trucks.hold(kind, has) is holds

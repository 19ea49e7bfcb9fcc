"""What could fool each figure of the lessons."""

from __future__ import annotations

from typing import Final

from dipmark.facts.said import says

FOOLED: Final = {
    "intervals": (
        says(
            "Faults found at a service are left out: when they came nobody knows. It is fooled where a service is "
            "brought forward because of a fault, and where people look harder before or after one."
        ),
        says(
            "It is fooled where standstill or damage costs far more than the labour that was written down. The rate is "
            "taken to rise in a straight line. A duty, and what affects safety, are never weighed by cost."
        ),
    ),
    "trucks": (
        says(
            "Counted over the hours of the meter. It is fooled where faults were not written down in the early days, "
            "or where the truck was given harder work."
        ),
    ),
    "bad": (
        says(
            "Trucks of a kind are taken to do the same work. It is fooled where one has the worst floor or the longest "
            "runs, or where its drivers look harder: then the others are the worse ones."
        ),
    ),
    "parts": (
        says(
            "A part renewed by work that mends a fault has failed; parts of one name renewed together are one life. It "
            "is fooled by renewals that nobody wrote down, and by parts of one name that do not do the same work."
        ),
        says("What affects safety is renewed by its limit and the manual, never by cost."),
    ),
    "repairs": (
        says(
            "The same check of the same truck within {} h of its repair. It is fooled where a fault comes "
            "often for a while whatever is done, as on a truck that wears out, and by a part that was bad from new."
        ),
    ),
    "missed": (
        says(
            "What a service found at a check that the walk-round before it had called OK. Some came in between, "
            "as oil leaks out overnight."
        ),
    ),
    "upkeep": (
        says(
            "Terms after EN 13306 and EN 15341 (from memory). Out of service: from the card, or the fault that "
            "stops it, to the release. What is not written down is not counted."
        ),
    ),
}
"""What could fool each figure, in plain words; braces stand for the hours within which a fault has come back."""

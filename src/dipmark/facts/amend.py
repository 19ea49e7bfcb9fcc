"""Wrong facts are put right by new ones; nothing is edited or deleted."""

from __future__ import annotations

from dipmark.facts.base import Body, FactId, Instant, PersonKey, Text
from dipmark.facts.charging import Charged
from dipmark.facts.custody import HeldBy
from dipmark.facts.document import Document
from dipmark.facts.fault import Fault, OutOfService, Released
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.incident import Incident
from dipmark.facts.measure import Measured, Sampled, ToppedUp
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.people import Familiarised, Permit, PersonSet, ShiftPattern, YardSet
from dipmark.facts.place import PlaceSet
from dipmark.facts.stock import PartSet, Stock
from dipmark.facts.truck import Enrolled, PlateRead, Retired
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import WorkBegun, Worked, WorkEnded
from dipmark.facts.workshop import Away, Planned, WorkshopSet

PlainBody = (
    Enrolled
    | PlateRead
    | MeterRead
    | MeterChanged
    | WalkRound
    | Fault
    | OutOfService
    | Released
    | Worked
    | WorkBegun
    | WorkEnded
    | Measured
    | Sampled
    | ToppedUp
    | Charged
    | Fitted
    | Removed
    | HeldBy
    | Incident
    | Document
    | Retired
    | YardSet
    | ShiftPattern
    | PersonSet
    | Permit
    | Familiarised
    | Stock
    | PartSet
    | WorkshopSet
    | Away
    | Planned
    | PlaceSet
)


class Corrected(Body, frozen=True, tag="corrected"):
    """An earlier fact of the same book was wrong; this is what it should have said.

    It counts at its target's time once it is known. A correction of a correction names the first fact.

    Args:
        target: the fact that was wrong.
        body: all of what it should have said, of the same kind.
        reason: why.
        happened: the right time, where the time was wrong.
        whole_day: as in `Fact`, for `happened`.
        by: the right person, where that was wrong.
    """

    target: FactId
    body: PlainBody
    reason: Text
    happened: Instant | None = None
    whole_day: bool = False
    by: PersonKey | None = None


class Withdrawn(Body, frozen=True, tag="withdrawn"):
    """An earlier fact of the same book never was; withdrawing it twice is once.

    Args:
        target: the fact that never was.
        reason: why.
    """

    target: FactId
    reason: Text

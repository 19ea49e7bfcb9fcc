"""Belt tension by how far the belt gives in the middle of a span."""

from __future__ import annotations

from typing import Final

from dipmark.derive.judging import Given, Input, Judged, Measurement
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

OUGHT: Final = says("A span of {} ought to give {} {} under the thumb.")
AS_ASKED: Final = says("It gives {}: as asked.")
SLACKER: Final = says("It gives {}: slacker than asked.")
TIGHTER: Final = says("It gives {}: tighter than asked.")
NO_TOLERANCE: Final = says("The rule has no tolerance: the engine's own book decides.")


def judge_belt(given: Given, subject: Subject) -> Judged:
    """How far a belt ought to give, 1/64 of its free span, and how far it does; no limit exists.

    Args:
        given: ``span``, and ``deflection`` where it was measured.
        subject: the share of the span.

    *Source*: TM 5-3820-233-12/1, figure 4-51 (seen).
    """
    span, measured, rule = given.one("span"), given.maybe("deflection"), subject.rows["deflection"]
    asked = span.value * rule.column("share")[0]
    value = measured.in_(span.unit) if measured else asked
    because = subject.say(OUGHT, span, plain(asked, 4), span.unit)
    if measured:
        way = AS_ASKED if value == asked else SLACKER if value > asked else TIGHTER
        because = f"{because} {subject.say(way, measured)}"
    return Judged(
        subject="belt",
        value=plain(value),
        unit=span.unit,
        verdict=None,
        source=rule.source,
        because=because,
        notes=(subject.say(NO_TOLERANCE),),
        more={"expected": plain(asked)},
    )


MEASUREMENTS: Final = (
    Measurement(
        name="belt",
        subject="belt",
        text="Belt: deflection under the thumb",
        judge=judge_belt,
        inputs=(
            Input("span", "free span between the pulleys", "length", kept=True, over="0 mm", most="5000 mm"),
            Input("deflection", "how far it gives", "length", needed=False, least="0 mm", most="500 mm"),
        ),
    ),
)

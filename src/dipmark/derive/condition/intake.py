"""Restriction of the air filter against what the kind of engine bears."""

from __future__ import annotations

from typing import Final

from dipmark.derive.judging import Given, Input, Judged, Measurement, judged, past, worked_out
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

BY_BOOK: Final = says("{} against {} {} of its own book.")
BY_ENGINE: Final = says("{} against {} {} of a {} engine.")

ENGINES: Final = ("turbo", "diesel", "petrol")


def judge_intake(given: Given, subject: Subject) -> Judged:
    """The restriction behind the filter against the figure for its kind of engine, or that of the engine's own book.

    Args:
        given: ``restriction``, ``engine``, and the ``book``'s figure where there is one.
        subject: the limits.

    *Edge*: at 25 and 20 inH2O a diesel gets its element; at 20 a petrol or gas engine still passes.

    *Source*: TM 5-3820-256-24-5, p. 69 (seen); a maker's page (secondary).
    """
    read, book, limit = given.one("restriction"), given.maybe("book"), subject.limits[given.words["engine"]]
    bound = book.in_(limit.unit) if book else limit.exact
    held = [worked_out(limit, bound, limit.unit)]
    passed = held if past(read, bound, limit.unit, limit.edge) else []
    engine = subject.named(given.words["engine"])
    because = subject.say(BY_BOOK if book else BY_ENGINE, read, plain(bound, 2), limit.unit, engine)
    return judged("air-filter", subject, read.in_(limit.unit), limit.unit, because, held=held, passed=passed)


MEASUREMENTS: Final = (
    Measurement(
        name="air-filter",
        subject="intake",
        text="Air filter: restriction",
        judge=judge_intake,
        inputs=(
            Input("restriction", "restriction at full speed", "pressure", over="0 inH2O", most="150 inH2O"),
            Input("engine", "kind of engine; petrol stands for gas too", words=ENGINES, kept=True),
            Input(
                "book",
                "what the engine's own book allows",
                "pressure",
                kept=True,
                needed=False,
                over="0 inH2O",
                most="150 inH2O",
            ),
        ),
    ),
)

"""Signs of careless sheets: what each is, its rule as it is posted, what is said of somebody's sheets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from dipmark.derive.lessons.vigilance import LEAST_SECONDS, Shown, Sign
from dipmark.facts.base import PersonKey
from dipmark.facts.said import Word, says

SIGN: Final[dict[Sign, str]] = {
    "quick": says("sheets made too quickly to have walked"),
    "same-seconds": says("sheets took as many seconds as the sheet before"),
    "nothing-found": says("sheets found nothing"),
    "missed": says("faults called OK and found at the next service"),
    "meter-unread": says("sheets without hours"),
    "meter-copied": says("sheets with the hours of the sheet before"),
    "letter": says("sheets with a letter that is not there"),
    "values-copied": says("sheets with the values of the sheet before"),
}

RULE: Final[dict[Sign, str]] = {
    "quick": says(
        "under {} s a check, or under a third of what others take on that truck; fooled by sheets entered afterwards"
    ),
    "same-seconds": says("as many seconds as the same person's sheet before; fooled by a device that rounds"),
    "nothing-found": says(
        "no fault on any sheet, where others found some on the same trucks; fooled by a shift that follows a good "
        "finder"
    ),
    "missed": says(
        "found in the course of work at a check that the last walk-round had called OK; fooled by what comes overnight"
    ),
    "meter-unread": says("no hours on the sheet; fooled by a meter that cannot be read in the dark"),
    "meter-copied": says(
        "the hours of the sheet before on that truck, 12 h or more later; fooled by a truck that stood"
    ),
    "letter": says(
        "not the letter on the small plate of the place asked; fooled by a plate that hangs in the wrong place"
    ),
    "values-copied": says("all values as on the sheet before on that truck; fooled by values that do not change"),
}
"""Each sign's rule and what fools it; posted, so that everybody knows what is looked at."""

WATCH: Final = says("A reason to go and watch a walk-round, no proof, and no score.")

SHOWN: Final = says("{}: {} of {} {}; of the others {} of {}.")


def posted_words(sign: Sign, word: Word = str) -> str:
    """A sign and its rule, as they are posted."""
    what, rule = word(SIGN[sign]), word(RULE[sign]).format(LEAST_SECONDS)
    return f"{what[:1].upper()}{what[1:]}: {rule}."


def shown_words(one: Shown, names: Mapping[PersonKey, str], word: Word = str) -> str:
    """What is said of somebody's sheets."""
    said = word(SHOWN).format(
        names.get(one.by, one.by), one.marked, one.of, word(SIGN[one.sign]), one.others_marked, one.others_of
    )
    return f"{said} {word(WATCH)}" if one.said else said

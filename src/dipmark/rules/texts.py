"""The rules in another language: a file for each, keyed by where a text stands and by the English it stands for.

A line says what is shown in place of one English text of one check, task, system or list. So a translation can never
outlive its text: where the English changes, or a yard lays its own words over it, the line no longer fits, the new text
is shown as it stands, and the lint names both.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Collection, Iterator, Sequence
from typing import Final

import msgspec

from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.said import holes
from dipmark.rules.duty import Duty
from dipmark.rules.limits import Subject
from dipmark.rules.lint import LENGTH, LENGTHS
from dipmark.rules.merge import RuleFile
from dipmark.rules.model import Check, Kind, Rules, Symptom, Task
from dipmark.rules.symptoms import System, Trouble
from dipmark.rules.typed import Faults, Path, Table
from dipmark.rules.value import Caution

UNTOLD: Final = code("text-missing", "a text of the rules is not there in another language")
LEFT_OVER: Final = code("text-left-over", "a language holds a line for an English text that the rules do not hold")
NUMBER: Final = code("text-number", "a text in another language holds other numbers than the English one")
HOLES: Final = code("text-holes", "a sentence in another language is filled in with other things than the English one")

DEPTHS: Final = {
    "words": 0,
    "kinds": 0,
    "places": 0,
    "services": 0,
    "cautions": 0,
    "parts": 0,
    "systems": 1,
    "subjects": 1,
    "checks": 2,
    "tasks": 2,
    "duties": 2,
}
"""The sections of a language file, with how many ids stand above their lines: ``[checks.chain.oil]`` has two."""

Say = Callable[[Path, str, str], str]
"""From where a text stands, what it is (a key of `LENGTHS`) and the English to what is said."""

_NUMBER: Final = re.compile(r"(?<![{\d])\d+(?:[.,]\d+)?")
"""A number, not one that stands in braces for what is filled in."""


class Language(msgspec.Struct, frozen=True, kw_only=True):
    """The words of one language.

    Args:
        tag: its IETF tag, such as ``es`` or ``en-US``.
        text: its own name for itself.
        lines: by the place of a text, such as ``("checks", "chain", "oil")``, what is said for each English text.
        partial: it holds only what differs from English.
    """

    tag: str
    text: str
    lines: dict[Path, dict[str, str]]
    partial: bool = False

    def say(self, place: Path, text: str) -> str:
        """What is said for an English text; the text itself where there is no line for it."""
        return self.lines.get(place, {}).get(text, text)

    @property
    def digest(self) -> str:
        """SHA-256 over all that it says, hex: two languages with one digest say the same."""
        told = sorted((place, english, text) for place, held in self.lines.items() for english, text in held.items())
        return hashlib.sha256(msgspec.json.encode(told)).hexdigest()


def read_language(files: Sequence[RuleFile]) -> tuple[Language, tuple[Problem, ...]]:
    """One language from its files, each laid over those before it.

    Args:
        files: of one language, at least one.

    Returns:
        The language as far as it can be read, and everything that is wrong with the form of the files.
    """
    lines: dict[Path, dict[str, str]] = {}
    tag = text = ""
    partial = False
    problems: list[Problem] = []
    for file in files:
        faults = Faults(file.place)
        table = Table(file.table, (), faults)
        tag, text, partial = table.text("language"), table.text("text"), table.flag("partial", default=False)
        for section, depth in DEPTHS.items():
            for place, held in _lines(table.table(section), depth):
                lines[place] = {**lines.get(place, {}), **held}
                if section == "words":
                    _filled_in(faults, place, held)
        table.close()
        problems += faults.all
    return Language(tag=tag, text=text, lines=lines, partial=partial), tuple(problems)


def _lines(table: Table, depth: int) -> Iterator[tuple[Path, dict[str, str]]]:
    if depth:
        for _, inner in table.each():
            yield from _lines(inner, depth - 1)
    else:
        yield table.path, {english: table.text(english) for english in table.keys()}  # noqa: SIM118  no mapping


def _filled_in(faults: Faults, place: Path, held: dict[str, str]) -> None:
    """Every sentence must take what the English one is filled in with, or it could not be said."""
    for english, text in held.items():
        if holes(text) != (wanted := holes(english)):
            hint = "Take over each pair of braces; where they change places number them: {1} before {0}."
            faults.add(HOLES, (*place, english), _braces(holes(text)), _braces(wanted), hint)


def _braces(found: list[str] | None) -> str:
    return "braces that cannot be filled in" if found is None else f"braces for {len(found)}"


def spoken(rules: Rules, language: Language) -> Rules:
    """The same rules in another language.

    Args:
        rules: in English, or in the words of the yard where it has laid its own over them.
        language: what to say instead.

    Returns:
        Rules of the same ids, values and digest; a text without a line stays as it is.
    """
    told = _told(rules, lambda place, _, text: language.say(place, text))
    words = language.lines.get(("words",), {})
    subjects = {id: msgspec.structs.replace(one, words=words) for id, one in told.subjects.items()}
    return msgspec.structs.replace(told, words=words, subjects=subjects, language=language.tag, wording=language.digest)


def lint_language(
    rules: Rules, language: Language, words: Collection[str], place: Callable[[Path], Where]
) -> tuple[Problem, ...]:
    """What is missing, left over, too long or of other numbers in a language, all at once.

    Args:
        rules: in English.
        language: to be looked at.
        words: what screens and sheets say, in English.
        place: turns a path into a place.

    Returns:
        Soft problems for what is missing or left over: English is shown instead. Hard ones for the rest.
    """
    faults = Faults(place)
    names = {duty.name for duties in rules.duties.values() for duty in duties}
    tasks = (task for kind in rules.kinds.values() for task in kind.tasks)
    names |= {name.replace("-", " ") for task in tasks for name in task.plate}
    names |= {option.replace("-", " ") for kind in rules.kinds.values() for option in kind.options}
    known: dict[Path, dict[str, str]] = {("words",): dict.fromkeys((*words, *sorted(names)), "said")}

    def keep(where: Path, what: str, text: str) -> str:
        known.setdefault(where, {})[text] = what
        return text

    _told(rules, keep)
    for where, texts in known.items():
        for text in texts:
            if not language.partial and text not in language.lines.get(where, {}):
                hint = "Until then it is shown as it stands."
                faults.add(UNTOLD, (*where, text), "no line", f"a text in {language.text}", hint, hard=False)
    for where, held in language.lines.items():
        for english, text in held.items():
            _line(faults, (*where, english), known.get(where, {}).get(english), english, text)
    return tuple(faults.all)


def _line(faults: Faults, path: Path, what: str | None, english: str, text: str) -> None:
    if what is None:
        hint = "Take the line out, or mend its English."
        faults.add(LEFT_OVER, path, "a line for a text that is not there", "a text of the rules", hint, hard=False)
    elif len(text) > (most := LENGTHS[what]):
        over = len(text) - most
        faults.add(LENGTH, path, f"{len(text)} characters", f"at most {most}, {over} fewer", "Say it shorter.")
    if _numbers(text) != (held := _numbers(english)):
        faults.add(NUMBER, path, ", ".join(_numbers(text)) or "no number", ", ".join(held) or "no number")


def _numbers(text: str) -> list[str]:
    return sorted(number.replace(",", ".") for number in _NUMBER.findall(text))


def _told(rules: Rules, say: Say) -> Rules:
    """The rules with every text that people read put through `say`."""
    return msgspec.structs.replace(
        rules,
        kinds={key: _kind(kind, say) for key, kind in rules.kinds.items()},
        duties={country: tuple(_duty(duty, say) for duty in duties) for country, duties in rules.duties.items()},
        systems={id: _system(system, say) for id, system in rules.systems.items()},
        subjects={id: _subject(subject, say) for id, subject in rules.subjects.items()},
    )


def _kind(kind: Kind, say: Say) -> Kind:
    replace = msgspec.structs.replace
    return replace(
        kind,
        text=say(("kinds",), "name", kind.text),
        places=tuple(replace(one, text=say(("places",), "place", one.text)) for one in kind.places),
        checks=tuple(_check(check, say) for check in kind.checks),
        services=tuple(replace(one, text=say(("services",), "name", one.text)) for one in kind.services),
        tasks=tuple(_task(task, say) for task in kind.tasks),
        cautions=tuple(_caution(caution, ("cautions",), say) for caution in kind.cautions),
    )


def _caution(caution: Caution, place: Path, say: Say) -> Caution:
    return msgspec.structs.replace(caution, text=say(place, "caution", caution.text))


def _cautions(texts: tuple[str, ...], say: Say) -> tuple[str, ...]:
    return tuple(say(("cautions",), "caution", text) for text in texts)


def _check(check: Check, say: Say) -> Check:
    place = ("checks", *check.id.split("."))

    def symptom(one: Symptom) -> Symptom:
        right = None if one.put_right is None else say(place, "put_right", one.put_right)
        return msgspec.structs.replace(one, text=say(place, "symptom", one.text), put_right=right)

    return msgspec.structs.replace(
        check,
        text=say(place, "check", check.text),
        normal=say(place, "normal", check.normal),
        symptoms=tuple(symptom(one) for one in check.symptoms),
        cautions=_cautions(check.cautions, say),
    )


def _task(task: Task, say: Say) -> Task:
    return msgspec.structs.replace(
        task,
        text=say(("tasks", *task.id.split(".")), "task", task.text),
        parts=tuple(say(("parts",), "part", part) for part in task.parts),
        fluids=tuple(say(("parts",), "part", fluid) for fluid in task.fluids),
        cautions=_cautions(task.cautions, say),
    )


def _duty(duty: Duty, say: Say) -> Duty:
    place = ("duties", duty.country, duty.id)
    return msgspec.structs.replace(
        duty, **{key: say(place, "duty", getattr(duty, key)) for key in ("text", "who", "kept")}
    )


def _system(system: System, say: Say) -> System:
    place = ("systems", system.id)

    def trouble(one: Trouble) -> Trouble:
        return msgspec.structs.replace(
            one,
            text=say(place, "symptom", one.text),
            causes=tuple(say(place, "trouble", cause) for cause in one.causes),
            first=tuple(say(place, "trouble", look) for look in one.first),
            cautions=tuple(_caution(caution, place, say) for caution in one.cautions),
        )

    return msgspec.structs.replace(
        system,
        text=say(place, "name", system.text),
        troubles=tuple(trouble(one) for one in system.troubles),
        cautions=tuple(_caution(caution, place, say) for caution in system.cautions),
    )


def _subject(subject: Subject, say: Say) -> Subject:
    place, replace = ("subjects", subject.id), msgspec.structs.replace
    return replace(
        subject,
        text=say(place, "name", subject.text),
        how=tuple(say(place, "measuring", line) for line in subject.how),
        limits={id: replace(one, text=say(place, "measuring", one.text)) for id, one in subject.limits.items()},
        rows={id: replace(one, text=say(place, "measuring", one.text)) for id, one in subject.rows.items()},
        cautions=tuple(_caution(caution, place, say) for caution in subject.cautions),
    )

"""Reads the rules' words in other languages: the shipped files, with a yard's own laid over them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from dipmark.adapters.rulefiles import TEXTS, opened
from dipmark.facts.errors import NotFound, RulesError
from dipmark.facts.problems import Problem, Where
from dipmark.rules.merge import RuleFile
from dipmark.rules.model import Rules
from dipmark.rules.texts import Language, lint_language, read_language, spoken
from dipmark.rules.typed import Path as KeyPath
from dipmark.rules.typed import by_key

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

SHIPPED = "rules/data/texts"


def languages(own: Path | None = None) -> tuple[str, ...]:
    """The tags of all languages that there are words of, English as it stands first."""
    return ("en", *sorted({name.removesuffix(".toml") for name, _, _ in _named(own)}))


def in_language(rules: Rules, tag: str, own: Path | None = None) -> Rules:
    """The rules in a language.

    Args:
        rules: in English.
        tag: IETF tag; where there are no words of it, its first part is tried: ``es-MX`` reads as ``es``.
        own: the folder of the yard's own rules; its words stand in the folder ``texts`` in it.

    Raises:
        NotFound: there are no words of it.
        RulesError: its files cannot be used.
    """
    known = _known(tag, own)
    if known is None:
        there = ", ".join(languages(own))
        raise NotFound(f"There are no words of the language {tag!r}. There are: {there}.")
    if known == "en":
        return rules
    language, problems = _language(known, own)[:2]
    if problems:
        lines = "\n".join(f"  {problem}" for problem in problems)
        raise RulesError(f"the words of {known} cannot be used, {len(problems)} faults:\n{lines}", problems)
    return spoken(rules, language)


def yard_words(rules: Rules, tags: Sequence[str], own: Path | None = None) -> Rules:
    """The rules in the first language of a yard that there are words of; in English where there are none.

    Args:
        rules: in English.
        tags: the yard's languages, the first is the default.
        own: the folder of the yard's own rules.

    Raises:
        RulesError: the files of the language cannot be used.
    """
    tag = next((tag for tag in tags if _known(tag, own)), "en")
    return in_language(rules, tag, own)


def _known(tag: str, own: Path | None) -> str | None:
    there = languages(own)
    return next((one for one in (tag, tag.partition("-")[0]) if one in there), None)


def language_problems(rules: Rules, words: Collection[str], own: Path | None = None) -> tuple[Problem, ...]:
    """Everything that is wrong with the words of all languages; of a yard's folder only what stands in it.

    Args:
        rules: in English, the yard's own laid over ours.
        words: what screens and sheets say, in English.
        own: the folder of the yard's own rules.
    """
    found: list[Problem] = []
    for tag in languages(own)[1:]:
        language, problems, files = _language(tag, own)
        found += problems

        def place(path: KeyPath, files: tuple[RuleFile, ...] = files) -> Where:
            return _place(files, path)

        found += () if problems else lint_language(rules, language, words, place)
    return tuple(one for one in found if own is None or f"{one.where.file}".startswith(str(own)))


def _language(tag: str, own: Path | None) -> tuple[Language, tuple[Problem, ...], tuple[RuleFile, ...]]:
    read = [opened(file, where, own=mine) for name, where, (file, mine) in _named(own) if name == f"{tag}.toml"]
    files = tuple(one for one in read if isinstance(one, RuleFile))
    language, problems = read_language(files)
    return language, (*(one for one in read if isinstance(one, Problem)), *problems), files


def _place(files: tuple[RuleFile, ...], path: KeyPath) -> Where:
    """The file that holds a line, the upper one first; the lowest where none does."""
    for file in reversed(files):
        held: object = file.table
        for key in path:
            held = held.get(key) if isinstance(held, dict) else None
        if held is not None:
            return file.place(path)
    return files[0].place(path) if files else by_key(path)


def _named(own: Path | None) -> Iterator[tuple[str, str, tuple[Traversable, bool]]]:
    """Every language file: its name, its name for people, itself and whether it is the yard's own; ours first."""
    shipped = resources.files("dipmark.rules") / "data" / TEXTS
    folders: list[tuple[Traversable, str, bool]] = [(shipped, SHIPPED, False)]
    if own is not None and (own / TEXTS).is_dir():
        folders.append((own / TEXTS, str(own / TEXTS), True))
    for folder, where, mine in folders:
        for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
            if file.name.endswith(".toml"):
                yield file.name, f"{where}/{file.name}", (file, mine)

"""A small set of rules for tests, as the parsed content of files."""

from __future__ import annotations

import copy
from decimal import Decimal
from typing import Any

from dipmark.facts.problems import Problem
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.model import Rules
from dipmark.rules.read import read
from dipmark.rules.window import Window

Content = dict[str, Any]

PRACTICE = {"source": "practice", "mark": "common practice"}

SOURCES: Content = {"version": "1", "sources": {"practice": {"title": "Common practice"}}}

KIND: Content = {
    "kind": "reach",
    "text": "Reach truck",
    "meters": ["key"],
    "options": {"cab": True},
    "places": {"front": {"number": 1, "text": "Front"}, "rear": {"number": 0, "text": "Rear"}},
    "cautions": {"hands": {"text": "Hands out.", **PRACTICE}},
    "checks": {
        "chain": {
            "tension": {
                "place": "front",
                "text": "Chains",
                "normal": "tight",
                "when": "key-off",
                "shift": True,
                "retest": True,
                "asked": {"quantity": "slack", "unit": "mm"},
                "cautions": ["hands"],
                **PRACTICE,
                "symptoms": {
                    "dry": {"text": "dry", "seriousness": "repair-by", "affects_safety": False, "days": 7, **PRACTICE},
                    "slack": {"text": "slack", "seriousness": "stop", "affects_safety": True, **PRACTICE},
                },
            },
        },
        "horn": {
            "heard": {
                "place": "rear",
                "text": "Horn",
                "normal": "heard",
                "when": "key-on",
                "shift": True,
                "needs": ["cab"],
                "legal": True,
                **PRACTICE,
                "symptoms": {
                    "dead": {
                        "text": "dead",
                        "seriousness": "now",
                        "affects_safety": False,
                        "put_right": "mended: how",
                        "legal": True,
                        **PRACTICE,
                    },
                },
            },
        },
    },
    "windows": {
        "oil": {"early_percent": 10, "late_percent": 10, "late_most_hours": 25, **PRACTICE},
        "strict": {"early_percent": 10, "late_percent": 0, **PRACTICE},
    },
    "tasks": {
        "oil": {"change": {"text": "Change oil", "minutes": 10, "window": "oil", "fluids": ["oil"], **PRACTICE}},
        "chain": {
            "look": {"text": "Look", "minutes": 5, "window": "strict", "retest": True, "legal": True, **PRACTICE}
        },
    },
    "services": {
        "200h": {
            "text": "Second",
            "interval_hours": 200,
            "meter": "key",
            "months": 2,
            "tasks": ["chain.look"],
            "includes": ["100h"],
            "severe": {"hard": 0.5},
            "state_when_late": "restricted",
            "legal": True,
            **PRACTICE,
        },
        "100h": {"text": "First", "interval_hours": 100, "meter": "key", "tasks": ["oil.change"], **PRACTICE},
    },
}

DUTIES: Content = {
    "country": "XX",
    "duties": {
        "examination": {
            "text": "Examined by a competent person",
            "every_months": 12,
            "who": "a competent person",
            "kept": "two years",
            "when_lapsed": "out-of-service",
            "legal": True,
            **PRACTICE,
        },
    },
}


SUBJECT: Content = {
    "subject": "belt",
    "text": "Belt",
    "how": ["In the middle of the longest run.", "Engine off."],
    "limits": {
        "slack": {"text": "Out.", "value": 20, "unit": "mm", "edge": "at-or-above", "verdict": "stop", **PRACTICE},
        "worn": {
            "text": "Renew it.",
            "value": 1.5,
            "unit": "mm",
            "edge": "below",
            "verdict": "repair-by",
            "days": 30,
            "legal": True,
            **PRACTICE,
        },
        "tight": {"text": "Look.", "value": 3, "unit": "mm", "edge": "below", "verdict": "watch", **PRACTICE},
    },
    "rows": {
        "sizes": {"text": "By size", "columns": ["size mm", "sag mm"], "rows": [[10, 5], [13, 6.5]], **PRACTICE},
    },
    "cautions": {"fingers": {"text": "Engine off.", **PRACTICE}},
}
"""A small subject that is measured."""


def exact(content: Any) -> Any:
    """The same content with numbers as a rules file gives them."""
    if isinstance(content, dict):
        return {key: exact(value) for key, value in content.items()}
    if isinstance(content, list):
        return [exact(value) for value in content]
    return Decimal(str(content)) if isinstance(content, float) else content


def shipped(change: Content | None = None) -> list[RuleFile]:
    """The three small files, the kind's changed key by key; None takes a key away."""
    kind = copy.deepcopy(KIND)
    _change(kind, change or {})
    files = {"sources.toml": SOURCES, "reach.toml": kind, "xx.toml": DUTIES}
    return [RuleFile(name, exact(content)) for name, content in files.items()]


def _change(content: Content, change: Content) -> None:
    for key, value in change.items():
        if value is None:
            del content[key]
        elif isinstance(value, dict) and isinstance(content.get(key), dict):
            _change(content[key], value)
        else:
            content[key] = value


def measured(change: Content | None = None) -> RuleFile:
    """The small subject, changed key by key; None takes a key away."""
    subject = copy.deepcopy(SUBJECT)
    _change(subject, change or {})
    return RuleFile("belt.toml", exact(subject))


def own(content: Content, name: str = "own.toml") -> RuleFile:
    """A yard's own file."""
    return RuleFile(name, exact({"kind": "reach", **content}), own=True)


def rules(*files: RuleFile) -> Rules:
    """Rules of files that are in order."""
    found, problems = read(lay(files or shipped()))
    assert found is not None, problems
    return found


def said(problems: tuple[Problem, ...] | list[Problem]) -> list[tuple[str, str | None]]:
    """Code and key of each problem."""
    return [(problem.code, problem.where.key) for problem in problems]


def window(early: str, late: str, most: str | None) -> Window:
    """A window of so many percent early and late, at most so many hours late."""
    bound = None if most is None else Decimal(most)
    return Window(
        early_percent=Decimal(early), late_percent=Decimal(late), late_most_hours=bound, source="x", mark="unverified"
    )

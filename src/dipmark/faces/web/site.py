"""What all pages of one running server share: the yard, its words in every language, what is kept for a moment."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import msgspec
from anyio import CapacityLimiter

from dipmark.adapters.languages import in_language, languages
from dipmark.adapters.rulefiles import read_rules
from dipmark.faces.web.feed import Feed
from dipmark.faces.web.words import texts
from dipmark.facts.errors import NotFound, RulesError
from dipmark.office.batch import Batch
from dipmark.office.open import Office
from dipmark.office.print_sheets import Doc
from dipmark.rules.model import Rules
from dipmark.views.sheet_geometry import Paper

T = TypeVar("T")

Press = Callable[[Sequence[Doc], Rules, Paper, datetime], bytes]
"""Sets sheets, one after the other, into one PDF; see `faces.paper.press`, which no page knows."""

_LOG: Final = logging.getLogger("dipmark.web")


def _written(own_rules: Path | None) -> tuple[tuple[str, int], ...]:
    """Which files the yard's own rules are, and when each was written."""
    if own_rules is None:
        return ()
    try:
        return tuple(sorted((str(file), file.stat().st_mtime_ns) for file in own_rules.rglob("*.toml")))
    except OSError:
        return ()


class Spoken(msgspec.Struct, frozen=True):
    """A language.

    Args:
        tag: its IETF tag.
        rules: in it.
        texts: what pages say, by the English.
    """

    tag: str
    rules: Rules
    texts: dict[str, str]

    def say(self, english: str) -> str:
        """A text of a page, or of the rules' own words."""
        return self.texts.get(english) or self.rules.word(english)


class Site:
    """One server process.

    Args:
        office: the yard, with its rules in English.
        secure: True where it is reached by TLS only.
        own_rules: the folder of the yard's own rules, with its own words.
        authority: the certificate of the yard's own authority, for phones to trust; None: there is none.
        press: sets sheets into a PDF; None: this server prints nothing.
    """

    def __init__(
        self,
        office: Office,
        *,
        secure: bool = False,
        own_rules: Path | None = None,
        authority: bytes | None = None,
        press: Press | None = None,
    ) -> None:
        self.office = office
        self.secure = secure
        self.own_rules = own_rules
        self.authority = authority
        self.press = press
        self.batch = Batch(office)
        self.feed = Feed(office)
        # Short turns at the record, one after the other: side by side they would only fight for the interpreter.
        self.turns = CapacityLimiter(1 if office.store.database.sqlite else 8)
        self.languages = languages(own_rules)
        self._spoken: dict[str, Spoken] = {}
        self._kept: dict[str, tuple[tuple[str, str], Any]] = {}
        self._locks: dict[str, threading.Lock] = {}
        self._written = _written(own_rules)

    def spoken(self, *wanted: str | None) -> Spoken:
        """The first language wanted that there are words of, then the yard's, then English."""
        self._follow()
        for tag in (*wanted, *self.office.yard.languages, "en"):
            if tag is not None and (found := self._language(tag)) is not None:
                return found
        raise AssertionError  # pragma: no cover  there is always English

    def _language(self, tag: str) -> Spoken | None:
        spoken = self._spoken
        if tag not in spoken and len(tag) <= 35:
            try:
                rules = in_language(self.office.rules, tag, self.own_rules)
            except NotFound:
                return None
            spoken[tag] = Spoken(tag, rules, texts(tag))
        return spoken.get(tag)

    def _follow(self) -> None:
        """Rules that were written elsewhere hold here as well; what cannot be used changes nothing."""
        if (written := _written(self.own_rules)) != self._written:
            self._written = written
            try:
                self.use_rules(read_rules(self.own_rules))
            except RulesError as fault:
                _LOG.warning("the yard's own rules stay as they were: %s", fault)

    def use_rules(self, rules: Rules) -> None:
        """Hold every truck to other rules from now on, and say them anew in every language.

        Args:
            rules: in English.
        """
        self.office.rules = rules
        self._spoken, self._kept, self._written = {}, {}, _written(self.own_rules)

    def kept(self, what: str, moment: datetime, make: Callable[[], T], *, hourly: bool = False) -> T:
        """Something worked out once for all who ask in the same minute, as long as nobody writes.

        Args:
            what: names it, with all it depends on beside the record and the minute.
            moment: now.
            make: works it out.
            hourly: once an hour, whoever writes: for what takes long and changes slowly.
        """
        with self._locks.setdefault(what, threading.Lock()):
            key = ("", f"{moment:%F %H}") if hourly else (self.office.store.database.mark(), f"{moment:%F %H:%M}")
            known = self._kept.get(what)
            if known is None or known[0] != key:
                known = self._kept[what] = (key, make())
        return cast("T", known[1])

    def close(self) -> None:
        """Write what waits, let nobody wait any longer, close the yard."""
        self.feed.close()
        self.batch.close()
        self.office.close()

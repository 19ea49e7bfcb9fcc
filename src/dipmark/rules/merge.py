"""A yard lays its own rules over ours: same form, id by id.

What several kinds of truck share is written once, as a part. A kind takes parts: under ``[takes]`` their names, each
with the options that a truck must have for it. Parts lie over one another in that order, the kind's own values over
them, and a yard's parts and kinds over all of ours.

What a yard may loosen: intervals in hours and months, which service holds a task, texts, minutes, parts and fluids, and
how serious a symptom is that does not affect safety. What it may not: see `rules.loosened`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from typing import Final

import msgspec

from dipmark.facts.problems import Problem, Where, code
from dipmark.rules.model import KIND_KEYS
from dipmark.rules.typed import MISSING, Faults, Path, by_key, dotted, near

TWICE: Final = code("rule-twice", "two rules files of one set say something about the same key")
KIND: Final = code("rule-kind", "a rules file is about a kind of truck, a country or a system that is not known")
PART: Final = code("rule-part", "a part of a truck is taken by no kind of truck, taken and not there, or no name")
DEEP: Final = code("rule-deep", "a rules file nests deeper than any rule does")

ABOUT: Final = ("kind", "part", "country", "system", "subject")
"""Keys that say what a file is about."""

NAMED: Final = (("system", "systems"), ("subject", "subjects"))
"""Keys with any name behind them, and where all rules of that sort stand."""

_COUNTRY: Final = re.compile(r"[A-Z]{2}(-[A-Z0-9]{1,3})?")

DEEPEST: Final = 8
"""Tables within tables in one file; the deepest rule needs six."""


def _no_line(_: Path) -> int | None:
    return None


class RuleFile(msgspec.Struct, frozen=True):
    """One parsed rules file.

    Args:
        name: as its owner knows it.
        table: its content.
        own: True for a yard's own file, False for a shipped one.
        line: finds the line of a key in it.
    """

    name: str
    table: dict[str, object]
    own: bool = False
    line: Callable[[Path], int | None] = _no_line

    def root(self, key: str) -> Path:
        """Where a top-level key of this file stands among all rules."""
        if key in ("sources", "version"):
            return (key,)
        if key == "duties":
            return ("duties", str(self.table.get("country")), "duties")
        for about, all_of in NAMED:
            if about in self.table:
                return (all_of, str(self.table[about]), key)
        if "part" in self.table:
            return ("parts", str(self.table["part"]), key)
        return ("kinds", str(self.table.get("kind")), key)

    def place(self, path: Path) -> Where:
        """The place of a key of this file."""
        return Where(file=self.name, line=self.line(path), key=dotted(path) or None)


def _depth_within(value: object, room: int) -> bool:
    if isinstance(value, (dict, list)):
        inner = value.values() if isinstance(value, dict) else value
        return room > 0 and all(_depth_within(one, room - 1) for one in inner)
    return True


class Laid(msgspec.Struct, frozen=True):
    """All files laid over one another.

    Args:
        tree: ``version``, ``sources``, ``kinds`` by key, ``duties`` by country, ``systems`` and ``subjects`` by id.
        files: those it was made of, the lowest first.
        problems: what was wrong with the files as such.
        takes: the parts that each kind takes.
    """

    tree: dict[str, object]
    files: tuple[RuleFile, ...]
    problems: tuple[Problem, ...]
    takes: dict[str, tuple[str, ...]] = {}

    def file_of(self, path: Path) -> tuple[RuleFile, Path] | None:
        """The file that says most about a path (the upper one when two do), with the path as it stands in that file."""
        best: tuple[RuleFile, Path] | None = None
        most = 1
        for file in self.files:
            for key in file.table:
                root = self._root(file, key, path)
                above = len(root) - 1
                length = _agreeing(nested(root, file.table[key]), path)
                if length >= max(above, most):
                    best, most = (file, path[above:]), length
        return best

    def _root(self, file: RuleFile, key: str, path: Path) -> Path:
        """Where a key of a file stands; that of a part stands in the kind that the path is about, if it takes it."""
        root = file.root(key)
        if root[0] == "parts" and path[0] == "kinds" and root[1] in self.takes.get(path[1], ()):
            return ("kinds", path[1], *root[2:])
        return root

    def place(self, path: Path) -> Where:
        """The file and the key of a path."""
        found = self.file_of(path)
        return found[0].place(found[1]) if found else by_key(path)


def nested(path: Path, value: object) -> object:
    """A value under a path of tables."""
    for part in reversed(path):
        value = {part: value}
    return value


def _agreeing(value: object, path: Path) -> int:
    """How many keys of a path are there."""
    length = 0
    while isinstance(value, dict) and length < len(path) and path[length] in value:
        value = value[path[length]]
        length += 1
    return length


def lay(files: Sequence[RuleFile]) -> Laid:
    """Lay rules files over one another, ours below, the yard's above: tables join key by key, all else is replaced.

    Args:
        files: in any order; within one set no key may be said twice.

    Returns:
        The tree, with the problems of the files as such. What a part brings on a condition asks for its options.
    """
    ordered = tuple(sorted(files, key=lambda file: (file.own, "kind" in file.table, file.name)))
    problems: list[Problem] = []
    layers: list[dict[str, object]] = []
    for own in (False, True):
        layer: dict[str, object] = {}
        for file in (file for file in ordered if file.own is own):
            problems += _add(layer, file)
        layers.append(layer)
    parts = [_tables(layer.pop("parts", None)) for layer in layers]
    taken = {key: _takes(layers, key) for layer in layers for key in _tables(layer.get("kinds"))}
    tree: dict[str, object] = {}
    for layer, own_parts in zip(layers, parts, strict=True):
        for key, takes in taken.items():
            for part in (part for part in takes if part in own_parts):
                _over(tree, nested(("kinds", key), _asking(own_parts[part], takes[part])))
        _over(tree, layer)
    names = {name for layer in parts for name in layer}
    laid = Laid(tree, ordered, tuple(problems), {key: tuple(takes) for key, takes in taken.items()})
    return msgspec.structs.replace(laid, problems=(*problems, *_astray(laid, names)))


def _tables(value: object) -> dict[str, object]:
    return dict(value) if isinstance(value, dict) else {}


def _takes(layers: Sequence[dict[str, object]], key: str) -> dict[str, tuple[str, ...]]:
    """The parts of a kind in the order they are named, a yard's last, each with the options it asks for."""
    found: dict[str, object] = {}
    for layer in layers:
        found |= _tables(_tables(_tables(layer.get("kinds")).get(key)).get("takes"))
    lists = {part: needs if isinstance(needs, list) else [] for part, needs in found.items()}
    return {part: tuple(need for need in needs if isinstance(need, str)) for part, needs in lists.items()}


_HOW_SERIOUS: Final = ("seriousness", "verdict")
"""Keys that say how serious a rule is, and with it within how many days."""

_BRINGS: Final = ("checks", "tasks", "services")


def _asking(part: object, needs: tuple[str, ...]) -> object:
    """A part as a kind takes it: all that it brings asks for the options on which it is taken."""
    return {key: _needing(one, needs) if key in _BRINGS else one for key, one in _tables(part).items()}


def _needing(value: object, needs: tuple[str, ...]) -> object:
    """What has a text and a source is brought, and asks once; what has not changes what another part brought."""
    if not isinstance(value, dict):
        return value
    if "text" in value and "source" in value:
        own = value.get("needs", [])
        return (
            {**value, "needs": [*own, *(need for need in needs if need not in own)]} if isinstance(own, list) else value
        )
    return {key: _needing(one, needs) for key, one in value.items()}


def _astray(laid: Laid, names: Collection[str]) -> Iterator[Problem]:
    """Parts that are taken and not there, and parts that are there and not taken."""
    for key, takes in laid.takes.items():
        for part in (part for part in takes if part not in names):
            where, hint = laid.place(("kinds", key, "takes", part)), near(part, tuple(names))
            yield Problem(PART, ascii(part)[:60], "a part that some rules file is about", hint, where)
    taken = {part for takes in laid.takes.values() for part in takes}
    for file in laid.files:
        name = file.table.get("part")
        if isinstance(name, str) and name not in taken and "kind" not in file.table:
            expected, hint = "a part that some kind of truck takes", near(name, tuple(taken))
            yield Problem(PART, ascii(name)[:60], expected, hint, file.place(("part",)))


def _add(layer: dict[str, object], file: RuleFile) -> list[Problem]:
    """Add one file to the others of its set."""
    faults = Faults(file.place)
    if not _depth_within(file.table, DEEPEST):
        faults.add(DEEP, (), f"tables nested deeper than {DEEPEST}", f"at most {DEEPEST}", "Write it flat.")
        return faults.all
    kind, country = file.table.get("kind"), file.table.get("country")
    needs_kind = [key for key in file.table if file.root(key)[0] == "kinds" and key not in ABOUT]
    if needs_kind and kind not in KIND_KEYS:
        found = "nothing" if kind is None else ascii(kind)[:60]
        hint = near(str(kind), KIND_KEYS)
        faults.add(MISSING if kind is None else KIND, ("kind",), found, "one of " + ", ".join(KIND_KEYS), hint)
        return faults.all
    if "duties" in file.table and not (isinstance(country, str) and _COUNTRY.fullmatch(country)):
        expected = "a country as two capital letters, or a part of it as in CA-ON"
        faults.add(KIND, ("country",), ascii(country)[:60], expected, "Such as US.")
        return faults.all
    if "part" in file.table and ("kind" in file.table or not isinstance(file.table["part"], str)):
        found = "a kind of truck and a part" if "kind" in file.table else ascii(file.table["part"])[:60]
        faults.add(PART, ("part",), found, "a part by its name, such as mast, and no kind beside it")
        return faults.all
    for about in (about for about, _ in NAMED if about in file.table):
        if "kind" in file.table or not isinstance(file.table[about], str):
            found = f"a kind of truck and a {about}" if "kind" in file.table else ascii(file.table[about])[:60]
            faults.add(KIND, (about,), found, f"a {about} by its id, such as brakes, and no kind beside it")
            return faults.all
    for key, value in file.table.items():
        if key not in ABOUT:
            rooted = nested(file.root(key), value)
            for twice in _clashes(layer, rooted, ()):
                inside = twice[len(file.root(key)) - 1 :]
                faults.add(TWICE, inside, "a key said in another file of this set too", "each key once")
            _over(layer, rooted)
    return faults.all


def _clashes(below: object, above: object, path: Path) -> Iterator[Path]:
    if isinstance(below, dict) and isinstance(above, dict):
        for key in above:
            if key in below:
                yield from _clashes(below[key], above[key], (*path, key))
    else:
        yield path


def _over(below: dict[str, object], above: object) -> None:
    """Lay one table over another, in place of the lower one; who says how serious says the days with it."""
    if isinstance(above, dict) and not above.keys().isdisjoint(_HOW_SERIOUS):
        below.pop("days", None)
    for key, value in above.items() if isinstance(above, dict) else ():
        lower = below.get(key)
        if isinstance(value, dict):
            joined = dict(lower) if isinstance(lower, dict) else {}
            _over(joined, value)
            below[key] = joined
        else:
            below[key] = value

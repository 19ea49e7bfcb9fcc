"""People: a name stands once in the register, the record holds only its key."""

from __future__ import annotations

from collections.abc import Iterable

from dipmark.adapters.clock import new_key
from dipmark.adapters.store import Store
from dipmark.facts.base import UNNAMED, PersonKey, folded
from dipmark.facts.errors import NotFound

BLANKED = "name blanked"
"""What a screen shows for a person whose name was taken out of the register."""


class People:
    """The register of names, and the people met for the first time while the office is open.

    A new person's name is written together with the first fact that carries the key, never by itself: whoever only
    looks leaves no trace, and a run that writes nothing adds nobody.

    Args:
        store: holds the register.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._met: dict[str, PersonKey] = {folded("unnamed"): UNNAMED}
        self._new: dict[PersonKey, str] = {}

    def key_of(self, name: str) -> PersonKey | None:
        """The key of a person by name, as people compare names; None where nobody has it."""
        same = folded(name)
        key = self._met.get(same) or self._store.key_of(name)
        if key is not None:
            self._met[same] = key
        return key

    def key_or_new(self, name: str) -> PersonKey:
        """The key of a person by name; a name met for the first time gets a new one. No name is `unnamed`."""
        if not folded(name):
            return UNNAMED
        key = self.key_of(name)
        if key is None:
            key = self._met[folded(name)] = new_key()
            self._new[key] = " ".join(name.split())
        return key

    def new_names(self, keys: Iterable[PersonKey]) -> dict[PersonKey, str]:
        """Names, of those keys, that the register does not hold yet; they are written with the facts."""
        return {key: self._new[key] for key in keys if key in self._new}

    def written(self, keys: Iterable[PersonKey]) -> None:
        """The names of those keys are in the register now."""
        for key in keys:
            self._new.pop(key, None)

    def names(self) -> dict[PersonKey, str]:
        """Every key with the name to show; a blanked one shows as such."""
        shown = {key: BLANKED if name is None else name for key, name in self._store.names().items()}
        return {UNNAMED: "unnamed", **shown, **self._new}

    def blank(self, name: str) -> PersonKey:
        """Take a person's name out of the register; the record keeps the key, and its chain still verifies.

        Raises:
            NotFound: nobody has that name.
        """
        key = self.key_of(name)
        if key is None or key == UNNAMED:
            raise NotFound(f"Nobody in the register is called {name!r}; nothing was blanked.")
        if self._new.pop(key, None) is None:
            self._store.blank_name(key)
        self._met = {same: one for same, one in self._met.items() if one != key}
        return key

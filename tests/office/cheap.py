"""Secrets that cost nothing to make, for tests that are not about their cost."""

from __future__ import annotations

from functools import cache

import pytest
from argon2 import PasswordHasher

from dipmark.office import sign_in


def cheap_secrets(patched: pytest.MonkeyPatch) -> None:
    """Few rounds, little memory."""

    @cache
    def hasher() -> PasswordHasher:
        return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)

    sign_in._nobody.cache_clear()
    patched.setattr(sign_in, "_hasher", hasher)
    patched.setattr(sign_in, "ITERATIONS", 10)

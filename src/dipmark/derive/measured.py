"""Everything that can be measured, by name."""

from __future__ import annotations

from typing import Final

from dipmark.derive.condition import chain
from dipmark.derive.judging import Measurement

MEASUREMENTS: Final[dict[str, Measurement]] = {one.name: one for one in (*chain.MEASUREMENTS,)}
"""Every measurement, by its name."""

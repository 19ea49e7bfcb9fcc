"""National and regional holidays, by the calendar library."""

from __future__ import annotations

from datetime import date

import holidays


def days_off(country: str | None, first: int, last: int) -> frozenset[date]:
    """The public holidays of a country or one of its regions; none where it is not known.

    Args:
        country: ISO 3166 code, such as ``GB`` or ``CA-ON``; what is known of a country holds in a region that is not.
        first: the first year.
        last: the last, itself included.
    """
    land, _, region = (country or "").partition("-")
    known = holidays.list_supported_countries()
    if land not in known:
        return frozenset()
    part = region if region in known[land] else None
    return frozenset(holidays.country_holidays(land, subdiv=part, years=range(first, last + 1)))

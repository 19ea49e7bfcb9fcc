"""Where the yard lies, as `--zone` and `--country` of a call say it."""

from __future__ import annotations

import difflib
import re
from functools import cache
from importlib import resources
from typing import Final
from zoneinfo import available_timezones

from dipmark.facts.errors import Refused
from dipmark.facts.people import YardSet
from dipmark.facts.problems import Problem, code
from dipmark.office.open import ZONE_UNKNOWN, Office, zone_of

COUNTRY_UNKNOWN: Final = code("country-unknown", "The country is not a code of ISO 3166.")

_COUNTRY: Final = re.compile(r"([A-Z]{2})(-[A-Z0-9]{1,3})?")


def yard_set(office: Office, zone: str | None, country: str | None) -> YardSet | None:
    """What is to be written to the yard's book; None where it stands there already.

    Raises:
        Refused: no such zone or country; both are said at once.
    """
    problems: list[Problem] = []
    if zone is not None:
        problems += zone_problems(zone)
    if country is not None:
        country = country.strip().upper()
        problems += country_problems(country)
    if problems:
        raise Refused(" ".join(problem.message for problem in problems), problems)
    new_zone = zone if zone != office.yard.zone else None
    new_country = country if country != office.yard.country else None
    return YardSet(zone=new_zone, country=new_country) if new_zone or new_country else None


def zone_problems(zone: str) -> list[Problem]:
    """What is wrong with the name of a time zone, with those that are likely meant."""
    try:
        zone_of(zone)
    except Refused:
        names = {name.casefold(): name for name in available_timezones()}
        last = {name.rpartition("/")[2]: name for name in sorted(names)}
        word = zone.casefold().replace(" ", "_")
        near = difflib.get_close_matches(word, [*names, *last], 3, 0.75)
        meant = sorted({names[last.get(name, name)] for name in near})
        hint = f"Perhaps {' or '.join(meant)} is meant." if meant else "It is called after a large city of the zone."
        return [Problem(ZONE_UNKNOWN, f"time zone {zone!r}", "an IANA name such as Europe/Madrid", hint)]
    return []


def country_problems(country: str) -> list[Problem]:
    """What is wrong with the code of a country, with the one that is likely meant."""
    match = _COUNTRY.fullmatch(country)
    if match is not None and match[1] in countries():
        return []
    names = {name.upper(): short for short, name in countries().items()} | {"UK": "GB", "BRITAIN": "GB", "USA": "US"}
    near = difflib.get_close_matches(country, names, 1, 0.8)
    hint = (
        f"Perhaps {names[near[0]]} is meant." if near else "Two letters, with a hyphen and the region where one counts."
    )
    return [Problem(COUNTRY_UNKNOWN, f"country {country!r}", "a code of ISO 3166 such as GB or CA-ON", hint)]


@cache
def countries() -> dict[str, str]:
    """Codes and English names of all countries, from the time zone database. Source: its table of ISO 3166."""
    text = resources.files("tzdata").joinpath("zoneinfo", "iso3166.tab").read_text(encoding="utf-8")
    pairs = (line.partition("\t")[::2] for line in text.splitlines() if line and not line.startswith("#"))
    return dict(pairs)

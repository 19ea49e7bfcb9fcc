"""What all pages share: languages, and what is kept for a moment."""

from __future__ import annotations

import threading
from datetime import timedelta

from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD
from dipmark.facts.people import YardSet


def test_the_language_is_the_first_wanted_that_there_are_words_of(site: Site) -> None:
    assert site.spoken(None).tag in {"en", "en-GB"}
    assert site.spoken("es").say("Key board") == "Tablero de llaves"
    assert site.spoken("es-MX").say("Not checked") == "Sin revisar"
    assert site.spoken("xx", "es").tag == "es"
    assert site.spoken("x" * 500).say("Key board") == "Key board"
    office = site.office
    office.append([office.fact(YARD, YardSet(languages=("es",)), office.clock())])
    assert site.spoken(None).tag == "es"
    assert site.spoken("en").say("Key board") == "Key board"


def test_what_is_kept_is_made_again_after_a_minute_or_after_an_entry(site: Site) -> None:
    made: list[int] = []

    def make() -> int:
        made.append(1)
        return len(made)

    now = site.office.clock()
    assert [site.kept("x", now, make), site.kept("x", now, make), site.kept("y", now, make)] == [1, 1, 2]
    assert site.kept("x", now + timedelta(minutes=1), make) == 3
    site.office.append([site.office.fact(YARD, YardSet(name="N"), now)])
    assert site.kept("x", now + timedelta(minutes=1), make) == 4


def test_what_is_kept_for_an_hour_is_made_again_after_it_whoever_writes(site: Site) -> None:
    made: list[int] = []

    def make() -> int:
        made.append(1)
        return len(made)

    now = site.office.clock()
    assert site.kept("x", now, make, hourly=True) == 1
    site.office.append([site.office.fact(YARD, YardSet(name="N"), now)])
    assert site.kept("x", now + timedelta(minutes=59), make, hourly=True) == 1
    assert site.kept("x", now + timedelta(hours=1), make, hourly=True) == 2


def test_many_who_ask_at_once_have_it_made_once(site: Site) -> None:
    made: list[int] = []
    waiting = threading.Barrier(8)

    def make() -> int:
        made.append(1)
        return len(made)

    def ask() -> None:
        waiting.wait()
        site.kept("x", site.office.clock(), make)

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert made == [1]

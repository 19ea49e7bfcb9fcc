"""What was derived of trucks is kept in each language by itself, and goes without a trace. On every kind of place."""

from __future__ import annotations

from dipmark.adapters.store import KeptTruck, Store
from dipmark.facts.base import truck_book


def kept(number: int, language: str, key: str = "1") -> KeptTruck:
    book = truck_book(str(number))
    return KeptTruck(book, language, key, from_us=1, until_us=2, data=f"{book} {language} {key}".encode())


def test_each_language_has_its_own(store: Store) -> None:
    store.kept.keep([kept(number, language) for number in (7, 8) for language in ("en", "es")])
    assert store.kept.all("en") == {one.book: one for one in (kept(7, "en"), kept(8, "en"))}
    assert store.kept.all("es") == {one.book: one for one in (kept(7, "es"), kept(8, "es"))}
    assert store.kept.all("en-US") == {}


def test_what_is_kept_anew_takes_the_place_of_its_own_language_only(store: Store) -> None:
    store.kept.keep([kept(7, "en"), kept(7, "es")])
    store.kept.keep([kept(7, "es", "2")])
    store.kept.keep([])
    assert list(store.kept.all("en").values()) == [kept(7, "en")]
    assert list(store.kept.all("es").values()) == [kept(7, "es", "2")]


def test_more_trucks_than_one_statement_takes(store: Store) -> None:
    many = [kept(number, "en") for number in range(600)]
    store.kept.keep(many)
    store.kept.keep([kept(number, "en", "2") for number in range(600)])
    assert {one.key for one in store.kept.all("en").values()} == {"2"}
    assert len(store.kept.all("en")) == 600


def test_all_of_it_is_forgotten(store: Store) -> None:
    store.kept.keep([kept(7, "en"), kept(7, "es")])
    store.kept.forget()
    assert store.kept.all("en") == store.kept.all("es") == {}

"""Which truck to take instead."""

from __future__ import annotations

from decimal import Decimal

from dipmark.facts.custody import HeldBy
from dipmark.facts.truck import Enrolled
from dipmark.office.enter import When, enrol, enter, stop
from dipmark.office.instead import instead_of
from dipmark.office.items import fit
from dipmark.office.look import book_of, truck
from dipmark.office.open import Office
from office.desk import at, clean_walk, desk
from office.taking import NOW

LPG = "engine-pneumatic-lpg"


def two(office: Office) -> None:
    for name in ("31", "32"):
        enrol(office, name, Enrolled(what=LPG, capacity_kg=Decimal(2500)), When(at("2026-11-01T06:00").happened))
    clean_walk(office, at("2026-11-20T05:00"), "32")


def test_one_that_is_like_it_checked_and_on_its_hook_is_named() -> None:
    """Common practice, no source: same kind, capacity, attachment and height."""
    with desk() as office:
        two(office)
        assert instead_of(office, truck(office, "31", NOW), NOW) == ("32",)
        assert instead_of(office, truck(office, "32", NOW), NOW) == ()
        assert instead_of(office, truck(office, "7", NOW), NOW) == ()


def test_one_that_is_out_stopped_or_wrongly_hung_is_not_named() -> None:
    with desk() as office:
        two(office)
        fit(office, "32", "clamp", at("2026-11-20T05:10"), what="attachment")
        assert instead_of(office, truck(office, "31", NOW), NOW) == ()
    with desk() as office:
        two(office)
        held = HeldBy(who="other-site", place="Mill Lane")
        enter(office, [office.fact(book_of(office, "32"), held, at("2026-11-20T05:10").happened)])
        assert instead_of(office, truck(office, "31", NOW), NOW) == ()
    with desk() as office:
        two(office)
        stop(office, "32", "leak", at("2026-11-20T05:10"))
        assert instead_of(office, truck(office, "31", NOW), NOW) == ()

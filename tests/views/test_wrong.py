"""Something is wrong: what now, for the trucks that can have it."""

from __future__ import annotations

from dipmark.rules.model import Rules, Source, rules_of
from dipmark.rules.symptoms import System, Trouble
from dipmark.rules.value import Caution, Trucks
from dipmark.views.wrong import MECHANIC, WHAT_NOW, all_wrong, wrong_with


def trouble(id: str, seriousness: str, *, days: int | None = None, trucks: Trucks | None = None) -> Trouble:
    return Trouble(
        id=id,
        text=f"{id}.",
        sense="heard",
        causes=("wear",),
        first=("bottle",) if id == "soft" else (),
        seriousness=seriousness,  # type: ignore[arg-type]
        affects_safety=seriousness == "stop",
        days=days,
        cautions=(Caution(id="chock", text="Chock it.", source="law", mark="seen"),),
        trucks=trucks or Trucks(),
        source="law" if id == "soft" else "practice",
        mark="seen",
    )


def rules() -> Rules:
    gas = Trucks(kinds=("engine-pneumatic-lpg",), where=("gas",))
    systems = (
        System(id="gas", text="Gas", number=0, troubles=(trouble("smell", "now", trucks=gas),)),
        System(
            id="brakes",
            text="Brakes",
            number=1,
            troubles=(
                trouble("soft", "stop"),
                trouble("squeal", "repair-by", days=7),
                trouble("chirp", "repair-by", days=1),
                trouble("dust", "watch"),
            ),
        ),
    )
    sources = {"law": Source(title="The law", clause="(q)"), "practice": Source(title="Practice")}
    return rules_of({}, {}, sources, "1", {system.id: system for system in systems})


def test_every_trouble_says_what_now() -> None:
    gas, brakes = all_wrong(rules())
    assert (gas.id, gas.text, [row.id for row in gas.troubles]) == ("gas", "Gas", ["smell"])
    assert [row.words for row in brakes.troubles] == [
        "Out of service",
        "Repair within 7 days",
        "Repair within 1 day",
        "Watch",
    ]
    assert [row.now for row in brakes.troubles] == [
        WHAT_NOW[word] for word in ("stop", "repair-by", "repair-by", "watch")
    ]
    soft, squeal, *_ = brakes.troubles
    assert (soft.first, squeal.first) == (("bottle",), (MECHANIC,))
    assert (soft.cautions, soft.causes, soft.source, soft.mark) == (("Chock it.",), ("wear",), "The law, (q)", "seen")
    assert squeal.source == "Practice"


def test_a_truck_is_not_asked_about_what_it_has_not() -> None:
    assert [row.id for row in wrong_with(rules(), "reach", ())] == ["brakes"]
    assert [row.id for row in wrong_with(rules(), "engine-pneumatic-lpg", ())] == ["gas", "brakes"]
    assert [row.id for row in wrong_with(rules(), "tow-tractor", {"gas"})] == ["gas", "brakes"]

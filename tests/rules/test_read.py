from __future__ import annotations

from decimal import Decimal

from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.model import Asked, Place
from dipmark.rules.read import read
from rules.small import PRACTICE, Content, rules, said, shipped


def problems(change: Content) -> list[tuple[str, str | None]]:
    found, faults = read(lay(shipped(change)))
    assert (found is None) == bool(faults)
    return said(faults)


def test_small_rules_read_whole() -> None:
    found = rules()
    kind = found.kinds["reach"]
    assert kind.places == (Place(id="rear", text="Rear", number=0), Place(id="front", text="Front", number=1))
    assert [check.id for check in kind.checks] == ["horn.heard", "chain.tension"]
    horn, chain = kind.checks
    assert chain.asked == Asked(quantity="slack", unit="mm")
    assert chain.cautions == ("Hands out.",)
    assert [symptom.id for symptom in chain.symptoms] == ["slack", "dry"]
    assert chain.symptoms[1].days == 7
    assert horn.symptoms[0].put_right == "mended: how"
    assert horn.legal
    first, second = kind.services
    assert (first.id, first.months, second.months) == ("100h", None, 2)
    assert second.severe == {"hard": Decimal("0.5")}
    assert second.state_when_late == "restricted"
    assert kind.tasks[0].window.late_most_hours == 25
    assert found.duties["XX"][0].every_months == 12
    assert found.version == "1"
    assert kind.cautions[0].id == "hands"


def test_services_by_hours_come_first_then_those_by_months() -> None:
    yearly = {"text": "Yearly", "months": 12, "tasks": ["chain.look"], **PRACTICE}
    kind = rules(*shipped({"services": {"yearly": yearly}})).kinds["reach"]
    assert [service.id for service in kind.services] == ["100h", "200h", "yearly"]
    assert kind.services[-1].interval_hours is None


def test_duty_without_a_rhythm() -> None:
    files = shipped()
    files[2] = RuleFile("xx.toml", {"country": "XX", "duties": {"plate": {**_duty(), **PRACTICE}}})
    assert rules(*files).duties["XX"][0].every_months is None


def _duty() -> dict[str, object]:
    return {"text": "Plate", "who": "owner", "kept": "always", "when_lapsed": "nothing"}


def test_all_faults_are_found_at_once_with_their_places() -> None:
    change: Content = {
        "text": None,
        "places": {"front": {"number": -1}},
        "checks": {
            "chain": {"tension": {"normal": None, "whne": "x", "symptoms": {"slack": {"seriousness": "bad"}}}},
            "horn": {"heard": 3},
        },
        "tasks": {"oil": {"change": {"minutes": 601}}},
        "services": {"100h": {"interval_hours": 0}},
    }
    found = problems(change)
    assert set(found) == {
        ("rule-missing", "text"),
        ("rule-range", "places.front.number"),
        ("rule-missing", "checks.chain.tension.normal"),
        ("rule-unknown-key", "checks.chain.tension.whne"),
        ("rule-choice", "checks.chain.tension.symptoms.slack.seriousness"),
        ("rule-type", "checks.horn.heard"),
        *(("rule-missing", f"checks.horn.heard.{key}") for key in _CHECK),
        ("rule-range", "tasks.oil.change.minutes"),
        ("rule-range", "services.100h.interval_hours"),
    }
    assert len(found) == len(set(found))


_CHECK = ("place", "text", "normal", "when", "shift", "source", "mark")


def test_names_that_no_file_explains() -> None:
    change = {
        "checks": {"chain": {"tension": {"cautions": ["hand", "hands"]}}},
        "tasks": {"oil": {"change": {"window": "oils"}}, "chain": {"look": {"window": None}}},
    }
    assert problems(change) == [
        ("rule-reference", "checks.chain.tension.cautions"),
        ("rule-reference", "tasks.oil.change.window"),
        ("rule-missing", "tasks.chain.look.window"),
    ]
    _, faults = read(lay(shipped(change)))
    assert faults[0].hint == "Did you mean hands?"
    assert faults[0].where.file == "reach.toml"


def test_version_must_be_there() -> None:
    found, faults = read(lay([RuleFile("empty.toml", {})]))
    assert found is None
    assert said(faults) == [("rule-missing", "version")]

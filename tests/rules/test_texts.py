"""The rules in another language: keyed by place and by English, so that no line outlives its text."""

from __future__ import annotations

from typing import Any

from dipmark.facts.problems import Problem
from dipmark.rules.merge import RuleFile
from dipmark.rules.model import Rules
from dipmark.rules.texts import Language, lint_language, read_language, spoken
from dipmark.rules.typed import by_key
from rules.small import PRACTICE, Content, measured, own, rules, said, shipped

WORDS = ("Watch",)

SYSTEM: Content = {
    "system": "brakes",
    "text": "Brakes",
    "number": 1,
    "cautions": {"hot": {"text": "Hot.", **PRACTICE}},
    "troubles": {
        "soft": {
            "text": "soft",
            "sense": "felt",
            "causes": ["air"],
            "first": ["level?"],
            "seriousness": "stop",
            "affects_safety": True,
            "cautions": ["hot"],
            **PRACTICE,
        }
    },
}

SPANISH: Content = {
    "language": "es",
    "text": "Español",
    "words": {"Watch": "Vigilar", "Examination": "Examen", "cab": "cabina"},
    "kinds": {"Reach truck": "Retráctil"},
    "places": {"Front": "Delante", "Rear": "Detrás"},
    "services": {"First": "Primero", "Second": "Segundo"},
    "cautions": {"Hands out.": "Manos fuera."},
    "parts": {"oil": "aceite"},
    "checks": {
        "chain": {"tension": {"Chains": "Cadenas", "tight": "tensas", "dry": "secas", "slack": "flojas"}},
        "horn": {"heard": {"Horn": "Bocina", "heard": "se oye", "dead": "muda", "mended: how": "arreglada: cómo"}},
    },
    "tasks": {"oil": {"change": {"Change oil": "Cambiar aceite"}}, "chain": {"look": {"Look": "Mirar"}}},
    "systems": {"brakes": {"Brakes": "Frenos", "soft": "blando", "air": "aire", "level?": "¿nivel?", "Hot.": "Quema."}},
    "subjects": {
        "belt": {
            "Belt": "Correa",
            "In the middle of the longest run.": "En medio del tramo más largo.",
            "Engine off.": "Motor parado.",
            "Out.": "Fuera.",
            "Renew it.": "Cambiarla.",
            "Look.": "Mirar.",
            "By size": "Por medida",
        }
    },
    "duties": {
        "XX": {
            "examination": {
                "Examined by a competent person": "Examinada por persona competente",
                "a competent person": "una persona competente",
                "two years": "dos años",
            }
        }
    },
}


def small() -> Rules:
    """The small rules with one system and one subject that is measured."""
    return rules(*shipped(), RuleFile("brakes.toml", SYSTEM), measured())


def language(*contents: Content) -> Language:
    """A language of files that are in order."""
    found, problems = read_language([RuleFile(f"{number}.toml", one) for number, one in enumerate(contents)])
    assert problems == ()
    return found


def linted(content: Content, held: Rules | None = None) -> list[Problem]:
    """Everything that is said of a language."""
    return list(lint_language(held or small(), language(content), WORDS, by_key))


def test_every_text_is_said() -> None:
    told = spoken(small(), language(SPANISH))
    kind = told.kinds["reach"]
    assert (kind.text, [place.text for place in kind.places]) == ("Retráctil", ["Detrás", "Delante"])
    tension = next(check for check in kind.checks if check.id == "chain.tension")
    horn = next(check for check in kind.checks if check.id == "horn.heard")
    assert (tension.text, tension.normal, tension.cautions) == ("Cadenas", "tensas", ("Manos fuera.",))
    assert [one.text for one in tension.symptoms] == ["flojas", "secas"]
    assert [(one.text, one.put_right) for one in horn.symptoms] == [("muda", "arreglada: cómo")]
    assert [service.text for service in kind.services] == ["Primero", "Segundo"]
    assert [(task.text, task.fluids) for task in kind.tasks] == [("Cambiar aceite", ("aceite",)), ("Mirar", ())]
    assert [caution.text for caution in kind.cautions] == ["Manos fuera."]
    duty = told.duties["XX"][0]
    assert (duty.text, duty.who, duty.kept) == (
        "Examinada por persona competente",
        "una persona competente",
        "dos años",
    )
    brakes = told.systems["brakes"]
    soft = brakes.troubles[0]
    assert (brakes.text, brakes.cautions[0].text, soft.cautions[0].text) == ("Frenos", "Quema.", "Quema.")
    assert (soft.text, soft.causes, soft.first) == ("blando", ("aire",), ("¿nivel?",))
    belt = told.subjects["belt"]
    assert (belt.text, belt.how) == ("Correa", ("En medio del tramo más largo.", "Motor parado."))
    assert [one.text for one in belt.limits.values()] == ["Fuera.", "Cambiarla.", "Mirar."]
    assert (belt.rows["sizes"].text, belt.cautions[0].text) == ("Por medida", "Motor parado.")
    assert belt.limits["slack"].value == 20
    assert [told.word("Watch"), told.word("Stop"), small().word("Watch")] == ["Vigilar", "Stop", "Watch"]


def test_ids_values_and_digest_stay() -> None:
    english = small()
    told = spoken(english, language(SPANISH))
    assert told.digest == english.digest
    assert [check.id for check in told.kinds["reach"].checks] == [check.id for check in english.kinds["reach"].checks]
    assert told != english


def test_a_text_that_changed_is_shown_as_it_stands_and_both_are_named() -> None:
    klaxon = own({"checks": {"horn": {"heard": {"text": "Klaxon"}}}})
    held = rules(*shipped(), RuleFile("brakes.toml", SYSTEM), measured(), klaxon)
    told = spoken(held, language(SPANISH)).kinds["reach"].check("horn.heard")
    assert told is not None
    assert told.text == "Klaxon"
    assert said(linted(SPANISH, held)) == [
        ("text-missing", "checks.horn.heard.Klaxon"),
        ("text-left-over", "checks.horn.heard.Horn"),
    ]


def test_a_language_is_named_and_known_by_what_it_says() -> None:
    told, again = spoken(small(), language(SPANISH)), spoken(small(), language(SPANISH))
    other = spoken(small(), language(SPANISH, {"language": "es", "text": "Español", "words": {"Watch": "Ojo"}}))
    assert (small().language, small().wording) == ("en", "")
    assert (told.language, told.wording) == ("es", again.wording)
    assert len({small().wording, told.wording, other.wording}) == 3
    assert told.subjects["belt"].say("Watch") == "Vigilar"
    assert told.subjects["belt"].say("{} of {}", 3, "4") == "3 of 4"


def test_a_sentence_takes_what_the_english_one_is_filled_in_with() -> None:
    lines = {"{} of {}": "{1} de {0}", "{} h": "{0} h", "{} mm": "mm", "{} l": "{} {} l", "{} s": "{", "{} g": "{x}"}
    spanish: Content = {"language": "es", "text": "Español", "words": lines}
    _, problems = read_language([RuleFile("es.toml", spanish), RuleFile("own.toml", {**spanish, "words": {}})])
    assert said(problems) == [("text-holes", f"words.'{one}'") for one in ("{} mm", "{} l", "{} s", "{} g")]
    assert [(one.found, one.expected) for one in problems[:3]] == [
        ("braces for 0", "braces for 1"),
        ("braces for 2", "braces for 1"),
        ("braces that cannot be filled in", "braces for 1"),
    ]
    assert all(one.hard for one in problems)


def test_numbers_in_braces_are_no_numbers() -> None:
    lines = {**SPANISH, "words": {**SPANISH["words"], "{} of {} in 3 h": "{1} de {0} en 3 h"}}
    words = (*WORDS, "{} of {} in 3 h")
    assert lint_language(small(), language(lines), words, by_key) == ()


def test_what_is_complete_is_clean() -> None:
    assert linted(SPANISH) == []


def test_what_is_partial_may_lack_the_rest() -> None:
    some: dict[str, Any] = {"language": "en-US", "text": "English", "partial": True}
    assert linted(some | {"parts": {"oil": "motor oil"}}) == []
    assert said(linted(some | {"parts": {"oli": "motor oil"}})) == [("text-left-over", "parts.oli")]
    assert {one.code for one in linted({"language": "xx", "text": "X"})} == {"text-missing"}


def test_a_text_as_long_as_may_be_passes_and_one_longer_does_not() -> None:
    """*Source*: a place has 40 characters, `dipmark.rules.lint.LENGTHS`."""
    some: dict[str, Any] = {"language": "en-US", "text": "English", "partial": True}
    assert linted(some | {"places": {"Front": "x" * 40}}) == []
    (problem,) = linted(some | {"places": {"Front": "x" * 41}})
    assert (problem.code, problem.hard, problem.expected) == ("rule-length", True, "at most 40, 1 fewer")


def test_numbers_stay_the_same_in_every_language() -> None:
    held = rules(*shipped({"checks": {"horn": {"heard": {"normal": "80 % of 1.5"}}}}), RuleFile("b.toml", SYSTEM))
    some: dict[str, Any] = {"language": "en-US", "text": "English", "partial": True}

    def say(text: str) -> list[tuple[str, str, str]]:
        content = some | {"checks": {"horn": {"heard": {"80 % of 1.5": text}}}}
        return [(one.code, one.found, one.expected) for one in linted(content, held)]

    assert say("el 80 % de 1,5") == []
    assert say("de 1,5, el 80 %") == []
    assert say("el 8 % de 1,5") == [("text-number", "1.5, 8", "1.5, 80")]
    assert say("la mayor parte") == [("text-number", "no number", "1.5, 80")]


def test_files_lie_over_one_another() -> None:
    upper = {"language": "es", "text": "Español", "parts": {"oil": "lubricante"}, "words": {"Stop": "Alto"}}
    both = language(SPANISH, upper)
    assert (both.say(("parts",), "oil"), both.say(("parts",), "water")) == ("lubricante", "water")
    assert both.lines[("words",)] == {**SPANISH["words"], "Stop": "Alto"}


def test_what_is_wrong_with_the_form_is_named() -> None:
    parts: Content = {"parts": {"oil": 7}, "checks": {"horn": {"heard": "x"}}}
    content: Content = {"language": "es", "text": "", "horns": {}, **parts}
    _, problems = read_language([RuleFile("es.toml", content)])
    assert said(problems) == [
        ("rule-text", "text"),
        ("rule-type", "parts.oil"),
        ("rule-type", "checks.horn.heard"),
        ("rule-unknown-key", "horns"),
    ]

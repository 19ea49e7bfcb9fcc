from __future__ import annotations

import os
import random
import subprocess
import sys
import zipfile
from importlib import resources
from pathlib import Path

import pytest

from dipmark.adapters import rulefiles
from dipmark.adapters.rulefiles import LARGEST, LONGEST_LINE, MOST_FILES, read_problems, read_rules
from dipmark.facts.errors import RulesError
from dipmark.facts.problems import CODES, Problem
from dipmark.rules.merge import RuleFile
from dipmark.rules.model import KIND_KEYS, Rules

MUTATIONS = int(os.environ.get("DIPMARK_MUTATIONS", "10000"))

YARD = """\
# the yard's own rules
kind = "engine-pneumatic-lpg"

[checks.chain.tension]
text = "Both chains"

[checks.chain.tension.symptoms.slack]
seriousness = "now"

[sources.yard]
title = "The yard's own book"
"""


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    (tmp_path / "checks").mkdir()
    (tmp_path / "checks" / "ours.toml").write_text(YARD, encoding="utf-8")
    return tmp_path


def only(own: Path) -> Problem:
    (problem,) = read_problems(own)
    return problem


def test_shipped_rules_are_read_once_and_are_in_order() -> None:
    assert read_rules() is read_rules()
    assert read_problems() == ()
    assert set(read_rules().kinds) == set(KIND_KEYS)


def test_yards_rules_lie_over_ours(yard: Path) -> None:
    kind = read_rules(yard).kinds["engine-pneumatic-lpg"]
    check = kind.check("chain.tension")
    assert check is not None
    assert check.text == "Both chains"
    assert check.symptoms[0].seriousness == "now"
    assert read_rules(yard).digest != read_rules().digest
    assert read_rules(yard / "checks" / "ours.toml").digest == read_rules(yard).digest
    assert "yard" in read_rules(yard).sources
    assert "yard" not in read_rules().sources


def test_fault_of_meaning_has_its_file_and_line(yard: Path) -> None:
    file = yard / "checks" / "ours.toml"
    text = YARD.replace('"now"', '"nwo"').replace('text = "Both', 'texxt = "Both') + "\n[places.front]\nnumber = -1\n"
    file.write_text(text, encoding="utf-8")
    problems = read_problems(yard)
    assert [(one.code, one.where.line, one.where.key) for one in problems] == [
        ("rule-range", 14, "places.front.number"),
        ("rule-choice", 8, "checks.chain.tension.symptoms.slack.seriousness"),
        ("rule-unknown-key", 5, "checks.chain.tension.texxt"),
    ]
    assert {one.where.file for one in problems} == {str(file)}
    assert problems[2].hint == "Did you mean text?"


def test_refusal_names_every_fault_at_once(yard: Path) -> None:
    (yard / "a.toml").write_text('kind = "engine-pneumatic-lpg"\n[checks.horn.heard]\nshift = 3\nplace = 4\n')
    with pytest.raises(RulesError) as caught:
        read_rules(yard)
    assert len(caught.value.problems) == 2
    assert "line 3" in str(caught.value)
    assert "line 4" in str(caught.value)


def test_looser_rule_is_refused(yard: Path) -> None:
    file = yard / "checks" / "ours.toml"
    file.write_text(YARD.replace('"now"', '"watch"'), encoding="utf-8")
    found = {(one.code, one.where.line) for one in read_problems(yard)}
    assert found == {("rule-safety", 8), ("rule-looser", 8)}


def test_faults_of_form_and_of_meaning_come_together(yard: Path) -> None:
    text = 'kind = "engine-pneumatic-lpg"\n[checks.horn.heard]\nshiftt = true\n[checks.horn.heard.symptoms.weak]\n'
    text += 'seriousness = "watch"\n[services.450h]\ntasks = ["grease.al"]\ninterval_hours = "450"\n'
    text += "[checks.seat.firm]\ntext = 3\n"
    (yard / "a.toml").write_text(text)
    problems = read_problems(yard)
    assert {(one.code, one.where.line) for one in problems if one.hard} == {
        ("rule-unknown-key", 3),
        ("rule-safety", 5),
        ("rule-looser", 5),
        ("rule-reference", 7),
        ("rule-type", 8),
        ("rule-type", 10),
    }
    with pytest.raises(RulesError):
        read_rules(yard)


def test_a_file_that_is_out_leaves_the_meaning_of_the_others_open(yard: Path) -> None:
    (yard / "a.toml").write_text("a = [")
    (yard / "b.toml").write_text('kind = "engine-pneumatic-lpg"\n[checks.horn.heard]\nsource = "x"\nshift = 3\n')
    assert [one.code for one in read_problems(yard)] == ["rule-syntax", "rule-type"]


def test_missing_key_points_at_its_table(yard: Path) -> None:
    text = YARD + '\n[checks.net.on]\n\'text\' = """Net"""\n'
    (yard / "checks" / "ours.toml").write_text(text, encoding="utf-8")
    problems = read_problems(yard)
    assert {one.where.line for one in problems} == {13}
    assert {one.where.key for one in problems} >= {"checks.net.on.place", "checks.net.on.normal"}


def test_soft_problem_holds_nothing_up(yard: Path) -> None:
    (yard / "t.toml").write_text(
        'kind = "engine-pneumatic-lpg"\n[tasks.net.look]\ntext = "Look"\nminutes = 1\nwindow = "strict"\n'
        'source = "yard"\nmark = "common practice"\n'
    )
    problem = only(yard)
    assert (problem.code, problem.hard) == ("rule-unused", False)
    assert read_rules(yard).kinds["engine-pneumatic-lpg"].task("net.look") is not None


def test_lines_within_texts_of_many_lines_are_passed_over(yard: Path) -> None:
    text = 'kind = """\n[places]\nx = 1\n"""\n[places.front]\nnumber = 100\n'
    (yard / "checks" / "ours.toml").write_text(text.replace('"""\n[places]\nx = 1\n"""', '"engine-pneumatic-lpg"'))
    assert only(yard).where.line == 3
    assert rulefiles._line(text, ("places", "front", "number")) == 6
    assert rulefiles._line(text, ("x",)) is None


@pytest.mark.parametrize(
    ("data", "code", "line", "found"),
    [
        (b'kind = "x\n', "rule-syntax", 1, "Illegal character"),
        (b"a = 1\na = 2\n", "rule-syntax", 2, "Cannot overwrite a value"),
        (b"[a]\n[a]\n", "rule-syntax", 2, "Cannot declare"),
        (b"a = [1,\n", "rule-syntax", 2, "Invalid value"),
        (b"a = '''x\n", "rule-syntax", 2, "Expected"),
        (b"a = \x00\n", "rule-syntax", 1, "Invalid value"),
        (b"a = 1\nb = '\xe4'\n", "rule-file", 2, "the byte 0xe4"),
        (b"a = '\x00'\n", "rule-syntax", 1, "a slip at column 6: Found invalid character"),
        ("kind = 'x'".encode("utf-16"), "rule-file", 1, "the byte 0xff"),
        (b"a = 1" + b"0" * 5000 + b"\n", "rule-file", 1, "a line of 5,005 characters"),
        (b"# " + b"x" * LONGEST_LINE, "rule-file", 1, "a line of 2,002 characters"),
        (b"\n" * (LARGEST + 1), "rule-file", None, "more than 1,000,000 bytes"),
        (b"a = " + b"[\n" * 5000, "rule-syntax", None, "nested without end"),
        (b"a = 2026-02-30\n", "rule-syntax", None, ""),
        (b"a = 1e99999999999999999999\n", "rule-syntax", None, ""),
    ],
)
def test_file_that_is_no_rules_file(tmp_path: Path, data: bytes, code: str, line: int | None, found: str) -> None:
    (tmp_path / "x.toml").write_bytes(data)
    problem = only(tmp_path)
    assert problem.code == code
    assert problem.where.file == str(tmp_path / "x.toml")
    assert problem.where.line == line or line is None
    assert found in problem.found


def test_byte_order_mark_and_windows_line_ends_are_read(yard: Path) -> None:
    text = YARD.replace('"now"', '"nwo"').replace("\n", "\r\n")
    (yard / "checks" / "ours.toml").write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert only(yard).where.line == 8


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("number = nan", "rule-type"),
        ("number = inf", "rule-type"),
        ("number = 1e400", "rule-type"),
        ("number = " + "9" * 1500, "rule-range"),
        ('text = "\\u0000"', "rule-text"),
        ('text = "\\u202Eback"', "rule-text"),
        ("text = 2026-01-02", "rule-type"),
        ("text." + ".".join("a" * 20) + " = 1", "rule-deep"),
    ],
)
def test_value_that_no_rule_has(tmp_path: Path, line: str, code: str) -> None:
    (tmp_path / "x.toml").write_text(f'kind = "engine-pneumatic-lpg"\n[places.front]\n{line}\n')
    problem = only(tmp_path)
    assert (problem.code, problem.where.file) == (code, str(tmp_path / "x.toml"))
    assert len(problem.message) < 400


def test_folder_that_is_none(tmp_path: Path) -> None:
    assert only(tmp_path / "none").code == "rule-folder"
    assert only(tmp_path).found == "no rules file"
    assert only(Path("bad\x00name")).code == "rule-folder"
    for number in range(MOST_FILES + 1):
        (tmp_path / f"{number}.toml").touch()
    assert only(tmp_path).found == "more than 200 rules files"


def test_folders_are_followed_one_deep(tmp_path: Path) -> None:
    deep = tmp_path / "a" / "b"
    deep.mkdir(parents=True)
    (deep / "x.toml").write_text("a = [")
    (tmp_path / "loop").symlink_to(tmp_path)
    assert only(tmp_path).found == "no rules file"


def test_file_that_cannot_be_opened(tmp_path: Path) -> None:
    (tmp_path / "x.toml").symlink_to(tmp_path / "gone")
    assert only(tmp_path).code == "rule-file"


def test_importing_reads_no_rules() -> None:
    code = "import dipmark.adapters.rulefiles as r; print(r._shipped_files.cache_info().currsize)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "0"


def test_every_problem_has_a_code_in_the_list(yard: Path) -> None:
    (yard / "a.toml").write_text("kind = 3\n[checks.x]\n")
    assert all(one.code in CODES for one in read_problems(yard))


def test_rules_are_read_out_of_a_packed_package(tmp_path: Path) -> None:
    folder = Path(str(resources.files("dipmark.rules") / "data"))
    with zipfile.ZipFile(tmp_path / "p.zip", "w") as packed:
        for file in folder.rglob("*.toml"):
            packed.write(file, f"data/{file.relative_to(folder)}")
    root = zipfile.Path(tmp_path / "p.zip", "data/")
    names = [name for name, _ in rulefiles._toml_files(root, "data")]
    shipped = [file.relative_to(folder) for file in folder.rglob("*.toml")]
    assert names == sorted(f"data/{file.as_posix()}" for file in shipped if file.parts[0] != "texts")
    assert {"data/checks/engine-pneumatic-lpg.toml", "data/parts/mast.toml", "data/sources.toml"} <= set(names)


# ---------------------------------------------------------------- mutated files

TOKENS = (
    *(
        "[",
        "]",
        "[[",
        "{",
        "}",
        "=",
        ".",
        ",",
        '"',
        "'",
        '"""',
        "'''",
        "#",
        "\\",
        "\\u0000",
        "\\ud800",
        "\x00",
        "\r",
        "\n",
    ),
    *(
        "nan",
        "-inf",
        "1e999999",
        "1e99999999999999999999",
        "9" * 4400,
        "0x1f",
        "-0.0",
        "1.0000000001",
        "true",
        "1979-05-27",
    ),
    *(
        "[checks]",
        "[checks.chain]",
        "[[checks.chain.tension]]",
        "[services.150h]",
        "kind = 3",
        "a.b.c.d.e.f.g.h.i.j = 1",
    ),
    *('"stop"', '"watch"', '"now"', "legal = true", "affects_safety = false", "\ud7ff", "é", "\u202e", "month", "💥"),
    *("[" * 300, "{a=" * 200, "a." * 300 + "b = 1"),
)


def mutated(text: str, rng: random.Random) -> bytes:
    for _ in range(rng.randint(1, 4)):
        start, end = sorted(rng.randrange(len(text) + 1) for _ in range(2))
        lines = text.split("\n")
        match rng.randrange(7):
            case 0:
                text = text[:start] + rng.choice(TOKENS) + text[start:]
            case 1:
                text = text[:start] + text[min(end, start + 40) :]
            case 2:
                text = text[:start]
            case 3:
                rng.shuffle(lines)
                text = "\n".join(lines)
            case 4:
                text = text[:end] + text[start : min(end, start + 200)] + text[end:]
            case 5:
                one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
                left, equals, _ = lines[one].partition("=")
                lines[one] = left + equals + rng.choice((lines[other].partition("=")[2], f" {rng.choice(TOKENS)}"))
                text = "\n".join(lines)
            case _:
                words = text.split(" ")
                words[rng.randrange(len(words))] = rng.choice(words)
                text = " ".join(words)
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if data and rng.random() < 0.3:
        data[rng.randrange(len(data))] = rng.randrange(256)
    return bytes(data)


SMALL = """\
version = "1"
kind = "reach"
text = "Reach truck"
meters = ["drive"]
takes.wheels = ["cab"]

[options]
cab = true

[sources]
practice = { title = "Common practice" }

[places.front]
number = 1
text = "Front"

[checks.chain.tension]
place = "front"
text = "Chains"
normal = "tight"
when = "key-off"
shift = true
needs = ["cab"]
asked = { quantity = "slack", unit = "mm" }
source = "practice"
mark = "common practice"
symptoms.dry.text = "dry"
symptoms.dry.seriousness = "repair-by"
symptoms.dry.days = 7
symptoms.dry.affects_safety = false
symptoms.dry.source = "practice"
symptoms.dry.mark = "common practice"

[windows]
oil = { early_percent = 10, late_percent = 10.0, source = "practice", mark = "common practice" }

[tasks.oil.change]
text = "Change the oil"
minutes = 20
window = "oil"
source = "practice"
mark = "common practice"

[services.150h]
text = "Oil"
interval_hours = 150
months = 1
meter = "drive"
severe = { hard = 0.7 }
tasks = ["oil.change"]
source = "practice"
mark = "common practice"
"""


PART = """\
part = "wheels"

[choices.fuel]
usual = "gas"
of.gas = { words = ["lpg"], brings = ["engine"] }

[checks.wheels.nuts]
place = "front"
text = "Nuts"
normal = "there"
when = "key-off"
seconds = 10
shift = true
source = "practice"
mark = "common practice"
symptoms.loose.text = "loose"
symptoms.loose.seriousness = "stop"
symptoms.loose.affects_safety = true
symptoms.loose.source = "practice"
symptoms.loose.mark = "common practice"
"""


def judged(files: tuple[RuleFile | Problem, ...], base: Rules | None) -> bool:
    """Whether files give rules; whatever they hold, nothing but named problems comes out."""
    rules, problems = rulefiles._read(files, base)
    for one in problems:
        assert one.code in CODES
        assert one.found
        assert one.expected
        assert str(one).isprintable()
        assert one.where.file or one.where.key
    if rules is None or any(one.hard for one in problems):
        with pytest.raises(RulesError) as caught:
            rulefiles._usable(rules, problems)
        assert caught.value.problems == problems
        return False
    assert len(rulefiles._usable(rules, problems).digest) == 64
    return True


def test_small_file_is_whole(tmp_path: Path) -> None:
    (tmp_path / "x.toml").write_text(SMALL, encoding="utf-8")
    (tmp_path / "y.toml").write_text(PART, encoding="utf-8")
    assert judged(rulefiles._own_files(tmp_path), None)


@pytest.mark.property
def test_mutated_files_never_end_in_a_traceback() -> None:
    rng = random.Random(20260301)
    whole = laid = 0
    for number in range(MUTATIONS):
        if number % 10:
            small, part = (mutated(SMALL, rng), PART.encode()) if number % 3 else (SMALL.encode(), mutated(PART, rng))
            files = (rulefiles._decoded(small, "x.toml", own=False), rulefiles._decoded(part, "y.toml", own=False))
            whole += judged(files, None)
        else:
            yard = rulefiles._decoded(mutated(YARD, rng), "x.toml", own=True)
            laid += judged((*rulefiles._shipped_files(), yard), read_rules())
    assert 0 < whole < MUTATIONS
    assert 0 < laid < MUTATIONS

"""How a command ends: what is refused is said in a line or two and a number, never in a traceback."""

from __future__ import annotations

import codecs
import sys
import unicodedata
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

import typer
from typer.exceptions import TyperException

from dipmark.facts.errors import DipmarkError

if TYPE_CHECKING:
    from dipmark.facts.problems import Problem

PLAIN: Final = str.maketrans({
    "█": "#", "▒": ":", "▕": "|", "▏": "|", "╳": "X", "▶": ">", "●": "*", "○": "o", "◣": "/", "■": "#",
    "─": "-", "–": "-", "’": "'", "…": "...", "·": "-", "×": "x", "°": " deg ", "µ": "u",
})  # fmt: skip
"""What stands for a character on a terminal that cannot show it."""


def run(app: typer.Typer, words: Sequence[str] | None = None) -> int:
    """Run the command line.

    Args:
        app: all commands.
        words: what was typed after the program's name; None: what the shell passed.

    Returns:
        0 done; 1 refused, or something is wrong with what was asked about; 2 typed in a way that says nothing.
    """
    typed = sys.argv[1:] if words is None else list(words)
    _speak_plainly()
    try:
        code = app(typed, standalone_mode=False)
    except TyperException as fault:
        return _refuse(typed, _usage(fault), code=fault.exit_code)
    except DipmarkError as refusal:
        return _refuse(typed, str(refusal), refusal.problems)
    except typer.Abort:
        return _refuse(typed, "Stopped before the end.")
    except OSError as fault:
        return _refuse(typed, ": ".join(str(part) for part in (fault.filename, fault.strerror or fault) if part) + ".")
    if code == _INTERRUPTED:
        return _refuse(typed, "Stopped before the end.")
    return code if isinstance(code, int) else 0


_INTERRUPTED: Final = 130


def _usage(fault: TyperException) -> str:
    """What was wrong with the words typed, and where to read on; no words at all are answered with the help."""
    said = fault.format_message().strip().removeprefix("Invalid value: ").replace(": Value error, ", ": ")
    if "\n" in said:
        return said
    context: Any = getattr(fault, "ctx", None)
    return f"{said.rstrip('.')}. See: {context.command_path if context else 'dipmark'} --help"


def _refuse(typed: Sequence[str], said: str, problems: Sequence[Problem] = (), *, code: int = 1) -> int:
    if "--json" in typed:
        import msgspec

        shape = {"error": {"message": said, "problems": list(problems)}}
        said = msgspec.json.format(msgspec.json.encode(shape), indent=2).decode()
    sys.stderr.write(said.rstrip("\n") + "\n")
    return code


def _speak_plainly() -> None:
    """A terminal that cannot show a character gets a plain one in its place."""
    codecs.register_error("plainly", _plainly)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="plainly")


def _plainly(fault: UnicodeError) -> tuple[str, int]:
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    told = fault.object[fault.start : fault.end].translate(PLAIN)
    plain = unicodedata.normalize("NFKD", told)
    return "".join(one if one.isascii() else "" if unicodedata.combining(one) else "?" for one in plain), fault.end

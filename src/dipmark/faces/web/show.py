"""Pages from templates: what each of them is given beside its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from typing import Any, Final, Literal, get_args
from urllib.parse import quote, unquote

from jinja2 import Environment, PackageLoader, StrictUndefined
from litestar import Request, Response
from litestar.datastructures import Cookie
from litestar.response import Redirect

from dipmark.faces.web.guard import cookie, form_token, site_of
from dipmark.faces.web.site import Site, Spoken
from dipmark.facts.problems import Problem
from dipmark.office.open import Office
from dipmark.views import words

Asked = Request[Any, Any, Any]

Theme = Literal["as-device", "light", "dark"]
THEMES: Final[tuple[Theme, ...]] = get_args(Theme)


@cache
def templates() -> Environment:
    """All templates. Whatever they are given is escaped."""
    made = Environment(
        loader=PackageLoader("dipmark.faces.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters |= {"hours": words.hours, "day": words.day, "path": as_part, "amount": amount}
    return made


def amount(value: Decimal) -> str:
    """A value to a tenth, without needless noughts."""
    text = f"{value:,.1f}"
    return text.removesuffix(".0")


def as_part(name: str) -> str:
    """A name as a part of an address. Twice, since a server undoes it once and would find a slash."""
    return quote(quote(name, safe=""), safe="")


def named(part: str) -> str:
    """The name in a part of an address, which the server has undone once."""
    return unquote(part)


def spoken(request: Asked) -> Spoken:
    """The language of whoever asks: his own choice, or the yard's."""
    return site_of(request).spoken(request.cookies.get("dipmark_language"))


def office_of(request: Asked) -> Office:
    """The yard as whoever asks sees it: in his language, and what he writes is his."""
    site = site_of(request)
    return site.office.asked_by(request.state.asker.person, spoken(request).rules)


def theme_of(request: Asked) -> Theme:
    """Light, dark, or as the device has it."""
    chosen = request.cookies.get("dipmark_theme")
    return next((one for one in THEMES if one == chosen), "as-device")


def show(request: Asked, template: str, status: int = 200, /, **given: Any) -> Response[str]:
    """A page.

    Args:
        request: who asks, from where.
        template: its file's name.
        status: of the answer.
        given: what it shows.
    """
    return Response(render(request, template, **given), status_code=status, media_type="text/html; charset=utf-8")


def render(request: Asked, template: str, **given: Any) -> str:
    """The text of a page or of a part of one."""
    site, language = site_of(request), spoken(request)
    session = request.state.get("session")
    shared = {
        "w": language.say,
        "tag": language.tag,
        "languages": site.languages,
        "theme": theme_of(request),
        "asker": request.state.get("asker"),
        "form_token": form_token(session) if session else "",
        "here": request.url.path,
        "due_words": words.DUE,
        "problems": (),
        "typed": {},
        "said": None,
    }
    return templates().get_template(template).render(shared | given)


def show_again(
    request: Asked, template: str, message: str, problems: Sequence[Problem], typed: Mapping[str, Any], **given: Any
) -> Response[str]:
    """The same form again, with what is wrong and everything that was typed."""
    kept = {name: value for name, value in typed.items() if isinstance(value, str) and name not in SECRET}
    return show(request, template, 422, said=message, problems=problems, typed=kept, **given)


SECRET: Final = frozenset({"secret", "passphrase", "pin", "form_token", "again"})
"""Fields that are never shown again."""


def go(path: str) -> Redirect:
    """On to a page of ours, after something was written."""
    return Redirect(path, status_code=303)


def kept_cookie(site: Site, name: str, value: str, seconds: int | None = None) -> Cookie:
    """A cookie that no script reads; without seconds it ends with the browser."""
    return Cookie(
        key=cookie(name, secure=site.secure),
        value=value,
        path="/",
        httponly=True,
        secure=site.secure,
        samesite="lax",
        max_age=seconds,
    )

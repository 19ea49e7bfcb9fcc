"""The rules: kinds of truck, law, limits, sources; and the yard's own values, changed at the desk."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.deeds import sorted_problems, who_may
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.pages.deeds import DEEDS
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.faces.web.words import said
from dipmark.facts.errors import NotFound, Refused, RulesError
from dipmark.office.own_rule import propose, save, target_of, targets
from dipmark.rules.model import Rules
from dipmark.views.measures import title_of
from dipmark.views.words import AFTER, LAPSED, SERIOUSNESS

READ: Final = next(deed for deed in DEEDS if deed.id == "read")

MARKS: Final = {
    "seen": said("its text was read"),
    "secondary": said("read in a copy or a report"),
    "common practice": said("common practice, no source"),
    "unverified": said("from memory, not verified"),
}
"""How far a value may be trusted."""

CHANGES: Final = {
    "interval": said("Service intervals, in hours"),
    "months": said("Service intervals, in months"),
    "days": said("Days to mend what does not affect safety"),
    "limit": said("Limits"),
}
"""What a yard may change at the desk."""

EDGES: Final = {
    "above": said("out above"),
    "at-or-above": said("out at and above"),
    "below": said("out below"),
    "at-or-below": said("out at and below"),
}


def _shared(rules: Rules) -> dict[str, Any]:
    return {
        "rules": rules,
        "title_of": lambda key: title_of(key, rules.sources) or "",
        "marks": MARKS,
        "serious": SERIOUSNESS,
        "edges": EDGES,
        "lapsed": LAPSED,
    }


@get("/rules", act="look", sync_to_thread=True)
def rules_page(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """All of them: where to look."""
    office = office_of(request)
    return show(
        request,
        "rules.html",
        **_shared(office.rules),
        law=office.rules.law_of(office.yard.country),
        may_change=asker.may("rules"),
        changers=who_may("rules"),
        own=site.own_rules is not None,
    )


@get("/rules/kind/{key:str}", act="look", sync_to_thread=True)
def rules_of_kind(request: Asked, key: FromPath[str]) -> Response[str]:
    """What one kind of truck asks for."""
    rules = office_of(request).rules
    kind = rules.kind(named(key))
    if kind is None:
        raise NotFound("There are no rules of such a kind of truck.")
    return show(request, "rules_kind.html", **_shared(rules), kind=kind, after=AFTER)


@get("/rules/{part:str}", act="look", sync_to_thread=True)
def rules_part(request: Asked, part: FromPath[str]) -> Response[str]:
    """What the law asks, what is measured, where it all comes from."""
    if part not in ("duties", "limits", "sources"):
        raise NotFound("There is nothing at this address.")
    office = office_of(request)
    law = office.rules.law_of(office.yard.country)
    return show(request, f"rules_{part}.html", **_shared(office.rules), law=law)


@get("/rules/own", act="rules", sync_to_thread=True)
def own_page(request: Asked, site: SiteHere) -> Response[str]:
    """The yard's own values: choose one, then say what it is to be."""
    return show(request, "rules_own.html", **_own(request, site, str(request.query_params.get("value", ""))))


@post("/rules/own", act="rules", sync_to_thread=True, status_code=303)
def own_value(request: Asked, site: SiteHere, data: Form) -> Response[Any]:
    """Show the difference; once it was seen, write it, and use it from now on."""
    office, id_ = office_of(request), field(data, "id")
    shown = _own(request, site, id_)
    asked = (office, site.own_rules, id_, field(data, "value"), field(data, "source"))
    try:
        if field(data, "step") != "save":
            change = propose(*asked)
            typed = {"value": field(data, "value"), "source": field(data, "source")}
            return show(request, "rules_own.html", 200, **shown | {"change": change, "typed": typed})
        site.use_rules(save(*asked))
    except (Refused, RulesError) as refusal:
        beside = sorted_problems(refusal.problems, READ)
        return show_again(request, "rules_own.html", str(refusal), refusal.problems, data, **shown | {"beside": beside})
    return go(f"/rules/own?value={as_part(id_)}&saved=yes")


def _own(request: Asked, site: SiteHere, id_: str) -> dict[str, Any]:
    rules = office_of(request).rules
    groups: dict[str, dict[str, list[Any]]] = {}
    for one in targets(rules):
        groups.setdefault(one.what, {}).setdefault(one.about, []).append(one)
    about = {key: kind.text for key, kind in rules.kinds.items()} | {
        key: subject.text for key, subject in rules.subjects.items()
    }
    return {
        **_shared(rules),
        "groups": groups,
        "about": about,
        "changes": CHANGES,
        "target": target_of(rules, named(id_)) if id_ else None,
        "change": None,
        "beside": {},
        "own": str(site.own_rules) if site.own_rules else "",
        "saved": "saved" in request.query_params,
    }


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (
    rules_page,
    rules_of_kind,
    own_page,
    own_value,
    rules_part,
)

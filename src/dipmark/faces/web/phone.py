"""The phone: its page, what it keeps for times without network, what it takes along, and the sheets it sends."""

from __future__ import annotations

import asyncio
import gzip
import hashlib
from functools import cache
from typing import Final
from weakref import WeakKeyDictionary

import msgspec
from anyio import to_thread
from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler

from dipmark.faces.web.guard import DEVICE, OPEN, DeviceHere, SiteHere
from dipmark.faces.web.show import Asked, show
from dipmark.faces.web.site import Site
from dipmark.faces.web.words import WEB, said_in
from dipmark.facts.base import UNNAMED
from dipmark.facts.problems import Problem
from dipmark.office.receive import MOST_BYTES, settle, weigh, written
from dipmark.office.sheet_for_phone import Bundle, Compiled, bundle
from dipmark.views.walk_round import QUANTITY

JSON: Final = "application/json"
PAGE: Final = "/phone"
FILES: Final = ("mark.svg", "tokens.css", "phone.css")

_COMPILED: Final[WeakKeyDictionary[Site, Compiled]] = WeakKeyDictionary()


def compiled_of(site: Site) -> Compiled:
    """The sheets that a server has compiled."""
    return _COMPILED.setdefault(site, Compiled())


def modules() -> tuple[str, ...]:
    """The names of the page's own modules."""
    names = (file.name for file in (WEB / "static" / "phone").iterdir())
    return tuple(sorted(name for name in names if name.endswith(".js")))


@cache
def shell() -> dict[str, bytes]:
    """All that the page is made of, by address, the page itself left out."""
    files = {f"/static/{name}": (WEB / "static" / name).read_bytes() for name in FILES}
    return files | {f"/static/phone/{name}": (WEB / "static" / "phone" / name).read_bytes() for name in modules()}


@cache
def said_on_phones() -> tuple[str, ...]:
    """Every English text that the page's modules say, and what values asked for are called."""
    sources = [data.decode() for path, data in shell().items() if path.endswith(".js")]
    found = (text for source in sources for text in said_in(source))
    return tuple(dict.fromkeys((*found, *QUANTITY.values())))


@cache
def worker() -> bytes:
    """The service worker, with the files it keeps and the digest of them all before it."""
    page = (WEB / "templates" / "phone.html").read_bytes()
    code = (WEB / "static" / "sw.js").read_bytes()
    version = hashlib.sha256(b"\n".join((page, code, *shell().values()))).hexdigest()[:16]
    kept = msgspec.json.encode([PAGE, "/phone/manifest.webmanifest", *shell()]).decode()
    return f'const VERSION = "{version}";\nconst SHELL = {kept};\n'.encode() + code


@get(PAGE, act=OPEN, sync_to_thread=True)
def phone(request: Asked) -> Response[str]:
    """The page; it holds nothing that anybody must not see."""
    return show(request, "phone.html")


@get("/phone/sw.js", act=OPEN, sync_to_thread=False)
def phone_worker() -> Response[bytes]:
    """What keeps the page."""
    return Response(worker(), media_type="text/javascript", headers={"service-worker-allowed": PAGE})


@get("/phone/manifest.webmanifest", act=OPEN, sync_to_thread=False)
def phone_manifest() -> Response[bytes]:
    """By which the page can be put on the phone's own first screen."""
    icon = {"src": "/static/mark.svg", "sizes": "any", "type": "image/svg+xml"}
    said = {"name": "dipmark", "short_name": "dipmark", "start_url": PAGE, "scope": PAGE, "display": "standalone"}
    return Response(msgspec.json.encode(said | {"icons": [icon]}), media_type="application/manifest+json")


@get("/phone/bundle", act=DEVICE, sync_to_thread=True)
def phone_bundle(request: Asked, site: SiteHere) -> Response[bytes]:
    """What a known phone takes along; nothing where it has it already."""
    spoken = site.spoken(request.query_params.get("language"))
    office = site.office.asked_by(UNNAMED, spoken.rules)

    def words() -> dict[str, str]:
        return {text: said for text in said_on_phones() if (said := spoken.say(text)) != text}

    def make() -> tuple[bytes, str]:
        made = bundle(office, compiled_of(site), spoken.tag, site.languages, words)
        return gzip.compress(msgspec.json.encode(made), 6), _tag(made)

    data, tag = site.kept(f"phone {spoken.tag}", office.clock(), make)
    if request.headers.get("if-none-match") == tag:
        return Response(b"", status_code=304, headers={"etag": tag})
    if "gzip" in request.headers.get("accept-encoding", ""):
        return Response(data, media_type=JSON, headers={"etag": tag, "content-encoding": "gzip"})
    return Response(gzip.decompress(data), media_type=JSON, headers={"etag": tag})


def _tag(made: Bundle) -> str:
    """The same as long as nothing but the time has changed."""
    return f'"{hashlib.sha256(msgspec.json.encode(msgspec.structs.replace(made, heard=0))).hexdigest()[:32]}"'


@post("/phone/sheets", act=DEVICE, status_code=200, request_max_body_size=MOST_BYTES)
async def phone_sheets(request: Asked, site: SiteHere, device: DeviceHere) -> Response[bytes]:
    """Take a sheet; answered once it is durable."""
    data = await request.body()
    weighed = await to_thread.run_sync(weigh, site.office, compiled_of(site), device, data, limiter=site.turns)
    late: tuple[Problem, ...] = ()
    if weighed.write or weighed.blobs:  # no thread waits meanwhile, so that many sheets share one commit
        done = site.batch.submit(tuple(weighed.write.values()), weighed.blobs)
        held = asyncio.wrap_future(done)
        await asyncio.wait([held])  # a phone that hangs up meanwhile takes nothing back
        late = () if held.exception() is None else written(done)
    if late or len(weighed.write) < len(weighed.new):
        received = await to_thread.run_sync(settle, site.office, weighed, late, limiter=site.turns)
    else:
        received = settle(site.office, weighed)
    return Response(msgspec.json.encode(received), media_type=JSON)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (phone, phone_worker, phone_manifest, phone_bundle, phone_sheets)

"""The application: which address is answered by which view."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from urllib.parse import parse_qsl

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response as Sent
from starlette.routing import Route

from glazecalc.files.text_file import only_within
from glazecalc.workbench import pages
from glazecalc.workbench.bench import Bench
from glazecalc.workbench.guard import READING_ONLY, WENT_WRONG, App, Guard, Passes, Refusal

__all__ = ("MODULES", "Asked", "View", "workbench")

MODULES = ("routes_shelf", "routes_glaze", "routes_verbs", "routes_materials", "routes_phone", "routes_start")
"""The modules of this room that have pages; each exports `ROUTES`: (methods, address, view)."""
_MOST_FIELDS = 400  # of a form; this program's own choice
_FORM = "application/x-www-form-urlencoded"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a request asks for: all of it texts."""

    method: str
    names: Mapping[str, str] = field(default_factory=dict)
    query: Mapping[str, str] = field(default_factory=dict)
    form: Mapping[str, str] = field(default_factory=dict)
    ticked: tuple[
        tuple[str, str], ...
    ] = ()  # every pair of the form, where a name stands more than once; of the query where there is no form


View = Callable[[Bench, Asked], pages.Response]


def workbench(bench: Bench, passes: Passes) -> App:
    """Return the application for one folder, with the guard around it."""
    routes = [Route("/static/{name}", _endpoint(bench, _static), methods=["GET"])]
    for module in MODULES:
        found = importlib.import_module(f"glazecalc.workbench.{module}").ROUTES
        routes += [Route(address, _endpoint(bench, view), methods=list(methods)) for methods, address, view in found]
    app = Starlette(
        routes=routes,
        exception_handlers={404: _not_found, 405: _not_so, Refusal: _refused, Exception: _gone_wrong},  # type: ignore[dict-item]
    )
    app.router.redirect_slashes = False
    return Guard(app, passes, _refused_page, phones=bench.phones, asks_code=_code_page)


def _endpoint(bench: Bench, view: View) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Sent:
        asked = await _asked(request)
        pages.READING_ONLY.set(READING_ONLY in request.scope)
        pages.WITH_PHONES.set(bench.phones is not None)
        with only_within(bench.studio.root):
            found = await run_in_threadpool(view, bench, asked)
        return Sent(found.body, found.status, dict(found.headers))

    return endpoint


async def _asked(request: Request) -> Asked:
    form: list[tuple[str, str]] = []
    if request.method not in ("GET", "HEAD"):
        kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
        if kind != _FORM:
            raise Refusal(415, "Not a form", "Only the forms of the workbench are read.")
        form = _pairs((await request.body()).decode("latin-1"))
    query = _pairs(request.url.query)
    method = "GET" if request.method == "HEAD" else request.method
    return Asked(method, dict(request.path_params), dict(query), dict(form), tuple(form or query))


def _pairs(text: str) -> list[tuple[str, str]]:
    try:
        return parse_qsl(text, keep_blank_values=True, max_num_fields=_MOST_FIELDS, errors="replace")
    except ValueError:
        raise Refusal(400, "Too many fields", "Go back and fill in fewer.") from None


def _static(_bench: Bench, asked: Asked) -> pages.Response:
    if asked.names["name"] not in pages.STATIC:
        raise HTTPException(404)
    return pages.static_file(asked.names["name"])


def _refused_page(status: int, title: str, text: str) -> bytes:
    return pages.page("refused.html", title=title, text=text, inside=status not in (400, 403)).body


def _code_page(wrong: bool) -> bytes:
    return pages.page("code.html", wrong=wrong).body


def _sent(status: int, title: str, text: str) -> Sent:
    return Sent(_refused_page(status, title, text), status, media_type="text/html")


async def _refused(_request: Request, refusal: Refusal) -> Sent:
    return _sent(refusal.status, refusal.title, refusal.text)


async def _not_found(_request: Request, _error: Exception) -> Sent:
    return _sent(404, "There is no such page", "It may be that of a card which is gone from the folder.")


async def _not_so(_request: Request, _error: Exception) -> Sent:
    return _sent(405, "Not in this way", "Go back to the page before.")


async def _gone_wrong(_request: Request, _error: Exception) -> Sent:
    return _sent(500, "Something went wrong here", WENT_WRONG)

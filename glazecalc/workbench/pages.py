"""The pages: templates that escape by default, in one frame; and the answers that carry them."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from urllib.parse import quote

from jinja2 import Environment
from markupsafe import Markup

from glazecalc.display import Shown
from glazecalc.show.html import fragment, page_css
from glazecalc.show.html.setting import environment, file_of
from glazecalc.workbench.fields import NEVER

__all__ = (
    "NAV",
    "READING_ONLY",
    "STATIC",
    "WITH_PHONES",
    "Response",
    "answer",
    "as_json",
    "go_to",
    "html",
    "page",
    "static_file",
)

NAV = (("/", "Shelf of glazes"), ("/new", "New glaze"), ("/materials", "Materials"), ("/do", "Cone, size, laboratory"))
"""What stands in the head of every page: address and words."""
READING_ONLY: ContextVar[bool] = ContextVar("reading_only", default=False)
"""Whether the request that is being answered may read and nothing else; every page says so."""
WITH_PHONES: ContextVar[bool] = ContextVar("with_phones", default=False)
"""Whether phones may be let in."""
STATIC = {
    "page.css": "text/css; charset=utf-8",  # the one style of all pages; the other adds what only a workbench has
    "workbench.css": "text/css; charset=utf-8",
    "verbs.css": "text/css; charset=utf-8",
    "materials.js": "text/javascript; charset=utf-8",
    "ticks.js": "text/javascript; charset=utf-8",
    "workbench.js": "text/javascript; charset=utf-8",
}
_COMMAND = re.compile(r"&#39;glazecalc ([a-z]+)&#39;")
_OPTION = re.compile(r"<code>--([a-z][a-z-]+)</code>")


@dataclass(frozen=True, slots=True)
class Response:
    """What a view answers."""

    status: int
    body: bytes
    headers: Mapping[str, str] = field(default_factory=dict)


def page(template: str, status: int = 200, **parts: Any) -> Response:
    """Return a page of the workbench."""
    return Response(status, html(template, **parts).encode("utf-8"), {"content-type": "text/html; charset=utf-8"})


def as_json(value: Any) -> Response:
    """Return plain values for the script of a page."""
    text = json.dumps(value, ensure_ascii=True, allow_nan=False)
    return Response(200, text.encode("ascii"), {"content-type": "application/json"})


def go_to(path: str) -> Response:
    """Return the order to look at another page of the workbench; `path` begins with a slash and is escaped."""
    return Response(303, b"", {"location": path})


def html(template: str, **parts: Any) -> Markup:
    """Return a template filled in; every text in it is escaped, and what no page can hold stands there by its number."""
    return Markup(_environment().get_template(template).render(**parts))


def answer(value: Shown, **options: Any) -> Markup:
    """Return the page of a value as it stands inside a page of the workbench: what ``--html`` writes, an option called by its field and a verb by its form."""

    def named(found: re.Match[str]) -> str:
        return found[0] if found[1] in NEVER else f"<i>{found[1].replace('-', ' ')}</i>"

    with_forms = _COMMAND.sub(lambda found: f"<i>{found[1].capitalize()}</i>", fragment(value, **options))
    return Markup(_OPTION.sub(named, with_forms))


def static_file(name: str) -> Response:
    """Return one of the files of `STATIC`."""
    text = page_css() if name == "page.css" else file_of(__package__, f"static/{name}")
    return Response(200, text.encode("utf-8"), {"content-type": STATIC[name]})


@cache
def _environment() -> Environment:
    made = environment(__package__)
    made.globals |= {"nav": NAV, "reading_only": READING_ONLY.get, "with_phones": WITH_PHONES.get}
    made.filters["in_address"] = lambda text: quote(text, safe="")
    return made

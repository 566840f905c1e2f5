"""A value as an HTML page: one file for print and screen, no network and no script; the same words and numbers as the text pages."""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.util import find_spec
from typing import Any

from markupsafe import Markup

from glazecalc.display import Shown
from glazecalc.errors import Notice
from glazecalc.show import pages
from glazecalc.show.html.setting import page_css, policy, rendered
from glazecalc.show.notices import notice_texts

__all__ = ("fragment", "html_page", "page_css", "title_of")


def html_page(value: Shown, *, notices: Iterable[Notice] | None = None, **options: Any) -> str:
    """Return a whole self-contained document: what `fragment` gives in the frame, with the style sheet inside."""
    template, parts = _parts(value, notices, options)
    frame = {"main": rendered(template, **parts), "css": Markup(page_css()), "policy": policy()}
    return str(rendered("frame.html", title=parts["title"], **frame))


def fragment(value: Shown, *, notices: Iterable[Notice] | None = None, **options: Any) -> Markup:
    """Return what stands inside ``<main>``: heading, page, notices, sources. `options` are those of the text page.

    It holds no script, no style attribute and no address. A value without an HTML page of its own shows its text page.
    """
    template, parts = _parts(value, notices, options)
    return rendered(template, **parts)


def _parts(value: Shown, notices: Iterable[Notice] | None, options: Mapping[str, Any]) -> tuple[str, Mapping[str, Any]]:
    """Return the template of a page and what goes into it."""
    said = tuple(getattr(value, "notices", ()) if notices is None else notices)
    told = [text.removeprefix("note: ") for text in notice_texts(said)]
    module = _module(value.PAGE)
    if module is None:
        template, parts = "text.html", {"text": pages.body(value, **options) if value.PAGE else str(value)}
    else:
        template, parts = importlib.import_module(module).page(value, **options)
    return template, {"title": title_of(value), "notices": told, **parts}


def title_of(value: Shown) -> str:
    """Return the name that a page bears: that of its recipe or material, else what kind of page it is."""
    ways = ("batch.recipe.name", "recipe.name", "scaled.recipe.name", "bucket.recipe.name", "recipe", "name", "folder")
    for way in ways:
        found: Any = value
        for step in way.split("."):
            found = getattr(found, step, None)
        if isinstance(found, str) and found:
            return found
    return (value.PAGE or type(value).__name__).replace("_", " ").capitalize()


@cache
def _module(page: str) -> str | None:
    """Return the module of this room that makes the page, None where there is none yet."""
    name = f"{__name__}.{page}"
    return name if page and find_spec(name) is not None else None

"""Where a value's page is: the module of this room that the value names, and the foot that every page has."""

from __future__ import annotations

import importlib
from typing import Any

from glazecalc.display import Shown
from glazecalc.show.notices import with_notices
from glazecalc.show.plain import keyed, plain

__all__ = ("body", "keyed", "page", "plain")


def body(value: Shown, **options: Any) -> str:
    """Return the page of a value without its foot: ``page(value, **options)`` of the module that ``value.PAGE`` names.

    One that no command prints, and that says in a line what it is, is that line.
    """
    if value.PAGE == "fields" and type(value).__str__ is not Shown.__str__:
        return str(value)
    text: str = importlib.import_module(f"glazecalc.show.{value.PAGE}").page(value, **options)
    return text


def page(value: Shown, **options: Any) -> str:
    """Return the whole page of a value, with its notices at the foot."""
    return with_notices(body(value, **options), getattr(value, "notices", ()))

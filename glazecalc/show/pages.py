"""Where a value's page is: the module of this room that the value names."""

from __future__ import annotations

import importlib
from typing import Any

from glazecalc.display import Shown
from glazecalc.show.plain import plain

__all__ = ("page", "plain")


def page(value: Shown, **options: Any) -> str:
    """Return the page of a value: ``page(value, **options)`` of the module that ``value.PAGE`` names."""
    text: str = importlib.import_module(f"glazecalc.show.{value.PAGE}").page(value, **options)
    return text

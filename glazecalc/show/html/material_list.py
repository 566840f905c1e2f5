"""The list of materials, a table for each kind."""

from __future__ import annotations

from typing import Any

from glazecalc.library import MaterialLibrary
from glazecalc.show.material_list import HEADS, groups, intro

__all__ = ("page",)


def page(library: MaterialLibrary) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    return "material_list.html", {
        "title": "Materials",
        "lead": intro(library),
        "heads": HEADS,
        "groups": groups(library),
    }

"""The page of a blank material sheet: its text, to save and fill in."""

from __future__ import annotations

from glazecalc.files.material_sheet import MaterialSheet

__all__ = ("page",)


def page(sheet: MaterialSheet) -> str:
    """Return the text of the sheet."""
    return sheet.text

"""The page of a weighing mistake: what to do, then the additions to tick off, or what speaks for starting again."""

from __future__ import annotations

from typing import Any

from glazecalc.show import mend as text_page
from glazecalc.workshop.mend import Mend
from glazecalc.workshop.practice import choice_basis, practice

__all__ = ("page",)

_CHOICES = {"a weight that is right": "on_recipe_percent", "what goes on a fine scale": "fine_scale_percent"}


def page(found: Mend) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    to_tick = found.action != "start-over"
    heads, *rows = text_page.restored_rows(found) if to_tick else text_page.start_over_rows(found)
    first = int(to_tick)  # the column of the boxes stands before the names
    return "mend.html", {
        "title": found.recipe or "The recipe",
        "line": "" if found.asked_g is None else f"planned at {found.asked_g:.0f} g in total",
        "advice": found.advice,
        "to_tick": to_tick,
        "heads": heads[first:-1],
        "rows": [
            {"box": to_tick and bool(row[0]), "name": row[first], "cells": row[first + 1 : -1], "beside": row[-1]}
            for row in rows
        ],
        "closing": text_page.closing(found),
        "right": text_page.right(found),
        "sources": [
            *((what, choice_basis(name)) for what, name in _CHOICES.items()),
            *(
                [("the step of the scale", f"this program's own choice: {practice('scale_steps')['own_choice']}")]
                if found.step_from == "weights"
                else []
            ),
        ],
    }

"""What a page says of a batch that was changed: its estimates before and after, its cautions, and what both stand on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

from glazecalc.files.shipped import load_data
from glazecalc.material import Material
from glazecalc.reformulate.answers import Answer, Effect
from glazecalc.reformulate.nudge import Nudge
from glazecalc.show.cautions import caution_headline
from glazecalc.show.effects import caution_groups
from glazecalc.show.html.drawing import lean
from glazecalc.show.html.sources import MOLAR_MASSES, of_estimates, of_materials

__all__ = ("cautions_of", "leans", "sources_of")

_LEAST = (
    0.05  # what a bar that leans wholly to one side stands for, at the least: what is off by nothing much leans little
)


def cautions_of(answer: Answer | Nudge, *, compared: bool = True) -> dict[str, Any]:
    """Return the cautions of a batch by what became of them, whole; of those that are gone the titles."""
    (new, came), (_, went), (as_before, stay) = caution_groups(answer, compared=compared)
    return {
        "groups": [(f"{word}s" if len(found) > 1 else word, found) for word, found in ((new, came), (as_before, stay))],
        "gone": [caution_headline(one) for one in went],
    }


def leans(changes: Sequence[float]) -> list[Markup]:
    """Return a bar for each of these changes, all in one unit: to the left for less, to the right for more."""
    most = max([_LEAST, *map(abs, changes)])
    return [lean(change / most) for change in changes]


def sources_of(materials: Sequence[Material], effects: Sequence[Effect]) -> list[tuple[str, str]]:
    """Return what the numbers of a changed batch stand on."""
    unlike = any(effect.difference is not None and effect.difference.level is not None for effect in effects)
    errors = load_data("differences_fitted.yaml")["source"] if unlike else ""
    return [
        *of_materials(materials),
        MOLAR_MASSES,
        *of_estimates([effect.now for effect in effects]),
        *([("errors of the differences", f"{errors}: pairs of glasses of one paper")] if errors else []),
    ]

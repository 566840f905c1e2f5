"""The page of sizes: how large to throw first, then the shrinkages, the clay and the water absorption."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from glazecalc.show import size as text_page
from glazecalc.show.html.drawing import bar
from glazecalc.workshop.practice import choice_basis, figure_givers
from glazecalc.workshop.size import ClayMass, SizeReport

__all__ = ("page",)


def page(found: SizeReport) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    stages = [] if found.sizes is None else text_page.stages(found.sizes)
    most = max((mm for _, mm, _ in stages), default=1.0)
    return "size.html", {
        "title": "Sizes" if stages else "Shrinkage" if found.total_percent is not None else "Water absorption",
        "sizes": [(name, f"{mm:.1f}", inches, bar(mm / most)) for name, mm, inches in stages],
        "errors": text_page.errors(found),
        "shrinkages": [_percent(*row) for row in text_page.shrinkage_rows(found)],
        "few_bars": text_page.few_bars(found),
        "clay": [] if found.clay is None else [_clay(found.clay)],
        "clay_basis": "" if found.clay is None else found.clay.basis or "",
        "absorption": [] if found.absorption is None else [_percent(*text_page.absorption_row(found.absorption))],
        "about_absorption": [] if found.absorption is None else text_page.absorption_notes(),
        "sources": list(_sources(found)),
    }


def _clay(clay: ClayMass) -> tuple[str, str, str]:
    return "to throw it", f"{clay.mass_g:.0f} g", f"{clay.text}, by {text_page.LAWS[clay.law]}"


def _percent(name: str, percent: float, said: str) -> tuple[str, str, str]:
    return name, f"{percent:.2f} %", said


def _sources(found: SizeReport) -> Iterator[tuple[str, str]]:
    """Yield what the numbers stand on: the standards that say what a shrinkage and an absorption are, the chart, the choices."""
    if found.total_percent is not None:
        yield "shrinkage", "ASTM C326: drying and total of the plastic length; firing is of the dry length"
    if found.wet_low_mm is not None:
        yield "error of a bar", choice_basis("bar_error")
    if found.clay is not None:
        yield "clay", found.clay.basis or "your own piece"
    if found.absorption is not None:
        yield "absorption", "ASTM C373"
        yield "usual figures", figure_givers("absorption_percent")

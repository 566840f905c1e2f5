"""The page of two recipes side by side: where the answers differ, the estimates with the error of their difference, then the chemistry."""

from __future__ import annotations

from typing import Any

from glazecalc.caution.caution import Caution
from glazecalc.comparison import Comparison
from glazecalc.estimate.melted import fired_set
from glazecalc.show import compare as text_page
from glazecalc.show.differences import star_note
from glazecalc.show.html.check import place
from glazecalc.show.html.sources import MOLAR_MASSES, of_estimates, of_materials

__all__ = ("page",)


def page(comparison: Comparison) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    a, b = comparison.a, comparison.b
    names = text_page.names(comparison)
    differ, alike = text_page.answers(a, b)
    only_a, only_b = text_page.cautions_of_one(a, b)
    differences, base = comparison.differences, comparison.without_colourants
    corrected = any(one.first.corrected is not None for one in differences)
    return "compare.html", {
        "title": " and ".join(names),
        "both": list(zip("AB", names, map(text_page.firing_words, (a, b)), strict=True)),
        "standing": [f"{name}: {r.formula.says}" for name, r in zip("AB", (a, b), strict=True) if not r.formula.holds],
        "differ": differ,
        "alike": alike,
        "melt": text_page.melt_words(comparison),
        "estimates": text_page.difference_rows(differences),
        "base": text_page.difference_rows(base),
        "below": [*([text_page.CORRECTED] if corrected else []), star_note([*differences, *base])],
        "place": place([(a, "self"), (b, "other")]),
        "recipe": text_page.recipe_rows(comparison),
        "unity": text_page.unity_rows(comparison),
        "no_formula": text_page.NO_FORMULA,
        "convention": a.convention.description,
        "fired": text_page.fired_rows(comparison),
        "batch": [[row[0].removesuffix(", % of total"), *row[1:]] for row in text_page.batch_rows(comparison)],
        "cautions": [
            (f"{names[0]} (A) alone", only_a),
            (f"{names[1]} (B) alone", only_b),
            ("Lead and cadmium in both", _always(comparison, {c.code for c in (*only_a, *only_b)})),
        ],
        "sources": [
            *of_materials(line.material for r in (a, b) for line in r.batch.lines),
            MOLAR_MASSES,
            *of_estimates([*a.estimates, *b.estimates]),
            ("beside fired glazes", fired_set().source),
        ],
    }


def _always(comparison: Comparison, told: set[str]) -> list[Caution]:
    """Return what is said of lead and cadmium in both, B's where it is said in the same words."""
    found = {
        c.message: c for r in (comparison.a, comparison.b) for c in r.cautions if c.never_folded and c.code not in told
    }
    return list(found.values())

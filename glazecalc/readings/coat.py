"""Will the coat crawl, pinhole, blister or settle? What the recipe has that is known to."""

from __future__ import annotations

from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `coat`."""
    found = facts.about("crawling", "raw-clay", "settles", "soluble")
    if found:
        code, says = "coat-cautions", f"{'; '.join(dict.fromkeys(caution.title for caution in found))}."
    else:
        code, says = "coat-not-told", "Crawling, pinholes and blisters cannot be told from a recipe."
    return Reading(
        about="coat",
        code=code,
        says=says,
        because="Application, bisque and firing decide as much as the recipe.",
        evidence={"cautions": [caution.code for caution in found]},
        do="Dip a test tile at your thickness, dry it, look for cracks, and fire it.",
        source="the cautions of this page",
    )

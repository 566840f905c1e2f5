"""Will it wear: acid, dishwasher, cutlery? What the glass has that is known to."""

from __future__ import annotations

from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `wear`."""
    found = facts.about("silica-low", "alumina-low", "alkali", "boron-high", "matt-surface", "lime-matt", "saturated")
    if found:
        code, says = "wear-cautions", f"{'; '.join(dict.fromkeys(caution.title for caution in found))}."
    else:
        code, says = "wear-not-told", "Acid, dishwasher and cutlery: cannot be told from a recipe."
    return Reading(
        about="wear",
        code=code,
        says=says,
        because="No study gives a recipe that is durable by calculation.",
        evidence={"cautions": [caution.code for caution in found]},
        do="Vinegar for three days, soda ash for six hours, a knife across, then washes (--tests).",
        source="the cautions of this page",
    )

"""What of it meets food? Lead and cadmium for every use, then what is to be settled first."""

from __future__ import annotations

from glazecalc.caution.caution import Severity
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading
from glazecalc.recipe import NOT_FOR_FOOD

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `food`."""
    metals = facts.about("lead", "cadmium", "copper-with-lead")
    grave = [c for c in facts.cautions if c.about in ("food", "surface") and c.severity != Severity.KNOW]
    titles = "; ".join(dict.fromkeys(caution.title for caution in (*metals, *grave)))
    if metals:
        code, says = "food-lead-or-cadmium", f"{titles}."
    elif facts.use == NOT_FOR_FOOD:
        code, says = (
            "food-not-meant",
            "Not meant for food; its analyses name no lead or cadmium, which is no test for them.",
        )
    elif grave:
        code, says = "food-cautions", f"To settle before it meets food: {titles}."
    else:
        code, says = "food-release-not-known", "What it gives to food cannot be told from a recipe."
    return Reading(
        about="food",
        code=code,
        says=says,
        because="A recipe shows what is in a glaze, never what leaves it.",
        evidence={"cautions": [caution.code for caution in (*metals, *grave)], "use": facts.use or ""},
        do="A release test of fired ware by a laboratory (--tests).",
        source="the cautions of this page",
    )

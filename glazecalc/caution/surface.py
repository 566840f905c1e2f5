"""The surface that food lies on: open, crawled, crazed, pinholed or rough glazes against the wording of food codes.

Chemistry does not show a surface. What is looked at here is how the surface is said to be, what the recipe calls itself, and how
much water the body takes up. What makes a glaze crawl stands in `crawling`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any, Literal, get_args

from glazecalc.body import ClayBody
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.food import NOT_FOR_FOOD
from glazecalc.caution.thresholds import cite
from glazecalc.convert.batch import Batch
from glazecalc.errors import UnknownNameError, did_you_mean
from glazecalc.files.shipped import load_data

__all__ = ("body_cautions", "surface_cautions", "Surface", "SURFACES")


# How a fired surface may be stated to be: what the food codes are read for.
Surface = Literal["crawled", "crazed", "pinholed", "rough", "metallic", "crystalline", "textured"]
SURFACES: tuple[Surface, ...] = get_args(Surface)


def surface_cautions(batch: Batch, *, use: str | None = None, surfaces: Collection[str] = ()) -> list[Caution]:
    """Return what deserves a word about the fired surface.

    Parameters
    ----------
    batch : Batch
        The recipe with its materials; its name and notes are read for words such as "crawl" or "crackle".
    use : str or None
        What the ware is for; None is read as food ware.
    surfaces : collection of str
        How the fired surface is, one of `SURFACES`; stated, not guessed.

    Raises
    ------
    UnknownNameError
        For a surface that is not known.
    """
    rules = load_data("surface_rules.yaml")["surfaces"]
    for name in surfaces:
        if name not in rules:
            raise UnknownNameError(
                f"'{name}' is not a surface known here.", did_you_mean(name, rules) or f"Known: {', '.join(rules)}."
            )
    for_food = use != NOT_FOR_FOOD
    found = []
    text = f"{batch.recipe.name} {batch.recipe.notes}".lower()
    for name, rule in rules.items():
        word = next((word for word in rule["words"] if re.search(rf"\b{re.escape(word)}", text)), "")
        if name in surfaces:
            found.append(_surface(name, rule, f"The surface is given as {name}.", Severity.STOP, use, for_food))
        elif word:
            found.append(_surface(name, rule, f"The recipe calls itself '{word}'.", Severity.LOOK, use, for_food))
    return found


def _surface(
    name: str, rule: Mapping[str, Any], what: str, severity: Severity, use: str | None, for_food: bool
) -> Caution:
    codes = load_data("surface_rules.yaml")["codes"]
    if for_food:
        message = f"{what} It does not read as an easily cleanable food surface: {rule['reading']} (this program's reading of {codes[0]['document']})."
        do = f"{'; '.join(rule['conditions'])}."
        do = do[0].upper() + do[1:]
    else:
        message = f"{what} On ware that holds food: {rule['reading']}."
        do = "Keep it off ware that could hold food."
    return raised(
        f"{name}-on-food",
        severity=severity if for_food else Severity.KNOW,
        message=message,
        do=do,
        evidence={
            "surface": name,
            "use": use or "not given, read as food ware",
            "codes": [f"{code['document']}: {code['asks']}" for code in codes],
        },
        source="; ".join(cite(code) for code in codes),
    )


def body_cautions(body: ClayBody | None, *, use: str | None = None, crazing: bool = False) -> list[Caution]:
    """Return what deserves a word about the body's absorption under a food surface.

    Parameters
    ----------
    body : ClayBody or None
        The clay; nothing is said where its absorption is not known.
    use : str or None
        What the ware is for; None is read as food ware.
    crazing : bool
        True where the glaze is expected or known to craze: then a porous body takes up what comes through.
    """
    if body is None or body.absorption_percent is None or use == NOT_FOR_FOOD:
        return []
    rules = load_data("surface_rules.yaml")["absorption"]
    value, limit = body.absorption_percent, float(rules["caution_above"]["value"])
    if value <= limit:
        return []
    through = " The glaze may craze: what comes through the cracks stays in the body." if crazing else ""
    return [
        raised(
            "body-absorbs",
            severity=Severity.LOOK,
            message=(
                f"Body: {body.name} takes up {value:g} % of water ({absorption_class(value)}); above {limit:g} %. A bare foot weeps and heats up in a "
                f"microwave oven, and the body swells with moisture and crazes the glaze later.{through}"
            ),
            do="Measure it on your own firing (ASTM C373), fire higher or choose a denser clay, and test for late crazing (ASTM C424).",
            evidence={"absorption_wt_percent": value, "threshold_wt_percent": limit, "class": absorption_class(value)},
            source=f"{cite(rules['caution_above'])}; classes: {cite(rules['vitreous_at_most'])}",
        )
    ]


def absorption_class(percent: float) -> str:
    """Return the class of a body by its absorption [wt %]: vitreous, semivitreous or nonvitreous."""
    rules = load_data("surface_rules.yaml")["absorption"]
    if percent <= rules["vitreous_at_most"]["value"]:
        return "vitreous"
    return "semivitreous" if percent <= rules["semivitreous_at_most"]["value"] else "nonvitreous"

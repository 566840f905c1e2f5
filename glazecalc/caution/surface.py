"""The surface that food lies on: open, crawled, crazed, pinholed or rough glazes against the wording of food codes.

Chemistry does not show a surface. What is looked at here is how the surface is said to be, what the recipe calls itself, and how
much water the body takes up. What makes a glaze crawl stands in `crawling`.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Literal, get_args

from glazecalc.body import ClayBody
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.surface_rules import SurfaceRule, absorption_class, absorption_limits, food_codes, surface_rules
from glazecalc.convert.batch import Batch
from glazecalc.errors import UnknownNameError, did_you_mean
from glazecalc.recipe import NOT_FOR_FOOD, Use

__all__ = ("SURFACES", "Surface", "body_cautions", "surface_cautions")

Surface = Literal["crawled", "crazed", "pinholed", "rough", "metallic", "crystalline", "textured"]
SURFACES: tuple[Surface, ...] = get_args(Surface)
"""How a fired surface may be stated to be: what the food codes are read for."""


def surface_cautions(batch: Batch, *, use: Use | None = None, surfaces: Collection[str] = ()) -> list[Caution]:
    """Return what deserves a word about the fired surface: `surfaces` are stated, not guessed.

    The name and notes of the recipe are read for words such as "crawl" or "crackle".
    """
    rules = surface_rules()
    for name in surfaces:
        if name not in rules:
            hint = did_you_mean(name, rules) or f"Known: {', '.join(rules)}."
            raise UnknownNameError(f"'{name}' is not a surface known here.", hint)
    found = []
    text = f"{batch.recipe.name} {batch.recipe.notes}".lower()
    for name, rule in rules.items():
        word = next((word for word in rule.words if re.search(rf"\b{re.escape(word)}", text)), "")
        if name in surfaces:
            found.append(_surface(name, rule, f"The surface is given as {name}.", Severity.STOP, use))
        elif word:
            found.append(_surface(name, rule, f"The recipe calls itself '{word}'.", Severity.LOOK, use))
    return found


def _surface(name: str, rule: SurfaceRule, what: str, severity: Severity, use: Use | None) -> Caution:
    codes = food_codes()
    why = f"It does not read as an easily cleanable food surface; this program's reading of {codes[0].document}."
    reads = f"{rule.reading[0].upper()}{rule.reading[1:]}."
    do = f"{'; '.join(rule.conditions)}."
    do = do[0].upper() + do[1:]
    if use == NOT_FOR_FOOD:
        do = "Keep it off ware that could hold food."
    return raised(
        rule.code,
        f"{reads} {what}",
        severity,
        use=use,
        why=why,
        do=do,
        evidence={
            "surface": name,
            "use": use or "not given, read as food ware",
            "codes": [f"{code.document}: {code.asks}" for code in codes],
        },
        source="; ".join(code.source for code in codes),
    )


def body_cautions(body: ClayBody | None, *, use: Use | None = None) -> list[Caution]:
    """Return what deserves a word about how much water the body takes up under a food surface; nothing where it is not known."""
    if body is None or body.absorption_percent is None or use == NOT_FOR_FOOD:
        return []
    value, limits = body.absorption_percent, absorption_limits()
    limit, name = limits["caution_above"], absorption_class(value)
    if value <= limit.value:
        return []
    caution = raised(
        "body-absorbs",
        f"A bare foot weeps, and the glaze may craze later: {body.name} takes up {value:g} % of water ({name}); above {limit.value:g} %.",
        why="Such a body heats up in a microwave oven, swells with moisture, and so crazes its glaze.",
        do="Measure it on your own firing (ASTM C373), fire higher or choose a denser clay, and test for late crazing (ASTM C424).",
        evidence={"absorption_wt_percent": value, "threshold_wt_percent": limit.value, "class": name},
        source=f"{limit.source}; classes: {limits['vitreous_at_most'].source}",
    )
    return [caution]

"""The tests that settle what a recipe leaves open, for this glaze and this use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from glazecalc.body import ClayBody
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.food import NOT_FOR_FOOD
from glazecalc.caution.surface import absorption_class
from glazecalc.caution.thresholds import cite
from glazecalc.files.shipped import load_data

__all__ = ("PlannedTest", "plan_tests")

# caution code -> the tests that settle it, beside what its use asks for
_SETTLES: dict[str, tuple[str, ...]] = {
    "lead-present": ("release_cold",),
    "cadmium-present": ("release_cold",),
    "silica-low": ("soda",),
    "alumina-low": ("soda",),
    "alkali-high": ("soda",),
    "boron-high": ("soda",),
    "matt-surface": ("cutlery", "soda"),
    "lime-matt": ("cutlery",),
    "saturated-colour": ("cutlery",),
    "crawling-likely": ("stain",),
    "body-absorbs": ("autoclave", "leak"),
}
_ELEMENTS = {
    "barium-on-food": "Ba", "copper-load": "Cu", "copper-with-metals": "Cu", "copper-with-lead": "Pb", "cobalt-load": "Co", "manganese-load": "Mn",
    "chromium-load": "Cr", "chromate-in-oxidation": "Cr(VI)", "nickel-present": "Ni", "vanadium-present": "V", "antimony-present": "Sb",
    "selenium-present": "Se", "uranium-present": "U", "lithium-load": "Li", "zinc-load": "Zn",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTest:
    """One test to do.

    Attributes
    ----------
    key : str
        Its name in the data.
    name : str
        The standard, or the name of a bench test.
    level : str
        laboratory, workshop or bench; a bench test is a hint and shows nothing by itself.
    finds : str
        What it finds, and how it goes in short.
    pieces : str
        How many.
    why : str
        What in this glaze, use or body calls for it.
    source : str
        Where it was read.
    """

    key: str
    name: str
    level: str
    finds: str
    pieces: str
    why: str
    source: str

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "key": self.key,
            "name": self.name,
            "level": self.level,
            "finds": self.finds,
            "pieces": self.pieces,
            "why": self.why,
            "source": self.source,
        }


def plan_tests(
    cautions: Iterable[Caution],
    *,
    use: str | None = None,
    body: ClayBody | None = None,
    fired: Mapping[str, float] | None = None,
) -> list[PlannedTest]:
    """Return the tests for this glaze and use: laboratory first, then workshop, then bench.

    Parameters
    ----------
    cautions : iterable of Caution
        What was found on the recipe; each that is more than a thing to know calls for its tests.
    use : str or None
        What the ware is for; None is read as food ware. ``"not-for-food"`` leaves out what only food ware needs.
    body : ClayBody, optional
        Its absorption chooses between thermal shock (vitreous) and the autoclave (porous); both between the two, and where it
        is not known.
    fired : FiredAnalysis, optional
        The fired analysis [wt %]; on food ware a release test is asked for every metal of concern that it holds.
    """
    data = load_data("test_methods.yaml")
    codes = {caution.code for caution in cautions if caution.severity is not Severity.KNOW}
    reasons: dict[str, list[str]] = {}
    if use != NOT_FOR_FOOD:
        for key in data["always"]:
            reasons.setdefault(key, []).append("ware that holds food")
        for key in data["by_use"].get(use or "plate", ()):
            reasons.setdefault(key, []).append(f"use: {use}" if use else "use not given, read as a plate")
    for code in sorted(codes):
        surface = code.removesuffix("-on-food")
        for key in _SETTLES.get(code, ()):
            reasons.setdefault(key, []).append(code)
        if code.endswith("-on-food") and surface in load_data("surface_rules.yaml")["surfaces"]:
            reasons.setdefault("stain", []).append(code)
    asked = {_ELEMENTS[code] for code in codes if code in _ELEMENTS}
    if use != NOT_FOR_FOOD:
        asked |= _metals_in(fired or {}, float(data["ask_for_above"]["value"]))
    elements = sorted(asked)
    if elements:
        reasons["release_other"] = [f"ask for {', '.join(elements)}"]
    _choose_crazing(reasons, body)
    if codes & {"metallic-on-food"} and "microwave" in reasons:
        del reasons["microwave"]
    order = ("laboratory", "workshop", "bench")
    planned = []
    for key, method in data["methods"].items():
        if key in reasons:
            planned.append(
                PlannedTest(
                    key=key,
                    name=method["name"],
                    level=method["level"],
                    finds=method["finds"],
                    pieces=method["pieces"],
                    why="; ".join(reasons[key]),
                    source=cite(method) + (f" ({method['memory']})" if "memory" in method else ""),
                )
            )
    return sorted(planned, key=lambda test: order.index(test.level))


def _metals_in(fired: Mapping[str, float], above: float) -> set[str]:
    metals = load_data("food_metals.yaml")["metals"]
    return {
        metal["element"]
        for oxide, metal in metals.items()
        if metal["element"] not in ("Pb", "Cd") and fired.get(oxide, 0.0) > above
    }


def _choose_crazing(reasons: dict[str, list[str]], body: ClayBody | None) -> None:
    if "thermal_shock" not in reasons:
        return
    if body is None or body.absorption_percent is None:
        reasons.setdefault("autoclave", []).append(
            "the absorption of the body is not known: C554 if vitreous, C424 if porous"
        )
        return
    name = absorption_class(body.absorption_percent)
    why = f"{body.name} takes up {body.absorption_percent:g} % of water ({name})"
    if name == "nonvitreous":
        del reasons["thermal_shock"]
    else:
        reasons["thermal_shock"].append(why)
    if name != "vitreous":
        reasons.setdefault("autoclave", []).append(why)

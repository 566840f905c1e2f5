"""Facts for the tests of the readings: from parts of bundled materials, or from moles alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from glazecalc.caution.formula_holds import formula_standing
from glazecalc.convert.batch import resolve
from glazecalc.convert.unity import fired_analysis_of, mole_percent_of, unity_of
from glazecalc.errors import CompositionError
from glazecalc.estimate.all_models import estimates_of
from glazecalc.files.materials import load_materials
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.readings.facts import Facts, Heat, heats_of
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.source import Source

LIBRARY = load_materials()


def facts(
    parts: dict[str, float],
    cone: str = "",
    *,
    name: str = "",
    cooling: str = "",
    library: MaterialLibrary = LIBRARY,
    **more: Any,
) -> Facts:
    """What is known of a batch of bundled materials at a cone."""
    lines = tuple(Ingredient(material=material, amount=float(amount)) for material, amount in parts.items())
    batch = resolve(Recipe(name=name, ingredients=lines, cone=cone, cooling=cooling), library)
    try:
        unity = unity_of(batch)
    except CompositionError:
        unity = None
    mole_percent = mole_percent_of(batch)
    given: dict[str, Any] = {
        "atmosphere": "", "use": None, "body": None, "surfaces": (), "cautions": (), "heats": heats_of(cone),
        "estimates": estimates_of(mole_percent, "")[0], "formula": formula_standing(batch, unity),
    } | more  # fmt: skip
    return Facts(
        batch=batch, unity=unity, fired=fired_analysis_of(batch), mole_percent=mole_percent, cone=cone, **given
    )


def glass(**weight_percent: float) -> MaterialLibrary:
    """A library with one frit ``glass`` of this analysis [wt %]."""
    made = Material(
        id="glass", name="glass", kind="frit", source=Source(title="made for the test"), analysis=weight_percent
    )
    return MaterialLibrary([made])


def at(found: Facts, *celsius: float) -> Facts:
    """The same glaze fired to these temperatures."""
    return replace(found, cone="test", heats=tuple(Heat(name=f"{value:g} C", celsius=value) for value in celsius))

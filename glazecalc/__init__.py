"""glazecalc: the chemistry of ceramic glazes, for a careful potter and a ceramic engineer.

The public names load on first use, so that importing the package stays quick.
"""

from __future__ import annotations

import importlib
from types import FunctionType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from glazecalc.body import ClayBody as ClayBody
    from glazecalc.caution.caution import Caution as Caution
    from glazecalc.caution.test_plan import plan_tests as plan_tests
    from glazecalc.check_report import CheckReport as CheckReport
    from glazecalc.check_report import check as check
    from glazecalc.cone_temperatures import cone_temperature_c as cone_temperature_c
    from glazecalc.convention import Convention as Convention
    from glazecalc.convert.basis import to_mole_percent as to_mole_percent
    from glazecalc.convert.tables import unity_table as unity_table
    from glazecalc.convert.unity import FiredAnalysis as FiredAnalysis
    from glazecalc.convert.unity import MolePercent as MolePercent
    from glazecalc.convert.unity import UnityFormula as UnityFormula
    from glazecalc.convert.unity import fired_analysis as fired_analysis
    from glazecalc.convert.unity import mole_percent as mole_percent
    from glazecalc.convert.unity import unity_formula as unity_formula
    from glazecalc.errors import GlazeError as GlazeError
    from glazecalc.errors import Notice as Notice
    from glazecalc.estimate.difference import compare_viscosity as compare_viscosity
    from glazecalc.estimate.expansion import expansion as expansion
    from glazecalc.estimate.firings import fit_range as fit_range
    from glazecalc.estimate.glass_points import glass_transition as glass_transition
    from glazecalc.estimate.glass_points import softening_temperature as softening_temperature
    from glazecalc.estimate.result import Estimate as Estimate
    from glazecalc.estimate.spread import spread as spread
    from glazecalc.estimate.stress import measured_mismatch as measured_mismatch
    from glazecalc.estimate.surface_tension import surface_tension as surface_tension
    from glazecalc.estimate.viscosity import temperature_at_viscosity as temperature_at_viscosity
    from glazecalc.estimate.viscosity import viscosity as viscosity
    from glazecalc.files.bodies import read_body as read_body
    from glazecalc.files.materials import load_materials as load_materials
    from glazecalc.files.materials import read_material as read_material
    from glazecalc.files.recipes import read_recipe as read_recipe
    from glazecalc.files.recipes import write_recipe as write_recipe
    from glazecalc.files.release_results import read_release_results as read_release_results
    from glazecalc.lab.report import lab_report as lab_report
    from glazecalc.library import MaterialLibrary as MaterialLibrary
    from glazecalc.material import Material as Material
    from glazecalc.oxides import molar_mass as molar_mass
    from glazecalc.recipe import Ingredient as Ingredient
    from glazecalc.recipe import Recipe as Recipe
    from glazecalc.reformulate.blend import blend as blend
    from glazecalc.reformulate.match import match as match
    from glazecalc.reformulate.nudge import nudge as nudge
    from glazecalc.reformulate.substitute import substitute as substitute
    from glazecalc.release import Ware as Ware
    from glazecalc.workshop.scale import fill as fill
    from glazecalc.workshop.scale import scale as scale

_HOMES = {
    "blend": "glazecalc.reformulate.blend",
    "Caution": "glazecalc.caution.caution",
    "check": "glazecalc.check_report",
    "CheckReport": "glazecalc.check_report",
    "ClayBody": "glazecalc.body",
    "compare_viscosity": "glazecalc.estimate.difference",
    "cone_temperature_c": "glazecalc.cone_temperatures",
    "Convention": "glazecalc.convention",
    "Estimate": "glazecalc.estimate.result",
    "expansion": "glazecalc.estimate.expansion",
    "fill": "glazecalc.workshop.scale",
    "fired_analysis": "glazecalc.convert.unity",
    "FiredAnalysis": "glazecalc.convert.unity",
    "fit_range": "glazecalc.estimate.firings",
    "glass_transition": "glazecalc.estimate.glass_points",
    "GlazeError": "glazecalc.errors",
    "Ingredient": "glazecalc.recipe",
    "lab_report": "glazecalc.lab.report",
    "load_materials": "glazecalc.files.materials",
    "match": "glazecalc.reformulate.match",
    "Material": "glazecalc.material",
    "MaterialLibrary": "glazecalc.library",
    "measured_mismatch": "glazecalc.estimate.stress",
    "molar_mass": "glazecalc.oxides",
    "mole_percent": "glazecalc.convert.unity",
    "MolePercent": "glazecalc.convert.unity",
    "Notice": "glazecalc.errors",
    "nudge": "glazecalc.reformulate.nudge",
    "plan_tests": "glazecalc.caution.test_plan",
    "read_body": "glazecalc.files.bodies",
    "read_material": "glazecalc.files.materials",
    "read_recipe": "glazecalc.files.recipes",
    "read_release_results": "glazecalc.files.release_results",
    "Recipe": "glazecalc.recipe",
    "scale": "glazecalc.workshop.scale",
    "softening_temperature": "glazecalc.estimate.glass_points",
    "spread": "glazecalc.estimate.spread",
    "substitute": "glazecalc.reformulate.substitute",
    "surface_tension": "glazecalc.estimate.surface_tension",
    "temperature_at_viscosity": "glazecalc.estimate.viscosity",
    "to_mole_percent": "glazecalc.convert.basis",
    "unity_formula": "glazecalc.convert.unity",
    "unity_table": "glazecalc.convert.tables",
    "UnityFormula": "glazecalc.convert.unity",
    "viscosity": "glazecalc.estimate.viscosity",
    "Ware": "glazecalc.release",
    "write_recipe": "glazecalc.files.recipes",
}
__all__ = tuple(_HOMES)


def __getattr__(name: str) -> Any:
    if name == "__version__":
        from importlib.metadata import version

        return version("glazecalc")
    if name in _HOMES:
        value = getattr(importlib.import_module(_HOMES[name]), name)
        if isinstance(value, FunctionType):  # the door: what comes in is held against the annotations
            value = importlib.import_module("glazecalc.arguments").checked(value)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'glazecalc' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*_HOMES, "__version__"])

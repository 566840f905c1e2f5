"""glazecalc: the chemistry of ceramic glazes, for a careful potter and a ceramic engineer.

The public names load on first use, so that importing the package stays quick.
"""

from __future__ import annotations

TYPE_CHECKING = False  # `typing` is left to those who need it: the first line of a command is soon reached

if TYPE_CHECKING:  # what type checkers and editors see; a test holds it against the names below
    from glazecalc import plot as plot
    from glazecalc.body import ClayBody as ClayBody
    from glazecalc.calibration import calibrate as calibrate
    from glazecalc.caution.caution import Caution as Caution
    from glazecalc.caution.caution import Severity as Severity
    from glazecalc.caution.test_plan import PlannedTest as PlannedTest
    from glazecalc.caution.test_plan import plan_tests as plan_tests
    from glazecalc.caution_tables import caution_table as caution_table
    from glazecalc.check_report import CheckReport as CheckReport
    from glazecalc.check_report import check as check
    from glazecalc.comparison import Comparison as Comparison
    from glazecalc.comparison import compare as compare
    from glazecalc.cone_temperatures import ConesAround as ConesAround
    from glazecalc.cone_temperatures import ConeTemperature as ConeTemperature
    from glazecalc.cone_temperatures import cone_temperature_c as cone_temperature_c
    from glazecalc.cone_temperatures import cones_for_temperature as cones_for_temperature
    from glazecalc.cones import CONES as CONES
    from glazecalc.cones import Cone as Cone
    from glazecalc.convention import Convention as Convention
    from glazecalc.convert.basis import to_mole_percent as to_mole_percent
    from glazecalc.convert.batch import Batch as Batch
    from glazecalc.convert.batch import BatchLine as BatchLine
    from glazecalc.convert.batch import resolve as resolve
    from glazecalc.convert.change import UnityChange as UnityChange
    from glazecalc.convert.tables import OxideMatrix as OxideMatrix
    from glazecalc.convert.tables import fired_table as fired_table
    from glazecalc.convert.tables import mole_percent_table as mole_percent_table
    from glazecalc.convert.tables import unity_array as unity_array
    from glazecalc.convert.tables import unity_matrix as unity_matrix
    from glazecalc.convert.tables import unity_table as unity_table
    from glazecalc.convert.unity import Composition as Composition
    from glazecalc.convert.unity import FiredAnalysis as FiredAnalysis
    from glazecalc.convert.unity import MolePercent as MolePercent
    from glazecalc.convert.unity import UnityFormula as UnityFormula
    from glazecalc.convert.unity import fired_analysis as fired_analysis
    from glazecalc.convert.unity import mole_percent as mole_percent
    from glazecalc.convert.unity import unity_formula as unity_formula
    from glazecalc.errors import AmbiguousNameError as AmbiguousNameError
    from glazecalc.errors import ArgumentError as ArgumentError
    from glazecalc.errors import CompositionError as CompositionError
    from glazecalc.errors import ConeError as ConeError
    from glazecalc.errors import ConventionError as ConventionError
    from glazecalc.errors import Fault as Fault
    from glazecalc.errors import FileFaultsError as FileFaultsError
    from glazecalc.errors import FormulaError as FormulaError
    from glazecalc.errors import GlazeError as GlazeError
    from glazecalc.errors import GlazeWarning as GlazeWarning
    from glazecalc.errors import LineError as LineError
    from glazecalc.errors import Notice as Notice
    from glazecalc.errors import OutOfTimeError as OutOfTimeError
    from glazecalc.errors import UnitError as UnitError
    from glazecalc.errors import UnknownNameError as UnknownNameError
    from glazecalc.errors import VolumeNotReachedError as VolumeNotReachedError
    from glazecalc.errors import WorkshopError as WorkshopError
    from glazecalc.estimate.difference import EstimateDifference as EstimateDifference
    from glazecalc.estimate.difference import estimate_differences as estimate_differences
    from glazecalc.estimate.expansion import expansion as expansion
    from glazecalc.estimate.firings import FiredResult as FiredResult
    from glazecalc.estimate.firings import FitRange as FitRange
    from glazecalc.estimate.firings import fit_range as fit_range
    from glazecalc.estimate.glass_points import glass_transition as glass_transition
    from glazecalc.estimate.glass_points import softening_temperature as softening_temperature
    from glazecalc.estimate.result import Estimate as Estimate
    from glazecalc.estimate.spread import Spread as Spread
    from glazecalc.estimate.spread import spread as spread
    from glazecalc.estimate.stress import Mismatch as Mismatch
    from glazecalc.estimate.stress import measured_mismatch as measured_mismatch
    from glazecalc.estimate.surface_tension import surface_tension as surface_tension
    from glazecalc.estimate.tables import estimate_table as estimate_table
    from glazecalc.estimate.viscosity import temperature_at_viscosity as temperature_at_viscosity
    from glazecalc.estimate.viscosity import viscosity as viscosity
    from glazecalc.files.bodies import read_body as read_body
    from glazecalc.files.firings import read_firings as read_firings
    from glazecalc.files.many_recipes import read_recipes as read_recipes
    from glazecalc.files.materials import load_materials as load_materials
    from glazecalc.files.materials import read_material as read_material
    from glazecalc.files.recipes import read_recipe as read_recipe
    from glazecalc.files.recipes import write_recipe as write_recipe
    from glazecalc.files.release_results import read_release_results as read_release_results
    from glazecalc.files.shelf import read_shelf as read_shelf
    from glazecalc.files.targets import read_target as read_target
    from glazecalc.firing import Firing as Firing
    from glazecalc.folder_report import FolderReport as FolderReport
    from glazecalc.folder_report import check_folder as check_folder
    from glazecalc.formula import formula_mass as formula_mass
    from glazecalc.lab.report import LabReport as LabReport
    from glazecalc.lab.report import lab_report as lab_report
    from glazecalc.library import MaterialLibrary as MaterialLibrary
    from glazecalc.material import Material as Material
    from glazecalc.oxides import AXIS as AXIS
    from glazecalc.oxides import molar_mass as molar_mass
    from glazecalc.oxides import role as role
    from glazecalc.price import Price as Price
    from glazecalc.price import Shelf as Shelf
    from glazecalc.readings.reading import Reading as Reading
    from glazecalc.recipe import Ingredient as Ingredient
    from glazecalc.recipe import Recipe as Recipe
    from glazecalc.recipe_collection import RecipeCollection as RecipeCollection
    from glazecalc.reformulate.answers import Answer as Answer
    from glazecalc.reformulate.answers import Outcome as Outcome
    from glazecalc.reformulate.blend import blend as blend
    from glazecalc.reformulate.match import match as match
    from glazecalc.reformulate.nudge import Nudge as Nudge
    from glazecalc.reformulate.nudge import nudge as nudge
    from glazecalc.reformulate.series import Series as Series
    from glazecalc.reformulate.series import Tile as Tile
    from glazecalc.reformulate.substitute import substitute as substitute
    from glazecalc.release import ReleaseResult as ReleaseResult
    from glazecalc.release import Ware as Ware
    from glazecalc.source import Source as Source
    from glazecalc.target import Target as Target
    from glazecalc.variation import sensitivity as sensitivity
    from glazecalc.variation import vary as vary
    from glazecalc.workshop.bucket import SlurryReport as SlurryReport
    from glazecalc.workshop.bucket import slurry as slurry
    from glazecalc.workshop.bucket_label import BucketLabel as BucketLabel
    from glazecalc.workshop.bucket_label import bucket_label as bucket_label
    from glazecalc.workshop.cost import BatchCost as BatchCost
    from glazecalc.workshop.cost import cost as cost
    from glazecalc.workshop.mend import Mend as Mend
    from glazecalc.workshop.mend import mend as mend
    from glazecalc.workshop.pieces import GlazeNeed as GlazeNeed
    from glazecalc.workshop.pieces import need_from_area as need_from_area
    from glazecalc.workshop.pieces import need_from_gains as need_from_gains
    from glazecalc.workshop.scale import fill as fill
    from glazecalc.workshop.scale import scale as scale
    from glazecalc.workshop.shrinkage import Bar as Bar
    from glazecalc.workshop.size import SizeReport as SizeReport
    from glazecalc.workshop.size import size as size
    from glazecalc.workshop.slurry import SlurrySample as SlurrySample
    from glazecalc.workshop.weighing_list import ScaledBatch as ScaledBatch
    from glazecalc.workshop.weighing_list import WeighLine as WeighLine

# module -> the public names that live in it
_HOMES = {
    "body": "ClayBody",
    "calibration": "calibrate",
    "caution.caution": "Caution Severity",
    "caution.test_plan": "PlannedTest plan_tests",
    "caution_tables": "caution_table",
    "check_report": "CheckReport check",
    "comparison": "Comparison compare",
    "cone_temperatures": "ConeTemperature ConesAround cone_temperature_c cones_for_temperature",
    "cones": "CONES Cone",
    "convention": "Convention",
    "convert.basis": "to_mole_percent",
    "convert.batch": "Batch BatchLine resolve",
    "convert.change": "UnityChange",
    "convert.tables": "OxideMatrix fired_table mole_percent_table unity_array unity_matrix unity_table",
    "convert.unity": "Composition FiredAnalysis MolePercent UnityFormula fired_analysis mole_percent unity_formula",
    "errors": "AmbiguousNameError ArgumentError CompositionError ConeError ConventionError Fault FileFaultsError FormulaError GlazeError GlazeWarning LineError Notice OutOfTimeError UnitError UnknownNameError VolumeNotReachedError WorkshopError",
    "estimate.difference": "EstimateDifference estimate_differences",
    "estimate.expansion": "expansion",
    "estimate.firings": "FiredResult FitRange fit_range",
    "estimate.glass_points": "glass_transition softening_temperature",
    "estimate.result": "Estimate",
    "estimate.spread": "Spread spread",
    "estimate.stress": "Mismatch measured_mismatch",
    "estimate.surface_tension": "surface_tension",
    "estimate.tables": "estimate_table",
    "estimate.viscosity": "temperature_at_viscosity viscosity",
    "files.bodies": "read_body",
    "files.firings": "read_firings",
    "files.many_recipes": "read_recipes",
    "files.materials": "load_materials read_material",
    "files.recipes": "read_recipe write_recipe",
    "files.release_results": "read_release_results",
    "files.shelf": "read_shelf",
    "files.targets": "read_target",
    "firing": "Firing",
    "folder_report": "FolderReport check_folder",
    "formula": "formula_mass",
    "lab.report": "LabReport lab_report",
    "library": "MaterialLibrary",
    "material": "Material",
    "oxides": "AXIS molar_mass role",
    "price": "Price Shelf",
    "readings.reading": "Reading",
    "recipe": "Ingredient Recipe",
    "recipe_collection": "RecipeCollection",
    "reformulate.answers": "Answer Outcome",
    "reformulate.blend": "blend",
    "reformulate.match": "match",
    "reformulate.nudge": "Nudge nudge",
    "reformulate.series": "Series Tile",
    "reformulate.substitute": "substitute",
    "release": "ReleaseResult Ware",
    "source": "Source",
    "target": "Target",
    "variation": "sensitivity vary",
    "workshop.bucket": "SlurryReport slurry",
    "workshop.bucket_label": "BucketLabel bucket_label",
    "workshop.cost": "BatchCost cost",
    "workshop.mend": "Mend mend",
    "workshop.pieces": "GlazeNeed need_from_area need_from_gains",
    "workshop.scale": "fill scale",
    "workshop.shrinkage": "Bar",
    "workshop.size": "SizeReport size",
    "workshop.slurry": "SlurrySample",
    "workshop.weighing_list": "ScaledBatch WeighLine",
}
_MODULE_OF = {name: f"glazecalc.{module}" for module, names in _HOMES.items() for name in names.split()}
_MODULE_OF["plot"] = "glazecalc.plot"  # public whole
__all__ = tuple(_MODULE_OF)


if not TYPE_CHECKING:  # else every misspelt name would be right for a type checker

    def __getattr__(name: str) -> object:
        from importlib import import_module

        if name == "__version__":
            from importlib.metadata import version

            return version("glazecalc")
        if name not in _MODULE_OF:
            raise AttributeError(f"module 'glazecalc' has no attribute {name!r}")
        module = import_module(_MODULE_OF[name])
        value = module if name == "plot" else getattr(module, name)
        if callable(value) and not isinstance(value, type):  # the door: what comes in is held against the annotations
            value = import_module("glazecalc.arguments").checked(value)
        globals()[name] = value
        return value


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])

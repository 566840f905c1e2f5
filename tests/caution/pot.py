"""Batches and formulas for the caution tests: pure oxides, so that a load can be set to the last digit."""

from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import FiredAnalysis, UnityFormula, fired_analysis_of, unity_of
from glazecalc.errors import CompositionError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.source import Source

TEST_SOURCE = Source(title="made for the test")
GLASS = {"SiO2": 60.0, "Al2O3": 12.0, "CaO": 16.0, "K2O": 12.0}
COLOURS = ("CuO", "CoO", "MnO", "Cr2O3", "NiO", "V2O5", "Sb2O3", "SeO2", "U3O8", "Fe2O3", "FeO", "PbO", "CdO")


def material(name: str, analysis: dict[str, float] | None = None, **fields) -> Material:
    return Material(id=name, name=name, source=TEST_SOURCE, analysis=analysis or {}, **fields)


def library(*more: Material) -> MaterialLibrary:
    return MaterialLibrary(
        [material("glass", GLASS, kind="frit"), *(material(o, {o: 100.0}, kind="colourant") for o in COLOURS), *more]
    )


def batch(
    additions: dict[str, float] | None = None,
    base: dict[str, float] | None = None,
    *more: Material,
    name: str = "",
    notes: str = "",
    atmosphere: str = "",
) -> Batch:
    lines = [Ingredient(material=m, amount=float(a)) for m, a in (base or {"glass": 100.0}).items()]
    lines += [Ingredient(material=m, amount=float(a), addition=True) for m, a in (additions or {}).items()]
    return resolve(Recipe(name=name, ingredients=tuple(lines), notes=notes, atmosphere=atmosphere), library(*more))


def look(of: Batch) -> tuple[Batch, UnityFormula | None, FiredAnalysis]:
    try:
        unity = unity_of(of)
    except CompositionError:
        unity = None
    return of, unity, fired_analysis_of(of)


def formula(**moles: float) -> UnityFormula:
    """A unity formula as given; the fluxes must sum to 1."""
    return UnityFormula(dict(moles), Convention(), dict(moles))

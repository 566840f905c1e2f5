"""The cautions against published releases: high ones are named, low ones are not stopped, and few low ones get a look of their own.

The releases are those of `released_glazes.yaml`, each with its source. A few glazes of one maker and cone show no more than that the rules
do not contradict what was read; where the base is not printed (satin glazes with copper, one with lithium, two with barium) the dose alone is
held against the data.
"""

from pathlib import Path

import pytest
import yaml

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.food import food_cautions, metal_cautions
from glazecalc.caution.metals import metals
from glazecalc.caution.oxide_amounts import OxideAmounts
from glazecalc.convert.unity import fired_analysis_of, unity_of
from glazecalc.files.shipped import load_data
from tests.caution.pot import batch, material

GLAZES = yaml.safe_load(Path(__file__).with_name("released_glazes.yaml").read_text(encoding="utf-8"))["glazes"]
MOLAR = {
    "Na2O": 61.979,
    "K2O": 94.196,
    "MgO": 40.304,
    "CaO": 56.077,
    "Al2O3": 101.961,
    "SiO2": 60.084,
    "B2O3": 69.62,
    "TiO2": 79.866,
}
FACTOR_OF_CARBONATE = 0.7195  # CuO in basic copper carbonate


def cautions(glaze: dict) -> list[Caution]:
    """The food cautions of a glaze: its base as one material, its colourants on top."""
    masses = {oxide: moles * MOLAR[oxide] for oxide, moles in glaze["base"].items()}
    base = material("base", {oxide: 100 * mass / sum(masses.values()) for oxide, mass in masses.items()}, kind="frit")
    extra = [material("TiO2", {"TiO2": 100.0}, kind="other")] if "TiO2" in glaze["parts"] else []
    mixed = batch(glaze["parts"], {"base": 100.0}, base, *extra, name=glaze["name"])
    return food_cautions(mixed, unity_of(mixed), fired_analysis_of(mixed), use="plate", cone=glaze["cone"])


def own(found: list[Caution], element: str) -> dict[str, Severity]:
    """The cautions that name a metal: its load, or copper together with others that hold it."""
    oxide, load = next((of.oxide, of.load) for of in metals().values() if of.element == element)
    codes = {load.code} if load else set()
    return {
        c.code: c.severity
        for c in found
        if c.code in codes or (c.code == "copper-with-metals" and any(key.startswith(oxide) for key in c.evidence))
    }


@pytest.mark.parametrize("glaze", GLAZES, ids=lambda glaze: glaze["name"])
def test_high_releases_are_named_and_low_ones_are_not_stopped(glaze):
    found = cautions(glaze)
    for element in glaze.get("high", ()):
        assert {Severity.LOOK, Severity.STOP} & set(own(found, element).values()), element
    for element in glaze.get("low", ()):
        assert Severity.STOP not in own(found, element).values(), element
    if not glaze.get("high"):
        assert Severity.STOP not in {c.severity for c in found}


def test_fewer_than_one_in_five_low_releases_get_a_look_of_their_own():
    low = [
        (glaze["name"], element, own(cautions(glaze), element)) for glaze in GLAZES for element in glaze.get("low", ())
    ]
    looked = [case for case in low if set(case[2].values()) & {Severity.LOOK, Severity.STOP}]
    assert len(low) >= 8
    assert len(looked) < len(low) / 5, looked


def test_every_source_is_one_of_the_data():
    assert {glaze["source"] for glaze in GLAZES} <= set(load_data("food_limits_sources.yaml")["sources"])


@pytest.mark.parametrize(("percent", "mg_per_l"), [(3, 2.75), (4, 0.68), (4, 4.2), (5, 3.07)])
def test_satin_glazes_with_copper(percent, mg_per_l):
    """J. Hesselberth, 5 Jan 2000; the bases are not printed."""
    copper = percent * FACTOR_OF_CARBONATE
    found = {
        c.code: c.severity
        for c in metal_cautions(OxideAmounts(parts_per_100={"CuO": copper}), atmosphere="", use="plate", cone="6")
    }
    assert found["copper-load"] is (Severity.STOP if mg_per_l > 3 and percent == 5 else Severity.LOOK)


SOUND = {"Na2O": 0.15, "K2O": 0.15, "CaO": 0.6, "Al2O3": 0.38, "SiO2": 3.4}


def by_base(oxide: str, moles: float, **base: float) -> Severity | None:
    """The gravest severity of a metal's own caution on a base whose fluxes make room for it."""
    held = SOUND | base
    scale = (1 - moles) / sum(held[flux] for flux in ("Na2O", "K2O", "CaO"))
    flux = {name: held[name] * scale for name in ("Na2O", "K2O", "CaO")}
    amounts = OxideAmounts(mol_per_flux=flux | {oxide: moles, "Al2O3": held["Al2O3"], "SiO2": held["SiO2"]})
    found = metal_cautions(amounts, atmosphere="", use="plate", cone="6")
    load = metals()[oxide].load
    return next((c.severity for c in found if load and c.code == load.code), None)


def test_barium_goes_by_its_silica():
    """R. Roy, 30 Jun 1996, cone 6: 2 % of barium carbonate with too little silica released 0.98 ppm, 4 % with enough 0.001."""
    two, four = 0.03, 0.06  # moles in a flux of about 0.35 mol per 100 g
    assert by_base("BaO", two, SiO2=2.4) is Severity.LOOK
    assert by_base("BaO", four, SiO2=3.4) is Severity.KNOW


def test_lithium_goes_by_its_glass():
    """L. St. Clair, 25 Mar 1999, cone 6: 5.5 % of lithium carbonate (about 0.2 mol) released 0.48 mg/L."""
    assert by_base("Li2O", 0.25) is Severity.KNOW
    assert by_base("Li2O", 0.21, SiO2=2.8) is Severity.LOOK
    assert by_base("Li2O", 0.25, Al2O3=0.7) is Severity.LOOK  # matt by ratio
    assert by_base("Li2O", 0.45) is Severity.LOOK
    assert by_base("Li2O", 0.1, SiO2=2.0) is None


def test_the_numbers_say_on_how_many_measured_glazes_they_stand():
    counted = {of.element: of.load.measured_glazes for of in metals().values() if of.load and of.load.measured_glazes}
    assert counted == {"Ba": 2, "Li": 1, "Mn": 3, "Cu": 5, "Co": 4, "Cr": 1}
    found = {c.code: c for c in cautions(next(glaze for glaze in GLAZES if "3.5 %" in glaze["name"]))}
    assert "The number stands on 5 measured glazes." in found["copper-load"].why
    assert found["copper-load"].evidence["measured_glazes"] == 5

"""Brongniart's relation against slurries worked in print, and grain densities against mineral tables.

Sources:

* S. Altmann, Clayart 30 Jan 1998 (potters.org/subject11877.htm) and 26 Apr 1998 (potters.org/subject13664.htm): slip of 1500 g/l.
* M. Cardew, Pioneer Pottery p. 269, quoted at potters.org/subject34220.htm: the pint and ounce form, W = (P - 20) g / (g - 1).
* D. Finkelnburg, Clayart 20 Jan 2004 (potters.org/subject72233.htm): glaze solids average 2.65, from CRC Handbook densities.
* Mineral densities: thoughtco.com, densities of common rocks and minerals; scholars.direct jpe-4-012 table 2.
"""

from __future__ import annotations

import pytest

from glazecalc.convert.batch import resolve
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.workshop.density import solids_density
from glazecalc.workshop.slurry import dry_g_per_ml, fill_amounts, ounces_per_pint, water_for_gravity


def test_altmann_slip_of_1500_g_per_litre():
    dry, water = fill_amounts(1000, 1.5, 2.5)
    assert dry == pytest.approx(833.3, abs=0.1)
    assert water == pytest.approx(666.7, abs=0.1)


@pytest.mark.parametrize(("gravity", "water_kg"), [(1.5, 11.2), (1.75, 5.6)])
def test_altmann_water_on_14_kg_of_dry_matter(gravity: float, water_kg: float):
    # Printed to 0.1 kg; at 1.75 the relation gives 5.6 exactly, at 1.5 11.2 exactly.
    assert water_for_gravity(14_000, gravity, 2.5) / 1000 == pytest.approx(water_kg, abs=0.05)


@pytest.mark.parametrize(("pint_oz", "density"), [(32, 2.5), (28, 2.6), (30, 2.65)])
def test_cardew_ounces_per_imperial_pint(pint_oz: float, density: float):
    cardew = (pint_oz - 20) * density / (density - 1)
    gravity = pint_oz / ounces_per_pint(1.0)
    assert 20 * dry_g_per_ml(gravity, density) == pytest.approx(cardew, rel=1e-12)


def test_cardew_pint_of_32_oz_holds_20_oz_dry():
    assert 20 * dry_g_per_ml(32 / 20, 2.5) == pytest.approx(20.0, abs=1e-9)


def test_us_pint_of_water_weighs_16_7_oz():
    # 231/8 cubic inches (NIST Handbook 44) of 1 g/ml, over 28.349523125 g.
    assert ounces_per_pint(1.0, "us") == pytest.approx(231 * 2.54**3 / 8 / 28.349523125, rel=1e-12)


@pytest.mark.parametrize(
    ("material", "low", "high"),
    [
        ("silica", 2.65, 2.65), ("whiting", 2.71, 2.71), ("dolomite", 2.87, 2.87), ("red_iron_oxide", 5.18, 5.26), ("talc", 2.7, 2.8),
        ("kaolin", 2.6, 2.6), ("potash_feldspar_ideal", 2.55, 2.76), ("fluorspar", 3.18, 3.18),
    ],
)  # fmt: skip
def test_densities_of_minerals_as_tabulated(material: str, low: float, high: float, library: MaterialLibrary):
    assert low <= (library[material].density_g_cm3 or 0.0) <= high


def test_stoneware_glaze_lies_near_the_average_of_glaze_solids(library: MaterialLibrary):
    recipe = Recipe.from_parts("", {"potash feldspar": 42, "whiting": 18, "kaolin": 13, "silica": 27})
    batch = resolve(recipe, library)
    assert solids_density([line.parts for line in batch.lines], batch.materials).g_cm3 == pytest.approx(2.65, abs=0.05)

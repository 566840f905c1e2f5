"""The bundled ideal materials against printed equivalent weights, yields and losses.

Sources, each named beside its rows:

- C. F. Binns, The Potter's Craft, pages 46 and 48: equivalent weights in whole parts.
- D. Shearer, teaching page on the unity formula: weights of potash feldspar and kaolin.
- L. Krakowski, Basic Internet Glaze Course part III (2005): zinc oxide and colemanite.
- I. Casas, teaching article on the Seger method: litharge. Lecture slides in Turkish: red lead.
- Teaching article, blog.goo.ne.jp/meisogama-ita, 24 Sep 2013: soda feldspar.
- D. Rhodes, Clay and Glazes for the Potter; C. W. Parmelee, Ceramic Glazes: the other weights, from memory.
- US Geological Survey, National Minerals Information Center: wollastonite. US Patent 5785939: borates.
- Merck Index (a copy at druglead.com): copper in basic copper carbonate.
- Handbook of Mineralogy, ideal compositions: from memory.

Old books rounded their atomic weights, so a printed weight may stand one unit of its last digit off.
"""

from __future__ import annotations

import pytest

from glazecalc.files.materials import load_materials
from glazecalc.oxides import atomic_mass, molar_mass

LIBRARY = load_materials()

READ = [
    ("white_lead", 258, {"PbO": 1}),  # Binns p. 46
    ("whiting", 100, {"CaO": 1}),  # Binns p. 46
    ("potash_feldspar_ideal", 557, {"K2O": 1, "Al2O3": 1, "SiO2": 6}),  # Binns p. 46
    ("kaolin", 258, {"Al2O3": 1, "SiO2": 2}),  # Binns p. 46
    ("kaolin", 258.2, {"Al2O3": 1, "SiO2": 2}),  # Shearer
    ("kaolin_calcined", 222, {"Al2O3": 1, "SiO2": 2}),  # Binns p. 48
    ("silica", 60, {"SiO2": 1}),  # Binns p. 46
    ("zinc_oxide", 81, {"ZnO": 1}),  # Krakowski
    ("litharge", 223, {"PbO": 1}),  # Casas
    ("red_lead", 229, {"PbO": 1}),  # Turkish lecture
    ("colemanite", 412, {"CaO": 2, "B2O3": 3}),  # Krakowski
    ("colemanite", 206, {"CaO": 1, "B2O3": 1.5}),  # Krakowski, the equivalent
    ("soda_feldspar_ideal", 524.5, {"Na2O": 1, "Al2O3": 1, "SiO2": 6}),  # goo.ne.jp article
]

RECALLED = [
    ("barium_carbonate", 197, {"BaO": 1}),
    ("strontium_carbonate", 148, {"SrO": 1}),
    ("lithium_carbonate", 74, {"Li2O": 1}),
    ("magnesium_carbonate", 84, {"MgO": 1}),
    ("dolomite", 184, {"CaO": 1, "MgO": 1}),
    ("talc", 379, {"MgO": 3, "SiO2": 4}),
    ("talc", 126, {"MgO": 1, "SiO2": 4 / 3}),
    ("wollastonite", 116, {"CaO": 1, "SiO2": 1}),
    ("borax", 382, {"Na2O": 1, "B2O3": 2}),
    ("boric_acid", 124, {"B2O3": 1}),
    ("soda_ash", 106, {"Na2O": 1}),
    ("pearl_ash", 138, {"K2O": 1}),
    ("niter", 202, {"K2O": 1}),
    ("tricalcium_phosphate", 310, {"CaO": 3, "P2O5": 1}),  # the books call it bone ash
    ("tricalcium_phosphate", 103, {"CaO": 1, "P2O5": 1 / 3}),
    ("spodumene", 372, {"Li2O": 1, "Al2O3": 1, "SiO2": 4}),
    ("petalite", 612, {"Li2O": 1, "Al2O3": 1, "SiO2": 8}),  # some books print 613
    ("lime_feldspar_ideal", 278, {"CaO": 1, "Al2O3": 1, "SiO2": 2}),
    ("cryolite", 420, {"Na2O": 3, "Al2O3": 1}),
    ("alumina_hydrate", 156, {"Al2O3": 1}),
    ("tin_oxide", 151, {"SnO2": 1}),
    ("titanium_dioxide", 80, {"TiO2": 1}),
    ("zircon", 183, {"ZrO2": 1, "SiO2": 1}),
    ("red_iron_oxide", 160, {"Fe2O3": 1}),
    ("cobalt_carbonate", 119, {"CoO": 1}),
]


def last_digit(number: float) -> float:
    """One unit of the last printed digit."""
    text = str(number)
    return 10.0 ** -len(text.partition(".")[2]) if "." in text else 1.0


def assert_brings(material_id: str, weight: float, brings: dict[str, float]) -> None:
    """`weight` parts of the material bring these moles of oxides and no other oxide."""
    analysis = LIBRARY[material_id].analysis
    assert {oxide for oxide, percent in analysis.items() if percent > 0} == set(brings)
    for oxide, moles in brings.items():
        parts = moles * molar_mass(oxide) / (analysis[oxide] / 100.0)
        assert parts == pytest.approx(weight, abs=last_digit(weight))


@pytest.mark.parametrize(("material_id", "weight", "brings"), READ)
def test_equivalent_weights_read(material_id: str, weight: float, brings: dict[str, float]) -> None:
    assert_brings(material_id, weight, brings)


@pytest.mark.parametrize(("material_id", "weight", "brings"), RECALLED)
def test_equivalent_weights_recalled(material_id: str, weight: float, brings: dict[str, float]) -> None:
    assert_brings(material_id, weight, brings)


def test_potash_feldspar_of_a_teaching_page() -> None:
    """Shearer prints 556.8, worked with atomic weights cut to one decimal (K 39.1, Al 27.0, Si 28.1)."""
    analysis = LIBRARY["potash_feldspar_ideal"].analysis
    assert molar_mass("K2O") / (analysis["K2O"] / 100.0) == pytest.approx(556.8, abs=0.2)


IDEAL = [  # Handbook of Mineralogy, ideal compositions, from memory; the loss is its H2O or CO2
    ("kaolin", {"SiO2": 46.55, "Al2O3": 39.50}, 13.96),
    ("whiting", {"CaO": 56.03}, 43.97),
    ("dolomite", {"CaO": 30.41, "MgO": 21.86}, 47.73),
    ("magnesium_carbonate", {"MgO": 47.80}, 52.20),
    ("talc", {"MgO": 31.88, "SiO2": 63.37}, 4.75),
    ("potash_feldspar_ideal", {"K2O": 16.92, "Al2O3": 18.32, "SiO2": 64.76}, 0.0),
    ("soda_feldspar_ideal", {"Na2O": 11.82, "Al2O3": 19.44, "SiO2": 68.74}, 0.0),
    ("spodumene", {"Li2O": 8.03, "Al2O3": 27.40, "SiO2": 64.58}, 0.0),
    ("wollastonite", {"CaO": 48.28, "SiO2": 51.72}, 0.0),
    ("barium_carbonate", {"BaO": 77.70}, 22.30),
    ("lithium_carbonate", {"Li2O": 40.44}, 59.56),
    ("borax", {"Na2O": 16.25, "B2O3": 36.51}, 47.24),
]


@pytest.mark.parametrize(("material_id", "oxides", "loss"), IDEAL)
def test_ideal_yield_and_loss(material_id: str, oxides: dict[str, float], loss: float) -> None:
    material = LIBRARY[material_id]
    assert dict(material.analysis) == pytest.approx(oxides, abs=0.0101)
    assert material.loi_percent == pytest.approx(loss, abs=0.0101)
    assert material.total_percent == pytest.approx(100.0, abs=1e-9)


def test_wollastonite_of_the_geological_survey() -> None:
    """US Geological Survey, wollastonite page: 48.3 % CaO and 51.7 % SiO2."""
    assert dict(LIBRARY["wollastonite"].analysis) == pytest.approx({"CaO": 48.3, "SiO2": 51.7}, abs=0.05)


def test_boric_oxide_of_the_borate_minerals() -> None:
    """US Patent 5785939 (background section): colemanite about 51 % B2O3, ulexite about 43 %."""
    assert LIBRARY["colemanite"].analysis["B2O3"] == pytest.approx(51, abs=0.5)
    assert LIBRARY["ulexite"].analysis["B2O3"] == pytest.approx(43, abs=0.5)


def test_copper_of_basic_copper_carbonate() -> None:
    """Merck Index (copy at druglead.com): 57.48 % Cu."""
    copper = LIBRARY["copper_carbonate"].analysis["CuO"] * atomic_mass("Cu") / molar_mass("CuO")
    assert copper == pytest.approx(57.48, abs=0.005)


def test_the_bone_ash_analysis_that_goes_round_is_hydroxyapatite() -> None:
    """The much reprinted 55.82 CaO, 42.39 P2O5, 1.79 loss is the ideal formula to the last digit."""
    material = LIBRARY["bone_ash"]
    assert dict(material.analysis) == pytest.approx({"CaO": 55.82, "P2O5": 42.39}, abs=0.005)
    assert material.loi_percent == pytest.approx(1.79, abs=0.005)

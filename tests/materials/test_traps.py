"""The traps of real raw-material data, read through the library's own loader.

Each trap was met in a published sheet, table or mineral formula; the file named says which.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from glazecalc.errors import AmbiguousNameError, FileFaultsError, UnknownNameError
from glazecalc.files.materials import load_materials, read_material
from glazecalc.files.shipped import load_data
from glazecalc.material import Material
from glazecalc.oxides import AXIS, atomic_mass, molar_mass

TRAPS = Path(__file__).parent / "traps"
STUDIO = Path(__file__).resolve().parents[2] / "notebooks" / "studio" / "materials"
LIBRARY = load_materials(STUDIO)


def codes(material: Material) -> list[str]:
    return [notice.code for notice in material.notices]


@pytest.mark.parametrize("key", LIBRARY, ids=str)
def test_every_material_reads_whole(key: str) -> None:
    material = LIBRARY[key]
    assert 98.0 <= round(material.total_percent, 2) <= 102.0
    assert "analysis-total" not in codes(material)
    assert "carbonate-loss" not in codes(material)
    assert "loss-parts-differ" not in codes(material)
    assert all(percent >= 0 for percent in material.analysis.values())
    assert set(material.hazards) <= set(load_data("bench_hazards.yaml")["hazards"])


def test_the_studio_folder_hides_nothing() -> None:
    assert LIBRARY.notices == ()
    assert len(LIBRARY) == len(load_materials()) + len(load_materials(STUDIO, bundled=False))


# --- loss: below zero, of oxygen, of fluorine, of organic matter ------------------------------------


@pytest.mark.parametrize(
    ("key", "oxide", "loss"),
    [
        ("black_iron_oxide", "Fe2O3", -3.46),  # Fe3O4 burns to Fe2O3
        ("ilmenite", "Fe2O3", -5.27),  # its FeO does
        ("copper_oxide_red", "CuO", -11.18),  # Cu2O to CuO
    ],
)
def test_loss_is_negative_where_oxygen_is_taken_up(key: str, oxide: str, loss: float) -> None:
    material = LIBRARY[key]
    assert material.loi_percent == pytest.approx(loss, abs=0.005)
    assert material.loss["O2"] == pytest.approx(loss, abs=0.005)
    assert oxide in material.analysis


@pytest.mark.parametrize(("key", "loss"), [("manganese_dioxide", 18.40), ("cobalt_oxide", 6.64), ("red_lead", 2.33)])
def test_loss_can_be_oxygen(key: str, loss: float) -> None:
    material = LIBRARY[key]
    assert dict(material.loss) == pytest.approx({"O2": loss}, abs=0.005)
    assert material.loi_percent == pytest.approx(loss, abs=0.005)


@pytest.mark.parametrize(
    ("key", "oxides", "fluorine"),
    [
        ("fluorspar", {"CaO": 71.82}, 48.67),
        ("cryolite", {"Na2O": 44.28, "Al2O3": 24.28}, 54.3),
        ("lepidolite", {"Li2O": 5.61, "K2O": 11.80, "Al2O3": 31.93, "SiO2": 45.15}, 9.52),
    ],
)
def test_fluorides_are_oxide_equivalents_and_say_so(key: str, oxides: dict[str, float], fluorine: float) -> None:
    material = LIBRARY[key]
    assert dict(material.analysis) == pytest.approx(oxides, abs=0.006)
    assert material.loss["F"] == pytest.approx(fluorine, abs=0.05)
    # Two F leave, one O takes their place: the loss is the fluorine less 0.4211 of its weight.
    replaced = atomic_mass("O") / (2 * atomic_mass("F"))
    assert material.loi_percent == pytest.approx(material.loss["F"] * (1 - replaced))
    assert "oxide-equivalents" in codes(material)


def test_fluorine_in_an_analysis_never_enters_the_glass() -> None:
    material = LIBRARY["cornish_stone"]
    assert material.analysis["F"] == 0.6
    assert "F" not in AXIS
    assert "oxide-equivalents" in codes(material)


def test_cellulose_gum_leaves_soda_and_other_binders_nothing() -> None:
    gum = LIBRARY["cmc_gum"]
    # Degree of substitution 0.7: C6H7O2(OH)2.3(OCH2COONa)0.7, by hand.
    unit = {"C": 7.4, "H": 10.7, "O": 6.4, "Na": 0.7}
    mass = sum(atomic_mass(symbol) * count for symbol, count in unit.items())
    assert gum.analysis["Na2O"] == pytest.approx(35 * molar_mass("Na2O") / mass, abs=0.005)
    assert gum.loi_percent == pytest.approx(90.06)
    assert LIBRARY["gum_arabic"].analysis == {}
    assert LIBRARY["organic_binder"].loi_percent == 100


# --- states of an oxide: both irons, zero, below detection, not reported ----------------------------


@pytest.mark.parametrize(
    ("key", "ferric", "ferrous"),
    [
        ("kaolin_reference_kga_1", 0.13, 0.08),
        ("bentonite", 3.35, 0.32),
        ("ilmenite_america", 30.0, 27.8),
        ("ilmenite_europe", 14.0, 34.4),
    ],
)
def test_both_iron_oxides_are_kept_apart(key: str, ferric: float, ferrous: float) -> None:
    assert LIBRARY[key].analysis["Fe2O3"] == ferric
    assert LIBRARY[key].analysis["FeO"] == ferrous


def test_below_detection_is_neither_zero_nor_absent() -> None:
    assert dict(LIBRARY["kaolin_georgia"].below_detection) == dict.fromkeys(("Na2O", "K2O", "MgO", "CaO"), "trace")
    assert dict(LIBRARY["rutile_south_africa"].below_detection) == {"MnO": "n.d."}
    for key in ("kaolin_georgia", "rutile_south_africa", "kaolin_reference_kga_1"):
        assert not set(LIBRARY[key].below_detection) & set(LIBRARY[key].analysis)


def test_a_stated_nil_is_zero_and_the_rest_is_not_reported() -> None:
    material = LIBRARY["potash_feldspar_horizon_02"]
    assert material.analysis["CaO"] == 0
    assert material.analysis["MgO"] == 0
    assert "TiO2" not in material.analysis
    assert material.tolerance["SiO2"] == 1.0
    assert "K2O" not in LIBRARY["volcanic_ash"].analysis


@pytest.mark.parametrize("key", ["rutile", "potash_feldspar_horizon_01", "volcanic_ash", "fukushima_feldspar_1991"])
def test_a_loss_not_reported_is_said_not_taken_for_zero(key: str) -> None:
    assert LIBRARY[key].loi_percent is None
    assert "loss-not-reported" in codes(LIBRARY[key])


def test_rare_oxides_of_rutile_are_on_the_axis() -> None:
    assert {"Nb2O5", "V2O5", "Cr2O3", "ZrO2"} <= set(LIBRARY["rutile_south_africa"].analysis)
    assert set(LIBRARY["rutile_south_africa"].analysis) <= set(AXIS)


# --- sheets that are no analyses --------------------------------------------------------------------


def test_a_carbonate_whose_loss_contradicts_its_oxides_is_flagged() -> None:
    """A producer's dolomite: 44.87 % loss, but its own lime and magnesia need 47.7 % CO2."""
    material = read_material(TRAPS / "dolomite_contradicted.yaml")
    assert material.total_percent == pytest.approx(98.46)  # the total alone looks sound
    (notice,) = material.notices
    assert notice.code == "carbonate-loss"
    assert "44.9" in notice.message
    assert "47.7" in notice.message


def test_sound_dolomites_are_not_flagged() -> None:
    assert codes(LIBRARY["dolomite_srm_88a"]) == []
    assert codes(LIBRARY["dolomite_srm_88b"]) == []


def test_maxima_and_minima_are_refused_as_an_analysis() -> None:
    with pytest.raises(FileFaultsError) as caught:
        read_material(TRAPS / "ball_clay_specification.yaml")
    assert [fault.line for fault in caught.value.faults] == [9, 10, 13]
    assert "27.0 min" in str(caught.value)
    assert "59.4 max" in str(caught.value)
    assert "ball_clay_specification" not in LIBRARY


def test_minima_that_add_to_72_are_flagged_and_not_normalised() -> None:
    material = read_material(TRAPS / "bone_ash_minima.yaml")
    assert codes(material) == ["analysis-total"]
    assert "72.4" in material.notices[0].message
    assert dict(material.analysis) == {"CaO": 36.4, "P2O5": 18.5}


def test_lumped_alkalis_are_refused_with_the_question_which() -> None:
    with pytest.raises(FileFaultsError, match="how much of it is Na2O and how much K2O"):
        read_material(TRAPS / "talc_lumped_alkalis.yaml")


# --- names and formulas that mislead ----------------------------------------------------------------


def test_formulas_of_the_trade_against_assays() -> None:
    """Producers guarantee 46 % Co and 55 % Cu; each ideal formula holds more."""

    def metal(key: str, oxide: str, symbol: str) -> float:
        return LIBRARY[key].analysis[oxide] * atomic_mass(symbol) / molar_mass(oxide)

    assert metal("cobalt_carbonate_46", "CoO", "Co") == pytest.approx(46.0, abs=0.01)
    assert metal("cobalt_carbonate", "CoO", "Co") == pytest.approx(49.5, abs=0.05)
    assert metal("cobalt_carbonate_basic", "CoO", "Co") == pytest.approx(57.0, abs=0.05)
    assert metal("copper_carbonate_55", "CuO", "Cu") == pytest.approx(55.0, abs=0.01)
    assert metal("copper_carbonate", "CuO", "Cu") == pytest.approx(57.5, abs=0.05)


def test_light_magnesium_carbonate_is_not_magnesite() -> None:
    difference = LIBRARY["magnesium_carbonate"].analysis["MgO"] - LIBRARY["magnesium_carbonate_light"].analysis["MgO"]
    assert difference == pytest.approx(4.7, abs=0.05)


def test_nepheline_syenites_are_two_different_fluxes() -> None:
    canadian, norwegian = (
        LIBRARY["nepheline_syenite"].analysis,
        LIBRARY["nepheline_syenite_norwegian"].analysis,
    )
    assert canadian["Na2O"] > 2 * canadian["K2O"]
    assert norwegian["K2O"] > norwegian["Na2O"]


def test_one_name_two_rocks() -> None:
    """Fukushima feldspar lost a fifth of its potash when a blend took over the name."""
    old, new = (
        LIBRARY["fukushima_feldspar_1991"].analysis["K2O"],
        LIBRARY["fukushima_feldspar_blend"].analysis["K2O"],
    )
    assert 1 - new / old == pytest.approx(0.21, abs=0.005)


@pytest.mark.parametrize(
    "name",
    [
        "iron",
        "iron oxide",
        "spar",
        "feldspar",
        "frit",
        "cobalt",
        "copper",
        "clay",
        "potash",
        "manganese",
        "gum",
    ],
)
def test_a_word_that_several_share_is_asked_back(name: str) -> None:
    with pytest.raises(AmbiguousNameError):
        LIBRARY.find(name)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Red iron oxide", "red_iron_oxide"),
        ("iron oxide, RED", "red_iron_oxide"),
        ("china clay", "kaolin"),
        ("Copper carbonate", "copper_carbonate"),
        ("cobalt carbonate", "cobalt_carbonate"),
        ("cobalt oxide", "cobalt_oxide"),
        ("soda-feldspar", "soda_feldspar"),
        ("Borax, decahydrate", "borax"),
        ("flint", "silica"),
        ("zircon", "zircon"),
        ("calcined kaolin", "kaolin_calcined"),
        ("bentonite", "bentonite"),
        ("wood ash", "wood_ash"),
        ("rutile", "rutile"),
        ("light magnesium carbonate", "magnesium_carbonate_light"),
        ("neph sy", "nepheline_syenite"),
    ],
)
def test_names_that_potters_write(name: str, key: str) -> None:
    assert LIBRARY.find(name)[0].id == key


@pytest.mark.parametrize("brand", ["F3134", "Grolleg", "EPK", "Custer"])
def test_recalled_analyses_carry_no_brand(brand: str) -> None:
    """A grade name ships only where its maker's published sheet was read."""
    with pytest.raises(UnknownNameError):
        LIBRARY.find(brand)

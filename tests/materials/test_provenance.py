"""Where the numbers of the bundled materials come from, said truly; and what is sold under its own name."""

from __future__ import annotations

import math

import pytest

from glazecalc.errors import AmbiguousNameError, FileFaultsError, UnknownNameError
from glazecalc.files.materials import load_materials, read_material_text
from glazecalc.material import Material
from glazecalc.show import pages
from glazecalc.source import BASES, Source

BUNDLED = load_materials()
NOT_MEASURED = ("model", "worked out", "unity formula", "invented", "recalled", "assay", "assumed", "by definition")

# What went, and why: figures recalled from memory that stood for one supplier's bag, or for nothing that was read.
GONE = (
    "frit_alumina_borosilicate", "frit_high_boron_alumina", "frit_calcium_borosilicate", "frit_high_sodium",
    "potash_feldspar_georgia", "soda_feldspar_carolina", "kaolin_halloysitic", "kaolin_english_micaceous",
    "red_earthenware_clay", "wollastonite_new_york", "silica_ground_typical",
)  # fmt: skip
KEPT = (
    "potash_feldspar", "potash_feldspar_ideal", "soda_feldspar", "kaolin", "silica", "whiting", "talc", "dolomite", "nepheline_syenite",
    "wollastonite", "zircon", "zinc_oxide", "red_iron_oxide",
)  # fmt: skip

# The sum of the oxides and the loss as the source prints it, or as its record adds up (SciGlass brings each row to 100).
PRINTED_SUMS = {
    "petalite_karibib": 99.358 - 0.08,  # the sheet's total holds 0.08 of moisture
    "spodumene_pala": 99.44,
    "talc_malangen": 100.23,
    "ulexite_boron": 100.11,
    "microcline_norra_karr": 99.94,
    "albite_rischuna": 100.31,
    "anorthite_crookdene": 100.41,
    "rutile_graves_mountain": 100.08,
    "zircon_sitarampuram": 100.767 - 0.01,  # thoria is left out
    "ilmenite_adirondack": 100.58 + 0.03,  # V2O3 0.13 stands as V2O5 0.16
    "quartz_west_bengal": 100.00 - 0.10,  # undetermined
    "potash_feldspar_west_bengal": 100.00 - 0.25,
    "fire_clay_west_bengal": 100.00 - 0.25,
    "wood_ash_common": 99.51,
    "dolomite_czech": 99.4,
    "calcite_india": 100.02 - 0.16 - 0.19,  # acid-insoluble and alkalies
    "frit_potash_lime_boron_bobkova": 100.0,
    "frit_zinc_lime_boron_jurine": 100.0,
    "frit_lithium_boron_poole": 100.01,
    "glass_borosilicate_maji": 100.005,
    "glass_cullet_panel_andreola": 100.0,
    "lead_bisilicate_frit": 100.0,
}


@pytest.mark.parametrize("key", BUNDLED, ids=str)
def test_what_the_numbers_stand_on(key: str) -> None:
    material = BUNDLED[key]
    source = material.source
    assert material.basis in BASES
    assert material.basis not in (
        "own-sheet",
        "invented",
    )  # what a bundled file leaves unsaid follows from its formula or its source
    assert (material.formula is not None) == (material.basis == "ideal-formula")
    assert source.from_memory == (material.basis == "recalled")
    assert material.formula is not None or source.kind
    if material.basis == "measured":
        assert source.publisher or source.table or source.seen_at
        told = f"{source.kind} {source.title} {material.name}".lower()
        assert not any(word in told for word in NOT_MEASURED)
    assert material.for_sale == (not material.not_sold_because)


def test_what_lies_nowhere_in_a_bag_is_not_for_sale() -> None:
    unsold = {material.id for material in BUNDLED.values() if not material.for_sale}
    assert {key for key in BUNDLED if key.endswith(("feldspar_ideal", "_model")) or "_srm_" in key} <= unsold
    assert {m.id for m in BUNDLED.values() if "mineral data sheet" in m.source.kind} <= unsold
    assert {m.id for m in BUNDLED.values() if m.basis == "as-batched"} - unsold == {"lead_bisilicate_frit"}
    assert not unsold & {*KEPT} - {"potash_feldspar_ideal"}
    assert not unsold & {
        "colemanite",
        "petalite",
        "spodumene",
        "wood_ash",
        "bentonite",
        "ball_clay",
        "plastic_clay",
        "cornish_stone",
    }


@pytest.mark.parametrize("key", PRINTED_SUMS)
def test_the_sum_is_the_printed_one(key: str) -> None:
    assert BUNDLED[key].total_percent == pytest.approx(PRINTED_SUMS[key], abs=0.0051)


def test_figures_copied_from_the_sheets() -> None:
    def is_printed(key: str, **figures: float) -> None:
        assert {oxide: BUNDLED[key].analysis[oxide] for oxide in figures} == figures

    is_printed("glass_borosilicate_maji", SiO2=55.0, B2O3=13.9, Al2O3=9.71, CaO=13.5, Na2O=6.5, K2O=0.8)
    is_printed("nepheline_syenite", SiO2=60.0, Al2O3=23.2, Na2O=10.8, K2O=5.1)
    is_printed("potash_feldspar_west_bengal", SiO2=63.4, Al2O3=19.3, K2O=13.52, Na2O=2.1)
    is_printed("halloysite_utah", SiO2=46.3, Al2O3=35.2, Fe2O3=0.72)
    is_printed("petalite_karibib", SiO2=77.8, Al2O3=16.41, Li2O=4.45)
    is_printed("lead_bisilicate_frit", PbO=65.0, Al2O3=2.0, SiO2=33.0)
    # printed air-wet with 14.81 % of moisture: dry, SiO2 51.14 / 0.8519
    assert BUNDLED["montmorillonite_france"].analysis["SiO2"] == pytest.approx(51.14 / (1 - 0.1481), abs=0.005)


def test_a_round_unity_frit_is_what_its_name_says() -> None:
    import glazecalc as gc

    unity = gc.unity_formula({"unity_frit_lime_soda_boron_alumina": 100}, BUNDLED)
    assert dict(unity) == pytest.approx({"Na2O": 0.4, "CaO": 0.6, "Al2O3": 0.3, "B2O3": 0.6, "SiO2": 3.0}, abs=0.005)


def test_the_ids_that_everything_uses_stay_and_the_recalled_bags_are_gone() -> None:
    assert set(KEPT) <= set(BUNDLED)
    assert not set(GONE) & set(BUNDLED)
    assert len(BUNDLED) >= 70


@pytest.mark.parametrize("key", [key for key in GONE if key != "red_earthenware_clay"])  # no other red clay was read
def test_a_name_that_is_gone_is_answered_with_what_to_use(key: str) -> None:
    with pytest.raises(UnknownNameError) as caught:
        BUNDLED.find(key)
    offered = [material for material in BUNDLED.values() if key in material.instead_of]
    assert caught.value.hint.startswith("Did you mean '")
    assert all(f"'{material.name}'" in caught.value.hint for material in offered)
    assert any(material.for_sale for material in offered) or key == "kaolin_halloysitic"


def test_no_material_bears_the_nickname_of_a_product_or_the_name_of_a_shop() -> None:
    for material in BUNDLED.values():
        told = " ".join((*material.names, *material.instead_of, material.source.in_short, material.notes)).lower()
        for name in (
            "type borate",
            "type china clay",
            "balanced borosilicate",
            "complete low-fire",
            "soft sodium",
            "carolina feldspar",
            "new york wollastonite",
            "stonefinder",
            "iqosa",
            "keane",
            "tamkeen",
            "doupe",
            ".com",
            "jxkc",
        ):
            assert name not in told or (name == ".com" and "compact" in told), (material.id, name)


def test_own_sheet_formula_and_memory_say_their_basis_themselves() -> None:
    own = Material(id="a", name="a", source=Source(title="the bag of May"), analysis={"SiO2": 99.0})
    assert (own.basis, own.for_sale) == ("own-sheet", True)
    assert Material(id="a", name="a", source=Source(title="t"), formula="SiO2").basis == "ideal-formula"
    recalled = Source(title="t", from_memory=True)
    assert Material(id="a", name="a", source=recalled, analysis={"SiO2": 99.0}).basis == "recalled"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("basis: mesured\nanalysis: {SiO2: 99}", "Did you mean 'measured'"),
        ("basis: measured\nformula: SiO2", "'basis' is 'measured', but a formula is given"),
        ("basis: ideal-formula\nanalysis: {SiO2: 99}", "there is no formula"),
        ("not_sold_because: a specimen\nformula: SiO2", "but the material is for sale"),
        ("for_sale: perhaps\nformula: SiO2", "True or False"),
    ],
)
def test_a_basis_that_cannot_be_is_refused_with_its_line(line: str, said: str) -> None:
    text = f"id: a\nname: a\nsource: {{title: sheet}}\n{line}\n"
    with pytest.raises(FileFaultsError) as caught:
        read_material_text(text)
    assert said in str(caught.value)
    assert caught.value.faults[0].line == 4


def test_the_page_prints_the_basis_and_a_short_source_and_the_whole_one_in_full() -> None:
    page = str(BUNDLED["nepheline_syenite_norwegian"])
    assert "numbers from: maker's or seller's sheet" in page
    assert "seller's page, Czechia" in page
    assert "kcdoupe" not in page
    assert "kcdoupe" in pages.page(BUNDLED["nepheline_syenite_norwegian"], full=True)
    assert "not for sale: a single mineral specimen" in str(BUNDLED["petalite_karibib"])
    assert "numbers from: recalled, not checked against the print" in str(BUNDLED["potash_feldspar"])
    assert "from memory" not in str(BUNDLED["potash_feldspar"])
    assert "SciGlass" in str(BUNDLED["frit_zircon_hard_nelson"])  # the data base asks to be named where its rows stand


def test_the_basis_is_a_field_of_every_row_and_every_line() -> None:
    import glazecalc as gc

    rows = BUNDLED.to_dict()["materials"]
    assert all(isinstance(row["for_sale"], bool) and row["basis"] in BASES for row in rows)
    report = gc.check({"potash feldspar": 40, "whiting": 20, "glass_borosilicate_maji": 40}, BUNDLED)
    lines = {line["material"]: line["basis"] for line in report.to_dict()["recipe"]["lines"]}
    assert lines == {"potash_feldspar": "recalled", "whiting": "ideal-formula", "glass_borosilicate_maji": "as-batched"}
    told = {notice.code: notice.message for notice in report.notices}
    assert told["analysis-as-batched"].endswith(": Borosilicate glass with alumina (Maji 2016).")
    assert math.isfinite(report.unity["SiO2"])


@pytest.mark.parametrize("key", ["colemanite", "ulexite", "petalite", "spodumene", "lepidolite"])
def test_an_ore_counted_by_its_formula_says_ideal_in_its_name(key: str) -> None:
    """Each bag of these holds less than the formula, so the word stands on every page that names it."""
    assert BUNDLED.find(key)[0] is BUNDLED[key]
    assert BUNDLED[key].name.endswith(", ideal")
    assert BUNDLED[key].for_sale


def test_where_several_fit_what_is_sold_is_named_first() -> None:
    with pytest.raises(AmbiguousNameError) as caught:
        BUNDLED.find("frit")
    assert str(caught.value).startswith("'frit' fits several materials: High boron unity frit, Lead bisilicate frit, ")

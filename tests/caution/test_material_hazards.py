"""A bag's own sheet keeps its warnings: what follows from kind, formula and oxides, and what is kept of a material that is hidden."""

from __future__ import annotations

from dataclasses import replace

import pytest

import glazecalc as gc
from glazecalc.caution.bench import handling_cautions, short_cautions
from glazecalc.caution.hazard_rules import groups, is_melted
from glazecalc.caution.hazards import hazards
from glazecalc.caution.material_hazards import hazard_notices, hazards_of
from glazecalc.convert.batch import resolve
from glazecalc.oxides import VOLATILES

BUNDLED = gc.load_materials()
SOURCE = gc.Source(title="the bag's own sheet")


def sheet(name: str, analysis: dict[str, float] | None = None, **fields) -> gc.Material:
    return gc.Material(id=name.replace(" ", "_"), name=name, source=SOURCE, analysis=analysis or {}, **fields)


def keys(material: gc.Material) -> set[str]:
    return {item.hazard.key for item in hazards_of(material).known}


def classes(material: gc.Material) -> set[str]:
    """Classes of concern, what stops and what makes a lye."""
    found = hazards_of(material)
    stops = {item.hazard.stop_code for item in found.known} - {""}
    return set(found.concerns) | stops | ({"lye"} if found.caustic else set())


@pytest.mark.parametrize("kind", ["its own", "other"])
def test_a_sheet_without_hazards_is_classed_as_the_bundled_material_is(kind: str):
    """The same numbers under another name, with the kind of the bundled file or with none: no class is lost, by no material."""
    lost = {}
    for material in BUNDLED.values():
        bare = replace(material, id="bag", name="Bag of May", aliases=(), hazards=())
        bare = bare if kind == "its own" else replace(bare, kind="other")
        if missing := classes(material) - classes(bare):
            lost[material.id] = missing
        assert all(item.basis == "composition" for item in hazards_of(bare).known)
    if (
        kind == "other"
    ):  # a frit without boron whose name does not say so is taken as a stone: quartz is looked for in vain
        lost = {
            name: missing for name, missing in lost.items() if BUNDLED[name].kind != "frit" or BUNDLED[name].hazards
        }
    assert lost == {}


def test_oxides_and_a_loss_alone_are_enough_as_a_bag_prints_them():
    """No kind, no formula, no parts of the loss. Not told by them: fluorine, nitrogen and sulphur, which no oxide of the glaze shows."""
    lost = set()
    for material in BUNDLED.values():
        analysis = {
            oxide: min(percent, 100.0) for oxide, percent in material.analysis.items() if oxide not in VOLATILES
        }
        if material.hazards and analysis and not {"F", "N2O5", "SO3"} & {*material.loss, *material.analysis}:
            printed = sheet("Bag of May", analysis, loi_percent=material.loi_percent, solubility=material.solubility)
            lost |= {material.id} if classes(material) - classes(printed) else set()
    assert lost == set()
    assert keys(sheet("a", {"CaO": 72.0, "F": 48.0})) == {"fluorides"}


OWN = [
    sheet("Lead frit", {"PbO": 65.0, "SiO2": 34.0, "Al2O3": 1.0}),
    sheet("Quartz flour", {"SiO2": 99.4, "Al2O3": 0.2}, loi_percent=0.2),
    sheet("Barium carb of May", {"BaO": 77.0}, loi_percent=22.3),
    sheet("Cobalt of May", {"CoO": 93.0}, loi_percent=6.5),
]


def own_batch():
    parts = {"Lead frit": 40, "Quartz flour": 30, "Barium carb of May": 20, "Cobalt of May": 10}
    return resolve(parts, gc.MaterialLibrary([*BUNDLED.values(), *OWN]))


def test_a_recipe_of_own_sheets_raises_what_the_bundled_materials_raise():
    bundled = {"lead bisilicate frit": 40, "silica": 30, "barium carbonate": 20, "cobalt oxide": 10}
    own = {c.code: c for c in handling_cautions(own_batch())}
    assert {c.code for c in handling_cautions(resolve(bundled, BUNDLED)) if c.about == "bench"} <= set(own)
    assert {"lead-raw-material", "silica-dust", "toxic-raw-material", "cmr-suspected-raw-material"} <= set(own)
    assert str(own["lead-raw-material"].severity) == "stop"
    assert "from its composition: PbO 65 %" in own["lead-raw-material"].message
    assert "Barium carb of May 20.0 % (from its composition)" in own["toxic-raw-material"].message
    assert own["toxic-raw-material"].evidence["basis"] == {"Barium carb of May": "composition"}
    assert own["toxic-raw-material"].evidence["because"] == {"Barium carb of May": ["BaO 77 %"]}


def test_what_the_files_list_is_not_marked():
    caution = {c.code: c for c in handling_cautions(resolve({"barium carbonate": 20, "silica": 80}, BUNDLED))}
    assert caution["toxic-raw-material"].evidence["basis"] == {"Barium carbonate": "file"}
    assert "composition" not in caution["toxic-raw-material"].message


def test_the_label_carries_them_with_their_mark_and_what_stops_first():
    lines = short_cautions(own_batch().materials)
    assert lines[0].startswith("STOP")
    assert "Lead frit (from its composition)" in lines[0]
    assert any(line.startswith("Poisonous: Barium carb of May (from its composition)") for line in lines)
    assert any("quartz" in line and "Quartz flour (from its composition)" in line for line in lines)


@pytest.mark.parametrize(
    ("material", "expected"),
    [
        # just short of each threshold and at it
        (sheet("a", {"PbO": 0.099, "SiO2": 50.0}), set()),
        (sheet("a", {"PbO": 0.1, "SiO2": 50.0}), {"lead_compounds"}),
        (sheet("a", {"CoO": 0.09, "Fe2O3": 40.0}), set()),
        (sheet("a", {"CoO": 0.1, "Fe2O3": 40.0}), {"cobalt_oxide_black"}),
        (sheet("a", {"BaO": 0.99, "CaO": 10.0}), set()),
        (sheet("a", {"BaO": 1.0, "CaO": 10.0}), {"barium_carbonate"}),
        (sheet("a", {"MnO": 0.99, "CaO": 10.0}), set()),
        (sheet("a", {"MnO": 1.0, "CaO": 10.0}), {"manganese_dioxide"}),
        (sheet("a", {"SiO2": 89.9}), set()),
        (sheet("a", {"SiO2": 90.0}), {"silica_quartz"}),
        # melted in, it is said as melted in
        (sheet("a frit", {"BaO": 28.0, "SiO2": 45.0, "B2O3": 10.0}), {"barium_frit", "glass_frit"}),
        (sheet("a", {"BaO": 28.0, "SiO2": 45.0, "B2O3": 10.0}, loi_percent=0), {"barium_frit", "glass_frit"}),
        (sheet("a", {"Li2O": 5.0, "SiO2": 61.0, "B2O3": 11.0}, kind="frit"), {"active_frit", "glass_frit"}),
        (sheet("a", {"SiO2": 97.0}, kind="frit"), {"glass_frit"}),
        # what has no bundled material
        (sheet("a", formula="K2Cr2O7"), {"chromates"}),
        (sheet("a", formula="BaSO4"), {"barium_sulphate"}),
        (sheet("a", formula="CdS"), {"cadmium_sulphide"}),
        (sheet("a", formula="NaOH"), {"alkali_hydroxide"}),
        (sheet("a", formula="Ca(OH)2"), {"lime"}),
        (sheet("a", formula="NaHCO3"), set()),
        (sheet("a", formula="Na2CO3.10H2O"), {"soda_ash"}),
        (sheet("a", {"Na2O": 20.0, "SiO2": 60.0}, solubility="yes"), {"water_glass"}),
        (sheet("a", {"V2O5": 5.0, "ZrO2": 60.0, "SiO2": 30.0}), {"metal_frit", "zirconium_silicate"}),
        # ashes: what makes a lye, what is washed, what is a stone
        (sheet("a", {"K2O": 10.0, "CaO": 40.0, "SiO2": 20.0, "P2O5": 3.0}, kind="ash"), {"wood_ash"}),
        (sheet("a", {"K2O": 3.0, "CaO": 40.0, "SiO2": 20.0, "P2O5": 3.0}, kind="ash", solubility="no"), {"washed_ash"}),
        (sheet("a", {"K2O": 3.0, "CaO": 4.0, "SiO2": 65.0, "Al2O3": 18.0}, kind="ash"), {"rock_powder"}),
        (sheet("a", {"K2O": 2.0, "SiO2": 93.0}, kind="ash"), {"silica_quartz"}),
    ],
    ids=lambda value: "-".join(sorted(value)) or "nothing" if isinstance(value, set) else "",
)
def test_what_follows_from_a_composition(material: gc.Material, expected: set[str]):
    assert keys(material) == expected


def overlay(**fields) -> tuple[gc.Material, gc.MaterialLibrary]:
    mine = replace(sheet("Silica", {"SiO2": 60.0}, path="mine/silica.yaml"), id="silica", **fields)
    library = gc.MaterialLibrary([*BUNDLED.values(), mine])
    return library["silica"], library


def test_a_sheet_over_a_bundled_one_keeps_its_hazards_and_says_so():
    material, library = overlay()
    (kept,) = hazards_of(material).known
    assert (kept.hazard.key, kept.basis, kept.because) == ("silica_quartz", "inherited", "Silica")
    assert any("keeps its hazards" in notice.message for notice in library.notices)
    assert "as the Silica it replaces" in str(material)
    dust = {c.code: c for c in handling_cautions(resolve({"silica": 30, "whiting": 70}, library))}["silica-dust"]
    assert dust.evidence["basis"] == {"Silica": "inherited"}


def test_its_own_hazards_and_what_follows_are_said_beside_those_that_it_keeps():
    assert keys(overlay(hazards=("talc",))[0]) == {"talc", "silica_quartz"}
    assert keys(overlay(analysis={"SiO2": 60.0, "PbO": 30.0})[0]) == {"silica_quartz", "lead_compounds"}


def test_hazards_that_a_sheet_denies_with_a_reason_are_gone_and_the_reason_is_said():
    material, library = overlay(hazards_note="a glass ground for the test")
    assert keys(material) == set()
    report = gc.check({"silica": 30, "whiting": 70}, library)
    assert "silica-dust" not in {c.code for c in report.cautions}
    said = {notice.code: notice.message for notice in report.notices}
    assert "a glass ground for the test" in said["hazards-said-none"]
    assert "a glass ground for the test" in " ".join(short_cautions([material]))


def test_each_hazard_is_said_by_what_it_rests_on():
    mixed, _ = overlay(analysis={"SiO2": 60.0, "PbO": 30.0})
    assert short_cautions([mixed])[0].endswith("Silica (from its composition)")
    frit = sheet("a frit", {"CoO": 3.0, "NiO": 2.0, "SiO2": 60.0})
    assert [i.because for i in hazards_of(frit).known if i.hazard.key == "metal_frit"] == ["CoO 3 %, NiO 2 %"]
    stone = sheet("a", {"Li2O": 7.0, "SiO2": 65.0, "Al2O3": 27.0})
    assert [item.because for item in hazards_of(stone).known] == ["Li2O 7 %, SiO2 65 %"]


def test_words_of_a_bag_do_not_hide_what_it_holds():
    words = sheet("a", {"PbO": 65.0}, hazards=("Signal word: danger",))
    assert hazards_of(words).own_words == ("Signal word: danger",)
    assert keys(words) == {"lead_compounds"}
    assert keys(sheet("a", {"PbO": 65.0}, hazards=("feldspar",))) == {"feldspar"}  # what it lists is taken at its word


def test_what_nothing_is_known_of_is_named():
    odd, odder = (
        sheet("Odd salt", {"MgO": 30.0}, loi_percent=70.0),
        sheet("Odder salt", {"MgO": 31.0}, loi_percent=69.0),
    )
    (notice,) = hazard_notices([odd, odder, BUNDLED["silica"], odd])
    assert notice.code == "no-hazard-data"
    assert notice.message.endswith("Odd salt, Odder salt.")
    assert short_cautions([odd]) == ["No hazard data here, get the safety data sheet: Odd salt"]
    assert "no hazard data here" in str(odd)


def test_the_short_answer_on_the_bench_is_not_the_usual_where_a_sheet_is_missing():
    odd = sheet("Odd salt", {"MgO": 30.0}, loi_percent=70.0)
    library = gc.MaterialLibrary([*BUNDLED.values(), odd])
    with_it, without = (
        gc.check(parts, library).readings[-1] for parts in ({"Odd salt": 10, "Kaolin": 90}, {"Kaolin": 90})
    )
    assert (with_it.about, with_it.code, with_it.evidence["no_hazard_data"]) == ("bench", "bench-no-data", ["Odd salt"])
    assert without.code == "bench-dust"


@pytest.mark.parametrize("word", ["none", "No", "-"])
def test_a_word_for_nothing_is_no_hazard(word: str):
    with pytest.raises(gc.GlazeError, match="hazards_note"):
        sheet("a", {"SiO2": 60.0}, hazards=(word,))


def test_every_rule_gives_a_hazard_that_is_known_and_each_group_has_its_source():
    for group in groups().values():
        assert group.source
        assert group.hazards <= set(hazards())
    assert is_melted(BUNDLED["lead_bisilicate_frit"])
    assert not is_melted(BUNDLED["silica"])


def test_the_metals_that_the_bundled_hazards_know_all_have_a_rule():
    held = {
        oxide
        for group in groups().values()
        for rule in group.rules
        for name in rule.least
        for oxide in name.split(" + ")
    }
    assert {
        "PbO",
        "BaO",
        "Li2O",
        "CoO",
        "NiO",
        "Cr2O3",
        "MnO",
        "V2O5",
        "Sb2O3",
        "CdO",
        "CuO",
        "F",
        "ZnO",
        "B2O3",
        "SeO2",
    } <= held

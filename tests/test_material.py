"""Names: what counts, what is refused, what is said; a user's folder over the bundled one."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.errors import AmbiguousNameError, UnknownNameError
from glazecalc.files.materials import read_material_text


@pytest.mark.parametrize(
    "name",
    [
        "potash feldspar",
        "Potash Feldspar",
        "potash_feldspar",
        "potash-feldspar",
        "Feldspar, potash",
        "feldspar potash",
        "POTASH  FELDSPAR",
    ],
)
def test_case_marks_and_word_order_do_not_count(library: gc.MaterialLibrary, name: str):
    found, said = library.find(name)
    assert found.id == "potash_feldspar"
    assert said == ()


@pytest.mark.parametrize(
    ("name", "ident"),
    [
        ("china clay", "kaolin"),
        ("chalk", "whiting"),
        ("flint", "silica"),
        ("quartz", "silica"),
        ("calcium carbonate", "whiting"),
    ],
)
def test_trade_names(library: gc.MaterialLibrary, name: str, ident: str):
    assert library.find(name)[0].id == ident


@pytest.mark.parametrize(
    ("name", "some"),
    [
        ("iron", ["Red iron oxide", "Black iron oxide"]),
        ("spar", ["Potash feldspar", "Soda feldspar"]),
        ("cobalt", ["Cobalt carbonate"]),
        ("frit", ["Soda unity frit"]),
    ],
)
def test_a_name_that_fits_several_is_refused_with_them(library: gc.MaterialLibrary, name: str, some: list[str]):
    with pytest.raises(AmbiguousNameError) as caught:
        library.find(name)
    for one in some:
        assert one in str(caught.value)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


@pytest.mark.parametrize(
    ("name", "ident", "code"),
    [
        ("red iron", "red_iron_oxide", "name-completed"),
        ("cobalt carb", "cobalt_carbonate", "name-completed"),
        ("silica (325)", "silica", "mesh-not-in-chemistry"),
        ("silica 200 mesh", "silica", "mesh-not-in-chemistry"),
    ],
)
def test_a_shorter_name_is_completed_with_a_word(library: gc.MaterialLibrary, name: str, ident: str, code: str):
    found, said = library.find(name)
    assert found.id == ident
    assert [n.code for n in said] == [code]


def test_near_names_are_offered(library: gc.MaterialLibrary):
    with pytest.raises(UnknownNameError, match="Did you mean 'Whiting'"):
        library.find("whitting")


def test_copper_and_cobalt_carbonate_say_which_they_are(library: gc.MaterialLibrary):
    report = gc.check({"whiting": 50, "silica": 50, "copper carbonate": 2, "cobalt carbonate": 1}, library)
    forms = [n.message for n in report.notices if n.code == "carbonate-form"]
    assert any("Cu(OH)2" in m for m in forms)
    assert any("CoCO3" in m for m in forms)


def test_a_users_folder_lies_over_the_bundled_one(tmp_path: Path):
    (tmp_path / "whiting.yaml").write_text(
        "id: whiting\nname: Whiting\nanalysis: {CaO: 54.9, SiO2: 1.1}\nloi_percent: 43.4\nsource: {title: bag of May}\n"
    )
    library = gc.load_materials(tmp_path)
    assert library.find("whiting")[0].analysis["CaO"] == 54.9
    assert [n.code for n in library.notices] == ["material-hides-bundled"]
    report = gc.check({"whiting": 50, "silica": 50}, library)
    assert "material-hides-bundled" in [n.code for n in report.notices]


BAG = "name: Bag\nanalysis: {SiO2: 60}\nloi_percent: 40\nsource: {title: t}\n"


def test_an_empty_list_of_hazards_needs_a_why():
    """An empty list looks like one that was forgotten; with its reason it stands, and without the field the hazards follow."""
    with pytest.raises(gc.FileFaultsError, match=r"bag.yaml:5: .*does not say why.*hazards_note"):
        read_material_text(BAG + "hazards: []\n", "bag.yaml")
    told = read_material_text(BAG + "hazards: []\nhazards_note: the sheet of 2026 lists none\n", "bag.yaml")
    assert (told.hazards, told.hazards_note) == ((), "the sheet of 2026 lists none")
    for not_given in ("", "hazards:\n"):
        assert read_material_text(BAG + not_given, "bag.yaml").hazards == ()


def test_two_files_of_one_folder_with_one_name_are_refused(tmp_path: Path):
    for name in ("a", "b"):
        (tmp_path / f"{name}.yaml").write_text(f"id: {name}\nname: My spar\nformula: SiO2\nsource: {{title: t}}\n")
    with pytest.raises(gc.GlazeError, match="already that of"):
        gc.load_materials(tmp_path)


def test_three_states_of_an_oxide_stay_apart():
    material = read_material_text(
        "id: q\nname: Q\nanalysis: {SiO2: 99, CaO: 0, MgO: n.d., TiO2: <0.05}\nloi_percent: 1\nsource: {title: t}\n"
    )
    assert material.analysis["CaO"] == 0
    assert dict(material.below_detection) == {"MgO": "n.d.", "TiO2": "<0.05"}
    assert "K2O" not in material.analysis
    assert "K2O" not in material.below_detection


def test_a_total_far_from_100_is_said_and_kept():
    material = read_material_text("id: q\nname: Q\nanalysis: {SiO2: 80}\nloi_percent: 5\nsource: {title: t}\n")
    assert [n.code for n in material.notices] == ["analysis-total"]
    assert "85.0" in material.notices[0].message
    assert material.analysis["SiO2"] == 80


def test_a_carbonate_whose_loss_contradicts_its_oxides():
    text = "id: d\nname: D\nanalysis: {{CaO: 30.4, MgO: 21.9}}\nloi_percent: {}\nsource: {{title: t}}\n"
    assert [n.code for n in read_material_text(text.format(47.7)).notices] == []
    assert "carbonate-loss" in [n.code for n in read_material_text(text.format(44.9)).notices]


def test_moisture_is_said_and_not_mixed_into_the_analysis(library: gc.MaterialLibrary, tmp_path: Path):
    (tmp_path / "k.yaml").write_text(
        "id: moist\nname: Moist kaolin\nkind: clay\nformula: Al2Si2O5(OH)4\nmoisture_percent: 8.7\nsource: {title: t}\n"
    )
    report = gc.check({"moist kaolin": 50, "whiting": 50}, gc.load_materials(tmp_path))
    assert "moist-material" in [n.code for n in report.notices]
    assert report.fired.isclose(gc.check({"kaolin": 50, "whiting": 50}, library).fired)

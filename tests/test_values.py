"""Values check themselves: built in Python they are held to the rules of the files, and the field is named."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from glazecalc.body import ClayBody
from glazecalc.cones import Cone
from glazecalc.convention import Convention
from glazecalc.errors import ArgumentError, CompositionError, ConeError, GlazeError
from glazecalc.files.materials import read_material_text
from glazecalc.formula import formula_yield
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.source import Source

SHEET = Source(title="the sheet of May")
QUARTZ = {"id": "quartz", "name": "Quartz", "source": SHEET, "analysis": {"SiO2": 99.0}, "loi_percent": 1.0}
RECIPE = (Ingredient(material="whiting", amount=20), Ingredient(material="silica", amount=80))

WRONG_NUMBERS: list[tuple[Any, dict[str, Any], str]] = [
    (Material, QUARTZ | {"analysis": {"SiO": 50}}, "analysis"),
    (Material, QUARTZ | {"analysis": {"KNaO": 10, "SiO2": 89}}, "analysis"),
    (Material, QUARTZ | {"analysis": {"SiO2": -5.0}}, "analysis: SiO2"),
    (Material, QUARTZ | {"analysis": {"SiO2": math.nan}}, "analysis: SiO2"),
    (Material, QUARTZ | {"analysis": {"SiO2": math.inf}}, "analysis: SiO2"),
    (Material, QUARTZ | {"analysis": {"SiO2": 90, "Al2O3": 90}}, "analysis"),
    (Material, QUARTZ | {"analysis": {}}, "analysis"),
    (Material, QUARTZ | {"analysis": {"SiO2": 0.0}}, "analysis"),
    (Material, QUARTZ | {"analysis": {"SiO2": "<40"}}, "analysis: SiO2"),
    (Material, QUARTZ | {"formula": "SiO2"}, "formula"),
    (Material, QUARTZ | {"formula": "SiO2", "analysis": {"SiO2": 99}}, "formula"),
    (Material, QUARTZ | {"formula": "Xx2O", "analysis": {}}, "formula"),
    (Material, QUARTZ | {"kind": "felspar"}, "kind"),
    (Material, QUARTZ | {"solubility": "maybe"}, "solubility"),
    (Material, QUARTZ | {"id": ""}, "id"),
    (Material, QUARTZ | {"name": "---"}, "name"),
    (Material, QUARTZ | {"loi_percent": 120}, "loi_percent"),
    (Material, QUARTZ | {"loss": {"steam": 5}}, "loss: steam"),
    (Material, QUARTZ | {"moisture_percent": -1}, "moisture_percent"),
    (Material, QUARTZ | {"density_g_cm3": 0}, "density_g_cm3"),
    (Material, QUARTZ | {"tolerance": {"Sio2": 1}}, "tolerance"),
    (Material, QUARTZ | {"below_detection": {"Tio2": "trace"}}, "below_detection"),
    (Source, {"title": " "}, "title"),
    (ClayBody, {"name": ""}, "name"),
    (ClayBody, {"name": "B", "cone": "66"}, "cone"),
    (ClayBody, {"name": "B", "absorption_percent": -1}, "absorption_percent"),
    (ClayBody, {"name": "B", "shrinkage_percent": math.nan}, "shrinkage_percent"),
    (ClayBody, {"name": "B", "expansion_1e6_per_k": 6.0}, "expansion_1e6_per_k"),
    (ClayBody, {"name": "B", "expansion_1e6_per_k": 6.0, "expansion_range_c": (500, 20)}, "expansion_range_c"),
    (Ingredient, {"material": " ", "amount": 5}, "material"),
    (Ingredient, {"material": "whiting", "amount": -5}, "amount"),
    (Ingredient, {"material": "whiting", "amount": math.nan}, "amount"),
    (Ingredient, {"material": "whiting", "amount": 10**400}, "amount"),
    (Ingredient, {"material": "whiting", "amount": 5, "unit": "ml"}, "unit"),
    (Recipe, {"ingredients": RECIPE, "cone": "66"}, "cone"),
    (Recipe, {"ingredients": RECIPE, "use": "vase"}, "use"),
    (Recipe, {"ingredients": (*RECIPE, Ingredient(material="kaolin", amount=5, unit="g"))}, "ingredients"),
]
WRONG_TYPES: list[tuple[Any, dict[str, Any], str]] = [
    (Material, QUARTZ | {"analysis": "SiO2 99"}, "analysis"),
    (Material, QUARTZ | {"analysis": [("SiO2", 99)]}, "analysis"),
    (Material, QUARTZ | {"analysis": {"SiO2": "high"}}, "analysis: SiO2"),
    (Material, QUARTZ | {"analysis": {"SiO2": None}}, "analysis: SiO2"),
    (Material, QUARTZ | {"analysis": {"SiO2": True}}, "analysis: SiO2"),
    (Material, QUARTZ | {"analysis": {7: 99.0}}, "analysis"),
    (Material, QUARTZ | {"loss": ["CO2"]}, "loss"),
    (Material, QUARTZ | {"below_detection": "trace"}, "below_detection"),
    (Material, QUARTZ | {"id": 7}, "id"),
    (Material, QUARTZ | {"name": None}, "name"),
    (Material, QUARTZ | {"source": "a book"}, "source"),
    (Material, QUARTZ | {"formula": 5, "analysis": {}}, "formula"),
    (Material, QUARTZ | {"aliases": 5}, "aliases"),
    (Material, QUARTZ | {"aliases": [5]}, "aliases"),
    (Material, QUARTZ | {"hazards": {"a": "b"}}, "hazards"),
    (Material, QUARTZ | {"loi_percent": "1.0"}, "loi_percent"),
    (Material, QUARTZ | {"supplier": 5}, "supplier"),
    (Source, {"title": 5}, "title"),
    (Source, {"title": "t", "from_memory": "perhaps"}, "from_memory"),
    (ClayBody, {"name": "B", "absorption_percent": "2 %"}, "absorption_percent"),
    (Ingredient, {"material": None, "amount": 5}, "material"),
    (Ingredient, {"material": "whiting", "amount": "5"}, "amount"),
    (Ingredient, {"material": "whiting", "amount": None}, "amount"),
    (Ingredient, {"material": "whiting", "amount": True}, "amount"),
    (Ingredient, {"material": "whiting", "amount": 5, "addition": "yes"}, "addition"),
    (Recipe, {"ingredients": {"whiting": 20}}, "ingredients"),
    (Recipe, {"ingredients": "whiting 20"}, "ingredients"),
    (Recipe, {"ingredients": RECIPE, "name": 5}, "name"),
    (Convention, {"iron_as_feo": "yes"}, "iron_as_feo"),
]  # fmt: skip


def named(value: Any, fields: dict[str, Any], field: str, kind: type[GlazeError]) -> None:
    with pytest.raises(kind) as caught:
        value(**fields)
    assert value.__name__ in caught.value.message
    assert [fault.field for fault in caught.value.faults if fault.field.startswith(field)]
    assert f"the field '{field.split(': ')[0]}" in caught.value.message


@pytest.mark.parametrize(("value", "fields", "field"), WRONG_NUMBERS)
def test_what_no_file_may_hold_is_refused(value: Any, fields: dict[str, Any], field: str):
    named(value, fields, field, CompositionError)


@pytest.mark.parametrize(("value", "fields", "field"), WRONG_TYPES)
def test_a_thing_of_another_kind_is_refused(value: Any, fields: dict[str, Any], field: str):
    named(value, fields, field, ArgumentError)


def test_every_field_that_will_not_do_is_named_at_once():
    with pytest.raises(CompositionError) as caught:
        Material(**QUARTZ | {"kind": "felspar", "loi_percent": 200, "analysis": {"SiO": 50}})
    assert {fault.field for fault in caught.value.faults} == {"kind", "loi_percent", "analysis: SiO"}


def test_a_formula_alone_is_enough():
    kaolin = Material(id="k", name="K", source=SHEET, formula="Al2Si2O5(OH)4")
    ideal = formula_yield("Al2Si2O5(OH)4")
    assert (kaolin.analysis, kaolin.loss, kaolin.loi_percent) == (ideal.analysis, ideal.loss, ideal.loi_percent)
    file = "id: k\nname: K\nformula: Al2Si2O5(OH)4\nsource: {title: the sheet of May}\npath: ''\n"
    assert kaolin == read_material_text(file.replace("path: ''\n", ""), "")


def test_a_loss_that_contradicts_the_formula_is_said():
    kaolin = Material(id="k", name="K", source=SHEET, formula="Al2Si2O5(OH)4", loi_percent=10.0)
    assert kaolin.loi_percent == pytest.approx(13.96, abs=0.005)
    assert [notice.code for notice in kaolin.notices] == ["loss-differs-from-formula"]


def test_a_material_is_told_in_one_line():
    assert repr(Material(**QUARTZ)) == "<Material quartz, Quartz>"


def test_what_is_odd_about_an_analysis_is_said_as_it_is_of_a_file():
    built = Material(id="d", name="D", source=Source(title="t"), analysis={"CaO": 30.4, "MgO": 21.9}, loi_percent=44.9)
    read = read_material_text(
        "id: d\nname: D\nanalysis: {CaO: 30.4, MgO: 21.9}\nloi_percent: 44.9\nsource: {title: t}\n", ""
    )
    assert [notice.code for notice in built.notices] == ["analysis-total", "carbonate-loss"]
    assert built == read


def test_mappings_are_copied_and_cannot_be_changed():
    analysis = {"SiO2": 99.0}
    material = Material(**QUARTZ | {"analysis": analysis})
    analysis["SiO2"] = 1.0
    assert material.analysis == {"SiO2": 99.0}
    with pytest.raises(TypeError):
        material.analysis["SiO2"] = 1.0  # type: ignore[index]


def test_what_lies_below_detection_is_kept_apart():
    material = Material(**QUARTZ | {"analysis": {"SiO2": 99.0, "TiO2": "<0.05", "CaO": "n.d."}})
    assert material.analysis == {"SiO2": 99.0}
    assert material.below_detection == {"TiO2": "<0.05", "CaO": "n.d."}


def test_numbers_of_other_kinds_become_plain_ones():
    material = Material(**QUARTZ | {"analysis": {"SiO2": np.float64(98)}, "loi_percent": Fraction(3, 2)})
    assert [type(material.analysis["SiO2"]), material.loi_percent] == [float, 1.5]
    assert Ingredient(material="whiting", amount=np.int64(5)).amount == 5.0


def test_one_bare_name_is_a_list_of_one():
    material = Material(**QUARTZ | {"aliases": "flint", "hazards": "silica_quartz"})
    assert (material.aliases, material.hazards) == (("flint",), ("silica_quartz",))
    assert Convention.from_names("iron-as-feo") == Convention(iron_as_feo=True)


def test_a_source_needs_its_title_only_and_a_year_may_be_a_number():
    assert Source(title="t", year=1999).cite() == "t, 1999"  # type: ignore[arg-type]


def test_a_cone_is_kept_as_it_is_named():
    assert Recipe(ingredients=RECIPE, cone="Cone 06").cone == "06"
    assert ClayBody(name="B", cone="^6").cone == "6"
    for wrong in (None, 6.5):
        with pytest.raises(ConeError):
            Cone(wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("wrong", ["my_materials/", {"quartz": 1}, [1], None])
def test_a_library_is_made_of_materials(wrong: Any):
    with pytest.raises(ArgumentError, match="Material"):
        MaterialLibrary(wrong)


@pytest.mark.parametrize("wrong", ["whiting 20", [("whiting", 20)], 5])
def test_parts_are_a_mapping(wrong: Any):
    with pytest.raises(ArgumentError, match="from_parts"):
        Recipe.from_parts("H", wrong)

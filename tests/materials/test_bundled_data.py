"""The bundled materials as plain data: what each file must hold before the library reads it."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from pathlib import Path
from typing import Any

import periodictable
import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
BUNDLED = sorted((ROOT / "materials").glob("*.yaml"))
STUDIO = sorted((ROOT / "notebooks" / "studio" / "materials").glob("*.yaml"))
HAZARDS = yaml.safe_load((ROOT / "glazecalc" / "data" / "bench_hazards.yaml").read_text(encoding="utf-8"))

KINDS = {"silica", "clay", "feldspar", "alkaline_earth", "boron", "zinc", "frit", "lithium", "opacifier",
         "colourant", "alumina", "ash", "additive", "other"}  # fmt: skip
FIELDS = {"id", "name", "formula", "analysis", "source", "kind", "aliases", "supplier", "lot", "received",
          "loi_percent", "loss", "dried_basis", "moisture_percent", "density_g_cm3", "solubility", "hazards",
          "tolerance", "notes", "basis", "for_sale", "not_sold_because", "instead_of"}  # fmt: skip
BELOW_DETECTION = re.compile(r"trace|n\.d\.|<\d+(\.\d+)?")
# Words that several materials share: a recipe line with such a word alone has to be asked back.
AMBIGUOUS = (
    "iron",
    "spar",
    "feldspar",
    "frit",
    "cobalt",
    "copper",
    "clay",
    "magnesium",
    "manganese",
    "ash",
    "gum",
)


def load(path: Path) -> dict[str, Any]:
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert isinstance(data, dict)
    return data


MATERIALS = {path.stem: load(path) for path in BUNDLED}
STUDIO_MATERIALS = {path.stem: load(path) for path in STUDIO}
EVERYTHING = MATERIALS | STUDIO_MATERIALS


def same_name(name: str) -> str:
    """A name as a recipe may write it: case, marks and word order do not count."""
    return " ".join(sorted(re.sub(r"[-_,()]", " ", name.lower()).split()))


def numbers(analysis: dict[str, Any]) -> dict[str, float]:
    return {oxide: value for oxide, value in analysis.items() if not isinstance(value, str)}


def mass(formula: str) -> float:
    return float(periodictable.formula(formula).mass)


@pytest.fixture(params=EVERYTHING, ids=str)
def material(request: pytest.FixtureRequest) -> dict[str, Any]:
    return EVERYTHING[request.param] | {"stem": request.param}


def test_enough_materials_ship() -> None:
    assert len(MATERIALS) >= 85
    assert {m["kind"] for m in MATERIALS.values()} == KINDS


def test_fields_and_identity(material: dict[str, Any]) -> None:
    assert set(material) - {"stem"} <= FIELDS
    assert material["id"] == material["stem"]
    assert re.fullmatch(r"[a-z][a-z0-9_]*", material["id"])
    assert material["kind"] in KINDS
    assert ("formula" in material) != ("analysis" in material)
    assert material.get("solubility") in (None, "no", "slightly", "yes")
    assert material["notes"].endswith(".")


def test_source_is_named(material: dict[str, Any]) -> None:
    source = material["source"]
    assert set(source) <= {
        "title", "kind", "place", "publisher", "year", "table", "seen_at", "also", "from_memory", "confidence",
    }  # fmt: skip
    assert len(source["title"]) >= 10
    if source.get("from_memory"):
        assert re.match(r"high|medium|low", source["confidence"])
    else:
        # A title that says "recalled" must carry the mark that programs read.
        assert "recalled" not in source["title"]


def test_a_formula_stands_without_typed_loss(material: dict[str, Any]) -> None:
    if "formula" in material:
        assert "loi_percent" not in material
        assert "loss" not in material
        assert "tolerance" not in material


@pytest.mark.parametrize("key", [key for key, data in EVERYTHING.items() if "analysis" in data])
def test_analysis_is_finite_and_totals(key: str) -> None:
    material = EVERYTHING[key]
    for oxide, value in material["analysis"].items():
        if isinstance(value, str):
            assert BELOW_DETECTION.fullmatch(value), (oxide, value)
        else:
            assert math.isfinite(value), oxide
            assert 0 <= value <= 100, oxide
    loss = material.get("loi_percent", sum(material.get("loss", {}).values()))
    total = sum(numbers(material["analysis"]).values()) + loss
    assert 98.0 <= round(total, 3) <= 102.0


def test_parts_of_the_loss_fit_in_it(material: dict[str, Any]) -> None:
    parts = material.get("loss", {})
    assert set(parts) <= {"H2O", "CO2", "SO3", "F", "organic", "O2"}
    if parts and "loi_percent" in material:
        assert sum(parts.values()) <= material["loi_percent"] + 0.01


def test_tolerance_belongs_to_a_reported_oxide(material: dict[str, Any]) -> None:
    for oxide, half_width in material.get("tolerance", {}).items():
        assert 0 < half_width <= material["analysis"][oxide]


@pytest.mark.parametrize("key", [key for key, data in EVERYTHING.items() if "density_g_cm3" in data])
def test_density_is_that_of_a_solid_and_its_origin_is_said(key: str) -> None:
    material = EVERYTHING[key]
    density = material["density_g_cm3"]
    assert 1.3 <= density <= 10.0
    assert re.search(r"Density (\w+ )*(from|as|assumed|recalled)|Density and solubility are assumed", material["notes"])


def test_hazards_are_on_file(material: dict[str, Any]) -> None:
    assert material.get("hazards") != []
    assert set(material.get("hazards", [])) <= set(HAZARDS["hazards"])


CARBONATE_ROCKS = [key for key in MATERIALS if key.startswith(("limestone_", "dolomite_"))]


@pytest.mark.parametrize("key", CARBONATE_ROCKS)
def test_loss_of_a_carbonate_rock_agrees_with_its_lime_and_magnesia(key: str) -> None:
    analysis = MATERIALS[key]["analysis"]
    carbon_dioxide = sum(analysis.get(o, 0.0) * mass("CO2") / mass(o) for o in ("CaO", "MgO", "SrO"))
    assert carbon_dioxide == pytest.approx(MATERIALS[key]["loi_percent"], abs=0.6)


def test_names_are_unique_over_the_whole_library() -> None:
    owners: defaultdict[str, set[str]] = defaultdict(set)
    for key, data in EVERYTHING.items():
        for name in (key, data["name"], *data.get("aliases", [])):
            owners[same_name(name)].add(key)
    assert {name: keys for name, keys in owners.items() if len(keys) > 1} == {}
    assert not set(AMBIGUOUS) & set(owners)


def test_no_alias_repeats_a_name_of_its_own_file(material: dict[str, Any]) -> None:
    names = [same_name(name) for name in (material["name"], *material.get("aliases", []))]
    assert len(names) == len(set(names))


def test_made_up_materials_stay_in_the_studio() -> None:
    invented = {key for key, data in EVERYTHING.items() if "nvented" in data["source"]["title"]}
    assert invented == set(STUDIO_MATERIALS)
    assert len(invented) >= 5


def test_every_toxic_oxide_in_a_simple_compound_has_a_hazard() -> None:
    """Lead, barium, cobalt, nickel, manganese, copper, vanadium, antimony by formula never come bare."""
    metals = re.compile(r"Pb|Ba|Co(?![a-z])|Ni|Mn|Cu|V2|Sb")
    bare = [k for k, m in MATERIALS.items() if metals.search(m.get("formula", "")) and not m.get("hazards")]
    assert bare == []

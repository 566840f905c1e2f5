"""Handling cautions: from the hazard keys of the materials, whatever the recipe's chemistry."""

import pytest

from glazecalc.caution.ash import ash_cautions
from glazecalc.caution.bench import handling_cautions, short_cautions
from glazecalc.caution.hazards import authorities, hazards
from glazecalc.convert.batch import resolve
from glazecalc.display import RECALLED
from glazecalc.files.materials import load_materials
from glazecalc.files.shipped import load_data
from glazecalc.recipe import Recipe
from tests.caution.pot import batch, material


def found(of):
    return {c.code: c for c in handling_cautions(of)}


def bundled(base, additions=None):
    return resolve(Recipe.from_parts("test", base, additions or {}), load_materials())


def with_hazard(key, **fields):
    return batch(None, {"glass": 90, "thing": 10}, material("thing", {"SiO2": 100.0}, hazards=(key,), **fields))


# concern class by hazard key, read off the hazard data's own sorting
CODE_OF_CLASS = {"cmr": "cmr-raw-material", "cmr_suspected": "cmr-suspected-raw-material", "toxic": "toxic-raw-material", "silica": "silica-dust",
                 "silicate_dust": "silicate-dust", "irritant_or_environment": "irritant-raw-material"}  # fmt: skip


def test_what_stops_and_what_makes_a_lye():
    data = load_data("bench_hazards.yaml")["hazards"]
    stops = {key for key, hazard in data.items() if "stop_code" in hazard}
    assert stops == {"lead_compounds", "lead_frit", "cadmium_sulphide", "selenium", "uranium_compounds"}
    lyes = {key for key, hazard in data.items() if hazard.get("caustic")}
    assert lyes == {"soda_ash", "pearl_ash", "wood_ash", "water_glass", "lime", "alkali_hydroxide"}


@pytest.mark.parametrize("key", sorted(load_data("bench_hazards.yaml")["hazards"]))
def test_every_hazard_key_raises_its_caution_and_only_that(key):
    hazard = load_data("bench_hazards.yaml")["hazards"][key]
    codes = set(found(with_hazard(key))) - {"settles-hard"}
    expected = {hazard["stop_code"]} if "stop_code" in hazard else {"caustic-raw-material"}
    if "stop_code" not in hazard and not hazard.get("caustic"):
        expected = {CODE_OF_CLASS[hazard["concern_class"]]} if hazard["concern_class"] != "nuisance_dust" else set()
        if hazard.get("carries_quartz"):
            expected = expected | {"silica-dust"}
    assert codes == expected


def test_silica_has_its_limits_with_their_bodies():
    """29 CFR 1910.1053: PEL 0.05, action level 0.025 mg/m3 respirable; NIOSH 0.05; ACGIH 0.025."""
    silica = found(bundled({"silica": 30, "kaolin": 20, "whiting": 50}))["silica-dust"]
    for words in ("OSHA PEL 0.05 mg/m3", "OSHA action level 0.025", "NIOSH REL 0.05", "ACGIH TLV 0.025"):
        assert words in silica.why
    assert "ACGIH TLV 0.05" not in silica.why  # out of force
    assert silica.evidence["materials"] == ["Silica", "Kaolin"]
    assert "never sweep" in silica.do
    assert "data sheet" in silica.do


def test_a_batch_without_quartz_has_no_silica_line():
    assert "silica-dust" not in found(batch())


def test_barium_carbonate_is_poisonous_with_its_share_and_limit():
    toxic = found(bundled({"barium carbonate": 10, "whiting": 90}))["toxic-raw-material"]
    assert "Barium carbonate 10.0 %" in toxic.message
    assert any("OSHA PEL 0.5 mg/m3" in line for line in toxic.evidence["limits"]["Barium carbonate"])
    assert "H302 Harmful if swallowed" in toxic.evidence["statements"]["Barium carbonate"]
    assert str(toxic.severity) == "look"


def test_lead_stops_by_name():
    lead = found(bundled({"litharge": 30, "silica": 70}))["lead-raw-material"]
    assert str(lead.severity) == "stop"
    assert "Litharge" in lead.message
    assert "Do not open the bag" in lead.do


def test_materials_of_one_class_share_a_line_and_an_amount_of_nothing_has_none():
    toxic = found(bundled({"whiting": 100}, {"copper carbonate": 2, "manganese dioxide": 3}))["toxic-raw-material"]
    assert toxic.evidence["materials"] == ["Basic copper carbonate", "Manganese dioxide"]
    assert "toxic-raw-material" not in found(bundled({"whiting": 100}, {"copper carbonate": 0}))


@pytest.mark.parametrize(
    ("name", "caustic"),
    [("wood ash", True), ("pearl ash", True), ("soda ash", True), ("volcanic ash", False), ("bone ash", False)],
)
def test_what_makes_a_lye_is_caustic_and_other_ashes_are_not(name, caustic):
    """Potassium and sodium carbonate are lye; volcanic glass and bone give none to water (trade knowledge)."""
    assert ("caustic-raw-material" in found(bundled({name: 30, "whiting": 70}))) is caustic


@pytest.mark.parametrize("name", ["volcanic ash", "bentonite"])
def test_what_may_hold_quartz_says_so(name):
    assert "silica-dust" in found(bundled({name: 5, "whiting": 95}))


def test_red_copper_oxide_has_its_own_statements():
    """Annex VI as GisChem 7448 prints it: H302 H332 H318 H400 H410; the black oxide irritates eyes (H319)."""
    red, black = hazards()["copper_oxide_red"].statements, hazards()["copper_oxide"].statements
    assert {text[:4] for text in red} == {"H302", "H332", "H318", "H400", "H410"}
    assert not any("H318" in text for text in black)
    assert "copper_oxide_red" in load_materials()["copper_oxide_red"].hazards


def test_cadmium_sulphide_is_classified_and_its_codes_are_marked_as_recalled():
    """ICSC 0404 (read): may cause cancer, harms kidney, bone and lung. The codes are recalled."""
    sulphide = hazards()["cadmium_sulphide"]
    assert "H350 May cause cancer" in sulphide.statements
    assert sulphide.concern.key == "cmr"
    assert RECALLED in "; ".join(sulphide.authorities)


def test_own_hazard_words_are_passed_on():
    own = found(with_hazard("Signal word: danger"))["own-hazard-words"]
    assert "Signal word: danger" in own.message


@pytest.mark.parametrize(("parts", "severity"), [(5.0, "know"), (5.0001, "look")])
def test_soluble_steps_count_what_dissolves_freely(parts, severity):
    soda = material("soda", {"Na2O": 58.5}, loi_percent=41.5, solubility="yes", kind="additive")
    assert (
        str(found(batch(None, {"glass": 100 - parts, "soda": parts}, soda))["soluble-in-bucket"].severity) == severity
    )


def test_slightly_soluble_is_a_thing_to_know():
    borate = material("borate", {"B2O3": 50.0, "CaO": 28.0}, loi_percent=22, solubility="slightly", kind="boron")
    assert str(found(batch(None, {"glass": 50, "borate": 50}, borate))["soluble-in-bucket"].severity) == "know"
    assert "soluble-in-bucket" not in found(batch())


@pytest.mark.parametrize(
    ("clay", "code"), [(4.999, "settles-hard"), (5.0, None), (20.0, None), (20.001, "raw-clay-high")]
)
def test_raw_clay(clay, code):
    raw = material("clay", {"SiO2": 46.5, "Al2O3": 39.5}, loi_percent=14.0, kind="clay")
    codes = set(found(batch(None, {"glass": 100 - clay, "clay": clay}, raw))) & {"settles-hard", "raw-clay-high"}
    assert codes == ({code} if code else set())


def test_calcined_clay_does_not_count():
    calcined = material("calcined", {"SiO2": 54.0, "Al2O3": 46.0}, loi_percent=0.5, kind="clay")
    assert "settles-hard" in found(batch(None, {"glass": 60, "calcined": 40}, calcined))


def test_limits_out_of_force_are_left_out():
    quartz = load_data("bench_hazards.yaml")["hazards"]["silica_quartz"]["limits"]
    assert any(limit.get("earlier") for limit in quartz)
    assert len(hazards()["silica_quartz"].limits) == sum(not limit.get("earlier") for limit in quartz)


def test_statements_that_do_not_apply_are_left_out():
    """The EU group entry for cadmium compounds leaves encased pigments out: its H302 is shown nowhere."""
    stain = found(with_hazard("cadmium_stain"))["toxic-raw-material"]
    assert not any("H302" in line for lines in stain.evidence["statements"].values() for line in lines)


@pytest.mark.parametrize("key", sorted(load_data("bench_hazards.yaml")["hazards"]))
def test_only_what_is_in_force_is_cited(key):
    data = load_data("bench_hazards.yaml")
    hazard = data["hazards"][key]
    entries = [*hazard.get("classifications", ()), *hazard.get("limits", ())]
    now = [e for e in entries if not (e.get("earlier") or e.get("superseded"))]
    named = {" ".join(data["sources"][e["source"]]["title"].split()) for e in now if "source" in e} | {
        f"{e['citation']} ({RECALLED})" for e in now if "source" not in e
    }
    text = authorities([hazards()[key]])
    assert all(title in text for title in named)
    gone = [e for e in entries if e not in now and "source" not in e]
    assert not [
        e for e in gone if f"{e['citation']} ({RECALLED})" in text and f"{e['citation']} ({RECALLED})" not in named
    ]
    kept = {code for e in now if e.get("applies", True) for code in e.get("codes", ())}
    assert {line.split(" ")[0] for line in hazards()[key].statements} == kept


def test_dust_and_poison_have_their_own_habits():
    assert found(with_hazard("talc"))["silicate-dust"].do.startswith("Keep the dust down")
    assert found(with_hazard("zinc_oxide"))["irritant-raw-material"].do.startswith("Keep the dust down")
    for key in ("borax", "cobalt_oxide_black", "barium_carbonate"):
        caution = next(c for code, c in found(with_hazard(key)).items() if code in CODE_OF_CLASS.values())
        assert "no food or drink in the room" in caution.do
        assert "doctor" in caution.do


def test_a_material_in_base_and_additions_is_counted_once_with_its_whole_share():
    toxic = found(bundled({"barium carbonate": 10, "whiting": 80}, {"barium carbonate": 10}))["toxic-raw-material"]
    assert "Barium carbonate 20.0 %" in toxic.message


def test_a_bucket_label_sorts_as_the_cautions_do():
    """Every class of the label has its caution, and the gravest class stands first."""
    of = bundled({"cobalt carbonate": 5, "kaolin": 30, "barium carbonate": 20, "whiting": 45})
    labels = [line.split(":")[0] for line in short_cautions(of.materials)]
    assert labels == [
        "May cause cancer or harm fertility or an unborn child",
        "Poisonous",
        "Contains or may contain quartz, whose dust scars the lungs",
        "Nuisance dust",
    ]
    assert {"cmr-raw-material", "toxic-raw-material", "silica-dust"} <= set(found(of))


def test_a_frit_is_not_told_to_bring_in_a_frit():
    soluble = material("soft", {"Na2O": 30.0, "B2O3": 40.0, "SiO2": 30.0}, kind="frit", solubility="slightly")
    borax = material("salt", {"Na2O": 30.0, "B2O3": 70.0}, solubility="yes")

    def do(*lines):
        cautions = handling_cautions(batch(None, {"glass": 80, **{m.id: 20 for m in lines}}, *lines))
        return next(c.do for c in cautions if c.code == "soluble-in-bucket")

    assert "frit" not in do(soluble)
    assert "with a frit" in do(borax)
    assert "with a frit" in do(soluble, borax)


def test_wood_ash_says_what_is_unburnt_and_unwashed():
    """Ash from a stove holds 5 to 35 % carbon, carbon dioxide and water (studio practice, recalled); washing takes most of its potash."""
    ash = material("ash", {"CaO": 45.0, "K2O": 10.0, "SiO2": 25.0}, kind="ash", solubility="slightly")
    volcanic = material("tephra", {"SiO2": 70.0, "Al2O3": 15.0, "K2O": 8.0}, kind="ash", solubility="no")
    (said,) = ash_cautions(batch(None, {"glass": 60, "ash": 40}, ash))
    assert said.code == "wood-ash-varies"
    assert "40.0 % of the batch: counted as burnt clean" in said.message
    assert "5 to 35 % unburnt" in said.message
    assert "Unwashed" in said.message
    assert ash_cautions(batch(None, {"glass": 60, "tephra": 40}, volcanic)) == []

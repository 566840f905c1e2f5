"""Kiln fumes: masses from the losses of the materials, checked by hand against molar masses."""

import pytest

from glazecalc.caution.emissions import gases
from glazecalc.caution.kiln import UNATTRIBUTED, fume_cautions, kiln_cautions, kiln_gases
from glazecalc.caution.oxide_amounts import OxideAmounts
from glazecalc.convert.batch import resolve
from glazecalc.convert.unity import FiredAnalysis, fired_analysis_of
from glazecalc.files.materials import load_materials
from glazecalc.recipe import Recipe
from tests.caution.pot import batch, material


def bundled(base, additions=None):
    return resolve(Recipe.from_parts("test", base, additions or {}), load_materials())


def found(of):
    return {c.code: c for c in kiln_cautions(of, fired_analysis_of(of))}


def test_whiting_gives_44_per_cent_of_its_weight():
    """CaCO3 = CaO + CO2: 44.009 / 100.086 (IUPAC masses)."""
    assert kiln_gases(bundled({"whiting": 20, "silica": 80}))["CO2"] == pytest.approx(20 * 44.009 / 100.086, rel=1e-4)


def test_kaolin_gives_its_water():
    """Al2O3.2SiO2.2H2O: 36.03 / 258.16."""
    assert kiln_gases(bundled({"kaolin": 100}))["H2O"] == pytest.approx(100 * 36.03 / 258.16, rel=1e-3)


def test_fluorspar_gives_its_fluorine_and_takes_up_oxygen():
    """CaF2 to CaO: 2 x 18.998 / 78.075 leaves, 15.999 / 78.075 is taken up."""
    gases = kiln_gases(bundled({"fluorspar": 100}))
    assert gases["F"] == pytest.approx(100 * 2 * 18.998 / 78.075, rel=1e-4)
    assert gases["O2"] == pytest.approx(-100 * 15.999 / 78.075, rel=1e-4)


def test_the_sum_is_the_loss_of_the_batch():
    of = bundled(
        {"whiting": 20, "ball clay": 15, "colemanite": 10, "fluorspar": 5, "wood ash": 5, "silica": 45}, {"cmc gum": 1}
    )
    assert sum(kiln_gases(of).values()) == pytest.approx(of.loss_percent(), rel=1e-9)
    assert kiln_gases(of)[UNATTRIBUTED] > 0  # ball clay's loss is not split in its file


GASES = [("CO2", 1.0, "kiln-carbon-dioxide"), ("SO3", 0.2, "kiln-sulphur"), ("F", 0.1, "kiln-fluorine"), ("Cl", 0.1, "kiln-chlorine"),
         ("N2O5", 0.5, "kiln-nitrogen"), ("organic", 0.5, "kiln-smoke")]  # fmt: skip


@pytest.mark.parametrize(("gas", "limit", "code"), GASES)
def test_gases_are_raised_above_their_threshold(gas, limit, code):
    def pot(grams):
        return batch(
            None,
            {"glass": 90, "thing": 10},
            material("thing", {"CaO": 50.0}, loss={gas: 10 * grams}, loi_percent=10 * grams),
        )

    assert code not in found(pot(limit * 0.9999))
    caution = found(pot(limit * 1.0001))[code]
    assert caution.about == "kiln"
    assert caution.evidence[f"{gas}_g_per_100_g"] == pytest.approx(limit, rel=1e-3)
    assert "g given off per 100 g" in caution.message


METALS = [("MnO", 1.0, "kiln-manganese"), ("CuO", 0.5, "kiln-copper"), ("Cr2O3", 0.1, "kiln-chromium")]


@pytest.mark.parametrize(("oxide", "limit", "code"), METALS)
def test_metals_are_raised_above_their_threshold(oxide, limit, code):
    assert code not in found(batch({oxide: limit * 0.9999}))
    assert code in found(batch({oxide: limit * 1.0001}))


@pytest.mark.parametrize(("gas", "limit", "code"), GASES)
def test_a_gas_at_its_threshold_is_silent(gas, limit, code):
    alone = batch(None, {"thing": 50}, material("thing", {"CaO": 50.0}, loss={gas: limit}, loi_percent=limit))
    assert kiln_gases(alone) == {gas: limit}
    assert kiln_cautions(alone, FiredAnalysis({})) == []
    more = batch(
        None,
        {"thing": 50},
        material("thing", {"CaO": 50.0}, loss={gas: limit * 1.000001}, loi_percent=limit * 1.000001),
    )
    assert [c.code for c in kiln_cautions(more, FiredAnalysis({}))] == [code]


@pytest.mark.parametrize(("oxide", "limit", "code"), [*METALS, ("ZnO", 5.0, "kiln-zinc")])
def test_a_metal_at_its_threshold_is_silent(oxide, limit, code):
    assert fume_cautions(OxideAmounts(parts_per_100={oxide: limit})) == []
    above = OxideAmounts(parts_per_100={oxide: limit * 1.000001})
    assert [c.code for c in fume_cautions(above)] == [code]


def test_a_loss_split_to_rounding_leaves_no_rest():
    split = batch(None, {"thing": 1}, material("thing", {"CaO": 50.0}, loss={"CO2": 0.3, "H2O": 0.6}, loi_percent=0.9))
    assert set(kiln_gases(split)) == {"CO2", "H2O"}
    loose = batch(None, {"thing": 1}, material("thing", {"CaO": 50.0}, loss={"CO2": 0.3}, loi_percent=0.31))
    assert kiln_gases(loose)[UNATTRIBUTED] == pytest.approx(0.01)


def test_zinc():
    zinc = material("zinc", {"ZnO": 100.0})
    assert "kiln-zinc" not in found(batch(None, {"glass": 95.001, "zinc": 4.999}, zinc))
    assert "kiln-zinc" in found(batch(None, {"glass": 94.99, "zinc": 5.01}, zinc))


def test_lead_and_cadmium_count_by_the_fired_weight():
    of = batch()
    assert [c.code for c in kiln_cautions(of, FiredAnalysis({"PbO": 0.01}))] == ["kiln-lead"]
    assert kiln_cautions(of, FiredAnalysis({"PbO": 0.0099999})) == []
    assert [c.code for c in kiln_cautions(of, FiredAnalysis({"CdO": 0.005}))] == ["kiln-cadmium"]
    assert kiln_cautions(of, FiredAnalysis({"CdO": 0.0049999})) == []


def test_hydrogen_fluoride_has_both_niosh_limits():
    """Table Z-2 (OSHA sampling page CH_246500): 3 ppm; NIOSH 3 ppm and a ceiling of 6; ACGIH 0.5 and a ceiling of 2."""
    limits = {limit.text for limit in gases()["F"].limits}
    assert {"OSHA PEL 3 ppm HF TWA", "NIOSH REL 3 ppm HF TWA", "NIOSH REL 6 ppm HF 15 min ceiling"} < limits
    assert {"ACGIH TLV 0.5 ppm as F TWA", "ACGIH TLV 2 ppm as F ceiling"} < limits


def test_manganese_has_the_limits_of_osha_niosh_and_acgih():
    """OSHA ceiling 5, NIOSH 1, ACGIH 0.02 mg/m3 (respirable), as manganese."""
    why = found(batch({"MnO": 3}))["kiln-manganese"].why
    for words in ("OSHA PEL 5 mg/m3", "NIOSH REL 1 mg/m3", "ACGIH TLV 0.02 mg/m3"):
        assert words in why

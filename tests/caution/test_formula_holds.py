"""Whether the unity formula holds: its codes at their bounds, and that rules which stand on it keep silent."""

from __future__ import annotations

import json

import pytest

import glazecalc as gc
from glazecalc.caution.formula_holds import FormulaStanding, formula_standing
from glazecalc.convention import Convention
from glazecalc.convert.unity import unity_of
from tests.caution.pot import batch, look, material

LIBRARY = gc.load_materials()
# a metallic black as potters write it: most of its flux is manganese and copper
METALLIC = {"potash feldspar": 40, "ball clay": 15, "silica": 10, "manganese dioxide": 30, "copper oxide": 5}
FLUX_RULES = {"silica-low", "alumina-low", "alkali-high", "boron-high", "boron-low", "silica-high", "matt-surface", "lime-matt",
              "outside-published-range"}  # fmt: skip


def standing(*given, **named) -> FormulaStanding:
    of, unity, _ = look(batch(*given, **named))
    return formula_standing(of, unity)


def manganese_for(share: float) -> float:
    """Return the parts of MnO on 100 of the test glass that come to `share` mol per mol of flux."""
    _, unity, _ = look(batch({"MnO": 10}))
    return 10 * share / unity["MnO"]


def test_colourants_over_half_of_the_flux():
    over, under = standing({"MnO": manganese_for(0.51)}), standing({"MnO": manganese_for(0.49)})
    assert (over.code, over.holds) == ("formula-colourants-over-flux", False)
    assert over.evidence["colouring_mol_per_flux"] == pytest.approx(0.51)
    assert over.evidence["threshold_mol_per_flux"] == 0.5
    assert (under.code, under.holds, under.says) == ("formula-holds", True, "")


def test_beside_it_stands_the_convention_that_counts_them():
    of = batch({"MnO": manganese_for(2.0)})
    counted = standing({"MnO": manganese_for(2.0)}).counted_as_flux
    assert counted == unity_of(of, Convention(colourants_as_flux=True))
    assert counted["SiO2"] == pytest.approx(unity_of(of)["SiO2"] / 3)  # one mole of flux and two of manganese
    assert sum(counted[o] for o in counted.convention.fluxes) == pytest.approx(1)


def test_without_flux_there_is_none():
    found = standing(
        None,
        {"flint": 50, "clay": 50},
        material("flint", {"SiO2": 100.0}),
        material("clay", {"Al2O3": 46.0, "SiO2": 54.0}),
    )
    assert (found.code, found.holds, found.counted_as_flux) == ("formula-no-flux", False, None)


def test_iron_is_a_flux_in_reduction_only():
    """Fe2O3 is two moles of FeO: 0.026 of it is just over the 0.05 of FeO from which the second formula is shown."""
    _, unity, _ = look(batch({"Fe2O3": 1}))
    per_part = 2 * unity["Fe2O3"]
    much, little = {"Fe2O3": 0.052 / per_part}, {"Fe2O3": 0.048 / per_part}
    found = standing(much, atmosphere="reduction")
    assert (found.code, found.holds) == ("formula-iron-is-flux", True)
    assert found.counted_as_flux.convention.iron_as_feo
    assert found.counted_as_flux["FeO"] == pytest.approx(0.052 / 1.052)
    assert standing(little, atmosphere="reduction").code == "formula-holds"
    assert standing(much, atmosphere="oxidation").code == "formula-holds"
    assert standing(much).code == "formula-holds"
    assert standing({"Fe2O3": 0.51 / per_part}, atmosphere="reduction").code == "formula-colourants-over-flux"


def test_a_flux_that_comes_from_an_ash_of_unknown_make():
    """The glass of the tests and an ash bring the same moles of flux a part: more than half is a matter of parts."""
    glass = {"SiO2": 60.0, "Al2O3": 12.0, "CaO": 16.0, "K2O": 12.0}
    bundled = material("ash", glass, kind="ash", basis="measured")
    found = standing(None, {"glass": 49, "ash": 51}, bundled)
    assert (found.code, found.holds) == ("formula-unknown-make", False)
    assert found.evidence["share_of_flux"] == pytest.approx(0.51)
    assert found.evidence["materials"] == ("ash",) or found.evidence["materials"] == ["ash"]
    assert standing(None, {"glass": 51, "ash": 49}, bundled).code == "formula-holds"
    assert (
        standing(None, {"glass": 49, "ash": 51}, material("ash", glass, kind="ash")).code == "formula-holds"
    )  # an own sheet
    assert (
        standing(None, {"glass": 49, "ash": 51}, material("ash", glass, kind="frit", basis="measured")).code
        == "formula-holds"
    )


def test_a_slip_of_recalled_numbers_is_of_unknown_make():
    source = gc.Source(title="recalled for the test", from_memory=True)
    slip = gc.Material(id="slip", name="slip", kind="clay", source=source, basis="recalled", analysis={"SiO2": 58, "Al2O3": 15, "CaO": 6, "K2O": 3, "Fe2O3": 5})  # fmt: skip
    assert standing(None, {"glass": 5, "slip": 95}, slip).code == "formula-unknown-make"


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        (METALLIC, "formula-colourants-over-flux"),
        ({"wood ash": 50, "potash feldspar": 30, "kaolin": 20}, "formula-unknown-make"),
        ({"kaolin": 50, "silica": 50}, "formula-no-flux"),
    ],
    ids=["metallic", "ash", "no flux"],
)
def test_where_it_does_not_hold_rules_on_the_flux_sum_keep_silent_and_the_head_says_so(parts, code):
    report = gc.check(parts, LIBRARY, cone="6")
    assert not FLUX_RULES & {caution.code for caution in report.cautions}
    assert "release-not-known" in {
        caution.code for caution in report.cautions
    }  # what is a matter of food speaks all the same
    page = str(report).splitlines()
    assert page[2].startswith("The unity formula does not hold:")
    assert max(map(len, page)) <= 100
    told = report.to_dict()["formula"]
    assert (told["code"], told["holds"]) == (code, False)
    json.dumps(told, allow_nan=False)
    assert any("Counted as flux" in line for line in page) == (code == "formula-colourants-over-flux")


def test_where_it_holds_nothing_is_said_and_the_rules_speak():
    report = gc.check({"potash feldspar": 60, "whiting": 40}, LIBRARY, cone="6")
    assert report.formula.holds
    assert FLUX_RULES & {caution.code for caution in report.cautions}
    assert "does not hold" not in str(report)


def test_compare_says_it_of_either():
    page = str(gc.compare(METALLIC, {"kaolin": 50, "silica": 50}, LIBRARY))
    assert "A: The unity formula does not hold: colouring oxides" in page
    assert "B: The unity formula does not hold: there is no flux" in page

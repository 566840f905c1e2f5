"""Food cautions: each raised at its threshold, silent just short of it; lead and cadmium never vanish."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.caution import food
from glazecalc.caution.caution import Severity
from glazecalc.caution.colour_load import parts_per_100
from glazecalc.caution.food import food_cautions
from glazecalc.caution.thresholds import threshold
from tests.caution.pot import batch, formula, look, material

NEXT = 1 + 1e-9  # the smallest step that is not rounding


def found(of, use="plate", cone="6"):
    b, u, f = look(of)
    return {c.code: c for c in food_cautions(b, u, f, use=use, cone=cone)}


# --- lead and cadmium ---------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("oxide", ["PbO", "CdO"])
@pytest.mark.parametrize("amount", [1e-7, 0.001, 1.0, 40.0])
@pytest.mark.parametrize("use", [None, "plate", "bowl", "cup", "pitcher", "storage", "cooking", "not-for-food"])
def test_lead_and_cadmium_never_vanish(oxide, amount, use):
    code = {"PbO": "lead-present", "CdO": "cadmium-present"}[oxide]
    caution = found(batch({oxide: amount}), use)[code]
    assert caution.severity in (Severity.STOP, Severity.LOOK)
    assert caution.evidence[f"{oxide}_wt_percent_fired"] > 0


def test_lead_stops_from_its_threshold_on():
    b, _, f = look(batch({"PbO": 1.0}))
    shared = {"use": "plate"}
    for share, severity in ((0.01, "stop"), (0.0099999, "look")):
        caution = food._lead_and_cadmium(b, type(f)({"PbO": share}), True, shared)[0]
        assert caution.severity == severity
        assert food._lead_and_cadmium(b, type(f)({"PbO": share}), False, shared)[0].severity == "look"
    for share, severity in ((0.005, "stop"), (0.0049999, "look")):
        assert food._lead_and_cadmium(b, type(f)({"CdO": share}), True, shared)[0].severity == severity
    assert food._lead_and_cadmium(b, type(f)({}), True, shared) == []


def test_lead_names_its_carrier_and_the_law_and_the_mark_of_ware_not_for_food():
    lead = found(batch({"PbO": 5}))["lead-present"]
    assert "from PbO" in lead.message
    assert "release limits in the US, Canada, the EU" in lead.message
    assert "ASTM C738" in lead.do
    assert "21 CFR 109.16" in found(batch({"PbO": 5}), "not-for-food")["lead-present"].do


def test_a_bound_in_an_analysis_is_not_zero():
    clay = material("clay", {"SiO2": 60.0, "Al2O3": 30.0, "CaO": 5.0}, below_detection={"PbO": "<0.01"}, kind="clay")
    caution = found(batch(None, {"glass": 90, "clay": 10}, clay))["lead-below-detection"]
    assert "<0.01" in caution.message
    assert "not zero" in caution.message
    assert "cadmium-below-detection" not in found(batch(None, {"glass": 90, "clay": 10}, clay))


def test_release_is_never_known_from_a_recipe():
    clean = found(batch())
    assert list(clean) == ["release-not-known"]
    assert "report no lead and no cadmium" in clean["release-not-known"].message
    assert "no cadmium;" in found(batch({"PbO": 1}))["release-not-known"].message
    assert "no lead" not in found(batch({"PbO": 1}))["release-not-known"].message
    assert found(batch(), "not-for-food") == {}


# --- loads: one above, one at the threshold ---------------------------------------------------------------------------------
LOADS = [("CoO", 2.0, "cobalt-load", "look"), ("MnO", 2.45, "manganese-load", "look"), ("Cr2O3", 1.0, "chromium-load", "look"),
         ("NiO", 0.1, "nickel-present", "look"), ("V2O5", 0.1, "vanadium-present", "look"), ("Sb2O3", 0.05, "antimony-present", "look"),
         ("SeO2", 0.01, "selenium-present", "look"), ("U3O8", 0.01, "uranium-present", "stop")]  # fmt: skip


@pytest.mark.parametrize(("oxide", "limit", "code", "severity"), LOADS)
def test_loads_are_raised_above_their_threshold_only(oxide, limit, code, severity):
    assert food._loads({oxide: limit}, True, {}) == []
    raised = food._loads({oxide: limit * NEXT}, True, {})
    assert [(c.code, c.about, str(c.severity)) for c in raised] == [(code, "food", severity)]
    assert raised[0].evidence["threshold_parts_per_100"] == limit
    assert [str(c.severity) for c in food._loads({oxide: limit * NEXT}, False, {})] == ["know"]


@pytest.mark.parametrize(("oxide", "limit", "code", "severity"), LOADS)
def test_loads_from_a_weighed_batch(oxide, limit, code, severity):
    assert code not in found(batch({oxide: limit * 0.999}))
    assert code in found(batch({oxide: limit * 1.001}))


def test_copper_steps():
    _, _, f = look(batch())
    flux = {"SiO2": 3.0}
    assert food._copper({"CuO": 1.44}, flux, f, True, {}) == []
    assert [(c.code, str(c.severity)) for c in food._copper({"CuO": 1.44 * NEXT}, flux, f, True, {})] == [
        ("copper-load", "look")
    ]
    assert [str(c.severity) for c in food._copper({"CuO": 2.88}, flux, f, True, {})] == ["look"]
    assert food._copper({"CuO": 2.88}, flux, f, True, {})[0].evidence["threshold_parts_per_100"] == 1.44
    assert food._copper({"CuO": 2.88 * NEXT}, flux, f, True, {})[0].evidence["threshold_parts_per_100"] == 2.88
    assert food._copper({}, {"BaO": 0.5}, type(f)({"PbO": 5.0}), True, {}) == []
    assert [str(c.severity) for c in food._copper({"CuO": 2.88 * NEXT}, flux, f, True, {})] == ["stop"]
    assert [str(c.severity) for c in food._copper({"CuO": 2.88 * NEXT}, flux, f, False, {})] == ["know"]


def test_copper_with_lead_from_a_trace_of_either():
    _, _, f = look(batch())
    leaded = type(f)({"PbO": 1e-6})
    assert food._copper({"CuO": 0.0499999}, {}, leaded, True, {}) == []
    both = food._copper({"CuO": 0.05}, {}, leaded, True, {})
    assert [(c.code, str(c.severity)) for c in both] == [("copper-with-lead", "stop")]
    assert [str(c.severity) for c in food._copper({"CuO": 0.05}, {}, leaded, False, {})] == ["look"]
    assert food._copper({"CuO": 0.05}, {}, f, True, {}) == []


@pytest.mark.parametrize(
    ("parts", "flux", "raised"),
    [
        ({"CuO": 0.5, "CoO": 0.5}, {}, False),
        ({"CuO": 0.5, "CoO": 0.5 * NEXT}, {}, True),
        ({"CuO": 0.5, "MnO": 0.5}, {}, False),
        ({"CuO": 0.5, "MnO": 0.5 * NEXT}, {}, True),
        ({"CuO": 0.5}, {"BaO": 0.02}, False),
        ({"CuO": 0.5}, {"BaO": 0.02 * NEXT}, True),
        ({"CuO": 0.0499, "CoO": 3.0}, {}, False),
    ],
)
def test_copper_with_other_metals(parts, flux, raised):
    _, _, f = look(batch())
    codes = [c.code for c in food._copper(parts, flux, f, True, {})]
    assert codes == (["copper-with-metals"] if raised else [])


def test_the_tested_metallic_black_stops():
    """4 % CuCO3 (basic), 4 % MnO2, 3 % CoCO3 at cone 6 released Cu 20.65, Co 3.12, Mn 0.73 mg/L (J. Hesselberth, 2 Feb 1999)."""
    metals = {"CuO": 4 * 0.7195, "MnO": 4 * 0.816, "CoO": 3 * 0.630}
    cautions = found(batch(metals))
    assert str(cautions["copper-with-metals"].severity) == "stop"
    assert "20.65 mg/L" in cautions["copper-with-metals"].message
    assert "manganese-load" in cautions
    _, _, f = look(batch())
    assert [str(c.severity) for c in food._copper({"CuO": 1.44, "CoO": 1.0}, {}, f, True, {})] == ["look"]
    assert [str(c.severity) for c in food._copper({"CuO": 1.44 * NEXT, "CoO": 1.0}, {}, f, True, {})] == [
        "look",
        "stop",
    ]
    assert [str(c.severity) for c in food._copper({"CuO": 1.44 * NEXT, "CoO": 1.0}, {}, f, False, {})] == [
        "know",
        "know",
    ]


def test_barium_steps():
    _, _, f = look(batch())
    assert food._barium({"BaO": 0.0199999}, f, True, {}) == []
    assert [(c.code, str(c.severity)) for c in food._barium({"BaO": 0.02}, f, True, {})] == [("barium-on-food", "look")]
    assert [str(c.severity) for c in food._barium({"BaO": 0.1499999}, f, True, {})] == ["look"]
    assert food._barium({"BaO": 0.1499999}, f, True, {})[0].evidence["threshold_mol_per_flux"] == 0.02
    stop = food._barium({"BaO": 0.15}, f, True, {})[0]
    assert stop.evidence["threshold_mol_per_flux"] == 0.15
    assert stop.evidence["SiO2_mol_per_flux"] == 0.0
    assert str(stop.severity) == "stop"
    assert "Studies differ" in stop.message
    assert "Norway" in stop.message
    assert [str(c.severity) for c in food._barium({"BaO": 0.9}, f, False, {})] == ["know"]


@pytest.mark.parametrize(("oxide", "limit", "code"), [("Li2O", 0.20, "lithium-load"), ("ZnO", 0.30, "zinc-load")])
def test_lithium_and_zinc(oxide, limit, code):
    assert food._flux_metals({oxide: limit}, True, {}) == []
    assert [(c.code, str(c.severity)) for c in food._flux_metals({oxide: limit * NEXT}, True, {})] == [(code, "look")]
    assert [str(c.severity) for c in food._flux_metals({oxide: limit * NEXT}, False, {})] == ["know"]


def test_chromate_needs_chromium_partners_and_oxidation():
    over, partners = {"Cr2O3": 0.3 * NEXT}, {"CaO": 0.5, "K2O": 0.3}
    assert [c.code for c in food._chromate(over, partners, "", True, {})] == ["chromate-in-oxidation"]
    assert food._chromate({"Cr2O3": 0.3}, partners, "", True, {}) == []
    assert food._chromate(over, {"CaO": 0.5, "K2O": 0.2999}, "", True, {}) == []
    assert food._chromate(over, partners, "reduction", True, {}) == []
    assert food._chromate(over, partners, "oxidation", True, {}) != []
    for oxide in ("BaO", "SrO", "Li2O", "Na2O"):
        assert food._chromate(over, {oxide: 0.8}, "", True, {}) != []
    assert food._chromate(over, {"MgO": 0.8}, "", True, {}) == []
    assert food._chromate({}, partners, "", True, {}) == []
    assert food._chromate(over, partners, "oxidation", True, {})[0].evidence["atmosphere"] == "oxidation"
    assert food._chromate(over, partners, "", True, {})[0].evidence["atmosphere"] == "not given, read as oxidation"


@pytest.mark.parametrize(
    ("parts", "raised"),
    [
        ({"Fe2O3": 12.0}, False),
        ({"Fe2O3": 12.0 * NEXT}, True),
        ({"Fe2O3": 11.7, "CoO": 0.49}, False),  # an iron glaze: 12 counts
        ({"Fe2O3": 9.5, "CoO": 0.5}, False),
        ({"Fe2O3": 9.6, "CoO": 0.5}, True),
        ({"CoO": 9.5}, False),
        ({"Fe2O3": 9.5, "CoO": 0.5 * 1.000001}, True),  # a mixed black: 10 counts
        ({"MnO": 5.0, "CuO": 3.0, "CoO": 2.1}, True),
        ({"Fe2O3": 9.0, "CoO": 0.63}, False),
    ],
)
def test_saturated_colour(parts, raised):
    codes = [(c.code, c.about) for c in food._saturation(parts, True, {})]
    assert codes == ([("saturated-colour", "surface")] if raised else [])


# --- laws ---------------------------------------------------------------------------------------------------------------
@given(st.floats(0.01, 8), st.floats(0.01, 14), st.floats(1e-3, 1e6))
def test_the_way_the_recipe_is_written_changes_nothing(copper, iron, scale):
    """Colourants on top of the base, inside the base, or in other weights: the same loads, the same cautions."""
    added = batch({"CuO": copper, "Fe2O3": iron})
    inside = batch(None, {"glass": 100.0 * scale, "CuO": copper * scale, "Fe2O3": iron * scale})
    for oxide in ("CuO", "Fe2O3"):
        assert parts_per_100(added)[oxide] == pytest.approx(parts_per_100(inside)[oxide], rel=1e-9)
    if (
        min(abs(copper / x - 1) for x in (1.44, 2.88, 0.5, 0.05)) > 1e-6
        and min(abs(iron - 12), abs(iron + copper - 10)) > 1e-6
    ):
        assert {c: v.severity for c, v in found(added).items()} == {c: v.severity for c, v in found(inside).items()}


def test_parts_are_per_cent_on_top_of_the_base():
    assert parts_per_100(batch({"CuO": 2.5}))["CuO"] == pytest.approx(2.5)
    assert parts_per_100(batch({"FeO": 10.0}))["Fe2O3"] == pytest.approx(11.113, abs=0.001)
    assert "FeO" not in parts_per_100(batch({"FeO": 10.0}))


@pytest.mark.parametrize("use", ["plate", "bowl", "cup", "pitcher", "storage", "cooking", None])
def test_food_uses_are_alike_and_a_missing_use_is_said(use):
    cautions = found(batch({"CoO": 3}), use)
    assert str(cautions["cobalt-load"].severity) == "look"
    assert cautions["cobalt-load"].evidence["use"] == (use or "not given, read as food ware")


def test_without_flux_metals_are_still_seen():
    sand = material("sand", {"SiO2": 100.0})
    b, u, f = look(batch({"PbO": 0, "CoO": 3}, {"sand": 100}, sand))
    assert u is None
    assert "cobalt-load" in {c.code for c in food_cautions(b, u, f, use="plate", cone="")}


def test_the_formula_may_stand_on_any_convention():
    from glazecalc.convention import Convention
    from glazecalc.convert.unity import fired_analysis_of, unity_of

    b = batch({"CoO": 3, "CuO": 2})
    f = fired_analysis_of(b)
    plain = food_cautions(b, unity_of(b), f, use="plate", cone="6")
    other = food_cautions(b, unity_of(b, Convention.from_names(["colourants-as-flux"])), f, use="plate", cone="6")
    assert [c.to_dict() for c in plain] == [c.to_dict() for c in other]


def test_a_lead_line_of_no_amount_is_no_carrier():
    lead = found(batch({"PbO": 0}, {"glass": 90, "leaded": 10}, material("leaded", {"PbO": 20.0, "SiO2": 80.0})))[
        "lead-present"
    ]
    assert lead.evidence["materials"] == ["leaded"]


def test_moles_per_flux_whatever_the_convention():
    from glazecalc.caution.food import moles_per_flux
    from glazecalc.convention import Convention
    from glazecalc.convert.unity import unity_of

    b = batch({"CoO": 3})
    plain = moles_per_flux(unity_of(b))
    assert sum(plain.get(o, 0.0) for o in ("CaO", "K2O")) == pytest.approx(1.0)
    for name in ("alkalis-together", "unity-on-alumina", "colourants-as-flux", "boron-with-silica"):
        assert moles_per_flux(unity_of(b, Convention.from_names([name]))) == pytest.approx(plain)
    assert moles_per_flux(formula(Al2O3=1.0)) == {}
    assert moles_per_flux(None) == {}
    assert moles_per_flux(formula(CaO=0.4, K2O=0.4))["CaO"] == pytest.approx(0.5)


def test_copper_beside_other_metals_is_named_by_oxide():
    message = found(batch({"CuO": 0.5, "CoO": 1.0, "MnO": 1.0}))["copper-with-metals"].message
    assert "together with CoO 1.00, MnO 1.00" in message


def test_thresholds_in_the_tests_are_those_of_the_data():
    assert threshold("copper_look").value == pytest.approx(2 * 0.72)
    assert threshold("copper_stop").value == pytest.approx(4 * 0.72)
    assert threshold("manganese_look").value == pytest.approx(3 * 0.816, abs=0.005)
    assert formula(CaO=1.0)["CaO"] == 1.0


def test_what_counts_as_a_colouring_material():
    """A colourant by kind, or colouring oxides above half of the analysis; everything else is the hundred that parts refer to."""
    from glazecalc.caution.colour_load import colouring_share

    half = material("half", {"CuO": 50.0, "SiO2": 50.0})
    more = material("more", {"CuO": 30.0, "FeO": 20.1, "SiO2": 49.9})
    assert colouring_share(batch({"half": 5}, None, half)) == 0.0
    assert colouring_share(batch({"more": 5}, None, more)) == 5.0
    assert colouring_share(batch({"CoO": 3}, None)) == 3.0
    assert parts_per_100(batch(None, {"CoO": 100}))["CoO"] == pytest.approx(100.0)

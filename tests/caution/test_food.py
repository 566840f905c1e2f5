"""Food cautions: each raised at its threshold, silent just short of it; lead and cadmium never vanish."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.food import food_cautions, metal_cautions
from glazecalc.caution.metals import load_limit, load_of
from glazecalc.caution.oxide_amounts import OxideAmounts, colouring_share, moles_per_flux, parts_per_100
from glazecalc.convert.unity import FiredAnalysis
from tests.caution.pot import batch, formula, look, material

NEXT = 1 + 1e-9  # the smallest step that is not rounding


def found(of, use="plate", cone="6"):
    b, u, f = look(of)
    return {c.code: c for c in food_cautions(b, u, f, use=use, cone=cone)}


def metals(parts=None, flux=None, fired=None, use="plate", atmosphere="") -> dict[str, Caution]:
    """The cautions for exact amounts: parts per 100, moles per flux, wt % fired."""
    amounts = OxideAmounts(parts_per_100=parts or {}, mol_per_flux=flux or {}, wt_percent_fired=fired or {})
    return {c.code: c for c in metal_cautions(amounts, atmosphere=atmosphere, use=use, cone="")}


def steps(*given, **more) -> dict[str, str]:
    return {code: str(caution.severity) for code, caution in metals(*given, **more).items()}


# --- lead and cadmium ---------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("oxide", ["PbO", "CdO"])
@pytest.mark.parametrize("amount", [1e-7, 0.001, 1.0, 40.0])
@pytest.mark.parametrize("use", [None, "plate", "bowl", "cup", "pitcher", "storage", "cooking", "not-for-food"])
def test_lead_and_cadmium_never_vanish(oxide, amount, use):
    code = {"PbO": "lead-present", "CdO": "cadmium-present"}[oxide]
    caution = found(batch({oxide: amount}), use)[code]
    assert caution.severity in (Severity.STOP, Severity.LOOK)
    assert caution.evidence[f"{oxide}_wt_percent_fired"] > 0


@pytest.mark.parametrize(("oxide", "code", "limit"), [("PbO", "lead-present", 0.01), ("CdO", "cadmium-present", 0.005)])
def test_lead_and_cadmium_stop_from_their_threshold_on(oxide, code, limit):
    b, u, _ = look(batch({"PbO": 1.0}))

    def step(share, use):
        cautions = {c.code: c for c in food_cautions(b, u, FiredAnalysis({oxide: share}), use=use, cone="6")}
        return str(cautions[code].severity) if code in cautions else None

    assert step(limit, "plate") == "stop"
    assert step(limit * 0.999999, "plate") == "look"
    assert step(limit, "not-for-food") == step(limit * 0.999999, "not-for-food") == "look"
    assert step(0.0, "plate") is None


def test_lead_names_its_carrier_and_the_law_and_the_mark_of_ware_not_for_food():
    lead = found(batch({"PbO": 5}))["lead-present"]
    assert "from PbO" in lead.message
    assert "release limits in the US, Canada, the EU" in lead.why
    assert "ASTM C738" in lead.do
    assert "21 CFR 109.16" in found(batch({"PbO": 5}), "not-for-food")["lead-present"].do


def test_a_bound_in_an_analysis_is_not_zero():
    clay = material("clay", {"SiO2": 60.0, "Al2O3": 30.0, "CaO": 5.0}, below_detection={"PbO": "<0.01"}, kind="clay")
    caution = found(batch(None, {"glass": 90, "clay": 10}, clay))["lead-below-detection"]
    assert "<0.01" in caution.message
    assert "not zero" in caution.message
    assert "cadmium-below-detection" not in found(batch(None, {"glass": 90, "clay": 10}, clay))


def test_release_is_never_known_from_a_recipe():
    clean = found(batch())["release-not-known"]
    assert list(found(batch())) == ["release-not-known"]
    assert "None of the analyses says anything about lead or cadmium." in clean.message
    assert "anything about cadmium." in found(batch({"PbO": 1}))["release-not-known"].message
    assert found(batch(), "not-for-food") == {}


@pytest.mark.parametrize(
    ("glass", "clay", "said", "unsaid"),
    [
        # what each of two analyses says of lead: a number, a detection limit, or None for nothing
        ({"PbO": 0.0}, {"PbO": 0.0}, "Lead is reported as zero in every analysis. ", "anything about lead"),
        ("<0.01", "<0.01", "Lead is reported as <0.01 in every analysis. ", "anything about lead"),
        ("<0.01", {"PbO": 0.0}, "Lead is reported as <0.01, zero in every analysis. ", "anything about lead"),
        ("<0.01", None, "anything about cadmium. ", "Lead is reported"),
        (None, None, "anything about lead or cadmium. ", "reported as"),
    ],
)
def test_what_the_analyses_say_of_lead_are_three_states(glass, clay, said, unsaid):
    def made(name, state, kind):
        given = {"SiO2": 60.0, "Al2O3": 20.0, "CaO": 15.0} | (state if isinstance(state, dict) else {})
        return material(name, given, below_detection={"PbO": state} if isinstance(state, str) else {}, kind=kind)

    of = batch(None, {"one": 90, "two": 10}, made("one", glass, "frit"), made("two", clay, "clay"))
    caution = found(of)["release-not-known"]
    assert said in caution.message
    assert unsaid not in caution.message
    assert sum(len(names) for names in caution.evidence["PbO"].values()) == 2


# --- loads: one above, one at the threshold ---------------------------------------------------------------------------------
LOADS = [("CoO", 2.0, "cobalt-load", "look"), ("MnO", 2.45, "manganese-load", "look"), ("Cr2O3", 0.3, "chromium-load", "know"),
         ("NiO", 0.1, "nickel-present", "look"), ("V2O5", 0.1, "vanadium-present", "look"), ("Sb2O3", 0.05, "antimony-present", "look"),
         ("SeO2", 0.01, "selenium-present", "look"), ("U3O8", 0.01, "uranium-present", "stop")]  # fmt: skip


@pytest.mark.parametrize(("oxide", "limit", "code", "severity"), LOADS)
def test_loads_are_raised_above_their_threshold_only(oxide, limit, code, severity):
    assert metals({oxide: limit}) == {}
    raised = metals({oxide: limit * NEXT})
    assert steps({oxide: limit * NEXT}).get(code) == severity
    assert raised[code].about == "food"
    assert raised[code].evidence["threshold_parts_per_100"] == limit
    assert steps({oxide: limit * NEXT}, use="not-for-food")[code] == "know"


@pytest.mark.parametrize(("oxide", "limit", "code", "severity"), LOADS)
def test_loads_from_a_weighed_batch(oxide, limit, code, severity):
    silica = material("sand", {"SiO2": 100.0})
    base = {"glass": 90, "sand": 10}  # SiO2 2.9 per flux: enough at cone 6
    assert code not in found(batch({oxide: limit * 0.999}, base, silica))
    assert code in found(batch({oxide: limit * 1.001}, base, silica))


SHORT = {"CaO": 0.7, "K2O": 0.3, "Al2O3": 0.3, "SiO2": 2.4}  # short of silica at cone 6
SOUND = SHORT | {"SiO2": 3.5}
METALS_OF_THE_GLASS = [
    ("CuO", 0.72, 1.44, "copper-load"),
    ("CoO", 1.0, 2.0, "cobalt-load"),
    ("MnO", 1.22, 2.45, "manganese-load"),
    ("Cr2O3", 1.0, 2.0, "chromium-load"),
]


def test_copper_steps():
    assert steps({"CuO": 1.44}) == {}
    assert steps({"CuO": 1.44 * NEXT}) == {"copper-load": "look"}
    assert steps({"CuO": 3.3}) == {"copper-load": "look"}
    assert metals({"CuO": 3.3})["copper-load"].evidence["threshold_parts_per_100"] == 1.44
    assert metals({"CuO": 3.3 * NEXT})["copper-load"].evidence["threshold_parts_per_100"] == 3.3
    assert steps({"CuO": 3.3 * NEXT}) == {"copper-load": "stop"}
    assert steps({"CuO": 3.3 * NEXT}, use="not-for-food") == {"copper-load": "know"}
    assert steps({"CuO": 2.88}, SHORT) == {"copper-load": "look"}
    assert steps({"CuO": 2.88 * NEXT}, SHORT) == {"copper-load": "stop"}


@pytest.mark.parametrize(("oxide", "weak", "alone", "code"), METALS_OF_THE_GLASS)
def test_the_glass_decides_with_the_dose(oxide, weak, alone, code):
    """Cone 6 blacks of about the same colour released from below 0.05 to 3.12 mg/L of cobalt; the base parts them."""
    assert steps({oxide: weak * NEXT}, SHORT)[code] == "look"
    assert steps({oxide: weak}, SHORT).get(code) != "look"
    assert steps({oxide: alone}, SOUND).get(code) != "look"
    assert steps({oxide: alone * NEXT}, SOUND)[code] == "look"
    raised = metals({oxide: weak * NEXT}, SHORT)[code]
    assert raised.evidence["weak_glass"] == "silica is short (2.40)"
    assert raised.message.endswith(f"above {weak:g} where silica is short (2.40).")


@pytest.mark.parametrize(
    ("flux", "sign"),
    [
        ({"CaO": 0.7, "K2O": 0.3, "Al2O3": 0.3, "SiO2": 2.4999}, "silica is short (2.50)"),
        ({"CaO": 0.7, "K2O": 0.3, "Al2O3": 0.7, "SiO2": 3.4}, "SiO2:Al2O3 is 4.9 (matt)"),
        ({"CaO": 0.45, "K2O": 0.3, "Na2O": 0.25, "Al2O3": 0.3, "SiO2": 3.4}, "alkali is 0.55 of the flux"),
        ({"CaO": 0.5, "K2O": 0.25, "Na2O": 0.25, "Al2O3": 0.5, "SiO2": 2.5}, ""),
    ],
)
def test_the_signs_of_a_glass_that_gives_up_metals(flux, sign):
    raised = metals({"CuO": 0.8}, flux)
    assert raised["copper-load"].evidence["weak_glass"] if sign else "copper-load" not in raised
    assert not sign or sign in raised["copper-load"].message


def test_without_a_cone_the_glass_is_read_as_one_of_cone_6():
    short_at_ten = SHORT | {"SiO2": 2.9}
    amounts = OxideAmounts(parts_per_100={"CuO": 0.8}, mol_per_flux=short_at_ten)
    raised = {cone: bool(metal_cautions(amounts, atmosphere="", use=None, cone=cone)) for cone in ("", "6", "10", "04")}
    assert raised == {"": False, "6": False, "10": True, "04": False}


def test_lead_as_a_trace_beside_copper_is_no_stop_and_is_mentioned():
    """0.3 ppm of lead beside 0.14 % of copper oxide: ordinary zinc oxide brings as much. From `lead_stop`, 0.01 wt %, it was put there."""
    traced = found(batch({"CuO": 0.14, "PbO": 0.00003}))
    assert "stop" not in {str(c.severity) for c in traced.values()}
    assert "copper-with-lead" not in traced
    assert "A trace, as raw materials bring it" in traced["lead-present"].message
    assert "0.3 ppm PbO in the fired glaze" in traced["lead-present"].message
    assert "A trace" not in found(batch({"PbO": 1}))["lead-present"].message
    assert str(found(batch({"CuO": 0.14, "PbO": 0.02}))["copper-with-lead"].severity) == "stop"


@pytest.mark.parametrize(
    ("parts", "flux", "raised"),
    [
        ({"CuO": 0.5, "CoO": 0.5}, {}, False),
        ({"CuO": 0.5, "CoO": 0.5 * NEXT}, {}, True),
        ({"CuO": 0.5, "MnO": 0.5}, {}, False),
        ({"CuO": 0.5, "MnO": 0.5 * NEXT}, {}, True),
        ({"CuO": 0.5}, SOUND | {"BaO": 0.02}, False),
        ({"CuO": 0.5}, SOUND | {"BaO": 0.02 * NEXT}, True),
        ({"CuO": 0.0499, "CoO": 3.0}, {}, False),
    ],
)
def test_copper_with_other_metals(parts, flux, raised):
    assert ("copper-with-metals" in metals(parts, flux)) is raised


def test_the_tested_metallic_black_stops():
    """4 % CuCO3 (basic), 4 % MnO2, 3 % CoCO3 at cone 6 released Cu 20.65, Co 3.12, Mn 0.73 mg/L (J. Hesselberth, 2 Feb 1999)."""
    metals = {"CuO": 4 * 0.7195, "MnO": 4 * 0.816, "CoO": 3 * 0.630}
    cautions = found(batch(metals))
    assert str(cautions["copper-with-metals"].severity) == "stop"
    assert "20.65 mg/L" in cautions["copper-with-metals"].why
    assert "manganese-load" in cautions
    more = {"CuO": 1.44 * NEXT, "CoO": 1.0}
    assert steps({"CuO": 1.44, "CoO": 1.0}, SOUND) == {"copper-with-metals": "know"}
    assert steps(more, SOUND) == {"copper-load": "look", "copper-with-metals": "look"}
    assert steps({"CuO": 0.5, "CoO": 1.0}, SHORT) == {"copper-with-metals": "look"}
    assert steps(more, SHORT) == {"copper-load": "look", "copper-with-metals": "stop"}
    assert steps(more, SHORT, use="not-for-food") == {"copper-load": "know", "copper-with-metals": "know"}


def barium(value, use="plate", **changes):
    return metals(flux=SOUND | changes | {"CaO": 0.7 - value, "BaO": value}, use=use).get("barium-on-food")


def test_barium_steps():
    assert barium(0.02) is None
    known = [(0.0200001, "know"), (0.10, "know"), (0.1000001, "look"), (0.40, "look"), (0.4000001, "stop")]
    assert [(value, str(barium(value).severity)) for value, _ in known] == known
    lean = [(0.0200001, "look"), (0.15, "look"), (0.1500001, "stop")]
    assert [(value, str(barium(value, SiO2=2.9).severity)) for value, _ in lean] == lean
    stop = barium(0.2, SiO2=2.9)
    assert stop.evidence["threshold_mol_per_flux"] == 0.15
    assert stop.evidence["weak_glass"] == "silica is lean (2.90)"
    assert "Studies differ" in stop.why
    assert "Norway" in stop.why
    assert "Netherlands" in stop.why
    assert str(barium(0.45, use="not-for-food").severity) == "know"


@pytest.mark.parametrize(
    ("oxide", "know", "look", "weak", "code"),
    [("Li2O", 0.20, 0.40, 0.15, "lithium-load"), ("ZnO", 0.30, 0.50, 0.30, "zinc-load")],
)
def test_lithium_and_zinc(oxide, know, look, weak, code):
    def step(value, **changes):
        caution = metals(flux=SOUND | changes | {"CaO": 0.7 - value, oxide: value}).get(code)
        return str(caution.severity) if caution else None

    rich = {"K2O": 0.1, "MgO": 0.2}  # lithium counts among the alkalis: no more than half of the flux
    assert [step(v, **rich) for v in (know, know * NEXT, look, look * NEXT)] == [None, "know", "know", "look"]
    assert [step(v, SiO2=2.4, **rich) for v in (weak, weak * NEXT)] == [None, "look"]
    assert str(metals(flux=SOUND | {oxide: 0.6}, use="not-for-food")[code].severity) == "know"


def test_a_glaze_that_calls_itself_matt_is_taken_at_its_word():
    base = {"glass": 60, "sand": 75, "lime": 10, "lithia": 8.5}
    more = [material(name, {oxide: 100.0}) for name, oxide in (("sand", "SiO2"), ("lime", "CaO"))]
    more.append(material("lithia", {"Li2O": 40.0, "CO2": 60.0}))
    names = ("Harbour Clear", "Harbour Matt", "Harbour Mattress")
    of = [batch(None, base, *more, name=name) for name in names]
    assert [str(found(one)["lithium-load"].severity) for one in of] == ["know", "look", "know"]


def test_chromium_is_one_caution_and_says_what_oxidation_may_do():
    partners = {"CaO": 0.5, "K2O": 0.3, "MgO": 0.2, "Al2O3": 0.4, "SiO2": 3.5}
    assert steps({"Cr2O3": 1.0}, partners) == {"chromium-load": "know"}
    assert steps({"Cr2O3": 2.0 * NEXT}, partners) == {"chromium-load": "look"}
    assert steps({"Cr2O3": 1.0 * NEXT}, partners | {"SiO2": 2.4}) == {"chromium-load": "look"}

    def said(flux, atmosphere=""):
        return "soluble chromate" in metals({"Cr2O3": 1.0}, flux, atmosphere=atmosphere)["chromium-load"].why

    assert said(partners)
    assert said(partners, "oxidation")
    assert not said(partners, "reduction")
    assert not said(partners | {"K2O": 0.2999})
    for oxide in ("BaO", "SrO", "Li2O", "Na2O"):
        assert said({oxide: 0.8, "MgO": 0.2})
    assert not said({"MgO": 1.0})
    assert metals({"Cr2O3": 1.0}, partners)["chromium-load"].evidence["atmosphere"] == "not given, read as oxidation"


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
    saturated = metals(parts).get("saturated-colour")
    assert (saturated is not None) is raised
    assert saturated is None or saturated.about == "surface"


# --- laws ---------------------------------------------------------------------------------------------------------------
@given(st.floats(0.01, 8), st.floats(0.01, 14), st.floats(1e-3, 1e6))
def test_the_way_the_recipe_is_written_changes_nothing(copper, iron, scale):
    """Colourants on top of the base, inside the base, or in other weights: the same loads, the same cautions."""
    added = batch({"CuO": copper, "Fe2O3": iron})
    inside = batch(None, {"glass": 100.0 * scale, "CuO": copper * scale, "Fe2O3": iron * scale})
    for oxide in ("CuO", "Fe2O3"):
        assert parts_per_100(added)[oxide] == pytest.approx(parts_per_100(inside)[oxide], rel=1e-9)
    if (
        min(abs(copper / x - 1) for x in (0.72, 1.44, 2.88, 3.3, 0.5, 0.05)) > 1e-6
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
    assert "CuO 0.50, CoO 1.00, MnO 1.00 parts per 100 of uncoloured batch" in message


def test_thresholds_in_the_tests_are_those_of_the_data():
    assert load_limit("CuO", Severity.LOOK).value == pytest.approx(2 * 0.72)
    assert load_of("CuO").weak_steps[Severity.STOP].value == pytest.approx(4 * 0.72)
    assert load_limit("MnO", Severity.LOOK).value == pytest.approx(3 * 0.816, abs=0.005)
    assert formula(CaO=1.0)["CaO"] == 1.0


def test_what_counts_as_a_colouring_material():
    """A colourant by kind, or colouring oxides above half of the analysis; everything else is the hundred that parts refer to."""
    half = material("half", {"CuO": 50.0, "SiO2": 50.0})
    more = material("more", {"CuO": 30.0, "FeO": 20.1, "SiO2": 49.9})
    assert colouring_share(batch({"half": 5}, None, half)) == 0.0
    assert colouring_share(batch({"more": 5}, None, more)) == 5.0
    assert colouring_share(batch({"CoO": 3}, None)) == 3.0
    assert parts_per_100(batch(None, {"CoO": 100}))["CoO"] == pytest.approx(100.0)

"""What the atmosphere raises: each rule once raised, once just short of its amount, and never in another atmosphere."""

from __future__ import annotations

import re

import pytest

from glazecalc.caution.atmosphere import atmosphere_of, atmosphere_rules
from glazecalc.caution.by_atmosphere import atmosphere_cautions
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.food import food_cautions
from glazecalc.caution.kiln import kiln_cautions
from glazecalc.caution.oxide_amounts import amounts_of
from glazecalc.convert.unity import fired_analysis_of
from tests.caution.pot import batch, look, material

MORE = (
    material("ZnO", {"ZnO": 100.0}),
    material("SnO2", {"SnO2": 100.0}),
    material("sulphate", {"CaO": 50.0}, loss={"SO3": 50.0}, loi_percent=50.0),
)


def raised(additions: dict[str, float], atmosphere: str) -> dict[str, Caution]:
    """Return the cautions of a plain glass (100 parts) with these additions."""
    of = batch(additions, None, *MORE, atmosphere=atmosphere)
    return {caution.code: caution for caution in atmosphere_cautions(of, fired_analysis_of(of))}


# code, atmosphere, what raises it, and the same a hair less; parts on 100 of glass
CASES = [
    ("iron-flux-in-reduction", "reduction", {"Fe2O3": 2.01}, {"Fe2O3": 1.99}),
    ("zinc-leaves-in-reduction", "reduction", {"ZnO": 1.02}, {"ZnO": 1.0}),
    ("copper-in-reduction", "reduction", {"CuO": 0.101}, {"CuO": 0.099}),
    ("tin-in-reduction", "reduction", {"SnO2": 2.06}, {"SnO2": 2.03}),
    ("sulphate-in-reduction", "reduction", {"sulphate": 0.403}, {"sulphate": 0.4}),
    ("sulphate-in-oxidation", "oxidation", {"sulphate": 0.403}, {"sulphate": 0.4}),
    ("lead-in-reduction", "reduction", {"PbO": 0.0101}, {"PbO": 0.0099}),
    ("cadmium-in-reduction", "reduction", {"CdO": 0.00501}, {"CdO": 0.00499}),
    ("cadmium-in-oxidation", "oxidation", {"CdO": 0.00501}, {"CdO": 0.00499}),
    ("chromium-with-zinc", "oxidation", {"Cr2O3": 0.103, "ZnO": 2}, {"Cr2O3": 0.1, "ZnO": 2}),
    ("chromium-with-zinc", "reduction", {"Cr2O3": 1, "ZnO": 1.02}, {"Cr2O3": 1, "ZnO": 1.0}),
    ("chromium-with-tin", "oxidation", {"Cr2O3": 0.021, "SnO2": 5}, {"Cr2O3": 0.02, "SnO2": 5}),
    ("chromium-with-tin", "", {"Cr2O3": 0.1, "SnO2": 2.06}, {"Cr2O3": 0.1, "SnO2": 2.03}),
]


@pytest.mark.parametrize(("code", "atmosphere", "much", "little"), CASES)
def test_a_rule_is_raised_above_its_amount_only(
    code: str, atmosphere: str, much: dict[str, float], little: dict[str, float]
):
    assert code in raised(much, atmosphere)
    assert code not in raised(little, atmosphere)


@pytest.mark.parametrize(("code", "atmosphere", "much", "little"), CASES)
def test_a_rule_keeps_to_its_atmosphere(code: str, atmosphere: str, much: dict[str, float], little: dict[str, float]):
    bound = atmosphere_rules()[code].atmosphere
    for other in ("oxidation", "reduction", ""):
        assert (code in raised(much, other)) == (bound in ("any", other)), (code, other)


def test_every_rule_of_the_data_is_tried_here():
    assert {case[0] for case in CASES} == set(atmosphere_rules())


def test_the_consequence_stands_first_then_the_amount():
    of = batch({"ZnO": 5}, None, *MORE, atmosphere="reduction")
    (caution,) = atmosphere_cautions(of, fired_analysis_of(of))
    value = amounts_of(of, None, fired_analysis_of(of)).of("parts_per_100", "ZnO")
    assert caution.message.endswith(f"Here {value:.2f} parts ZnO per 100 of uncoloured batch.")
    assert caution.evidence["ZnO_parts_per_100"] == pytest.approx(value)
    assert caution.evidence["threshold_ZnO_parts_per_100"] == 1.0
    assert caution.evidence["atmosphere"] == "reduction"
    assert "recalled, not checked" in caution.source


def test_lead_and_cadmium_in_reduction_stop_on_any_ware():
    for code in ("lead-in-reduction", "cadmium-in-reduction"):
        rule = atmosphere_rules()[code]
        assert (rule.severity, rule.otherwise, rule.never_folded) == (Severity.STOP, Severity.STOP, True)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("reduction", "reduction"),
        ("Red", "reduction"),
        ("oxidation", "oxidation"),
        ("ox", "oxidation"),
        ("salt", ""),
        ("", ""),
    ],
)
def test_the_word_of_a_card(text: str, read: str):
    assert atmosphere_of(text) == read


def test_every_load_says_of_what_it_is_a_part():
    """Of 100 parts of the batch without colourants, of the fired glaze, per mole of flux, or of the dry batch."""
    metals = (
        "CuO",
        "CoO",
        "MnO",
        "Cr2O3",
        "NiO",
        "V2O5",
        "Sb2O3",
        "SeO2",
        "Fe2O3",
        "PbO",
        "CdO",
        "ZnO",
        "SnO2",
        "sulphate",
    )
    of = batch(dict.fromkeys(metals, 6.0), None, *MORE, atmosphere="reduction")
    _, unity, fired = look(of)
    cautions = [
        *food_cautions(of, unity, fired, use=None, cone="6"),
        *kiln_cautions(of, fired),
        *atmosphere_cautions(of, fired),
    ]
    told = [c.message for c in cautions if re.search(r"\d (?:parts|wt %) ?\w* ", c.message)]
    assert len(told) >= 15
    for message in told:
        for amount in re.finditer(r"\d parts (?:\w+ )?per 100|\d wt % \w+|g \w+ given off per 100 g", message):
            assert re.match(
                r" of (?:uncoloured batch|dry batch)| in the fired glaze|\)? fired", message[amount.end() :]
            ), message
    (copper,) = (message for message in told if message.startswith("Copper is taken"))
    assert "CoO 5.08, MnO 5.08 parts per 100 of uncoloured batch" in copper

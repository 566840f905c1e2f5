"""No number with a main oxide left out: each model, with each oxide of the axis that it has no number for."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

import glazecalc as gc
from glazecalc.convert.unity import MolePercent
from glazecalc.errors import CompositionError
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS

Asked = Callable[[MolePercent], object]

PLAIN = {"SiO2": 68.0, "Al2O3": 8.0, "Na2O": 8.0, "CaO": 16.0}  # every model has a number for these four
OXIDES = [oxide for oxide in AXIS if oxide != "FeO"]  # a composition holds iron as Fe2O3
TRACES = load_data("unknown_oxides.yaml")["trace_mole_percent"]
_FITTED = {"PbO"} | set(OXIDES) - set(load_data("viscosity_fitted.yaml")["tested_range"]["seen"])


def unknown_in(name: str, *entries: str) -> set[str]:
    """Return the oxides that stand under none of the entries of a data file."""
    data = load_data(name)
    return set(OXIDES) - {oxide for entry in entries for oxide in data[entry]}


def unknown_to_tension(model: str) -> set[str]:
    entry = load_data("surface_tension_models.yaml")[model]
    return set(OXIDES) - {*entry["factors"], *entry.get("zero_by_the_regression", ())}


MODELS: dict[str, tuple[Asked, set[str]]] = {
    "expansion, fitted": (gc.expansion, unknown_in("expansion_fitted.yaml", "coefficients")),
    "expansion, appen": (
        lambda glaze: gc.expansion(glaze, model="appen"),
        unknown_in("expansion_appen.yaml", "coefficients", "rules"),
    ),
    "viscosity, fitted": (lambda glaze: gc.viscosity(glaze, temperature_c=1222), _FITTED),
    "temperature of a viscosity": (lambda glaze: gc.temperature_at_viscosity(glaze, log10_pa_s=3), _FITTED),
    "viscosity, giordano": (
        lambda glaze: gc.viscosity(glaze, temperature_c=1222, model="giordano"),
        unknown_in("viscosity_giordano_2008.yaml", "oxides"),
    ),
    "glass transition": (gc.glass_transition, _FITTED),
    "softening temperature": (gc.softening_temperature, _FITTED),
    "surface tension, kucuk": (gc.surface_tension, unknown_to_tension("kucuk")),
    "surface tension, appen": (
        lambda glaze: gc.surface_tension(glaze, model="appen"),
        unknown_to_tension("appen"),
    ),
    "surface tension, dietzel": (
        lambda glaze: gc.surface_tension(glaze, model="dietzel"),
        unknown_to_tension("dietzel"),
    ),
}


def with_oxide(oxide: str, amount: float) -> MolePercent:
    plain = {name: value * (100 - amount) / 100 for name, value in PLAIN.items()}
    return MolePercent({**plain, oxide: plain.get(oxide, 0.0) + amount})


PAIRS = [(model, oxide) for model, (_, unknown) in MODELS.items() for oxide in sorted(unknown)]


@pytest.mark.parametrize(("model", "oxide"), PAIRS)
def test_more_than_a_trace_of_an_oxide_without_a_number_is_refused_by_its_name(model: str, oxide: str) -> None:
    ask, _ = MODELS[model]
    trace = TRACES["Kucuk 1999" if model.endswith("kucuk") else "any"]["value"]
    for amount in (trace + 0.01, 20.0):
        with pytest.raises(CompositionError, match=f"has no number for {oxide} {amount:.1f} mol %"):
            ask(with_oxide(oxide, amount))
    borne = ask(with_oxide(oxide, trace - 0.01))
    if isinstance(borne, Estimate):
        assert math.isfinite(borne.value)


@pytest.mark.parametrize("model", MODELS)
def test_oxides_that_a_model_knows_are_answered(model: str) -> None:
    ask, unknown = MODELS[model]
    for oxide in OXIDES:
        if oxide not in unknown:
            ask(with_oxide(oxide, 3.0))


def test_traces_count_together() -> None:
    glaze = {**PLAIN, "SiO2": 66.5, "V2O5": 0.5, "Nb2O5": 0.5, "WO3": 0.5}
    with pytest.raises(CompositionError, match=r"V2O5 0.50, WO3 0.50, Nb2O5 0.50 mol %"):
        gc.expansion(MolePercent(glaze))


def test_each_threshold_says_whose_it_is() -> None:
    assert TRACES["any"]["value"] == 1.0
    for entry in TRACES.values():
        assert entry["source"] == "this program's own choice"
        assert entry["basis"]


def test_what_kucuk_bears_moves_it_by_less_than_a_fifth_of_its_interval() -> None:
    factors = load_data("surface_tension_models.yaml")["kucuk"]["factors"]
    most = max(abs(factor) for oxide, factor in factors.items() if oxide != "MoO3")
    found = gc.surface_tension(MolePercent(PLAIN))
    assert found.high is not None
    assert most * TRACES["Kucuk 1999"]["value"] < (found.high - found.value) / 5


def test_lead_bisilicate_has_no_fitted_number_and_says_so_while_appen_answers(library: gc.MaterialLibrary) -> None:
    report = gc.check({"lead bisilicate": 70, "kaolin": 10, "silica": 20}, library)
    models = [(estimate.quantity, estimate.model) for estimate in report.estimates]
    assert ("expansion", "appen") in models
    assert ("expansion", "fitted") not in models
    said = [notice.message for notice in report.notices if notice.code == "no-estimate"]
    assert any(text.startswith("expansion (fitted): ") and "PbO 19.4 mol %" in text for text in said)
    with pytest.raises(CompositionError, match="PbO"):
        gc.nudge({"lead bisilicate": 70, "kaolin": 10, "silica": 20}, library, "expansion up 0.2")
    assert gc.nudge({"lead bisilicate": 70, "kaolin": 10, "silica": 20}, library, "expansion up 0.2", model="appen").met


def test_no_estimate_is_made_of_a_number_that_is_none() -> None:
    with pytest.raises(CompositionError, match="gives no expansion"):
        Estimate(quantity="expansion", model="fitted", value=math.nan, unit="1e-6 per K")
    with pytest.raises(CompositionError, match="gives no expansion"):
        Estimate(quantity="expansion", model="fitted", value=6.0, low=-math.inf, high=7.0, unit="1e-6 per K")

"""What the numbers of a material may be, what follows from them, and what about them is worth saying."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from glazecalc.errors import FormulaError, UnknownNameError
from glazecalc.field_checks import FieldChecks
from glazecalc.formula import formula_yield
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import VOLATILES, check_oxide, molar_mass

__all__ = ("StatedAnalysis", "check_composition", "remarks")

_BELOW_DETECTION = ("trace", "tr", "tr.", "n.d.", "nd", "n.d", "not detected", "bdl", "below detection")
_LOSSES = ("H2O", "CO2", "SO3", "F", "Cl", "N2O5", "organic", "O2")

# The bounds below are this program's own choice.
_LARGEST_SHARE = 100.5  # wt % of one oxide; rounding carries a pure one a little over 100
_LARGEST_SUM = 150.0  # wt %; beyond it the numbers are no shares of one material
_LARGEST_BOUND = 2.0  # wt %; a detection limit lies well below, above it stands a specification
_BURNS_AWAY = 99.0  # wt % of loss from which a material needs no oxides
_TOTAL_LOW, _TOTAL_HIGH = 98.0, 102.0  # wt %
_LOSS_SLACK = 0.5  # points between a loss and the sum of its parts, or that of the formula
_CARBONATE_SLACK = 2.0  # points of loss; a bag with more water or less carbonate than that is worth a look


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedAnalysis:
    """The numbers of a material as they were given; the fields are those of `Material`."""

    formula: str | None
    analysis: Mapping[str, float]
    below_detection: Mapping[str, str]
    loi_percent: float | None
    loss: Mapping[str, float]
    tolerance: Mapping[str, float]


def _bound(text: str) -> float | None:
    """Return the detection limit [wt %] of ``<0.05``, or None for any other text."""
    if not text.strip().startswith(("<", "≤")):
        return None
    try:
        value = float(text.strip().lstrip("<≤= ").rstrip("% "))
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def check_composition(given: StatedAnalysis, checks: FieldChecks) -> StatedAnalysis:
    """Return the numbers checked, copied and completed: from the formula, or the loss from its parts.

    Nothing is normalised. A text in the analysis such as ``n.d.`` or ``<0.05`` goes to `below_detection`.
    """
    below = dict(checks.mapping("below_detection", given.below_detection))
    percents: dict[str, object] = {}
    for oxide, value in checks.mapping("analysis", given.analysis).items():
        if isinstance(value, str) and (value.strip().lower() in _BELOW_DETECTION or _bound(value) is not None):
            below[oxide] = value.strip()
        else:
            percents[oxide] = value
    highest = math.inf if given.formula else _LARGEST_SHARE  # by its formula Cu2O comes to 111 % of CuO
    analysis: Mapping[str, float] = checks.numbers("analysis", percents, 0, highest)
    tolerance = checks.numbers("tolerance", given.tolerance, 0, 100)
    loss: Mapping[str, float] = checks.numbers("loss", given.loss, -50, 100)
    loi = checks.number("loi_percent", given.loi_percent, -50, 100)
    formula = None if given.formula is None else checks.text("formula", given.formula).strip() or None
    _check_oxides(checks, analysis=analysis, below_detection=below, tolerance=tolerance)
    for part in loss:
        if part not in _LOSSES:
            checks.fault(f"loss: {part}", f"'loss: {part}' is not a part of the loss.", f"Known: {', '.join(_LOSSES)}.")
    bounds = {oxide: checks.text(f"below_detection: {oxide}", text) for oxide, text in below.items()}
    for oxide, text in bounds.items():
        if (_bound(text) or 0.0) > _LARGEST_BOUND:
            field = f"analysis: {oxide}"
            said = f"'{field}' is given as a maximum of {_bound(text):g} %; a measured number was expected."
            checks.fault(field, said, "A specification is no analysis: give what was measured.")
    if formula is not None:
        analysis, loss, loi = _by_formula(formula, analysis, checks)
    else:
        left = [*loss.values(), *(percent for oxide, percent in analysis.items() if oxide in VOLATILES)]
        loi = math.fsum(left) if loi is None and left else loi
        _check_sum(analysis, loi, checks)
    return StatedAnalysis(
        formula=formula, analysis=analysis, below_detection=FrozenDict(bounds), loi_percent=loi, loss=loss, tolerance=tolerance,
    )  # fmt: skip


def _check_oxides(checks: FieldChecks, **fields: Mapping[str, object]) -> None:
    for field, entries in fields.items():
        for oxide in entries:
            try:
                check_oxide(oxide)
            except UnknownNameError as error:
                checks.fault(f"{field}: {oxide}", f"'{field}': {error.message}", error.hint)


def _by_formula(
    formula: str, analysis: Mapping[str, float], checks: FieldChecks
) -> tuple[Mapping[str, float], Mapping[str, float], float | None]:
    try:
        ideal = formula_yield(formula)
    except (FormulaError, UnknownNameError) as error:
        checks.fault("formula", f"'formula': {error.message}", error.hint)
        return analysis, FrozenDict(), None
    if analysis and analysis != ideal.analysis:
        hint = "Keep the one the numbers come from."
        checks.fault("formula", "'formula' and 'analysis' are given; a material has one, not both.", hint)
    return ideal.analysis, ideal.loss, ideal.loi_percent


def _check_sum(analysis: Mapping[str, float], loi: float | None, checks: FieldChecks) -> None:
    total = math.fsum(analysis.values())
    if total > _LARGEST_SUM:
        checks.fault("analysis", f"'analysis' adds to {total:.1f} %; about 100 was expected.")
    if total <= 0 and (loi or 0.0) < _BURNS_AWAY and not checks.faults:
        hint = "Give oxides, or a loi_percent of 100 for what burns away."
        checks.fault("analysis", "'analysis' names no oxide; a material needs 'formula' or 'analysis'.", hint)


def remarks(given: StatedAnalysis, checked: StatedAnalysis) -> Iterator[tuple[str, str]]:
    """Yield what is odd about the numbers of a material, but possible: a code, and a text without the material's name."""
    stated, loi = given.loi_percent, checked.loi_percent
    if checked.formula is not None:
        if stated is not None and abs(stated - (loi or 0.0)) > _LOSS_SLACK:
            text = f"the file says {stated:g} % loss, its formula gives {loi:.1f} %; the formula is used."
            yield "loss-differs-from-formula", text
        if "F" in checked.loss or "Cl" in checked.loss:
            text = "oxides are given as if all its fluorine or chlorine left and oxygen took its place."
            yield "oxide-equivalents", text
        return
    parts = math.fsum(checked.loss.values())
    if stated is not None and checked.loss and abs(parts - stated) > _LOSS_SLACK:
        yield "loss-parts-differ", f"the parts of the loss add to {parts:.1f} %, the loss is {stated:g} %."
    if not checked.analysis:
        return
    total = math.fsum(percent for oxide, percent in checked.analysis.items() if oxide not in VOLATILES) + (loi or 0.0)
    if loi is None:
        text = f"no loss on ignition is reported; it counts as nothing (oxides add to {total:.1f} %)."
        yield "loss-not-reported", text
    if not _TOTAL_LOW <= total <= _TOTAL_HIGH:
        text = f"oxides and loss add to {total:.1f} %, outside {_TOTAL_LOW:g}-{_TOTAL_HIGH:g}; used as it stands."
        yield "analysis-total", text
    if "F" in checked.analysis or "F" in checked.loss:
        yield "oxide-equivalents", "oxides are given as if all its fluorine left and oxygen took its place."
    carbonate = _carbon_dioxide_needed(checked.analysis)
    if loi is not None and carbonate is not None and abs(carbonate - loi) > _CARBONATE_SLACK:
        text = f"the loss is {loi:.1f} %, but its CaO and MgO as carbonates would lose {carbonate:.1f} %."
        yield "carbonate-loss", text


def _carbon_dioxide_needed(analysis: Mapping[str, float]) -> float | None:
    # Only where the material can be nothing but a carbonate of lime and magnesia.
    earths = {oxide: analysis.get(oxide, 0.0) for oxide in ("CaO", "MgO")}
    others = math.fsum(v for o, v in analysis.items() if o not in earths and o not in VOLATILES)
    if not 30 <= math.fsum(earths.values()) <= 62 or others > 6:
        return None
    return math.fsum(value / molar_mass(oxide) for oxide, value in earths.items()) * molar_mass("CO2")

"""What a picture of glazes may be given, brought to one form: a name, the chemistry and the report where there is one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias, cast

from glazecalc.check_report import CheckReport
from glazecalc.comparison import Comparison
from glazecalc.convention import Convention
from glazecalc.convert.basis import to_mole_percent
from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import Composition, FiredAnalysis, MolePercent, UnityFormula, unity_from_moles
from glazecalc.errors import CompositionError, ConventionError
from glazecalc.estimate.result import Estimate
from glazecalc.oxides import molar_mass

__all__ = ("Glaze", "Glazes", "glazes_of", "one_convention")

Glaze: TypeAlias = CheckReport | Composition
Glazes: TypeAlias = CheckReport | Composition | Comparison | Mapping[str, Glaze] | Iterable[Glaze]
"""One glaze or several: reports of `check`, compositions, a `Comparison`, or a mapping of names to these."""

_DEFAULT = Convention()


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnGlaze:
    """One glaze as it is drawn."""

    name: str
    mole_percent: MolePercent
    fired: FiredAnalysis
    unity: UnityFormula | None
    report: CheckReport | None = None

    def in_unity(self) -> UnityFormula:
        """Return the unity formula; CompositionError where the glaze has none."""
        if self.unity is None:
            raise CompositionError(
                f"{self.name} has no unity formula to draw.",
                "Draw its oxides in mole per cent: gc.plot.oxides(..., counted='mole percent').",
            )
        return self.unity

    def estimates(self, quantity: str, model: str) -> tuple[Estimate, ...]:
        """Return what the report says of a quantity; empty where there is no report."""
        found = self.report.estimates if self.report is not None else ()
        return tuple(one for one in found if (one.quantity, one.model) == (quantity, model))


def glazes_of(given: Glazes) -> tuple[DrawnGlaze, ...]:
    """Return the glazes of what a picture was given; two of one name are numbered. CompositionError for none."""
    if isinstance(given, Comparison):
        named: list[tuple[str, Glaze]] = [("", given.a), ("", given.b)]
    elif isinstance(given, CheckReport | Composition):
        named = [("", given)]
    elif isinstance(given, Mapping):
        named = list(cast("Mapping[str, Glaze]", given).items())
    else:
        named = [("", one) for one in given]
    if not named:
        raise CompositionError("no glaze was given to draw.", "Give a report: gc.check(recipe, materials).")
    drawn = [_drawn(name, one) for name, one in named]
    names = [one.name for one in drawn]
    return tuple(
        replace(one, name=f"{one.name} {names[: at + 1].count(one.name)}") if names.count(one.name) > 1 else one
        for at, one in enumerate(drawn)
    )


def one_convention(glazes: Iterable[DrawnGlaze]) -> Convention:
    """Return the convention that all unity formulas stand on; ConventionError where they differ."""
    met = list(dict.fromkeys(glaze.in_unity().convention for glaze in glazes))
    if len(met) > 1:
        said = "; ".join(one.description for one in met)
        raise ConventionError(f"the formulas stand on several conventions: {said}.", "Make all with one convention.")
    return met[0]


def _drawn(name: str, given: Glaze) -> DrawnGlaze:
    if isinstance(given, CheckReport):
        return DrawnGlaze(
            name=name or given.batch.recipe.name or "glaze",
            mole_percent=given.mole_percent,
            fired=given.fired,
            unity=given.unity,
            report=given,
        )
    mole_percent = to_mole_percent(given)
    masses = {oxide: amount * molar_mass(oxide) for oxide, amount in mole_percent.items()}
    total = sum(masses.values())
    return DrawnGlaze(
        name=name or "glaze",
        mole_percent=mole_percent,
        fired=FiredAnalysis({oxide: 100 * mass / total for oxide, mass in masses.items()}),
        unity=given if isinstance(given, UnityFormula) else _unity(mole_percent),
    )


def _unity(mole_percent: MolePercent) -> UnityFormula | None:
    try:
        return unity_from_moles(as_row(mole_percent)[0], _DEFAULT)
    except CompositionError:
        return None

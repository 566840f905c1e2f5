"""Everything that is looked at for one recipe: chemistry, estimates, cautions, gathered into one report."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from glazecalc.body import ClayBody
from glazecalc.caution.bench import handling_cautions
from glazecalc.caution.caution import Caution, sort_cautions
from glazecalc.caution.crawling import crawling_cautions
from glazecalc.caution.durability import durability_cautions
from glazecalc.caution.food import food_cautions
from glazecalc.caution.kiln import kiln_cautions
from glazecalc.caution.surface import body_cautions, surface_cautions
from glazecalc.cone_temperatures import cone_temperature_c
from glazecalc.cones import parse_cone
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import (
    FiredAnalysis,
    MolePercent,
    UnityFormula,
    fired_analysis_of,
    mole_percent_of,
    named,
    unity_of,
)
from glazecalc.errors import CompositionError, GlazeError, Notice, UnknownNameError, did_you_mean
from glazecalc.estimate.expansion import expansion, expansions
from glazecalc.estimate.glass_points import (
    glass_transition,
    glass_transitions,
    softening_temperature,
    softening_temperatures,
)
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.surface_tension import MODELS, surface_tension, surface_tensions
from glazecalc.estimate.viscosity import viscosities, viscosity
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import USES, Recipe

if TYPE_CHECKING:
    from glazecalc.estimate.spread import Spread

__all__ = ("CheckReport", "check", "estimate_name", "spread_of")

_DEFAULT = Convention()
_ARRAY_CORES: dict[str, Callable[[NDArray[np.float64]], NDArray[np.float64]]] = {
    "glass transition": glass_transitions,
    "softening temperature": softening_temperatures,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport:
    """What `check` found.

    Attributes
    ----------
    batch : Batch
        The recipe with its materials.
    convention : Convention
        In force for `unity`.
    unity : UnityFormula or None
        Moles per mole of flux, all-in; None where the batch has nothing to divide by (said in `notices`).
    fired : FiredAnalysis
        wt % of the fired glaze, all-in.
    moles : MolePercent
        mol % of the fired glaze, all-in.
    cone, atmosphere, use : str
        As given in the call, else in the recipe; empty where neither says.
    body : ClayBody or None
    estimates : tuple of Estimate
    cautions : tuple of Caution
        Gravest first.
    notices : tuple of Notice
        What was assumed, read with care, or could not be done.
    """

    batch: Batch
    convention: Convention
    unity: UnityFormula | None
    fired: FiredAnalysis
    moles: MolePercent
    cone: str
    atmosphere: str
    use: str
    body: ClayBody | None
    estimates: tuple[Estimate, ...]
    cautions: tuple[Caution, ...]
    notices: tuple[Notice, ...]

    @property
    def raw_clay_percent(self) -> float:
        """Share of clay that still holds its water [wt % of the all-in batch]."""
        return self.batch.share_percent(lambda m: m.is_raw_clay)

    @property
    def soluble_percent(self) -> float:
        """Share of materials that dissolve in the bucket [wt % of the all-in batch]."""
        return self.batch.share_percent(lambda m: m.is_soluble)

    @property
    def slightly_soluble_percent(self) -> float:
        """Share of materials that dissolve slightly or slowly [wt % of the all-in batch]."""
        return self.batch.share_percent(lambda m: m.is_slightly_soluble)

    def to_dict(self) -> dict[str, Any]:
        """Return the report with the keys of the JSON contract; numbers unrounded."""
        batch, unity = self.batch, self.unity
        lines = [
            {
                "material": m.id,
                "name": m.name,
                "parts": p,
                "addition": a,
                "percent_of_base": 100 * p / batch.base_total,
                "brings": dict(named(row)),
            }
            for m, p, a, row in zip(batch.materials, batch.parts, batch.addition, batch.contributions(), strict=True)
        ]
        return {
            "recipe": {
                "name": batch.recipe.name,
                "cone": self.cone,
                "atmosphere": self.atmosphere,
                "use": self.use,
                "lines": lines,
            },
            "convention": self.convention.to_dict(),
            "unity": dict(unity) if unity is not None else {},
            "mole_percent": dict(self.moles),
            "silica_alumina_ratio": unity.silica_alumina_ratio if unity is not None else None,
            "r2o": unity.r2o if unity is not None else None,
            "ro": unity.ro if unity is not None else None,
            "fired_analysis_percent": dict(self.fired),
            "base_total": batch.base_total,
            "additions_total": batch.additions_total,
            "all_in_total": batch.all_in_total,
            "loi_percent_base": batch.loss_percent(base_only=True),
            "loi_percent_all_in": batch.loss_percent(),
            "raw_clay_percent": self.raw_clay_percent,
            "soluble_percent": self.soluble_percent,
            "slightly_soluble_percent": self.slightly_soluble_percent,
            "estimates": [estimate.to_dict() for estimate in self.estimates],
            "cautions": [caution.to_dict() for caution in self.cautions],
            "notices": [{"code": notice.code, "message": notice.message} for notice in self.notices],
        }


def check(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    body: ClayBody | None = None,
    cone: str = "",
    use: str = "",
    surfaces: Collection[str] = (),
    convention: Convention = _DEFAULT,
) -> CheckReport:
    """Look at a recipe before it is mixed.

    Parameters
    ----------
    recipe : Recipe or mapping
        A recipe, or material name -> parts.
    materials : MaterialLibrary
        Where names are looked up.
    body : ClayBody, optional
        The clay it goes on.
    cone : str, optional
        The cone, ``"6"`` or ``"06"``; by default the recipe's own.
    use : str, optional
        One of `USES`; by default the recipe's own, else a food surface is assumed and said.
    surfaces : collection of str
        How the fired surface is, where it is known: crawled, crazed, pinholed, rough, ... (`surface_words`).
    convention : Convention
        What counts as flux in the unity formula.

    Returns
    -------
    CheckReport
        Chemistry, estimates and cautions. It holds no verdict.

    Raises
    ------
    FileFaultsError, CompositionError
        Where the recipe cannot be used.
    UnknownNameError
        For a use or a surface that is not known.
    """
    batch = resolve(recipe, materials)
    notices = list(batch.notices)
    cone = str(parse_cone(cone)) if cone else batch.recipe.cone
    use = use or batch.recipe.use
    if use and use not in USES:
        raise UnknownNameError(
            f"'{use}' is not a use of the ware.",
            did_you_mean(use, USES) or f"Known: {', '.join(USES)}.",
            batch.recipe.path,
        )
    fired = fired_analysis_of(batch)
    moles = mole_percent_of(batch)
    unity: UnityFormula | None = None
    try:
        unity = unity_of(batch, convention)
    except CompositionError as error:
        notices.append(Notice("no-unity-formula", f"{error.message} {error.hint}".strip()))
    if unity is not None and unity.silica_alumina_ratio is None:
        notices.append(Notice("no-alumina", "the batch holds no alumina: there is no SiO2:Al2O3 ratio."))
    if not use:
        notices.append(Notice("use-not-given", "the use is not given: cautions are those of a food surface (--use)."))
    estimates, said = _estimates(moles, cone)
    notices.extend(said)
    plain_unity = unity if unity is None or convention == _DEFAULT else unity_or_none(batch)
    tension = next((e for e in estimates if e.quantity == "surface tension"), None)
    meant = use or None
    cautions = [
        *food_cautions(batch, plain_unity, fired, use=meant, cone=cone),
        *surface_cautions(batch, use=meant, surfaces=surfaces),
        *crawling_cautions(batch, tension),
        *durability_cautions(plain_unity, cone=cone, use=meant),
        *body_cautions(body, use=meant),
        *handling_cautions(batch),
        *kiln_cautions(batch, fired),
    ]
    if body is not None and body.expansion_1e6_per_k is not None:
        notices.append(
            Notice(
                "body-not-compared",
                f"the measured expansion of {body.name} is not set against the calculated one of the glaze: they stand on different scales. "
                "'glazecalc calibrate' places a glaze among your own firings.",
            )
        )
    return CheckReport(
        batch=batch, convention=convention, unity=unity, fired=fired, moles=moles, cone=cone, atmosphere=batch.recipe.atmosphere, use=use, body=body,
        estimates=tuple(estimates), cautions=tuple(sort_cautions(cautions)), notices=tuple(dict.fromkeys(notices)),
    )  # fmt: skip


def spread_of(
    report: CheckReport,
    *,
    samples: int = 2000,
    seed: int = 1,
    step_g: float = 0.0,
    batch_g: float = 0.0,
    moisture_percent: float = 0.0,
) -> Spread:
    """Return what the tolerance of analyses, the scale and moisture make of a report's numbers and estimates; see `spread`."""
    from glazecalc.estimate.spread import spread  # only where it is asked for

    functions: dict[str, Callable[[NDArray[np.float64]], NDArray[np.float64]]] = {}
    for estimate in report.estimates:
        ends = estimate.temperature_range_c
        if estimate.quantity == "expansion" and ends is not None:
            functions[estimate_name(estimate)] = partial(expansions, model=estimate.model, temperature_range_c=ends)
        elif estimate.quantity == "viscosity" and estimate.model == "fitted" and ends is not None:
            functions[estimate_name(estimate)] = partial(viscosities, temperature_c=ends[0])
        elif estimate.quantity == "surface tension":
            functions[estimate_name(estimate)] = partial(surface_tensions, model=estimate.model)
        elif estimate.quantity in _ARRAY_CORES:
            functions[estimate_name(estimate)] = _ARRAY_CORES[estimate.quantity]
    return spread(
        report.batch,
        estimates=functions,
        convention=report.convention,
        samples=samples,
        seed=seed,
        step_g=step_g,
        batch_g=batch_g,
        moisture_percent=moisture_percent,
    )


def estimate_name(estimate: Estimate) -> str:
    """Return the name by which an estimate stands in a spread: quantity and model."""
    return f"{estimate.quantity}, {estimate.model}"


def unity_or_none(batch: Batch) -> UnityFormula | None:
    """Return the unity formula by the default convention, which cautions are written for; None where there is none."""
    try:
        return unity_of(batch)
    except CompositionError:
        return None


def _estimates(moles: MolePercent, cone: str) -> tuple[list[Estimate], list[Notice]]:
    asked: list[tuple[str, Callable[[], Estimate]]] = [
        ("expansion (fitted)", lambda: expansion(moles)),
        ("expansion (Appen)", lambda: expansion(moles, model="appen", temperature_range_c=(20, 400))),
        ("glass transition", lambda: glass_transition(moles)),
        ("softening temperature", lambda: softening_temperature(moles)),
    ]
    notices: list[Notice] = []
    celsius: float | None = None
    if cone:
        try:
            bent = cone_temperature_c(cone)
            celsius = bent.celsius
            notices.append(
                Notice(
                    "cone-temperature",
                    f"cone {cone} is taken as {bent.celsius:.0f} C ({bent.family}, {bent.rate_c_per_h:g} C/h over the last 100 C).",
                )
            )
        except GlazeError as error:
            notices.append(Notice("no-estimate", f"viscosity at cone {cone}: {error}"))
    if celsius is not None:
        at = celsius
        asked.append((f"viscosity at {at:.0f} C", lambda: viscosity(moles, temperature_c=at)))
    asked.extend((f"surface tension ({model})", partial(surface_tension, moles, model=model)) for model in MODELS)
    found: list[Estimate] = []
    for name, make in asked:
        try:
            found.append(make())
        except GlazeError as error:
            notices.append(Notice("no-estimate", f"{name}: {error}"))
    if celsius is not None:
        try:
            second = viscosity(moles, temperature_c=celsius, model="giordano")
        except GlazeError:
            return found, notices  # that model knows no boron, zinc or lithium: no second opinion
        if second.in_window:
            place = next((i for i, e in enumerate(found) if e.quantity == "viscosity"), len(found) - 1)
            found.insert(place + 1, second)
    return found, notices

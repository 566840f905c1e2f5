"""Everything that is looked at for one recipe: chemistry, estimates, cautions, gathered into one report."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from glazecalc.body import ClayBody
from glazecalc.caution.caution import Caution, sort_cautions
from glazecalc.caution.food import food_cautions
from glazecalc.caution.handling import handling_cautions
from glazecalc.cone_names import parse_cone
from glazecalc.convert.batch import Batch, as_parts, resolve
from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula, fired_analysis_of, mole_percent_of, unity_of
from glazecalc.errors import CompositionError, GlazeError, Notice, UnknownNameError, did_you_mean
from glazecalc.estimate.expansion import expansion
from glazecalc.estimate.result import Estimate
from glazecalc.material import MaterialLibrary
from glazecalc.oxides import Convention
from glazecalc.recipe import Recipe

__all__ = ("USES", "CheckReport", "check")

USES = ("plate", "bowl", "cup", "pitcher", "storage", "cooking", "not-for-food")
_DEFAULT = Convention()


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
        return self.batch.share_percent([m.is_raw_clay for m in self.batch.materials])

    @property
    def soluble_percent(self) -> float:
        """Share of materials that dissolve in the bucket [wt % of the all-in batch]."""
        return self.batch.share_percent([m.is_soluble for m in self.batch.materials])

    @property
    def slightly_soluble_percent(self) -> float:
        """Share of materials that dissolve slightly or slowly [wt % of the all-in batch]."""
        return self.batch.share_percent([m.is_slightly_soluble for m in self.batch.materials])

    def to_dict(self) -> dict[str, Any]:
        """Return the report with the keys of the JSON contract; numbers unrounded."""
        batch, unity = self.batch, self.unity
        lines = [
            {"material": m.id, "name": m.name, "parts": p, "addition": a, "percent_of_base": 100 * p / batch.base_total}
            for m, p, a in zip(batch.materials, batch.parts, batch.addition, strict=True)
        ]
        return {
            "recipe": {"name": batch.recipe.name, "cone": self.cone, "atmosphere": self.atmosphere, "use": self.use, "lines": lines},
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
        For a use that is not known.
    """
    batch = resolve(as_parts(recipe), materials)
    notices = list(batch.notices)
    cone = str(parse_cone(cone)) if cone else batch.recipe.cone
    use = use or batch.recipe.use
    if use and use not in USES:
        raise UnknownNameError(f"'{use}' is not a use of the ware.", did_you_mean(use, USES) or f"Known: {', '.join(USES)}.", batch.recipe.path)
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
    estimates, said = _estimates(moles)
    notices.extend(said)
    plain_unity = unity if unity is None or convention == _DEFAULT else unity_or_none(batch)
    cautions = _cautions(batch, plain_unity, fired, use=use, cone=cone)
    return CheckReport(
        batch=batch, convention=convention, unity=unity, fired=fired, moles=moles, cone=cone, atmosphere=batch.recipe.atmosphere, use=use, body=body,
        estimates=tuple(estimates), cautions=tuple(sort_cautions(cautions)), notices=tuple(dict.fromkeys(notices)),
    )  # fmt: skip


def unity_or_none(batch: Batch) -> UnityFormula | None:
    """Return the unity formula by the default convention, which cautions are written for; None where there is none."""
    try:
        return unity_of(batch)
    except CompositionError:
        return None


def _estimates(moles: MolePercent) -> tuple[list[Estimate], list[Notice]]:
    found: list[Estimate] = []
    notices: list[Notice] = []
    for model in ("fitted", "appen"):
        try:
            found.append(expansion(moles, model=model))
        except GlazeError as error:
            notices.append(Notice("no-estimate", f"expansion ({model}): {error}"))
    return found, notices


def _cautions(batch: Batch, unity: UnityFormula | None, fired: FiredAnalysis, *, use: str, cone: str) -> list[Caution]:
    return [*food_cautions(batch, unity, fired, use=use or None, cone=cone), *handling_cautions(batch)]

"""Every caution on one batch: the one place where the rules are put together, for a check and for a table of many recipes."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from functools import partial
from typing import TYPE_CHECKING

from glazecalc.caution.ash import ash_cautions
from glazecalc.caution.bench import handling_cautions
from glazecalc.caution.by_atmosphere import atmosphere_cautions
from glazecalc.caution.caution import Caution, sort_cautions
from glazecalc.caution.crawling import crawling_cautions, high_tension, raw_causes_in
from glazecalc.caution.durability import durability_cautions
from glazecalc.caution.food import food_cautions
from glazecalc.caution.formula_holds import FormulaStanding
from glazecalc.caution.kiln import kiln_cautions
from glazecalc.caution.surface import body_cautions, surface_cautions
from glazecalc.cone_temperatures import heat_points
from glazecalc.cones import Cone
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula
from glazecalc.errors import CompositionError
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.surface_tension import surface_tension
from glazecalc.heat import parse_heat
from glazecalc.recipe import Use

if TYPE_CHECKING:
    from glazecalc.body import ClayBody

__all__ = ("all_cautions",)


def all_cautions(
    batch: Batch,
    *,
    unity: UnityFormula | None,
    formula: FormulaStanding,
    fired: FiredAnalysis,
    mole_percent: MolePercent,
    cone: str = "",
    use: Use | None = None,
    body: ClayBody | None = None,
    surfaces: Collection[str] = (),
) -> tuple[Caution, ...]:
    """Return the cautions on a batch, gravest first.

    `unity` (by the default convention, None without flux), `formula`, `fired` and `mole_percent` are those of the batch; `cone` is
    as a card says it, `use` None where it is not given, `surfaces` how the fired surface is stated to be.
    """
    found = [
        *food_cautions(batch, unity, fired, use=use, cone=cone),
        *surface_cautions(batch, use=use, surfaces=surfaces),
        *crawling_cautions(batch, _tension(mole_percent) if raw_causes_in(batch) else None),
        *_at_each_end(cone, partial(durability_cautions, unity if formula.holds else None, use=use)),
        *body_cautions(body, use=use, cone=cone),
        *handling_cautions(batch),
        *ash_cautions(batch),
        *kiln_cautions(batch, fired),
        *atmosphere_cautions(batch, fired, use=use),
    ]
    return tuple(sort_cautions(found))


def _tension(mole_percent: MolePercent) -> Estimate | None:
    """Return the melt's surface tension by the model that the data of crawling names; None where it has no number."""
    try:
        return surface_tension(mole_percent, model=high_tension().model)
    except CompositionError:
        return None


def _at_each_end(cone: str, cautions: Callable[..., list[Caution]]) -> list[Caution]:
    """Return the cautions at each end of what a card says; where both ends raise one of a code, those of the worse end."""
    heat = parse_heat(cone) if cone else None
    if heat is None:
        cones: Iterable[Cone | None] = (None,)
    else:
        cones = heat.cones or [point.cone for point in heat_points(heat)]
    worst: dict[str, list[Caution]] = {}
    for end in cones:
        by_code: dict[str, list[Caution]] = {}
        for caution in cautions(cone=str(end) if end is not None else ""):
            by_code.setdefault(caution.code, []).append(caution)
        for code, found in by_code.items():
            worst[code] = min(
                worst.get(code, found), found, key=lambda one: (min(c.severity.rank for c in one), -len(one))
            )
    return [caution for found in worst.values() for caution in found]

"""Will it melt at its cone? Stiffness of the clear melt alone, against the fired glazes that matured."""

from __future__ import annotations

from glazecalc.estimate.melted import fired_set
from glazecalc.readings.facts import Facts
from glazecalc.readings.fired_melt import Melt, and_list, listed, melts, not_judged, source_of
from glazecalc.readings.materials import held
from glazecalc.readings.reading import Reading

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `melt`; of two firings the one where the melt is stiffer."""
    found = melts(facts)
    if isinstance(found, str):
        return not_judged(facts, "melt", found)
    melt = max(found, key=lambda one: one.log10_pa_s)
    fired = fired_set()
    value, edge, cone = melt.log10_pa_s, fired.viscosity.melt_upper_tenth, fired.stiff_as_a_cone.value
    if value < edge:
        code = "melt-among"
        says = f"At {melt.heat.name} its clear melt is as fluid as those of fired glazes that matured."
        do = "A tile at your cone settles it."
    elif value < cone:
        code = "melt-stiff"
        says = f"At {melt.heat.name} its melt is stiffer than nine in ten fired glazes that matured: it may want more heat."
        do = f"{_HOTTER} Then less silica, more of a flux, or more boron."
    else:
        code = "melt-like-a-cone"
        says = (
            f"At {melt.heat.name} its melt is as stiff as a pyrometric cone when it bends, or stiffer: "
            "do not count on it before a tile has shown it."
        )
        do = f"{_HOTTER} To melt it here: more of a flux or boron, or a hotter cone."
    return Reading(
        about="melt",
        code=code,
        says=" ".join(filter(None, (says, listed(facts, melt)))),
        because=_because(melt),
        evidence=melt.evidence
        | {
            "matured_inside": fired.viscosity.matured_inside.n,
            "matured_inside_more_fluid": fired.viscosity.matured_inside.below(value),
            "melt_upper_tenth_log10_pa_s": edge,
            "stiff_as_a_cone_log10_pa_s": cone,
            "may_stay_unmelted": list(held(facts.batch, "stay_unmelted")),
        },
        do=do,
        source=source_of(),
    )


_HOTTER = "Fire a tile here and one a cone hotter: if the hotter one is smoother, this one was underfired."


def _because(melt: Melt) -> str:
    """Return how many of the fired glazes were as stiff, and what became of them."""
    fired = fired_set()
    value, found = melt.log10_pa_s, fired.viscosity
    inside = found.matured_inside
    more_fluid = inside.below(value)
    said = f"Viscosity 10^{value:.1f} Pa s at {melt.heat.celsius:.0f} C, stiffer than {more_fluid} of the {inside.n} that matured inside the model's tested range"
    said += f" ({inside.sources} sources)."
    if value >= found.melt_upper_tenth:
        low, high = (
            (fired.stiff_as_a_cone.value, float("inf"))
            if value >= fired.stiff_as_a_cone.value
            else (found.melt_upper_tenth, fired.stiff_as_a_cone.value)
        )
        matured, failed = (group.from_to(low, high) for group in (found.matured, found.not_melted))
        span = f"above 10^{low:.1f}" if high == float("inf") else f"between 10^{low:.1f} and 10^{high:.1f}"
        said += f" Of the {matured + failed} in the whole set {span}, {matured} matured and {failed} did not."
    if melt.outside:
        said += f" Outside the tested range: {and_list(melt.outside)}."
    return said

"""Will it run? Fluidity of the clear melt alone, against the fired glazes that matured and stayed where they were."""

from __future__ import annotations

from glazecalc.estimate.melted import fired_set
from glazecalc.readings.facts import Facts
from glazecalc.readings.fired_melt import Melt, and_list, listed, melts, not_judged, source_of
from glazecalc.readings.materials import held
from glazecalc.readings.reading import Reading

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `run`; of two firings the one where the melt is more fluid."""
    found = melts(facts)
    if isinstance(found, str):
        return not_judged(facts, "run", found)
    melt = min(found, key=lambda one: one.log10_pa_s)
    fired = fired_set()
    value, edge, least = melt.log10_pa_s, fired.viscosity.run_lower_tenth, fired.very_fluid.value
    if value > edge:
        code = "run-among"
        says = f"At {melt.heat.name} its melt is no more fluid than those of fired glazes that matured and stayed."
        do = "Thickness decides too: look at a thick drip on an upright tile."
    elif value >= least:
        code = "run-fluid"
        says = f"At {melt.heat.name} its melt is more fluid than nine in ten fired glazes that matured and stayed: it may run where thick."
        do = "Fire an upright tile over a catcher, dipped twice at the top; leave the foot bare."
    else:
        code = "run-very-fluid"
        says = f"At {melt.heat.name} its melt is very fluid: test it over a catcher."
        do = "Fire an upright tile over a catcher before it goes on a pot; thin coats, a bare foot, more alumina and silica."
    return Reading(
        about="run",
        code=code,
        says=" ".join(filter(None, (says, listed(facts, melt)))),
        because=_because(melt),
        evidence=melt.evidence
        | {
            "matured_and_stayed": fired.viscosity.matured_inside_stayed.n,
            "matured_and_stayed_stiffer": fired.viscosity.matured_inside_stayed.above(value),
            "run_lower_tenth_log10_pa_s": edge,
            "very_fluid_log10_pa_s": least,
            "may_stay_unmelted": list(held(facts.batch, "stay_unmelted")),
        },
        do=do,
        source=source_of(),
    )


def _because(melt: Melt) -> str:
    """Return how many of the fired glazes were as fluid, and what became of them."""
    fired = fired_set()
    value, found = melt.log10_pa_s, fired.viscosity
    stayed = found.matured_inside_stayed
    said = f"Viscosity 10^{value:.1f} Pa s at {melt.heat.celsius:.0f} C, more fluid than {stayed.above(value)} of the {stayed.n} that matured and stayed ({stayed.sources} sources)."
    low, high, span = found.run_lower_tenth, float("inf"), f"above 10^{found.run_lower_tenth:.1f}"
    if value < fired.very_fluid.value:
        low, high, span = -float("inf"), fired.very_fluid.value, f"below 10^{fired.very_fluid.value:.1f}"
    elif value <= found.run_lower_tenth:
        low, high = fired.very_fluid.value, found.run_lower_tenth
        span = f"between 10^{low:.1f} and 10^{high:.1f}"
    ran, moved = found.ran.from_to(low, high), found.moved.from_to(low, high)
    melted = ran + found.matured.from_to(low, high)
    said += f" Of the {melted} in the whole set that melted {span}, {ran} ran and {moved} moved a good deal."
    if melt.outside:
        said += f" Outside the tested range: {and_list(melt.outside)}."
    return said

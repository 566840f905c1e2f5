"""Will it run? Fluidity of the clear melt alone, against the fired glazes that matured and stayed where they were."""

from __future__ import annotations

import math

from glazecalc.estimate.melted import fired_set
from glazecalc.readings.facts import Facts
from glazecalc.readings.fired_melt import judged, melts, not_judged
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
    stayed = fired.viscosity.matured_inside_stayed
    low, high = (edge, math.inf) if value > edge else (least, edge) if value >= least else (-math.inf, least)
    ran, moved = fired.viscosity.ran.from_to(low, high), fired.viscosity.moved.from_to(low, high)
    alike = f"of {ran + fired.viscosity.matured.from_to(low, high)} {'as fluid' if value <= edge else 'no more fluid'}"
    counted = f"More fluid than {stayed.above(value)} of {stayed.n} fired glazes that matured and stayed ({stayed.sources} sources)"
    counted += f"; {alike}, {ran} ran and {moved} moved"
    such = f"{ran} of {ran + fired.viscosity.matured.from_to(low, high)} such ran"
    if value > edge:
        code = "run-among"
        says = f"At {melt.heat.name} its melt is no more fluid than those of glazes that matured and stayed."
        do = "Thickness decides too: look at a thick drip on an upright tile."
        short = f"no more fluid than glazes that stayed ({such}). Look at a thick drip on a tile."
    elif value >= least:
        code = "run-fluid"
        says = f"At {melt.heat.name} its melt is more fluid than those of most glazes that matured: it may run where thick."
        do = "Fire an upright tile over a catcher, dipped twice at the top; leave the foot bare."
        short = f"more fluid than most that stayed ({such}): it may run where thick. Upright tile over a catcher."
    else:
        code = "run-very-fluid"
        says = f"At {melt.heat.name} its melt is very fluid: test it over a catcher."
        do = "Thin coats and a bare foot until an upright tile has shown it; more alumina and silica stiffen it."
        short = f"very fluid ({such}). Upright tile over a catcher first; thin coats, a bare foot."
    return judged(
        facts,
        melt,
        code=code,
        says=says,
        do=do,
        counted=counted,
        evidence={
            "matured_and_stayed": stayed.n,
            "matured_and_stayed_stiffer": stayed.above(value),
            "run_lower_tenth_log10_pa_s": edge,
            "very_fluid_log10_pa_s": least,
        },
        short=(short,),
    )

"""Will it melt at its cone? Stiffness of the clear melt alone, against the fired glazes that matured."""

from __future__ import annotations

import math

from glazecalc.estimate.melted import fired_set
from glazecalc.readings.facts import Facts
from glazecalc.readings.fired_melt import judged, melts, not_judged
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
    inside = fired.viscosity.matured_inside
    low, high = (cone, math.inf) if value >= cone else (edge, cone)
    matured, failed = fired.viscosity.matured.from_to(low, high), fired.viscosity.not_melted.from_to(low, high)
    counted = f"Stiffer than {inside.below(value)} of {inside.n} fired glazes that matured ({inside.sources} sources)"
    at = f"At {melt.heat.name} its"
    if value < edge:
        code, says = "melt-among", f"{at} clear melt is no stiffer than those of glazes that matured."
        do = "A tile at your cone settles it."
        short = (
            f"as fluid as glazes that matured (10^{value:.1f} Pa s, stiffer than {inside.below(value)} of {inside.n})."
        )
        test: tuple[str, ...] = ("A tile settles it.",)
    elif value < cone:
        code, says = "melt-stiff", f"{at} melt is stiffer than those of most glazes that matured."
        do = _HOTTER
        short = (
            f"stiffer than most that matured: 10^{value:.1f} Pa s; {matured} of {matured + failed} as stiff matured."
        )
        test = ("If a hotter tile is smoother, it is underfired.", "Fire a tile a cone hotter too.")
    else:
        code, says = "melt-like-a-cone", f"{at} melt is as stiff as a cone when it bends, or stiffer."
        do = f"{_HOTTER} To melt it here: less silica, or more of a flux or of boron."
        short = f"as stiff as a cone that bends, or stiffer (10^{value:.1f} Pa s; {matured} of {matured + failed} as stiff matured)."
        test = (
            "A tile first; to melt it less silica, more flux or boron.",
            "A tile first; more flux or boron melts it.",
        )
    if value >= edge:
        counted += f"; of {matured + failed} as stiff, {matured} matured"
    return judged(
        facts,
        melt,
        code=code,
        says=says,
        do=do,
        counted=counted,
        evidence={
            "matured_inside": inside.n,
            "matured_inside_more_fluid": inside.below(value),
            "melt_upper_tenth_log10_pa_s": edge,
            "stiff_as_a_cone_log10_pa_s": cone,
        },
        short=(short, test),
    )


_HOTTER = "Fire a tile here and one a cone hotter: if the hotter one is smoother, this one was underfired."

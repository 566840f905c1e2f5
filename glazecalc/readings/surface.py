"""Gloss or matt? A weak hint from the ratio of silica to alumina: cooling, thickness and what crystallises decide as much."""

from __future__ import annotations

from glazecalc.caution.ratio import ratio_conventions, ratio_of, ratio_readings
from glazecalc.estimate.melted import fired_set
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading

__all__ = ("read",)

_DO = "Fire a tile and cool it as you cool your ware; slow cooling dulls what fast cooling leaves bright."


def read(facts: Facts) -> Reading:
    """Return the reading `surface`."""
    ratio = None if facts.unity is None else ratio_of(facts.unity)
    if facts.unity is None or ratio is None:
        return Reading(
            about="surface",
            code="surface-no-word",
            says="Gloss or matt cannot be told: without flux and alumina there is no ratio to go by.",
            because="The published conventions stand on SiO2:Al2O3.",
            evidence={},
            do=_DO,
            source="no convention speaks of such a glaze",
        )
    words: dict[str, list[str]] = {}
    silent = 0
    for reading in ratio_readings(facts.unity):
        for word in reading.words:
            words.setdefault(word, []).append(reading.convention.who)
        silent += not reading.words
    fired = fired_set().silica_alumina_ratio
    said = "; ".join(f"{word}: {', '.join(who)}" for word, who in words.items()) or "no name for it"
    return Reading(
        about="surface",
        code="surface-hint",
        says=f"A weak hint: SiO2:Al2O3 is {ratio:.1f}. {said}.",
        because=(
            f"Of {len(ratio_conventions())} published conventions {silent} have no name for it. In the fired set gloss lies at "
            f"{fired.gloss.values[0]:.1f} to {fired.gloss.values[-1]:.1f} and matt at {fired.matt.values[0]:.1f} to {fired.matt.values[-1]:.1f}."
        ),
        evidence={"silica_alumina_ratio": ratio, "words": words},
        do=_DO,
        source=fired_set().source,
    )

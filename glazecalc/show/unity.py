"""Compositions: the unity formula as a textbook lays it out, in stacks of moles, and analyses in a row."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import zip_longest

from glazecalc.caution.ratio import ratio_of, ratio_readings
from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula
from glazecalc.show.text import number, wrapped

__all__ = ("page", "percent_block", "ratio_words", "unity_block")


def page(composition: UnityFormula | FiredAnalysis | MolePercent) -> str:
    """Return a unity formula in stacks, or an analysis in a row."""
    if isinstance(composition, UnityFormula):
        return "\n".join(unity_block(composition))
    head = "FIRED ANALYSIS  wt %" if isinstance(composition, FiredAnalysis) else "FIRED GLAZE  mol %"
    return "\n".join(percent_block(f"{head}, additions included, all iron as Fe2O3", composition))


def percent_block(head: str, percents: Mapping[str, float]) -> list[str]:
    """Return `head` and the oxides in a row, the largest first; those below 0.05 % by name alone."""
    ordered = sorted(percents.items(), key=lambda pair: -pair[1])
    shown = "  ".join(f"{oxide} {number(value, 1)}" for oxide, value in ordered if value >= 0.05)
    small = " ".join(oxide for oxide, value in ordered if value < 0.05)
    return [head, *wrapped(shown + (f"  below 0.05: {small}" if small else ""))]


def unity_block(unity: UnityFormula, *, named: bool = True) -> list[str]:
    """Return the unity formula as stacked moles under their groups; below them what is there in traces, and the ratio.

    `named` adds what the ratio is called by the authors who have a name for it.
    """
    counted = unity.convention.description
    lines = wrapped(f"UNITY FORMULA {counted.removeprefix('Moles ')}", indent=0, hang=2)
    stacks, traces = [], []
    for group, oxides in unity.groups().items():
        stack = [f"flux R2O {unity.r2o:.2f} RO {unity.ro:.2f}" if group == "flux" and oxides else group]
        for oxide, value in oxides.items():
            if value < 0.005:
                traces.append(f"{oxide} {value:.1g}")
            else:
                stack.append(f"{oxide:6s} {value:5.2f}")
        stacks.append(stack if oxides else [group, "none"])
    rows = zip_longest(*stacks, fillvalue="")
    lines += [("  " + "".join(f"{cell:24s}" for cell in row)).rstrip() for row in rows]
    below = [ratio_words(unity, named=named), *([f"traces: {', '.join(traces)}"] if traces else [])]
    return lines + [line for text in (below if named else ["   ".join(below)]) for line in wrapped(text, hang=4)]


def ratio_words(unity: UnityFormula, *, named: bool) -> str:
    """Return the ratio of silica to alumina, and with `named` what it is called by the authors who have a name for it."""
    ratio, plain = unity.silica_alumina_ratio, ratio_of(unity)
    if ratio is None or plain is None:
        return "SiO2:Al2O3 none (no alumina)"
    label, names_of = "SiO2:Al2O3", ""
    if unity.convention.boron_with_silica or unity.convention.boron_with_alumina:
        label = "(SiO2+B2O3):Al2O3" if unity.convention.boron_with_silica else "SiO2:(Al2O3+B2O3)"
        names_of = f"SiO2:Al2O3 {number(plain, 1)} by itself: "
    if not named:
        return f"{label} {number(ratio, 1)}"
    called: dict[str, list[str]] = {}
    for reading in ratio_readings(unity):
        cone = f" (cone {reading.convention.cone})" if reading.convention.cone else ""
        for name in reading.names:
            called.setdefault(name, []).append(f"{reading.convention.author}{cone}")
    said = "; ".join(f"{name}: {', '.join(authors)}" for name, authors in called.items()) or "no published name"
    differ = "authors read this ratio differently; " if len(called) > 1 else ""
    return f"{label} {number(ratio, 1)}   {names_of}{differ}{said}. The rate of cooling matters too."

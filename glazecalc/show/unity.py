"""Compositions: the unity formula as a textbook lays it out, in stacks of moles, and analyses in a row."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import zip_longest

from glazecalc.convert.unity import FiredAnalysis, MolePercent, UnityFormula
from glazecalc.show.text import number, wrapped

__all__ = ("page", "percent_block", "unity_block")


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


def unity_block(unity: UnityFormula, *, sums: str = "") -> list[str]:
    """Return the unity formula as stacked moles under their groups; below them `sums`, and what is there in traces."""
    counted = unity.convention.description
    lines = wrapped(f"UNITY FORMULA {counted.removeprefix('Moles ')}", indent=0, hang=2)
    stacks, traces = [], []
    for group, oxides in unity.groups().items():
        stack = [group]
        for oxide, value in oxides.items():
            if value < 0.005:
                traces.append(f"{oxide} {value:.1g}")
            else:
                stack.append(f"{oxide:6s} {value:5.2f}")
        stacks.append(stack if oxides else [group, "none"])
    rows = zip_longest(*stacks, fillvalue="")
    lines += [("  " + "".join(f"{cell:24s}" for cell in row)).rstrip() for row in rows]
    below = [part for part in (sums, f"traces: {', '.join(traces)}" if traces else "") if part]
    return [*lines, *wrapped("   ".join(below))]

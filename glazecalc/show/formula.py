"""The unity formula as a textbook lays it out: moles stacked under flux, stabilizer and glass former."""

from __future__ import annotations

from glazecalc.convert.unity import UnityFormula
from glazecalc.show.text import columns, wrapped

__all__ = ("unity_block",)


def unity_block(unity: UnityFormula) -> list[str]:
    """Return the unity formula as stacked moles under their groups, traces on a line of their own."""
    lines = ["UNITY FORMULA", *wrapped(f"{unity.convention.description}.")]
    stacks = []
    traces = []
    for group, oxides in unity.groups().items():
        stack = [group]
        for oxide, value in oxides.items():
            if value < 0.005:
                traces.append(f"{oxide} {value:.1g}")
            else:
                stack.append(f"{oxide:6s} {value:5.2f}")
        if len(stack) == 1 and not oxides:
            stack.append("none")
        stacks.append(stack)
    lines += columns(stacks, width=24)
    if traces:
        lines += wrapped("traces: " + ", ".join(traces))
    return lines

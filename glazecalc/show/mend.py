"""The page of `glazecalc mend`."""

from __future__ import annotations

import math

from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.workshop.mend import Mend, MendLine

__all__ = ("page",)


def page(found: Mend) -> str:
    """Return the list of additions and the advice, as plain text in 100 columns."""
    planned = f" planned at {found.asked_g:.0f} g in total" if found.asked_g is not None else ""
    rows = [["", "material", "in bucket g", "planned g", "add g", "then g", ""]]
    rows += [_row(line, found) for line in found.lines]
    rows += [["", x.name, f"{x.mass_g:.1f}", "-", "", "", "not in the recipe"] for x in found.foreign]
    head = wrapped(f"{found.recipe or 'The recipe'}: mending a batch{planned}", indent=0, hang=2)
    out = [*head, "", *table(rows, left=(0, 1, 6), wrap=1)]
    if found.restored_g is not None:
        added = math.fsum(_shown(line, found) for line in found.lines)
        rounding = f" to steps of {found.step_g:g} g" if found.step_g else ""
        out += ["", f"  add {added:.1f} g altogether{rounding}; the batch is then {found.weighed_g + added:.1f} g dry."]
    return "\n".join([*out, "", *wrapped(found.advice, indent=0)])


def _shown(line: MendLine, found: Mend) -> float:
    """Return the addition as printed [g], so that printed sums add up."""
    if found.restored_g is None:
        return 0.0
    return round(line.weigh_g, 1) if found.step_g is None else line.weigh_g


def _row(line: MendLine, found: Mend) -> list[str]:
    now = _shown(line, found)
    return [
        "[ ]" if now > 0 else "",
        line.name,
        f"{line.weighed_g:.1f}",
        f"{line.planned_g:.1f}",
        f"{now:.1f}" if found.step_g is None else f"{now:g}",
        f"{line.weighed_g + now:.1f}",
        "over" if line.is_over else "",
    ]

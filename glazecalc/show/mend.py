"""The page of `glazecalc mend`."""

from __future__ import annotations

import math
import textwrap
from typing import Any

from glazecalc.workshop.mend import Mend

__all__ = ("mend_page",)


def mend_page(name: str, found: Mend, add: list[dict[str, Any]], planned: float | None, step: float | None) -> str:
    """Return the list of additions and the advice, as plain text in 100 columns."""
    grams = {x["material"]: x["mass_g"] for x in add}
    rounding = f" to steps of {step:g} g" if step else ""
    out = [f"{name}: mending a batch" + (f" planned at {planned:.0f} g all-in" if planned is not None else ""), ""]
    out.append(f"      {'material':<30}{'in bucket g':>12}{'planned g':>12}{'add g':>12}{'then g':>12}")
    total = 0.0
    for x in found.lines:
        now = round(grams.get(x.material, 0.0), 1) if step is None else grams.get(x.material, 0.0)
        total += now
        box = "[ ]" if now > 0 else "   "
        over = "   over" if x.weighed_g > x.planned_g * (1 + 1e-9) else ""
        shown = f"{now:>12.1f}" if step is None else f"{now:>12g}"
        out.append(
            f"  {box} {x.name:<30.30}{x.weighed_g:>12.1f}{x.planned_g:>12.1f}{shown}{x.weighed_g + now:>12.1f}{over}"
        )
    if found.dry_mass_g is not None:
        out += [
            "",
            f"  add in all {total:.1f} g{rounding}; the batch is then {math.fsum(x.weighed_g for x in found.lines) + total:.1f} g dry.",
        ]
    out += ["", *_wrap(found.advice)]
    return "\n".join(out)


def _wrap(text: str) -> list[str]:

    return textwrap.wrap(text, 98)

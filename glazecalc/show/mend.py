"""The page of `glazecalc mend`: the answer, then the table, then what a weight may be off by."""

from __future__ import annotations

import math

from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.workshop.mend import Mend, MendLine
from glazecalc.workshop.practice import choice
from glazecalc.workshop.steps import step_text

__all__ = ("closing", "page", "restored_rows", "right", "start_over_rows")


def page(found: Mend) -> str:
    """Return the answer, and either the additions to tick off or what speaks for starting again, as plain text in 100 columns."""
    planned = f", planned at {found.asked_g:.0f} g in total" if found.asked_g is not None else ""
    out = [*wrapped(f"{found.recipe or 'The recipe'}{planned}", indent=0, hang=2), *wrapped(found.advice, indent=0), ""]
    if found.action == "start-over":
        out += table(start_over_rows(found), left=(0, 4), wrap=0)
    else:
        rows = restored_rows(found)
        out += table(rows, left=(0, 1, len(rows[0]) - 1), wrap=1)
    if last := closing(found):
        out += ["", f"  {last}"]
    return "\n".join([*out, "", *wrapped(right(found), indent=0)])


def closing(found: Mend) -> str:
    """Return what the additions come to, and the batch with them; empty where nothing is to be added."""
    if found.action != "add":
        return ""
    added = math.fsum(_shown(line, found) for line in found.lines)
    rounding = f" to steps of {step_text(found.step_g)}" if found.step_g and found.step_from == "given" else ""
    return f"add {added:.1f} g altogether{rounding}; the batch is then {found.dry_mass_g or 0.0:.1f} g dry."


def right(found: Mend) -> str:
    """Return when a weight counts as right."""
    share = f"{choice('on_recipe_percent'):g} %"
    if found.step_g is None:
        return f"A weight is right within {share}; with --step, within half a step of the scale."
    read = " (read from the weights, which are whole multiples of it)" if found.step_from == "weights" else ""
    most = choice("fine_scale_percent")
    return f"A weight is right within half a step of {step_text(found.step_g)}{read}, at most {most:g} %, or within {share}."


def restored_rows(found: Mend) -> list[list[str]]:
    """Return the rows of a batch that is on its recipe or comes back to it, what is to be added first; a box where there is something to add."""
    adding = found.action == "add"
    rows = [["", "material", "in bucket g", "by recipe g", *(["add g", "then g"] if adding else []), ""]]
    for line in sorted(found.lines, key=lambda line: (line.add_g == 0, -line.final_g)):
        now = _shown(line, found)
        more = [_number(now), f"{line.then_g:.1f}"] if adding and now else ["", f"{line.weighed_g:.1f}"]
        beside = "fine scale" if line.fine_scale or line.is_below_step else "over" if line.is_over else ""
        box = "[ ]" if now > 0 else ""
        rows.append([box, line.name, f"{line.weighed_g:.1f}", f"{line.due_g:.1f}", *(more if adding else []), beside])
    return rows


def start_over_rows(found: Mend) -> list[list[str]]:
    """Return the rows of a batch to start again: what should not be there first, and what to weigh once it is scooped off."""
    off, then = ({one.material: one for one in part} for part in (found.scoop_off, found.then_weigh))
    rows = [["material", "in bucket g", "scoop off g", "then weigh g", ""]]
    rows += [
        [one.name, f"{one.mass_g:.1f}", f"{one.mass_g:.1f}" if one.material in off else "", "", "not in the recipe"]
        for one in found.foreign
    ]
    own = {one.material for one in found.foreign}
    listed = [line for line in found.lines if line.material not in own]
    for line in sorted(listed, key=lambda line: (not line.is_over, -line.due_g)):
        amounts = [_number(part[line.material].mass_g) if line.material in part else "" for part in (off, then)]
        rows.append([line.name, f"{line.weighed_g:.1f}", *amounts, "over" if line.is_over else ""])
    return rows


def _shown(line: MendLine, found: Mend) -> float:
    """Return the addition as printed [g], so that printed sums add up."""
    if found.step_from == "given" and not line.fine_scale:
        return line.weigh_g
    return round(line.weigh_g, _decimals(line.weigh_g))


def _number(mass_g: float) -> str:
    return f"{mass_g:.{_decimals(mass_g)}f}"


def _decimals(mass_g: float) -> int:
    """Return the decimals of a weight [g]: what is below 10 g goes on a fine scale."""
    return 2 if mass_g < 10 else 1

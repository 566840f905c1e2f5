"""The page of a nudge: the wishes, the lines that move, and what else moves with them."""

from __future__ import annotations

from glazecalc.reformulate.nudge import Nudge
from glazecalc.show.effects import caution_changes, effect_line
from glazecalc.show.notices import notice_lines
from glazecalc.show.table import table
from glazecalc.show.text import wrapped

__all__ = ("page",)


def page(nudge: Nudge) -> str:
    """Return the page."""
    counted = wrapped(f"{nudge.convention.description}.", indent=0)
    lines = [*wrapped(nudge.recipe.name, indent=0), "=" * 40, *counted, ""]
    rows = [["wish", "before", "wished", "reached", ""]]
    for wish in nudge.wishes:
        figures = [
            "none" if value is None else f"{value:.{wish.decimals}f}"
            for value in (wish.before, wish.wanted, wish.reached)
        ]
        rows.append([wish.text, *figures, "met" if wish.met else "not met"])
    lines += table(rows, left=(0, 4))
    rows = [["", "before", "now", "change"]]
    for line in nudge.lines:
        change = line.parts - line.before
        shown = f"{change:+.1f}" if abs(change) >= 0.05 else f"{change:+.2f}" if abs(change) >= 0.005 else ""
        before = f"{line.before:.1f}" if line.before else "-"
        rows.append([f"{'+ ' if line.addition else ''}{line.name}", before, f"{line.parts:.1f}", shown])
    totals = f"base {nudge.base_total:.1f}, all-in {nudge.total:.1f}; {nudge.moved_percent:.1f} % of the base moves"
    lines += ["", *table(rows), f"  {totals}"]
    moved = (oxide for oxide, value in nudge.change.items() if abs(value) >= 0.005)
    text = "  ".join(f"{oxide} {nudge.unity_before[oxide]:.2f} -> {nudge.unity[oxide]:.2f}" for oxide in moved)
    lines += ["", "What else moves", *wrapped(text or "no oxide by 0.005 or more")]
    lines += [effect_line(effect) for effect in nudge.effects]
    if any(not effect.in_window for effect in nudge.effects):
        lines.append("  ? outside the range that its model was tested on.")
    lines += caution_changes(nudge)
    last = "The direction of a calculated change is solid, its size is not: fire the old and the new side by side."
    return "\n".join([*lines, "", *wrapped(last, indent=0), *notice_lines(nudge.notices)])

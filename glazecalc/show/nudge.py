"""The page of a nudge: the wishes, the lines that move, and what else moves with them."""

from __future__ import annotations

from glazecalc.reformulate.nudge import Nudge
from glazecalc.show.effects import caution_changes, effect_lines, effect_notes
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
        said = f"{wish.text} ({wish.meant})" if wish.meant else wish.text
        rows.append([said, *figures, "met" if wish.met else "not met"])
    lines += table(rows, left=(0, 4))
    rows = [["", "before", "now", "change", ""]]
    for line in nudge.lines:
        change = line.parts - line.before
        shown = f"{change:+.1f}" if abs(change) >= 0.05 else f"{change:+.2f}" if abs(change) >= 0.005 else ""
        before = f"{line.before:.1f}" if line.before else "-"
        now, gone = (f"{line.parts:.1f}", "") if line.parts else ("-", "gone")
        rows.append([f"{'+ ' if line.addition else ''}{line.name}", before, now, shown, gone])
    totals = f"base {nudge.base_total:.1f}, total {nudge.total:.1f}; {nudge.moved_percent:.1f} % of the base moves"
    lines += ["", *table(rows, left=(0, 4)), f"  {totals}"]
    moved = (oxide for oxide, value in nudge.change.items() if abs(value) >= 0.005)
    text = "  ".join(f"{oxide} {nudge.unity_before[oxide]:.2f} -> {nudge.unity[oxide]:.2f}" for oxide in moved)
    lines += ["", "What else moves", *wrapped(text or "no oxide by 0.005 or more")]
    lines += [*effect_lines(nudge.effects), *effect_notes(nudge.effects)]
    lines += caution_changes(nudge)
    last = "Fire the old and the new side by side: the kiln has the last word on direction and size."
    return "\n".join([*lines, "", *wrapped(last, indent=0)])

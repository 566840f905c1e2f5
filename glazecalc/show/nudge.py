"""The page of a nudge: the wishes, the lines that move, and what else moves with them."""

from __future__ import annotations

from glazecalc.reformulate.nudge import Nudge
from glazecalc.show.effects import caution_changes, effect_lines, effect_notes, moved_parts
from glazecalc.show.table import table
from glazecalc.show.text import wrapped

__all__ = ("LAST", "line_rows", "moved", "page", "totals_words", "wish_rows")

LAST = "Fire the old and the new side by side: the kiln has the last word on direction and size."


def page(nudge: Nudge) -> str:
    """Return the page."""
    counted = wrapped(f"{nudge.convention.description}.", indent=0)
    lines = [*wrapped(nudge.recipe.name, indent=0), "=" * 40, *counted, ""]
    lines += table([["wish", "before", "wished", "reached", ""], *wish_rows(nudge)], left=(0, 4))
    rows = [["", "before", "now", "change", ""], *line_rows(nudge)]
    lines += ["", *table(rows, left=(0, 4)), f"  {totals_words(nudge)}"]
    text = "  ".join(f"{oxide} {before} -> {now}" for oxide, before, now, _ in moved(nudge))
    lines += ["", "What else moves", *wrapped(text or "no oxide by 0.005 or more")]
    lines += [*effect_lines(nudge.effects), *effect_notes(nudge.effects)]
    lines += caution_changes(nudge)
    return "\n".join([*lines, "", *wrapped(LAST, indent=0)])


def wish_rows(nudge: Nudge) -> list[list[str]]:
    """Return each wish, its figure before, as wished and as reached, and whether it is met."""
    rows = []
    for wish in nudge.wishes:
        figures = [
            "none" if value is None else f"{value:.{wish.decimals}f}"
            for value in (wish.before, wish.wanted, wish.reached)
        ]
        said = f"{wish.text} ({wish.meant})" if wish.meant else wish.text
        rows.append([said, *figures, "met" if wish.met else "not met"])
    return rows


def line_rows(nudge: Nudge) -> list[list[str]]:
    """Return each line: name, parts before and now, the change where it can be seen, and whether the line is gone."""
    rows = []
    for line in nudge.lines:
        shown = moved_parts(line.parts - line.before)
        before = f"{line.before:.1f}" if line.before else "-"
        now, gone = (f"{line.parts:.1f}", "") if line.parts else ("-", "gone")
        rows.append([f"{'+ ' if line.addition else ''}{line.name}", before, now, shown, gone])
    return rows


def totals_words(nudge: Nudge) -> str:
    """Return what the lines add up to, and how much of the base moves."""
    return f"base {nudge.base_total:.1f}, total {nudge.total:.1f}; {nudge.moved_percent:.1f} % of the base moves"


def moved(nudge: Nudge) -> list[tuple[str, str, str, float]]:
    """Return the oxides that move by 0.005 mole or more: before, now, and by how much."""
    return [
        (oxide, f"{nudge.unity_before[oxide]:.2f}", f"{nudge.unity[oxide]:.2f}", change)
        for oxide, change in nudge.change.items()
        if abs(change) >= 0.005
    ]

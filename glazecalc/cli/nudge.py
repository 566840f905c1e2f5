"""``glazecalc nudge``: the smallest change of a batch that does what is wished."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from glazecalc.cli.options import (
    convention_option,
    echo_json,
    echo_notices,
    json_option,
    library_from,
    materials_option,
)
from glazecalc.convention import Convention
from glazecalc.show.reformulate import effect_line, first_sentence
from glazecalc.show.table import table
from glazecalc.show.text import wrapped

if TYPE_CHECKING:
    from glazecalc.reformulate.nudge import Nudge

__all__ = ("command",)


@click.command("nudge")
@click.argument("recipe")
@click.argument("wishes", nargs=-1, required=True)
@click.option("--also", multiple=True, metavar="NAME", help="A material that may come in; may repeat.")
@click.option("--fix", "fixed", multiple=True, metavar="NAME", help="A line that must not move; may repeat.")
@click.option("--keep", multiple=True, metavar="OXIDES", help='Oxides and sums to keep, e.g. "CaO,K2O+Na2O".')
@click.option(
    "--model", type=click.Choice(("fitted", "appen")), default="fitted", show_default=True, help="The expansion model."
)
@materials_option
@convention_option
@json_option
def command(
    recipe: str,
    wishes: tuple[str, ...],
    also: tuple[str, ...],
    fixed: tuple[str, ...],
    keep: tuple[str, ...],
    model: str,
    materials: tuple[str, ...],
    convention: Convention,
    as_json: bool,
) -> None:
    """The smallest change of RECIPE that does what is wished, by the estimates.

    \b
    Example:  glazecalc nudge clear.txt "expansion down 0.4, ratio kept"
    Wishes:   expansion down 0.4 / softening 20 lower / alumina +0.05 / SiO2 to 3.6 / ratio kept /
              K2O+Na2O kept / kaolin +3 / cobalt carbonate -0.5 / less cobalt

    Expansion in 1e-6 per K, softening temperature in C, oxides in moles per mole of flux, materials in parts. The base keeps
    its total, additions keep their numbers. Calculated direction is solid, calculated size is not: fire the test.
    """
    from glazecalc.files.recipes import read_recipe
    from glazecalc.reformulate.nudge import nudge

    library = library_from(materials)
    written = read_recipe(recipe)
    result = nudge(written, library, wishes, also=also, without=fixed, keep=keep, model=model, convention=convention)
    if as_json:
        echo_json(result.to_dict())
    else:
        click.echo(_page(result, written.name or recipe))
    echo_notices(result.notices)


def _page(result: Nudge, title: str) -> str:
    lines = [f"{title}, nudged", "=" * 40, result.convention.describe() + ".", ""]
    rows = [["wish", "before", "wished", "reached", ""]]
    for wish in result.wishes:
        digits = 0 if "soften" in wish.text.lower() else 2
        figures = [f"{value:.{digits}f}" for value in (wish.before, wish.wanted, wish.reached)]
        rows.append([wish.text, *figures, "met" if wish.met else "not met"])
    lines += table(rows, left=(0, 4))
    rows = [["", "before", "now", "change"]]
    for line in result.lines:
        change = line.parts - line.before
        shown = f"{change:+.1f}" if abs(change) >= 0.05 else f"{change:+.2f}" if abs(change) >= 0.005 else ""
        rows.append(
            [
                f"{'+ ' if line.addition else ''}{line.name[:50]}",
                f"{line.before:.1f}" if line.before else "-",
                f"{line.parts:.1f}",
                shown,
            ]
        )
    lines += [
        "",
        *table(rows),
        f"  base {result.base_total:.1f}, all-in {result.total:.1f}; {result.moved_percent:.1f} % of the base moves",
    ]
    moved = {oxide: value for oxide, value in result.change.items() if abs(value) >= 0.005}
    text = "  ".join(f"{oxide} {result.unity_before[oxide]:.2f} -> {result.unity[oxide]:.2f}" for oxide in moved)
    lines += ["", "What else moves", *wrapped(text or "no oxide by 0.005 or more", indent=2)]
    lines += [effect_line(effect) for effect in result.effects]
    if any(not effect.in_window for effect in result.effects):
        lines.append("  ? outside the range that its model was tested on.")
    for message in result.new_cautions:
        lines += wrapped(f"New caution: {first_sentence(message)}", indent=2, hang=4)
    for message in result.vanished_cautions:
        lines += wrapped(f"Caution gone: {first_sentence(message)}", indent=2, hang=4)
    lines += [
        "",
        *wrapped(
            "The direction of a calculated change is solid, its size is not: fire the old and the new side by side.",
            indent=0,
        ),
    ]
    return "\n".join(lines)

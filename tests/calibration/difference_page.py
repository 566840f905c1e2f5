"""The page of evidence for the error of a difference, and the words that go into its data file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

__all__ = ("HOW", "evidence_page")

HOW = (
    "pairs of glasses of one paper, both calculated by a fit that saw neither; distance: half the sum of the differences of the "
    "oxides [mol %], iron as Fe2O3. Half width of the model's error = factor[level] * scale * distance^power; an observed error "
    "holds the measurements too: factor * scale * sqrt(nought^2 + distance^(2 power)). regions: further factor where one of "
    "the two glazes is dark with iron or outside the tested range (of_one_glaze: too few pairs, taken from the interval of one glaze)"
)

_HEAD = """# The error of a difference between two glazes

Written by `python tests/calibration/differences.py`; the numbers of the data file `glazecalc/data/differences_fitted.yaml`.

Two glazes share most of what a model gets wrong: the bench, the rate, the reading of a paper, the oxides that both hold alike.
What is left of it in their difference grows with how unlike they are. This page measures it.

**Pairs.** Every two glasses of one paper with the same property (for expansion the same range, for viscosity the same temperature),
60 at most of a paper, drawn with a fixed seed. Both are calculated by a fit that has seen neither their paper nor any paper
sharing a composition with it: the cross-validation of the models themselves. Appen's method is not fitted here; its pairs are
taken as they are. Data: SciGlass (ODbL), as carried by PyPI glasspy 0.4.0, the papers of `reserved_sources.txt` and their copies left out.

**Distance.** Half the sum of the differences of all oxides in mol %: the share of the glass that was exchanged.

**Law.** Half width at a level = factor(level) x scale x sqrt(nought^2 + distance^(2 power)). `power`, `nought` and `scale` (for
viscosity one a temperature) come by likelihood of the sizes of the errors, every group of papers counting the same: the shape from
pairs inside the tested range and outside it together (without the dark), scale and factors from those inside. The factors are
conformal quantiles over the groups. Two measured values carry two measurement errors: `nought` is what is left at distance nought.
It is no part of what the program prints, which is factor x scale x distance^power. In a paper errors common to both measurements
drop out too, so the scatter at nought is that of repeated work on one bench, not that between two laboratories.

**Outside.** Where one of the two glazes is dark with iron or outside the tested range the width is multiplied by a factor measured on
such pairs; where they come from too few papers, by the factor of a single glaze, which is too careful where both hold the same iron.

**Held.** In the tables the law was fitted on seven eighths of the groups of papers and counted on the eighth left out. "sure": the share
of pairs whose calculated difference exceeds the model's own 90 % width. "right": the share whose direction was measured
so. Of pairs near each other the measurements themselves are unsure: counted by source the odds told are some five in a hundred too
high against what was measured, and too low where the measured difference exceeds the scatter at nought. Not judged there: pairs of
no calculated or no measured difference.
"""


def evidence_page(entries: Sequence[Mapping[str, Any]]) -> str:
    """Return the page for the entries of the data file."""
    lines = [_HEAD, "## In short", ""]
    lines += [
        "| quantity | model | pairs | groups of papers | power | 90 % width at 1, 3, 10 mol % | scatter at nought, 90 % | held at 80 / 90 / 95 %, by source | sure | of these right |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    lines += [_in_short(entry) for entry in entries]
    lines += ["", "Viscosity there at 1200 C.", ""]
    for entry in entries:
        lines += _whole(entry)
    return "\n".join(lines) + "\n"


def _place(entry: Mapping[str, Any]) -> int:
    """Return which scale stands for the quantity in the short table."""
    return entry["knots_c"].index(1200.0) if entry["knots_c"] else 0


def _digits(entry: Mapping[str, Any]) -> int:
    return 1 if entry["unit"] == "deg C" else 2


def _in_short(entry: Mapping[str, Any]) -> str:
    scale, digits = entry["factor"][90] * entry["scale"][_place(entry)], _digits(entry)
    widths = ", ".join(f"{scale * distance ** entry['power']:.{digits}f}" for distance in (1, 3, 10))
    held = entry["cross_validated"]["held"]
    shares = " / ".join(f"{held[level]['by_source']:.2f}" for level in (80, 90, 95))
    sure = entry["cross_validated"]["sure"]
    return (
        f"| {entry['quantity']} [{entry['unit']}] | {entry['model']} | {entry['pairs']} | {entry['sources']} | {entry['power']:.2f} | {widths} "
        f"| {scale * entry['nought']:.{digits}f} | {shares} | {100 * sure['share_of_pairs']:.0f} % | {100 * sure['right']:.0f} % |"
    )


def _whole(entry: Mapping[str, Any]) -> list[str]:
    digits, factor = _digits(entry), entry["factor"]
    lines = [f"## {entry['quantity']}, {entry['model']} [{entry['unit']}]", ""]
    if entry["knots_c"]:
        widths = (factor[90] * scale for scale in entry["scale"])
        at = zip(entry["knots_c"], widths, strict=True)
        told = ", ".join(f"{knot:.0f} C {width:.2f}" for knot, width in at)
        lines += [f"90 % width at a distance of 1 mol %, by temperature: {told}.", ""]
    ratios = ", ".join(f"{level} % {factor[level] / factor[90]:.2f}" for level in (50, 80, 95))
    lines += [f"Other levels, as shares of the 90 % width: {ratios}.", ""]
    for name, region in entry["regions"].items():
        told = ", ".join(
            f"{level} % {'none' if value is None else f'x {value:.2f}'}{' (of one glaze)' if level in region['of_one_glaze'] else ''}"
            for level, value in region["factor"].items()
        )
        lines.append(f"- {name}: {region['pairs']} pairs from {region['sources']} groups of papers; {told}.")
    lines += [
        "",
        "| distance, mol % | pairs | groups | median error | held at 90 %, by row | by source | sure | right, of all |",
        "|---|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {band['from']:g}-{band['to']:g} | {band['pairs']} | {band['sources']} | {band['median_error']:.{digits}f} | {band['held_90_by_row']:.2f} "
        f"| {band['held_90_by_source']:.2f} | {100 * band['sure']:.0f} % | {100 * band['right']:.0f} % |"
        for band in entry["cross_validated"]["bands"]
    ]
    lines += ["", "| odds told of the direction | pairs | measured so, by row | by source |", "|---|---|---|---|"]
    lines += [
        f"| {100 * row['from']:.0f}-{100 * row['to']:.0f} % | {row['pairs']} | {100 * row['right']:.0f} % | {100 * row['right_by_source']:.0f} % |"
        for row in entry["cross_validated"]["odds"]
    ]
    return [*lines, ""]

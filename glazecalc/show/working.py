"""The calculation laid out so that a hand can follow it, with the molar masses used."""

from __future__ import annotations

from glazecalc.check_report import CheckReport
from glazecalc.convert.moles import analysis_matrix, counted, molar_mass_array
from glazecalc.oxides import AXIS, INDEX, molar_mass
from glazecalc.show.table import table
from glazecalc.show.text import heading, rule, wrapped
from glazecalc.show.unity import unity_block

__all__ = ("FEO_COUNTED", "brought", "division", "loss_lines", "mole_rows", "page")

FEO_COUNTED = "FeO is counted as Fe2O3: two FeO make one Fe2O3 (mass x 1.1113)."


def page(report: CheckReport) -> str:
    """Return the working of a check: oxides from materials, moles, division by the flux sum."""
    lines = [*heading(f"Working: {report.batch.recipe.name or '(no title)'}"), rule()]
    lines += ["1. WHAT EACH MATERIAL BRINGS  parts x wt % / 100"]
    lines += [line for what, made_of in brought(report) for line in wrapped(f"{what}: {made_of}", hang=6)]
    rows = mole_rows(report)
    lines += ["", "2. MOLES  sum of the parts / molar mass (periodictable)", *table(rows)]
    if "FeO" in [row[0] for row in rows]:
        lines.append(f"  {FEO_COUNTED}")
    head, steps = division(report)
    lines += ["", f"3. UNITY  {head}", *(line for text in steps for line in wrapped(text, hang=4))]
    if report.unity is not None:
        lines += ["", *unity_block(report.unity)]
    lines += ["", "4. LOSS ON IGNITION  sum of parts x loss % / total"]
    return "\n".join([*lines, *(f"  {text}" for text in loss_lines(report))])


def _present(report: CheckReport) -> list[str]:
    masses = report.batch.contributions()
    return [oxide for oxide in AXIS if masses[:, INDEX[oxide]].sum() > 0]


def brought(report: CheckReport) -> list[tuple[str, str]]:
    """Return each line with its parts, and the oxides that it brings."""
    batch, present = report.batch, _present(report)
    found = []
    for line, percents, parts in zip(batch.lines, analysis_matrix(batch.materials), batch.contributions(), strict=True):
        material = line.material
        made_of = ", ".join(
            f"{oxide} {percents[INDEX[oxide]]:.2f} % = {parts[INDEX[oxide]]:.3f}"
            for oxide in present
            if percents[INDEX[oxide]] > 0
        )
        basis = f" [{material.formula}]" if material.formula else ""
        loss = f"; loss on ignition {material.loi_percent:.2f} %" if material.loi_percent else ""
        found.append((f"{material.name}{basis} {line.parts:g}", f"{made_of or 'nothing stays after firing'}{loss}"))
    return found


def mole_rows(report: CheckReport) -> list[list[str]]:
    """Return parts, molar mass and moles of each oxide, below the names of the columns."""
    masses = report.batch.contributions().sum(axis=0)
    moles = masses / molar_mass_array()
    rows = [["oxide", "parts", "g/mol", "moles"]]
    for oxide in _present(report):
        mass, found = masses[INDEX[oxide]], moles[INDEX[oxide]]
        rows.append([oxide, f"{mass:.4f}", f"{molar_mass(oxide):.3f}", f"{found:.5f}"])
    return rows


def division(report: CheckReport) -> tuple[str, list[str]]:
    """Return what the moles are divided by, and the sum with an example."""
    unity = report.unity
    if unity is None:
        return "none: there is no flux to divide by.", []
    convention = unity.convention
    shown = counted(report.batch.contributions().sum(axis=0) / molar_mass_array(), convention)
    used = [oxide for oxide in convention.basis if shown[INDEX[oxide]] > 0]
    total = float(sum(shown[INDEX[oxide]] for oxide in used))
    steps = [f"{' + '.join(f'{oxide} {shown[INDEX[oxide]]:.5f}' for oxide in used)} = {total:.5f}"]
    silica = float(shown[INDEX["SiO2"]])
    if silica > 0:
        steps.append(f"for example SiO2: {silica:.5f} / {total:.5f} = {silica / total:.3f}")
    return f"moles / sum of the {'alumina' if convention.unity_on_alumina else 'fluxes'}", steps


def loss_lines(report: CheckReport) -> list[str]:
    """Return the loss of the base and of the total batch."""
    batch = report.batch
    return [
        f"base: {report.loi_percent_base:.2f} % of {batch.base_total:g}",
        f"total batch: {report.loi_percent_all_in:.2f} % of {batch.all_in_total:g}",
    ]

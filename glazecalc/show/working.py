"""The calculation laid out so that a hand can follow it, with the molar masses used."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glazecalc.check_report import CheckReport
from glazecalc.convert.moles import analysis_matrix, counted, molar_mass_array
from glazecalc.oxides import AXIS, INDEX, molar_mass
from glazecalc.show.table import table
from glazecalc.show.text import heading, rule, wrapped
from glazecalc.show.unity import unity_block

__all__ = ("page",)


def page(report: CheckReport) -> str:
    """Return the working of a check: oxides from materials, moles, division by the flux sum."""
    batch = report.batch
    brought = batch.contributions()
    present = [oxide for oxide in AXIS if brought[:, INDEX[oxide]].sum() > 0]
    lines = [*heading(f"Working: {batch.recipe.name or '(no title)'}"), rule()]
    lines += ["1. WHAT EACH MATERIAL BRINGS  parts x wt % / 100"]
    for line, percents, parts in zip(batch.lines, analysis_matrix(batch.materials), brought, strict=True):
        material = line.material
        made_of = ", ".join(
            f"{oxide} {percents[INDEX[oxide]]:.2f} % = {parts[INDEX[oxide]]:.3f}"
            for oxide in present
            if percents[INDEX[oxide]] > 0
        )
        basis = f" [{material.formula}]" if material.formula else ""
        loss = f"; loss on ignition {material.loi_percent:.2f} %" if material.loi_percent else ""
        lines += wrapped(
            f"{material.name}{basis} {line.parts:g}: {made_of or 'nothing stays after firing'}{loss}", hang=6
        )
    masses = brought.sum(axis=0)
    moles = masses / molar_mass_array()
    lines += ["", "2. MOLES  sum of the parts / molar mass (periodictable)"]
    rows = [["oxide", "parts", "g/mol", "moles"]]
    for oxide in present:
        mass, found = masses[INDEX[oxide]], moles[INDEX[oxide]]
        rows.append([oxide, f"{mass:.4f}", f"{molar_mass(oxide):.3f}", f"{found:.5f}"])
    lines += table(rows)
    if "FeO" in present:
        lines.append("  FeO is counted as Fe2O3: two FeO make one Fe2O3 (mass x 1.1113).")
    lines += [*_division(report, moles), "", "4. LOSS ON IGNITION  sum of parts x loss % / total"]
    lines += [f"  base: {report.loi_percent_base:.2f} % of {batch.base_total:g}"]
    lines += [f"  total batch: {report.loi_percent_all_in:.2f} % of {batch.all_in_total:g}"]
    return "\n".join(lines)


def _division(report: CheckReport, moles: NDArray[np.float64]) -> list[str]:
    unity = report.unity
    if unity is None:
        return ["", "3. UNITY  none: there is no flux to divide by."]
    convention = unity.convention
    shown = counted(moles, convention)
    used = [oxide for oxide in convention.basis if shown[INDEX[oxide]] > 0]
    total = float(sum(shown[INDEX[oxide]] for oxide in used))
    adding = " + ".join(f"{oxide} {shown[INDEX[oxide]]:.5f}" for oxide in used)
    lines = ["", "3. UNITY  moles / sum of the " + ("alumina" if convention.unity_on_alumina else "fluxes")]
    lines += wrapped(f"{adding} = {total:.5f}", hang=4)
    silica = float(shown[INDEX["SiO2"]])
    if silica > 0:
        lines.append(f"  for example SiO2: {silica:.5f} / {total:.5f} = {silica / total:.3f}")
    return [*lines, "", *unity_block(unity)]

"""Two recipes side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from glazecalc.check_report import CheckReport
from glazecalc.cone_temperatures import cone_temperature_c
from glazecalc.errors import GlazeError
from glazecalc.estimate.viscosity import ViscosityDifference, compare_viscosity
from glazecalc.oxides import AXIS
from glazecalc.show.cautions import caution_in_short
from glazecalc.show.table import table
from glazecalc.show.text import decimals, heading, number, rule, wrapped

__all__ = ("compare_dict", "compare_page")


def _recipe_name(report: CheckReport, fallback: str) -> str:
    return report.batch.recipe.name or report.batch.recipe.path or fallback


def _oxides(*compositions: Mapping[str, float] | None) -> list[str]:
    names = {oxide for composition in compositions if composition for oxide in composition}
    return [oxide for oxide in ("KNaO", *AXIS) if oxide in names]


def _difference(a: Mapping[str, float] | None, b: Mapping[str, float] | None) -> dict[str, float]:
    if a is None or b is None:
        return {}
    return {oxide: b.get(oxide, 0.0) - a.get(oxide, 0.0) for oxide in _oxides(a, b)}


def _percent_of_base(report: CheckReport) -> dict[tuple[str, str, bool], float]:
    batch = report.batch
    return {
        (m.id, m.name, added): 100 * p / batch.base_total
        for m, p, added in zip(batch.materials, batch.parts, batch.addition, strict=True)
    }


def _minus(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None else b - a


def compare_dict(a: CheckReport, b: CheckReport) -> dict[str, Any]:
    """Return both reports and `difference`, second minus first."""
    ratio_a = a.unity.silica_alumina_ratio if a.unity else None
    ratio_b = b.unity.silica_alumina_ratio if b.unity else None
    left, right = _percent_of_base(a), _percent_of_base(b)
    melt = melt_difference(a, b)
    return {
        "a": a.to_dict(),
        "b": b.to_dict(),
        "difference": {
            "convention": a.convention.to_dict(),
            "lines": [
                {
                    "material": key[0],
                    "name": key[1],
                    "addition": key[2],
                    "percent_of_base": right.get(key, 0.0) - left.get(key, 0.0),
                }
                for key in dict.fromkeys([*left, *right])
            ],
            "unity": _difference(a.unity, b.unity),
            "fired_analysis_percent": _difference(a.fired, b.fired),
            "mole_percent": _difference(a.moles, b.moles),
            "silica_alumina_ratio": _minus(ratio_a, ratio_b),
            "loi_percent_base": b.batch.loss_percent(base_only=True) - a.batch.loss_percent(base_only=True),
            "loi_percent_all_in": b.batch.loss_percent() - a.batch.loss_percent(),
            "raw_clay_percent": b.raw_clay_percent - a.raw_clay_percent,
            "soluble_percent": b.soluble_percent - a.soluble_percent,
            "viscosity": melt.to_dict() if melt is not None else None,
        },
    }


def compare_page(a: CheckReport, b: CheckReport) -> str:
    """Return the page that `compare` prints; both recipes stand by one convention."""
    name_a, name_b = _recipe_name(a, "first"), _recipe_name(b, "second")
    lines = [
        heading(f"A  {name_a}", f"cone {a.cone}" if a.cone else ""),
        heading(f"B  {name_b}", f"cone {b.cone}" if b.cone else ""),
        rule(),
    ]
    left, right = _percent_of_base(a), _percent_of_base(b)
    rows = [["RECIPE  % of base", "A", "B", "B - A"]]
    rows += [
        _row(("+ " if key[2] else "") + key[1], left.get(key), right.get(key), 1)
        for key in sorted(dict.fromkeys([*left, *right]), key=lambda key: key[2])
    ]
    lines += _aligned(rows)
    if a.unity is not None and b.unity is not None:
        unity_rows = [["UNITY FORMULA", "A", "B", "B - A"]]
        unity_rows += [_row(oxide, a.unity.get(oxide), b.unity.get(oxide), 2) for oxide in _oxides(a.unity, b.unity)]
        unity_rows += [
            _row("SiO2:Al2O3", a.unity.silica_alumina_ratio, b.unity.silica_alumina_ratio, 1),
            _row("R2O", a.unity.r2o, b.unity.r2o, 2),
            _row("RO", a.unity.ro, b.unity.ro, 2),
        ]
        lines += ["", *_aligned(unity_rows), *wrapped(f"{a.convention.describe()}.")]
    else:
        lines += ["", "UNITY FORMULA  not for both: a batch without flux has none"]
    fired_rows = [["FIRED ANALYSIS  wt %", "A", "B", "B - A"]]
    fired_rows += [_row(oxide, a.fired.get(oxide), b.fired.get(oxide), 1) for oxide in _oxides(a.fired, b.fired)]
    lines += ["", *_aligned(fired_rows)]
    other = [["BATCH", "A", "B", "B - A"]]
    other += [
        _row("loss on ignition, all in %", a.batch.loss_percent(), b.batch.loss_percent(), 1),
        _row("raw clay %", a.raw_clay_percent, b.raw_clay_percent, 1),
        _row("soluble %", a.soluble_percent, b.soluble_percent, 1),
    ]
    lines += ["", *_aligned(other), "", *_estimates(a, b), "", *_cautions(a, b)]
    return "\n".join(lines)


def _row(label: str, left: float | None, right: float | None, digits: int) -> list[str]:
    difference = (right or 0.0) - (left or 0.0)
    shown = number(difference, digits) if abs(difference) < 10**-digits / 2 else f"{difference:+.{digits}f}"
    if abs(difference) < 10**-digits / 2:
        shown = "="
    return [f"  {label}", *("-" if v is None or v == 0 else number(v, digits) for v in (left, right)), shown]


def _aligned(rows: list[list[str]]) -> list[str]:
    return table([[row[0].ljust(40), *(cell.rjust(9) for cell in row[1:])] for row in rows], indent=0)


def _estimates(a: CheckReport, b: CheckReport) -> list[str]:
    lines = ["ESTIMATES"]
    rows: list[list[str]] = []
    for left in a.estimates:
        right = next(
            (
                e
                for e in b.estimates
                if (e.quantity, e.model, e.temperature_range_c) == (left.quantity, left.model, left.temperature_range_c)
            ),
            None,
        )
        if right is None:
            continue
        digits = decimals(left.unit)
        values = [number(left.value, digits), number(right.value, digits), f"{right.value - left.value:+.{digits}f}"]
        widths = [e.high - e.low for e in (left, right) if e.high is not None and e.low is not None]
        small = bool(widths) and abs(right.value - left.value) < max(widths) / 2
        rows.append(
            [
                f"  {left.quantity}, {left.model} [{left.unit}]".ljust(40),
                *(v.rjust(9) for v in values),
                "  *" if small else "",
            ]
        )
    if not rows:
        return [*lines, "  none for both"]
    lines += table(
        [
            [("ESTIMATES  * less than the error of one").ljust(40), *(h.rjust(9) for h in ("A", "B", "B - A")), ""],
            *rows,
        ],
        left=(0, 4),
        indent=0,
    )
    return [*lines[1:], *_melt(a, b)]


def melt_difference(a: CheckReport, b: CheckReport) -> ViscosityDifference | None:
    """Return how B melts against A at A's cone; None without a cone, for two cones, or where the model has no answer."""
    if not a.cone or (b.cone and a.cone != b.cone):
        return None
    try:
        return compare_viscosity(b.moles, a.moles, cone_temperature_c(a.cone).celsius)
    except GlazeError:
        return None


def _melt(a: CheckReport, b: CheckReport) -> list[str]:
    found = melt_difference(a, b)
    if found is None:
        return []
    error = f"; the error of such a difference is {found.half_width:.1f}" if found.half_width is not None else ""
    words = (
        "no clear difference in the melt"
        if found.verdict == "no clear difference"
        else f"B melts {found.verdict} than A"
    )
    return wrapped(
        f"At cone {a.cone} ({found.temperature_c:.0f} C): {words} ({found.difference:+.1f} log10 Pa s{error})."
    )


def _cautions(a: CheckReport, b: CheckReport) -> list[str]:
    codes_a, codes_b = {c.code for c in a.cautions}, {c.code for c in b.cautions}
    lines = ["CAUTIONS  that stand for one of the two only; see 'check' for all"]
    for name, report, others in (("A", a, codes_b), ("B", b, codes_a)):
        for caution in report.cautions:
            if caution.code not in others:
                lines += caution_in_short(caution, lead=f"{name}  ", width=22)
    return lines if len(lines) > 1 else [*lines, "  none: the same codes stand for both"]

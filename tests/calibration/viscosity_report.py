"""What the viscosity calibration says about its errors, and how it writes them down."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import yaml
from numpy.typing import NDArray
from viscosity_fit import Array, conformal_quantile, coverage

from glazecalc.estimate.fitted import MODEL_GROUPS
from glazecalc.estimate.giordano import giordano_viscosities
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX

if TYPE_CHECKING:
    from viscosity import Cases

KNOTS = (800.0, 900.0, 1000.0, 1100.0, 1200.0, 1300.0, 1400.0)
LEVELS = (80, 90, 95)
SEED = 20


def region_of(composition: Array, window: Mapping[str, tuple[float, float]], iron_from: float) -> NDArray[np.str_]:
    """Tell for each row (n, len(AXIS)) [mol %] whether it is ``inside`` the window, ``dark`` with iron, or ``outside``."""
    named = {oxide for name in window for oxide in MODEL_GROUPS.get(name, (name,))}
    inside = np.ones(len(composition), dtype=bool)
    for name, (low, high) in window.items():
        oxides = [o for o in AXIS if o not in named] if name == "other" else MODEL_GROUPS.get(name, (name,))
        amount = composition[:, [INDEX[oxide] for oxide in oxides]].sum(axis=1)
        inside &= (amount >= low - 1e-9) & (amount <= high + 1e-9)
    iron = composition[:, INDEX["Fe2O3"]] > iron_from
    return np.where(~inside, "outside", np.where(iron, "dark", "inside"))


def _errors(cases: Cases, predicted: Array, temperature: float, rows: NDArray[np.bool_]) -> dict[str, float]:
    at = rows & cases.points["isotherm"].to_numpy() & (cases.t == temperature)
    error = predicted[at] - cases.y[at]
    size = np.abs(error)
    return {
        "n": int(at.sum()),
        "mae": float(size.mean()),
        "median": float(np.median(size)),
        "p90": float(np.quantile(size, 0.9)),
        "bias": float(error.mean()),
    }


def score_line(name: str, numbers: int, cases: Cases, predicted: Array) -> dict[str, Any]:
    """Score a candidate on the isotherms of 1000 and 1200 deg C; print the line and return it."""
    known = ~np.isnan(predicted)
    line: dict[str, Any] = {"model": name, "numbers": numbers}
    for temperature in (1000, 1200):
        for label, rows in (
            ("lead_free", known),
            ("window", known & (cases.region != "outside")),
            ("core", known & cases.core),
        ):
            line[f"{label}_{temperature}"] = _errors(cases, predicted, float(temperature), rows)
    text = f"{name:46s} {numbers:4d}"
    for temperature in (1000, 1200):
        text += f" | {temperature}: "
        text += "  ".join(
            f"{label} {line[f'{label}_{temperature}']['mae']:.3f}" for label in ("lead_free", "window", "core")
        )
    print(text, flush=True)
    return line


def _band(knot: float, temperature: Array) -> NDArray[np.bool_]:
    return np.abs(temperature - knot) <= 50.0


def _widths(
    error: Array, group: NDArray[np.int64], temperature: Array, knots: tuple[float, ...]
) -> dict[int, list[float]]:
    """Return level -> half width at each knot."""
    found: dict[int, list[float]] = {}
    for level in LEVELS:
        widths = []
        for knot in knots:
            at = _band(knot, temperature)
            width = conformal_quantile(error[at], group[at], level / 100)
            assert width is not None, (level, knot)
            widths.append(width)
        found[level] = widths
    return found


def half_widths(cases: Cases, predicted: Array, *, knots: tuple[float, ...]) -> dict[str, Any]:
    """Return conformal half widths inside the window by temperature, and the factors for iron and outside."""
    error = np.abs(predicted - cases.y)
    inside = cases.region == "inside"
    widths = _widths(error[inside], cases.group[inside], cases.t[inside], knots)
    entry: dict[str, Any] = {"knots_c": list(knots), "half_width": {"inside": widths}, "factor": {}}
    for region in ("dark", "outside"):
        rows = cases.region == region
        entry["factor"][region] = {
            level: conformal_quantile(
                error[rows] / np.interp(cases.t[rows], knots, widths[level]), cases.group[rows], level / 100
            )
            for level in LEVELS
        }
        entry[f"{region}_groups"] = len(np.unique(cases.group[rows]))
    entry["coverage_on_unseen_halves"] = unseen_coverage(error[inside], cases.group[inside], cases.t[inside], knots)
    for level in LEVELS:
        print(
            f"half width {level} %: "
            + "  ".join(f"{k:.0f}: {w:.2f}" for k, w in zip(knots, widths[level], strict=True))
        )
    print("factors", entry["factor"], "coverage", entry["coverage_on_unseen_halves"])
    for rows, label in ((cases.region == "dark", "dark"), (inside, "inside"), (cases.region == "outside", "outside")):
        for low, high in ((950, 1050), (1150, 1250)):
            at = rows & (cases.t >= low) & (cases.t <= high)
            print(
                f"  {label} {low}-{high}: n {at.sum()}, groups {len(np.unique(cases.group[at]))}, MAE {error[at].mean():.2f}"
            )
    return entry


def unseen_coverage(
    error: Array, group: NDArray[np.int64], temperature: Array, knots: tuple[float, ...], repeats: int = 40
) -> dict[int, dict[str, float]]:
    """Calibrate on half of the sources, count on the other half; mean over seeded repeats."""
    random = np.random.default_rng(SEED)
    names = np.unique(group)
    found: dict[int, list[tuple[float, float]]] = {level: [] for level in LEVELS}
    for _ in range(repeats):
        half = np.isin(group, random.choice(names, len(names) // 2, replace=False))
        for level in LEVELS:
            widths = []
            for knot in knots:
                at = half & _band(knot, temperature)
                width = conformal_quantile(error[at], group[at], level / 100)
                widths.append(np.inf if width is None else width)
            found[level].append(coverage(error[~half], group[~half], np.interp(temperature[~half], knots, widths)))
    return {
        level: dict(zip(("by_row", "by_source"), np.mean(pairs, axis=0).tolist(), strict=True))
        for level, pairs in found.items()
    }


def giordano_widths(cases: Cases, fitted: Array) -> dict[str, Any]:
    """Return conformal half widths of the Giordano model on the glasses that it knows the oxides of."""
    data = load_data("viscosity_giordano_2008.yaml")
    unknown = [column for oxide, column in INDEX.items() if oxide not in data["oxides"]]
    kept = (cases.composition[:, unknown].sum(axis=1) <= data["unknown_oxides_up_to_mole_percent"])[cases.row]
    predicted = giordano_viscosities(cases.composition[cases.row], cases.t)
    kept &= np.isfinite(predicted)
    error = np.abs(predicted - cases.y)
    entry: dict[str, Any] = {
        "knots_c": list(KNOTS),
        "half_width": {"inside": _widths(error[kept], cases.group[kept], cases.t[kept], KNOTS)},
        "groups": len(np.unique(cases.group[kept])),
    }
    for temperature in (1000, 1200):
        entry[f"error_{temperature}"] = _errors(cases, predicted, float(temperature), kept)
        entry[f"error_{temperature}_fitted_same_rows"] = _errors(cases, fitted, float(temperature), kept)
        print(f"Giordano on the glasses it knows, {temperature}:", entry[f"error_{temperature}"])
        print("  fitted, the same rows:", entry[f"error_{temperature}_fitted_same_rows"])
    print("  half width 90 %: " + "  ".join(f"{w:.2f}" for w in entry["half_width"]["inside"][90]))
    return entry


def _tidy(value: Any) -> Any:
    """Round every float to six figures, so that a rerun writes the same digits."""
    if isinstance(value, dict):
        return {str(key): _tidy(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_tidy(inner) for inner in value]
    if isinstance(value, float):
        return float(f"{value:.6g}")
    return value


class _Dumper(yaml.SafeDumper):
    """Lists and short rows on one line, the rest one entry a line."""


def _list(dumper: yaml.SafeDumper, value: list[Any]) -> yaml.Node:
    return dumper.represent_sequence(
        "tag:yaml.org,2002:seq", value, flow_style=not any(isinstance(v, dict) for v in value)
    )


def _mapping(dumper: yaml.SafeDumper, value: dict[str, Any]) -> yaml.Node:
    short = len(value) <= 6 and not any(isinstance(v, dict | list | str) for v in value.values())
    return dumper.represent_mapping("tag:yaml.org,2002:map", value, flow_style=short)


_Dumper.add_representer(list, _list)
_Dumper.add_representer(dict, _mapping)


def write_yaml(path: Path, title: str, attribution: str, entry: Mapping[str, Any], *, by: str = "viscosity.py") -> None:
    """Write a data file that the library reads."""
    head = (
        f"# {title}. Written by: python tests/calibration/{by}\n"
        "# Do not edit: change the program and run it again. Terms are mole fractions (0-1); levels in per cent.\n\n"
    )
    content = {"source": attribution, **_tidy(dict(entry))}
    text = yaml.dump(content, Dumper=_Dumper, sort_keys=False, width=150, allow_unicode=True)
    path.write_text(head + text, encoding="utf-8")

"""Fit the glass transition and the softening temperature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pandas as pd
from glass_database import OXIDES, core, joined_sources, lead_free, merge_within_source
from numpy.typing import NDArray
from viscosity_fit import Array, conformal_quantile, coverage, fit_linear, folds
from viscosity_report import LEVELS, SEED, region_of

from glazecalc.estimate.fitted import design_matrix
from glazecalc.oxides import AXIS, INDEX

HUBER_C = 30.0


def _softening(glasses: pd.DataFrame) -> pd.DataFrame:
    """Add the softening temperature: Littleton's or an unnamed method's, or where viscosity passes 10^6.6 Pa s."""
    # T7 and T8 are the temperatures of 10^6 and 10^7 Pa s; between them log viscosity runs nearly straight in T.
    passed = glasses["T7"] + 0.6 * (glasses["T8"] - glasses["T7"])
    passed = passed.where(glasses["T7"].gt(glasses["T8"]))
    named = glasses[["LPT", "Tsoft"]].median(axis=1)
    return glasses.assign(softening=named.fillna(passed))


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """The measured points of one column, one row a paper and glass."""

    source: NDArray[np.int64]
    composition: Array  # (n, len(AXIS)) [mol %]
    measured: Array  # [deg C]
    group: NDArray[np.int64]
    is_core: NDArray[np.bool_]
    predicted: Array  # by a fit that has not seen the group; NaN before

    @property
    def weight(self) -> Array:
        """What each row counts in the fit."""
        return np.asarray(np.where(self.is_core, 3.0, 1.0) / np.sqrt(np.bincount(self.group)[self.group]))

    def region(self, window: Mapping[str, tuple[float, float]], iron_from: float) -> NDArray[np.str_]:
        """Tell where each row lies, see `region_of`."""
        return region_of(self.composition, window, iron_from)

    def left_out(self, terms: tuple[str, ...]) -> Array:
        """Predict each row by a fit that has not seen its group."""
        x, fold, predicted = (
            design_matrix(self.composition, terms),
            folds(self.group),
            np.full(len(self.measured), np.nan),
        )
        for held_fold in np.unique(fold):
            held = fold == held_fold
            fitted = fit_linear(x[~held], self.measured[~held], self.weight[~held], scale=HUBER_C)
            predicted[held] = x[held] @ fitted
        return predicted


def _points(glasses: pd.DataFrame, column: str) -> Points:
    merged = merge_within_source(glasses[lead_free(glasses)], [column])
    composition = np.zeros((len(merged), len(AXIS)))
    composition[:, [INDEX[oxide] for oxide in OXIDES]] = merged[list(OXIDES)].to_numpy()
    return Points(
        source=merged["source"].to_numpy(),
        composition=composition,
        measured=merged[column].to_numpy(),
        group=joined_sources(merged),
        is_core=core(merged).to_numpy(),
        predicted=np.full(len(merged), np.nan),
    )


def points_left_out(glasses: pd.DataFrame, which: str, terms: tuple[str, ...]) -> Points:
    """Return the points of the ``transition`` or the ``softening``, each predicted by a fit that has not seen its group."""
    points = _points(glasses, "TG") if which == "transition" else _points(_softening(glasses), "softening")
    return replace(points, predicted=points.left_out(terms))


def _calibrate(
    glasses: pd.DataFrame,
    column: str,
    candidates: Mapping[str, tuple[str, ...]],
    window: Mapping[str, tuple[float, float]],
    iron_from: float,
) -> dict[str, Any]:
    points = _points(glasses, column)
    y, group, is_core = points.measured, points.group, points.is_core
    region = points.region(window, iron_from)
    table, predicted = [], np.full(len(y), np.nan)
    for name, terms in candidates.items():
        predicted = points.left_out(terms)
        line: dict[str, Any] = {"model": name, "numbers": len(terms)}
        for label, rows in (
            ("lead_free", np.ones(len(y), dtype=bool)),
            ("window", region != "outside"),
            ("core", is_core),
        ):
            error = predicted[rows] - y[rows]
            size = np.abs(error)
            line[label] = {
                "n": int(rows.sum()), "mae": float(size.mean()), "median": float(np.median(size)), "p90": float(np.quantile(size, 0.9)),
                "bias": float(error.mean()),
            }  # fmt: skip
        print(
            f"{column:10s} {name:24s} "
            + "  ".join(f"{k} n {line[k]['n']} MAE {line[k]['mae']:.1f}" for k in ("lead_free", "window", "core"))
        )
        table.append(line)
    # The last candidate is the chosen one; its predictions are the ones left.
    terms = list(candidates.values())[-1]
    coefficients = fit_linear(design_matrix(points.composition, terms), y, points.weight, scale=HUBER_C)
    return {
        "coefficients_c": dict(zip(terms, coefficients.tolist(), strict=True)),
        "interval": _interval(np.abs(predicted - y), group, region),
        "data": {"glasses": len(y), "groups": len(np.unique(group))},
        "error_table": table,
    }


def _interval(error: Array, group: Any, region: Any) -> dict[str, Any]:
    inside = region == "inside"
    widths = {level: conformal_quantile(error[inside], group[inside], level / 100) for level in LEVELS}
    entry: dict[str, Any] = {"half_width": {"inside": widths}, "factor": {}}
    for name in ("dark", "outside"):
        rows = region == name
        wide = {level: conformal_quantile(error[rows], group[rows], level / 100) for level in LEVELS}
        entry["factor"][name] = {
            level: None if wide[level] is None else wide[level] / widths[level] for level in LEVELS
        }
        entry[f"{name}_groups"] = len(np.unique(group[rows]))
    random = np.random.default_rng(SEED)
    names = np.unique(group[inside])
    seen: dict[int, list[tuple[float, float]]] = {level: [] for level in LEVELS}
    for _ in range(40):
        half = np.isin(group, random.choice(names, len(names) // 2, replace=False))
        for level in LEVELS:
            width = conformal_quantile(error[inside & half], group[inside & half], level / 100)
            assert width is not None
            other = inside & ~half
            seen[level].append(coverage(error[other], group[other], np.full(other.sum(), width)))
    entry["coverage_on_unseen_halves"] = {
        level: dict(zip(("by_row", "by_source"), np.mean(pairs, axis=0).tolist(), strict=True))
        for level, pairs in seen.items()
    }
    print(
        "   half widths",
        widths,
        "factors",
        entry["factor"],
        entry["coverage_on_unseen_halves"],
    )
    return entry


def calibrate_points(
    glasses: pd.DataFrame,
    oxides: tuple[str, ...],
    six: tuple[str, ...],
    fifteen: tuple[str, ...],
    window: Mapping[str, tuple[float, float]],
    iron_from: float,
) -> dict[str, Any]:
    """Return the entries ``transition`` and ``softening`` of the data file."""
    candidates = {"oxides": oxides, "oxides + 6 products": (*oxides, *six), "oxides + 15 products": (*oxides, *fifteen)}
    return {
        "transition": {
            "what": "glass transition temperature (column TG: dilatometer or calorimeter, method and rate as in each paper)",
            **_calibrate(glasses, "TG", candidates, window, iron_from),
        },
        "softening": {
            "what": "softening temperature, where the viscosity is 10^6.6 Pa s (Littleton's fibre test)",
            **_calibrate(_softening(glasses), "softening", candidates, window, iron_from),
        },
    }

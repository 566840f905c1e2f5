"""Fit the error of a difference between two glasses to their distance; one command::

    pip download --no-deps glasspy==0.4.0 -d ~/.cache/glazecalc
    python tests/calibration/differences.py                       # about three minutes on two cores

It writes `glazecalc/data/differences_fitted.yaml` and the evidence page `DIFFERENCES.md` beside this file, to the last digit the
same each time. What is done and why stands on that page. The papers of the blind test (`reserved_sources.txt`) take no part.
"""

from __future__ import annotations

import argparse
import itertools
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import expansion_model as expansion
import glass_database as database
import numpy as np
import pandas as pd
import viscosity
from difference_page import HOW, evidence_page
from numpy.typing import NDArray
from viscosity_fit import Array, conformal_quantile, coverage, folds
from viscosity_points import points_left_out
from viscosity_report import KNOTS, write_yaml

from glazecalc.files.shipped import load_data

HERE = Path(__file__).parent
DATA = HERE.parents[1] / "glazecalc" / "data" / "differences_fitted.yaml"
PAGE = HERE / "DIFFERENCES.md"

LEVELS = (50, 80, 90, 95)
SEED = 20
MOST_PAIRS = 60
"""Of one paper (and temperature): more would repeat the same glasses."""
BANDS = (0.0, 0.5, 1.0, 2.0, 3.5, 5.0, 7.5, 10.0, 15.0, 20.0, 50.0)
ODDS = (0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0)
REGIONS = ("dark", "outside")
LEAST_SOURCES = 1.5
"""Of a region before its own factor is taken: this many times what a quantile of the level needs at the least. Our choice."""
LEAST_ROWS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """Two glasses of one paper each: what the model says of their difference and what was measured."""

    quantity: str
    model: str
    unit: str
    digits: int
    distance: Array  # half the sum of the differences [mol %]
    claimed: Array
    measured: Array
    group: NDArray[np.int64]
    region: NDArray[np.str_]  # of the two glasses the one that the model knows less of
    knot: NDArray[np.int64]  # which of `knots_c`; all 0 where there are none
    knots_c: tuple[float, ...] = ()
    one_glaze: Mapping[str, Mapping[str, float | None]]  # region -> level -> factor on the interval of one glaze

    @property
    def error(self) -> Array:
        """Size of the error of the difference."""
        return np.abs(self.claimed - self.measured)

    def rows(self, mask: NDArray[np.bool_]) -> Pairs:
        """Return some of the pairs."""
        names = ("distance", "claimed", "measured", "group", "region", "knot")
        return replace(self, **{name: getattr(self, name)[mask] for name in names})


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """Half width = factor(level) * scale * sqrt(nought^2 + distance^(2 power)); the model's part is that without `nought`."""

    power: float
    nought: float  # what is left at distance nought, in units of distance^power
    scale: tuple[float, ...]  # one a knot, in the unit of the quantity
    factor: Mapping[int, float]  # level -> on the scale

    def total(self, pairs: Pairs) -> Array:
        """Return the scale of an observed error: model and measurements together."""
        return np.array(self.scale)[pairs.knot] * np.hypot(self.nought, pairs.distance**self.power)

    def of_model(self, pairs: Pairs) -> Array:
        """Return the scale of the model's error alone."""
        return np.array(self.scale)[pairs.knot] * pairs.distance**self.power

    def odds(self, pairs: Pairs) -> Array:
        """Return the chance that the direction of the claimed difference is right."""
        size = np.abs(pairs.claimed) / np.maximum(self.of_model(pairs), 1e-12)
        shares = [0.0, *(level / 100 for level in LEVELS)]
        return (1 + np.interp(size, [0.0, *(self.factor[level] for level in LEVELS)], shares)) / 2


def fit_law(pairs: Pairs) -> Law:
    """Fit the law to the sizes of the errors: the shape to all pairs that are not dark, scale and factors to those inside.

    By Laplace likelihood, in which each distance counts by its own scale, every group of sources counting the same.
    """
    shape_from, inside = pairs.rows(pairs.region != "dark"), pairs.rows(pairs.region == "inside")
    law = _shape(shape_from)
    law = replace(law, scale=tuple(_scales(inside, law).tolist()))
    relative = inside.error / law.total(inside)
    factor = {}
    for level in LEVELS:
        width = conformal_quantile(relative, inside.group, level / 100)
        assert width is not None
        factor[level] = width
    return replace(law, factor=factor)


def _weight(pairs: Pairs) -> Array:
    return np.asarray(1.0 / np.bincount(pairs.group)[pairs.group])


def _scales(pairs: Pairs, law: Law) -> Array:
    """Return the mean error at each knot, in units of the law's shape."""
    weight, shape = _weight(pairs), np.hypot(law.nought, pairs.distance**law.power)
    return np.asarray(np.bincount(pairs.knot, weight * pairs.error / shape) / np.bincount(pairs.knot, weight))


def _shape(pairs: Pairs) -> Law:
    from scipy.optimize import minimize

    weight, log_distance = _weight(pairs), np.log(np.maximum(pairs.distance, 1e-9))
    count, at_knot = len(set(pairs.knot.tolist())), np.bincount(pairs.knot, weight)
    weighted_error = weight * pairs.error

    def loss(x: Array) -> float:
        if not 0.2 <= x[1] <= 1.0 or not -7 <= x[0] <= 2:
            return np.inf
        log_shape = 0.5 * np.logaddexp(2 * x[0], 2 * x[1] * log_distance)
        scale = np.bincount(pairs.knot, weighted_error * np.exp(-log_shape), minlength=count) / at_knot
        return float(at_knot @ np.log(scale) + weight @ log_shape)  # the sum of |error|/scale is constant

    best = minimize(loss, np.array([-1.0, 0.6]), method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10}).x
    return Law(power=float(best[1]), nought=float(np.exp(best[0])), scale=(), factor={})


# --- the pairs ------------------------------------------------------------------------------------------------------


def two_by_two(label: NDArray[Any]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the pairs of rows with one label, at most MOST_PAIRS of each label."""
    random = np.random.default_rng(SEED)
    code = pd.factorize(label, sort=True)[0]
    first, second = [], []
    for rows in np.split(np.argsort(code, kind="stable"), np.cumsum(np.bincount(code))[:-1]):
        a, b = np.triu_indices(len(rows), 1)
        kept = random.permutation(len(a))[:MOST_PAIRS]
        first.append(rows[a[kept]])
        second.append(rows[b[kept]])
    return np.concatenate(first), np.concatenate(second)


def pairs_of(
    label: NDArray[Any], composition: Array, predicted: Array, measured: Array, group: Array, region: NDArray[np.str_], **of: Any
) -> Pairs:  # fmt: skip
    """Pair the glasses that share a label (paper, and range or temperature)."""
    a, b = two_by_two(label)
    rank = np.array([("inside", "dark", "outside").index(name) for name in region])
    knot = of.pop("knot", np.zeros(len(label), dtype=np.int64))
    return Pairs(
        distance=0.5 * np.abs(composition[a] - composition[b]).sum(axis=1),
        claimed=predicted[a] - predicted[b],
        measured=measured[a] - measured[b],
        group=np.asarray(group)[a],
        region=region[np.where(rank[a] >= rank[b], a, b)],
        knot=knot[a],
        **of,
    )


def expansion_pairs() -> list[Pairs]:
    """Return the pairs of expansions, by the fitted model and by Appen; 1e-6 per K."""
    table = expansion.rows(None)
    alpha, weights, group = table["alpha"].to_numpy(), expansion.row_weights(table), table["group"].to_numpy()
    values = {
        "fitted": expansion.left_out(expansion.design(table), alpha, weights, group),
        "appen": expansion.appen(table),
    }
    window, domain = expansion.inside(table, expansion.WINDOW), expansion.inside(table, expansion.DOMAIN)
    dark = domain & table["Fe2O3"].between(2, 8).to_numpy()
    region = np.where(dark, "dark", np.where(window, "inside", "outside"))
    used = domain & (table["column"].isin(expansion.RANGES).to_numpy() | dark)
    widths = load_data("expansion_fitted.yaml")["interval"]["half_width"]
    ours = {
        name: {level: widths[name][str(level)] / widths["inside"][str(level)] for level in LEVELS[1:]}
        for name in REGIONS
    }
    label = (table["source"].astype(str) + table["column"]).to_numpy()[used]
    composition = viscosity.on_axis(table)[used]
    return [
        pairs_of(
            label, composition, found[used] / 10, alpha[used] / 10, group[used], region[used],
            quantity="expansion", model=model, unit="1e-6 per K", digits=2, one_glaze=ours,
        )
        for model, found in values.items()
    ]  # fmt: skip


def viscosity_pairs(glasses: pd.DataFrame) -> Pairs:
    """Return the pairs of viscosities at one temperature; log10 Pa s."""
    cases = viscosity.Cases(glasses)
    predicted = cases.cross_validated_vogel(viscosity.FIFTEEN, viscosity.SIX)
    used = cases.points["isotherm"].to_numpy() & np.isin(cases.t, KNOTS)
    source = cases.glasses["source"].to_numpy()[cases.row]
    label = np.char.add(source[used].astype(str), np.char.add("-", cases.t[used].astype(int).astype(str)))
    factor = load_data("viscosity_fitted.yaml")["interval"]["factor"]
    return pairs_of(
        label, cases.composition[cases.row][used], predicted[used], cases.y[used], cases.group[used], cases.region[used],
        quantity="log viscosity", model="fitted", unit="log10 Pa s", digits=2, knots_c=KNOTS,
        knot=np.searchsorted(KNOTS, cases.t[used]), one_glaze=_levels(factor),
    )  # fmt: skip


def point_pairs(glasses: pd.DataFrame, which: str, quantity: str) -> Pairs:
    """Return the pairs of glass transitions or softening temperatures; deg C."""
    points = points_left_out(glasses, which, (*viscosity.OXIDE_TERMS, *viscosity.FIFTEEN))
    region = points.region(viscosity.WINDOW, viscosity.IRON_FROM)
    factor = load_data("glass_points.yaml")[which]["interval"]["factor"]
    return pairs_of(
        points.source.astype(str), points.composition, points.predicted, points.measured, points.group, region,
        quantity=quantity, model="fitted", unit="deg C", digits=0, one_glaze=_levels(factor),
    )  # fmt: skip


def _levels(factor: Mapping[str, Mapping[str, float | None]]) -> dict[str, dict[str, float | None]]:
    return {name: {level: factor[name][str(level)] for level in LEVELS[1:]} for name in REGIONS}


# --- what is found --------------------------------------------------------------------------------------------------


def region_factors(pairs: Pairs, law: Law) -> dict[str, dict[str, Any]]:
    """Return by what the width inside is multiplied elsewhere, never less than 1; of one glaze where the pairs are too few."""
    found: dict[str, dict[str, Any]] = {}
    for region in REGIONS:
        mine = pairs.rows(pairs.region == region)
        sources = len(np.unique(mine.group))
        entry: dict[str, Any] = {"pairs": len(mine.group), "sources": sources, "factor": {}, "of_one_glaze": []}
        for level in LEVELS[1:]:
            measured = None
            if sources >= 1 / (1 - level / 100) * LEAST_SOURCES:
                relative = mine.error / (law.factor[level] * law.total(mine))
                measured = conformal_quantile(relative, mine.group, level / 100)
            if measured is None:
                measured = pairs.one_glaze[region][level]
                entry["of_one_glaze"].append(level)
            entry["factor"][level] = None if measured is None else max(1.0, float(measured))
        found[region] = entry
    return found


def held_out(pairs: Pairs) -> dict[str, Any]:
    """Fit the law on seven eighths of the sources, count on the eighth inside; return shares held, by band, and the odds."""
    everywhere, fold_of = pairs, folds(pairs.group)
    inside = pairs.region == "inside"
    pairs, fold = pairs.rows(inside), fold_of[inside]
    width = {level: np.full(len(fold), np.nan) for level in LEVELS[1:]}
    odds, model = np.full(len(fold), np.nan), np.full(len(fold), np.nan)
    for number in np.unique(fold):
        held = fold == number
        law = fit_law(everywhere.rows(fold_of != number))
        mine = pairs.rows(held)
        for level, widths in width.items():
            widths[held] = law.factor[level] * law.total(mine)
        odds[held], model[held] = law.odds(mine), law.factor[90] * law.of_model(mine)
    error, right = pairs.error, np.sign(pairs.claimed) == np.sign(pairs.measured)
    told = (pairs.claimed != 0) & (pairs.measured != 0)
    shares = {level: coverage(error, pairs.group, widths) for level, widths in width.items()}
    sure = told & (np.abs(pairs.claimed) > model)
    bands = []
    for low, high in itertools.pairwise(BANDS):
        at = (pairs.distance >= low) & (pairs.distance < high)
        if at.sum() >= LEAST_ROWS:
            by_row, by_source = coverage(error[at], pairs.group[at], width[90][at])
            bands.append({
                "from": low, "to": high, "pairs": int(at.sum()), "sources": len(np.unique(pairs.group[at])),
                "median_error": float(np.median(error[at])), "held_90_by_row": by_row, "held_90_by_source": by_source,
                "sure": float((sure & at).sum() / at.sum()), "right": float(right[told & at].mean()),
            })  # fmt: skip
    told_odds = []
    for low, high in itertools.pairwise(ODDS):
        at = told & (odds >= low) & (odds < high)
        if at.sum() >= LEAST_ROWS:
            by_row, by_source = coverage(np.where(right[at], 0.0, 1.0), pairs.group[at], np.full(at.sum(), 0.5))
            told_odds.append(
                {"from": low, "to": high, "pairs": int(at.sum()), "right": by_row, "right_by_source": by_source}
            )
    return {
        "held": {level: {"by_row": row, "by_source": source} for level, (row, source) in shares.items()},
        "sure": {"share_of_pairs": float(sure.mean()), "right": float(right[sure].mean())},
        "bands": bands,
        "odds": told_odds,
    }


def entry_of(pairs: Pairs) -> dict[str, Any]:
    """Return what the data file says of one quantity by one model."""
    inside = pairs.rows(pairs.region == "inside")
    law = fit_law(pairs)
    print(f"{pairs.quantity}, {pairs.model}: {len(inside.group)} pairs, {law}", flush=True)
    return {
        "quantity": pairs.quantity,
        "model": pairs.model,
        "unit": pairs.unit,
        "pairs": len(inside.group),
        "sources": len(np.unique(inside.group)),
        "power": law.power,
        "knots_c": list(pairs.knots_c),
        "scale": list(law.scale),
        "factor": dict(law.factor),
        "nought": law.nought,
        "regions": region_factors(pairs, law),
        "cross_validated": held_out(pairs),
    }


def main() -> None:
    """Fit all, write the data file and the page."""
    options = argparse.ArgumentParser(description="Fit the error of a difference to the distance of two glasses.")
    options.add_argument("--into", type=Path, help="folder to write both files to [default: where they belong]")
    into = options.parse_args().into
    glasses = database.without_reserved(database.load_glasses())
    every = [
        *expansion_pairs(),
        viscosity_pairs(glasses),
        point_pairs(glasses, "transition", "glass transition"),
        point_pairs(glasses, "softening", "softening temperature"),
    ]
    entries = [entry_of(pairs) for pairs in every]
    write_yaml(
        into / DATA.name if into else DATA, "The error of a difference between two glazes", viscosity.ATTRIBUTION,
        {"how": HOW, "differences": entries}, by="differences.py",
    )  # fmt: skip
    (into / PAGE.name if into else PAGE).write_text(evidence_page(entries), encoding="utf-8")


if __name__ == "__main__":
    main()

"""Fit the expansion model to the open glass data, measure it, and write `glazecalc/data/expansion_fitted.yaml`.

    pip download --no-deps glasspy==0.4.0 -d ~/.cache/glazecalc
    python tests/calibration/fit_expansion.py            # or: --database WHEEL

The run is fixed: the same wheel gives the same file to the last digit, in about a minute. It prints the error table
and writes it, with the date, to `tests/calibration/accuracy.md`. The papers of `reserved_sources.txt` take no part.

How it is done
--------------
Model. alpha = sum(c_i x_i) + three products + a constant for the range 20-400 C; x in mol %. Products: alkalis with
lime, strontia and baria; alkalis with boron; soda with potash. They were kept, out of about thirty tried, because they
lowered the cross-validated error inside the window and in every group a potter cares for; more terms did not.

Rows. Lead-free glasses (`glass_database.lead_free`), one row a paper, composition and range. Rows of no stated range
(ANY_TEC) help with weight `STATED_NOT`, and with a constant of their own that is thrown away. Glasses with more than
1 mol % Fe2O3 count only where they are near a glaze (alumina, lime or magnesia beside): in plain soda-iron glasses
iron builds the network and says nothing of a tenmoku; for these the limits are wider (`near_a_glaze`).

Weights. 1 / sqrt(rows of the group), core glasses x10, iron glasses x3; Huber's weights beyond 3e-7 per K (iterated).

Honesty. Papers that share a composition form one group; cross-validation leaves whole groups out, 10 folds.
Intervals are conformal: the quantile of the errors left out, every group counting the same, with the share
1/(groups + 1) kept back for the group not seen. Inside the window, where the interval is a promise, it is made a
tolerance interval: wide enough with 95 % confidence (95th percentile of 400 bootstraps over the groups). Elsewhere the
groups are few and unlike each other, and the plain quantile is given. The interval for glazes dark with colouring
oxides is measured on every lead-free glass of 2-8 mol % Fe2O3: those like a glaze in all else come from a dozen papers,
too few for a quantile in which each paper counts the same.
"""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import glass_database as database
import numpy as np
import pandas as pd
from numpy.typing import NDArray

Floats = NDArray[np.float64]

ROOT = Path(__file__).resolve().parents[2]
COEFFICIENTS = ROOT / "glazecalc" / "data" / "expansion_fitted.yaml"
REPORT = Path(__file__).with_name("accuracy.md")
SEED = 20240
FOLDS = 10
HUBER = 3.0  # [1e-7 per K]
CORE, IRON, STATED_NOT = 10.0, 3.0, 0.5  # weights
LEVELS = (80, 90, 95)
RANGES = {"TEC160": "20-300", "TEC210": "20-400"}

OWN = (
    "SiO2", "Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO",
    "TiO2", "ZrO2", "Fe2O3", "P2O5", "MnO",
)  # fmt: skip
POOLED = ("SnO2", "CuO", "CoO", "NiO", "Cr2O3")  # one number between them: too few glasses each
LEFT_OUT = "PbO"  # up to 0.5 mol % in the rows; its number means nothing and is not shipped
PRODUCTS: tuple[tuple[str, tuple[str, ...], tuple[str, ...]], ...] = (
    ("alkalis with lime, strontia and baria", ("Li2O", "Na2O", "K2O"), ("CaO", "SrO", "BaO")),
    ("alkalis with boron", ("Li2O", "Na2O", "K2O"), ("B2O3",)),
    ("soda with potash", ("Na2O",), ("K2O",)),
)

WINDOW: Mapping[str, tuple[float, float]] = {
    "SiO2": (50, 78), "Al2O3": (3, 16), "B2O3": (0, 15), "R2O": (1, 15), "Li2O": (0, 3), "RO": (5, 35), "CaO": (3, 35),
    "MgO": (0, 15), "SrO": (0, 12), "BaO": (0, 10), "ZnO": (0, 10), "TiO2": (0, 4), "ZrO2": (0, 6), "P2O5": (0, 3),
    "Fe2O3": (0, 1), "MnO": (0, 1), "SnO2": (0, 1), "CuO": (0, 1), "CoO": (0, 1), "NiO": (0, 1), "Cr2O3": (0, 1),
    "PbO": (0, 0.5),
}  # fmt: skip
"""Where the model is called tested [mol %]."""
DARK: Mapping[str, tuple[float, float]] = {
    "Fe2O3": (0, 8), "MnO": (0, 8), "CuO": (0, 8), "CoO": (0, 8), "NiO": (0, 8), "Cr2O3": (0, 8),
}  # fmt: skip
"""Limits that replace the window's for glazes dark with colouring oxides; the others stay."""
DOMAIN: Mapping[str, tuple[float, float]] = {
    "SiO2": (45, 82), "Al2O3": (1, 20), "B2O3": (0, 25), "R2O": (0, 25), "R2O+RO": (8, 45), "TiO2": (0, 10),
    "ZrO2": (0, 8), "SnO2": (0, 6), "P2O5": (0, 6), **DARK, "PbO": (0, 0.5),
}  # fmt: skip
"""The lead-free rows fitted on: beyond it no interval is given."""


# --- rows -----------------------------------------------------------------------------------------------------------


def near_a_glaze(glasses: pd.DataFrame) -> pd.Series[bool]:
    """Iron glasses of use here, in wider limits than `lead_free`: waste glasses, basalts, iron slags."""
    fluxes = database.alkalis(glasses) + database.earths(glasses)
    mask = glasses["Fe2O3"].between(1, 12) & glasses["SiO2"].between(42, 82) & glasses["Al2O3"].between(1, 20)
    mask &= (glasses["B2O3"] <= 25) & (database.alkalis(glasses) <= 25) & fluxes.between(8, 50)
    mask &= (glasses["TiO2"] <= 10) & (glasses["P2O5"] <= 6) & (glasses["PbO"] <= 0.5)
    return mask & (glasses["CaO"] + glasses["MgO"] >= 3) & (database.earths(glasses) >= 5)


def rows(path: str | None) -> pd.DataFrame:
    """One row a paper, composition and range: oxides, `alpha` [1e-7 per K], `column`, `group`."""
    glasses = database.without_reserved(database.load_glasses(path))
    glasses = glasses[database.lead_free(glasses) | near_a_glaze(glasses)]
    columns = [*RANGES, "ANY_TEC"]
    glasses = database.merge_within_source(glasses, columns).reset_index(drop=True)
    glasses["group"] = database.joined_sources(glasses)
    stated = glasses[list(RANGES)].notna().any(axis=1)
    parts = []
    for column in columns:
        part = glasses[glasses[column].between(5, 200) & (~stated | (column in RANGES))]
        parts.append(part.assign(alpha=part[column], column=column))
    return pd.concat(parts, ignore_index=True)


def sums(glasses: pd.DataFrame) -> pd.DataFrame:
    """Return the oxides, and R2O, RO, R2O+RO beside them [mol %]."""
    alkalis, earths = database.alkalis(glasses), database.earths(glasses)
    return glasses[list(database.OXIDES)].assign(R2O=alkalis, RO=earths, **{"R2O+RO": alkalis + earths})


def inside(glasses: pd.DataFrame, limits: Mapping[str, tuple[float, float]]) -> NDArray[np.bool_]:
    """Mark the rows whose every amount lies in `limits`."""
    amounts = sums(glasses)
    mask = np.ones(len(glasses), dtype=bool)
    for name, (low, high) in limits.items():
        mask &= amounts[name].between(low, high).to_numpy()
    return mask


def subsets(table: pd.DataFrame) -> dict[str, NDArray[np.bool_]]:
    """Name the groups of glasses that the error table speaks of: name -> mask."""
    stated = table["column"].isin(RANGES).to_numpy()
    window = inside(table, WINDOW) & stated
    stoneware = {"SiO2": (56, 76), "Al2O3": (6, 14), "R2O": (2, 10), "RO": (8, 28), "B2O3": (0, 12)}
    iron, domain = table["Fe2O3"].between(2, 8).to_numpy(), inside(table, DOMAIN)
    core = database.core(table).to_numpy() & stated

    def above(oxide: str, amount: float) -> NDArray[np.bool_]:
        return (table[oxide] > amount).to_numpy()

    return {
        "window": window,
        "stoneware-like": window & inside(table, stoneware),
        "window, Al2O3 > 10": window & above("Al2O3", 10),
        "window, MgO > 8": window & above("MgO", 8),
        "core": core,
        "core outside the window": core & ~window,
        "core, Li2O > 3": core & above("Li2O", 3),
        "iron blacks: Fe2O3 2-8, else window": inside(table, {**WINDOW, **DARK}) & iron,
        "iron glasses: Fe2O3 2-8, lead-free": domain & iron,
        "MnO > 1, lead-free": domain & above("MnO", 1),
        "CoO > 0.3, lead-free": domain & above("CoO", 0.3),
    }


# --- the model ------------------------------------------------------------------------------------------------------


def design(table: pd.DataFrame, *, products: bool = True) -> Floats:
    """Columns of the fit: own oxides, the pooled ones, lead, the two constants, the products / 100."""
    columns = [table[oxide].to_numpy() for oxide in OWN]
    columns += [table[list(POOLED)].sum(axis=1).to_numpy(), table[LEFT_OUT].to_numpy()]
    columns += [table["column"].eq(name).to_numpy(dtype=np.float64) for name in ("TEC210", "ANY_TEC")]
    if products:
        for _, first, second in PRODUCTS:
            columns.append((table[list(first)].sum(axis=1) * table[list(second)].sum(axis=1)).to_numpy() / 100)
    return np.column_stack(columns)


def row_weights(table: pd.DataFrame) -> Floats:
    """Return what each row counts in the fit."""
    size = table.groupby("group")["alpha"].transform("size").to_numpy(dtype=np.float64)
    iron = table["Fe2O3"].to_numpy() >= 1
    near = near_a_glaze(table).to_numpy()
    weights = np.where(database.core(table), CORE, 1.0) / np.sqrt(size)
    weights *= np.where(table["column"].isin(RANGES), 1.0, STATED_NOT)
    weights *= np.where(iron & near, IRON, 1.0)
    kept: Floats = np.where(iron & ~near, 0.0, weights)
    return kept


def fit(columns: Floats, alpha: Floats, weights: Floats) -> Floats:
    """Least squares with Huber's weights, iterated until the coefficients stand still."""
    now = weights
    coefficients = np.zeros(columns.shape[1])
    for _ in range(60):
        weighted = columns.T * now
        before, coefficients = coefficients, np.linalg.solve(weighted @ columns, weighted @ alpha)
        if np.abs(coefficients - before).max() < 1e-10:
            break
        residual = np.abs(alpha - columns @ coefficients)
        now = weights * np.minimum(1.0, HUBER / np.maximum(residual, 1e-12))
    return coefficients


def left_out(columns: Floats, alpha: Floats, weights: Floats, group: NDArray[np.int64], folds: int = FOLDS) -> Floats:
    """Predict every row by a fit that has seen no row of its group."""
    groups = np.unique(group)
    fold = np.random.default_rng(SEED).permutation(len(groups)) % folds
    row_fold = fold[np.searchsorted(groups, group)]
    predicted = np.empty(len(alpha))
    for number in range(folds):
        out = row_fold == number
        predicted[out] = columns[out] @ fit(columns[~out], alpha[~out], weights[~out])
    return predicted


def appen(table: pd.DataFrame) -> Floats:
    """Appen's additive method as published [1e-7 per K], by the library's own code."""
    from glazecalc.estimate.expansion import expansions
    from glazecalc.oxides import AXIS, INDEX

    amounts = np.zeros((len(table), len(AXIS)))
    for oxide in database.OXIDES:
        amounts[:, INDEX[oxide]] = table[oxide]
    return 10 * expansions(amounts, temperature_range_c=(20, 400), model="appen")


# --- what it is worth -----------------------------------------------------------------------------------------------


def conformal(errors: Floats, group: NDArray[np.int64], level: float) -> float:
    """Half width that holds `level` of the groups' errors, each group counting the same."""
    _, index, size = np.unique(group, return_inverse=True, return_counts=True)
    order = np.argsort(errors, kind="stable")
    held = np.cumsum(1 / size[index[order]]) / (len(size) + 1)
    place = int(np.searchsorted(held, level - 1e-12))
    return float(errors[order][place]) if place < len(errors) else float("inf")


def upper_conformal(errors: Floats, group: NDArray[np.int64], level: float, times: int = 400) -> float:
    """Half width that is wide enough with 95 % confidence: 95th percentile of `conformal` over bootstraps of the groups."""
    random = np.random.default_rng(SEED)
    members = [np.flatnonzero(group == name) for name in np.unique(group)]
    found = []
    for _ in range(times):
        drawn = [members[i] for i in random.integers(len(members), size=len(members))]
        names = np.repeat(np.arange(len(drawn)), [len(part) for part in drawn])
        found.append(conformal(errors[np.concatenate(drawn)], names, level))
    return float(np.quantile(found, 0.95, method="higher"))


def held_share(errors: Floats, group: NDArray[np.int64], half_width: float) -> tuple[float, float]:
    """Share of rows, and of groups (each counting the same), whose error is within `half_width`."""
    held = pd.Series(errors <= half_width)
    return float(held.mean()), float(held.groupby(group).mean().mean())


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """One line of the error table; errors in 1e-6 per K, calculated minus measured."""

    model: str
    glasses: str
    rows: int
    sources: int
    mean_absolute_error: float
    by_source: float
    bias: float
    low: float
    high: float
    within_90: float


def score(model: str, glasses: str, error: Floats, group: NDArray[np.int64]) -> Score:
    """Sum up the errors [1e-7 per K] of one model on one set of glasses."""
    size = pd.Series(np.abs(error))
    return Score(
        model=model,
        glasses=glasses,
        rows=len(error),
        sources=int(np.unique(group).size),
        mean_absolute_error=float(size.mean() / 10),
        by_source=float(size.groupby(group).mean().mean() / 10),
        bias=float(error.mean() / 10),
        low=float(np.quantile(error, 0.05) / 10),
        high=float(np.quantile(error, 0.95) / 10),
        within_90=float(size.quantile(0.9) / 10),
    )


def differences(table: pd.DataFrame, predicted: Floats, mask: NDArray[np.bool_]) -> dict[str, float]:
    """Compare every two glasses of one paper and range: see whether the calculated order is right."""
    calculated, measured = [], []
    for _, part in table[mask].assign(calculated=predicted[mask]).groupby(["source", "column"]):
        if len(part) < 2:
            continue
        first, second = np.triu_indices(len(part), 1)
        pick = np.random.default_rng(SEED).permutation(len(first))[:60]
        value, truth = part["calculated"].to_numpy(), part["alpha"].to_numpy()
        calculated.append((value[first] - value[second])[pick])
        measured.append((truth[first] - truth[second])[pick])
    size, truth = np.concatenate(calculated), np.concatenate(measured)
    clear = np.abs(size) >= 3
    return {
        "pairs": float(len(size)),
        "median_error": float(np.median(np.abs(size - truth)) / 10),
        "within_90": float(np.quantile(np.abs(size - truth), 0.9) / 10),
        "smallest_clear": 0.3,
        "order_right_percent": float(100 * np.mean(size[clear] * truth[clear] > 0)),
    }


# --- the run --------------------------------------------------------------------------------------------------------


def measure(table: pd.DataFrame) -> tuple[list[Score], dict[str, Any]]:
    """Fit, cross-validate and calibrate; returns the error table and what goes into the data file."""
    alpha = table["alpha"].to_numpy()
    group = table["group"].to_numpy()
    weights = row_weights(table)
    parts = subsets(table)
    full, plain = design(table), design(table, products=False)
    coefficients = fit(full, alpha, weights)
    predicted = left_out(full, alpha, weights, group)
    published = appen(table)
    constant = {
        name: float(np.median((alpha - published)[parts["window"] & table["column"].eq(column).to_numpy()])) for column, name in RANGES.items()
    }
    shifted = published + table["column"].map(RANGES).map(constant).fillna(np.mean(list(constant.values()))).to_numpy()
    models = {
        "Appen, as published": published,
        "Appen, constant put right": shifted,
        "linear, no products": left_out(plain, alpha, weights, group),
        "fitted (shipped)": predicted,
    }
    scores = [score(model, name, (values - alpha)[mask], group[mask]) for name, mask in parts.items() for model, values in models.items()]
    error = np.abs(predicted - alpha)
    window = parts["window"]
    dark = parts["iron glasses: Fe2O3 2-8, lead-free"]
    outside = database.core(table).to_numpy() & ~inside(table, WINDOW)
    widths = {"window": {level: upper_conformal(error[window], group[window], level / 100) for level in LEVELS}}
    for name, mask in (("dark", dark), ("outside", outside)):
        widths[name] = {level: conformal(error[mask], group[mask], level / 100) for level in LEVELS}
    found = {
        "coefficients": coefficients,
        "standard_errors": bootstrap(full, alpha, weights, group),
        "widths": widths,
        "plain_width": {level: conformal(error[window], group[window], level / 100) for level in LEVELS},
        "held": {
            name: {level: held_share(error[mask], group[mask], widths[name][level]) for level in LEVELS}
            for name, mask in (("window", window), ("dark", dark), ("outside", outside))
        },
        "calibrated_on": {
            name: (int(mask.sum()), int(np.unique(group[mask]).size)) for name, mask in (("window", window), ("dark", dark), ("outside", outside))
        },
        "constant": constant,
        "differences": differences(table, predicted, window),
        "rows": (int((weights > 0).sum()), int(np.unique(group[weights > 0]).size)),
    }
    return scores, found


def bootstrap(columns: Floats, alpha: Floats, weights: Floats, group: NDArray[np.int64], times: int = 100) -> Floats:
    """Return the standard error of each coefficient: refits on groups drawn with replacement."""
    random = np.random.default_rng(SEED)
    _, index = np.unique(group, return_inverse=True)
    number = int(index.max()) + 1
    found = [fit(columns, alpha, weights * np.bincount(random.integers(number, size=number), minlength=number)[index]) for _ in range(times)]
    spread: Floats = np.std(found, axis=0, ddof=1)
    return spread


def flow(pairs: Mapping[str, Any], form: str = "{}") -> str:
    """Write a mapping in YAML's flow style."""
    return "{" + ", ".join(f"{key}: {form.format(value)}" for key, value in pairs.items()) + "}"


def limits(values: Mapping[str, tuple[float, float]]) -> str:
    """Write limits in YAML's flow style."""
    return "{" + ", ".join(f"{key}: [{low:g}, {high:g}]" for key, (low, high) in values.items()) + "}"


def data_file(scores: Sequence[Score], found: Mapping[str, Any]) -> str:
    """Write the text of `expansion_fitted.yaml`."""
    value, error = found["coefficients"], found["standard_errors"]
    names = [*OWN, *POOLED]
    place = {**{oxide: i for i, oxide in enumerate(OWN)}, **dict.fromkeys(POOLED, len(OWN))}
    constant = len(OWN) + 2
    lines = [
        "# Linear thermal expansion of lead-free silicate glasses, fitted to measured glasses.",
        "# Written by tests/calibration/fit_expansion.py: change that, not this.",
        "#",
        "#   alpha(20-300 C) = sum(c_i x_i) + sum(p_k * (first sum)(second sum) / 100)        x in mol %, total 100",
        "#   alpha(20-400 C) = alpha(20-300 C) + add_for_20_400_c",
        "",
        "model: fitted",
        'title: "Regression on the SciGlass data base, glazecalc"',
        "source:",
        '  data: "SciGlass data base, copyright 2019 EPAM Systems, under the ODC Open Database License (ODbL)"',
        '  carried_by: "PyPI package glasspy 0.4.0 (2023), tables select_SciGK and select_Gcomp"',
        '  columns: "TEC160 read as 20-300 C, TEC210 as 20-400 C (inferred from the mid-points 160 and 210 C)"',
        f"  rows: {found['rows'][0]}",
        f"  groups_of_papers: {found['rows'][1]}",
        "  from_memory: false",
        'unit: "1e-7 per K per mol %"',
        "coefficients:",
        *(f"  {oxide}: {value[place[oxide]]:.4f}" for oxide in names),
        "pooled: [" + ", ".join(POOLED) + "]   # one number between them: too few glasses each",
        "products:   # 1e-7 per K per (mol %)^2 / 100",
    ]
    for number, (name, first, second) in enumerate(PRODUCTS):
        at = constant + 2 + number
        lines.append(
            f'  - {{name: "{name}", first: [{", ".join(first)}], second: [{", ".join(second)}], '
            f"coefficient: {value[at]:.4f}, standard_error: {error[at]:.4f}}}"
        )
    lines += [
        f"add_for_20_400_c: {value[constant]:.4f}   # 1e-7 per K, standard error {error[constant]:.2f}",
        f"standard_errors: {flow({oxide: error[place[oxide]] for oxide in names}, '{:.3f}')}",
        "",
        "# Limits in mol %. R2O: Li2O + Na2O + K2O. RO: MgO + CaO + SrO + BaO + ZnO.",
        "# window: tested. dark: the limits that replace the window's for glazes dark with colouring oxides.",
        "# domain: the rows fitted on; beyond it no interval is given.",
        f"window: {limits(WINDOW)}",
        f"dark: {limits(DARK)}",
        f"domain: {limits(DOMAIN)}",
        "",
        "# Half width of the interval [1e-6 per K] for 80, 90, 95 in 100 glasses of a paper not seen.",
        "half_width:",
    ]
    for region, widths in found["widths"].items():
        by_level = {f'"{level}"': width / 10 for level, width in widths.items()}
        lines.append(f"  {region}: " + flow(by_level, "{:.2f}"))
    lines.append("calibrated_on:")
    for region, (number, groups) in found["calibrated_on"].items():
        held = found["held"][region][90]
        lines.append(f"  {region}: {{rows: {number}, sources: {groups}, rows_held_at_90: {held[0]:.3f}, sources_held_at_90: {held[1]:.3f}}}")
    pair = found["differences"]
    lines += [
        "",
        "# Two glasses of one paper inside the window: error of the calculated difference [1e-6 per K], and how often the",
        "# order is right where the calculated difference is at least smallest_clear.",
        (
            f"difference: {{pairs: {pair['pairs']:.0f}, median_error: {pair['median_error']:.2f}, "
            f"within_90: {pair['within_90']:.2f}, smallest_clear: {pair['smallest_clear']:.1f}, "
            f"order_right_percent: {pair['order_right_percent']:.0f}}}"
        ),
        "",
        "# Median of measured minus Appen as published, inside the window [1e-7 per K].",
        "appen_constant_correction: " + flow({f'"{name}"': value for name, value in found["constant"].items()}, "{:.2f}"),
        "",
        "# Errors on groups of papers left out of the fit [1e-6 per K], calculated minus measured; `low` and `high` hold",
        "# nine in ten rows; `within_90` nine in ten without the sign; `by_source`: the mean error, each group counting once.",
        "accuracy:",
    ]
    for line in scores:
        lines.append(
            f'  - {{glasses: "{line.glasses}", model: "{line.model}", rows: {line.rows}, sources: {line.sources}, '
            f"mean_absolute_error: {line.mean_absolute_error:.3f}, by_source: {line.by_source:.3f}, "
            f"bias: {line.bias:.3f}, low: {line.low:.3f}, high: {line.high:.3f}, within_90: {line.within_90:.3f}}}"
        )
    return "\n".join(lines) + "\n"


def report(scores: Sequence[Score], found: Mapping[str, Any]) -> str:
    """Write the error table in Markdown."""
    lines = [
        f"Errors of the expansion models, {datetime.date.today().isoformat()}, by `python tests/calibration/fit_expansion.py`.",
        "Linear expansion, 1e-6 per K, 20-300 and 20-400 C together; calculated minus measured. Each glass was calculated",
        "by a fit that had seen neither its paper nor any paper sharing a composition with it. Data: SciGlass (ODbL), as",
        "carried by PyPI glasspy 0.4.0. Iron, manganese and cobalt rows include those of no stated temperature range.",
        "",
        "| glasses | model | rows | sources | mean absolute error | the same, by source | bias | 90 % of rows | 90 % within |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    last = ""
    for line in scores:
        name = line.glasses if line.glasses != last else ""
        last = line.glasses
        lines.append(
            f"| {name} | {line.model} | {line.rows} | {line.sources} | {line.mean_absolute_error:.2f} | "
            f"{line.by_source:.2f} | {line.bias:+.2f} | {line.low:+.2f} to {line.high:+.2f} | ±{line.within_90:.2f} |"
        )
    lines += ["", "| interval | rows | sources | 80 % | 90 % | 95 % | rows held at 90 % | sources held |", "|---|---|---|---|---|---|---|---|"]
    for region, widths in found["widths"].items():
        number, groups = found["calibrated_on"][region]
        held = found["held"][region][90]
        cells = " | ".join(f"±{widths[level] / 10:.2f}" for level in LEVELS)
        lines.append(f"| {region} | {number} | {groups} | {cells} | {100 * held[0]:.0f} % | {100 * held[1]:.0f} % |")
    plain = ", ".join(f"±{found['plain_width'][level] / 10:.2f}" for level in LEVELS)
    lines += ["", f"Inside the window the plain conformal half widths are {plain}; those printed hold with 95 % confidence."]
    return "\n".join(lines) + "\n"


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the fit and write its results."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--database", help="wheel of glasspy 0.4.0, or its folder; default $GLASS_DATABASE or ~/.cache/glazecalc")
    parser.add_argument("--dry-run", action="store_true", help="print the table only, write nothing")
    options = parser.parse_args(arguments)
    scores, found = measure(rows(options.database))
    text, page = data_file(scores, found), report(scores, found)
    print(page)
    if options.dry_run:
        print(text)
        return
    COEFFICIENTS.write_text(text, encoding="utf-8")
    REPORT.write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()

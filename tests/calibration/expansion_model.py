"""The expansion model on the open glass data: its rows, its terms, its weights, and the fit.

`fit_expansion.py` tells how it is done and why.
"""

from __future__ import annotations

from collections.abc import Mapping

import glass_database as database
import numpy as np
import pandas as pd
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SEED = 20240
FOLDS = 10
HUBER = 3.0  # [1e-7 per K]
CORE, IRON, STATED_NOT = 10.0, 3.0, 0.5  # weights
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


def bootstrap(columns: Floats, alpha: Floats, weights: Floats, group: NDArray[np.int64], times: int = 100) -> Floats:
    """Return the standard error of each coefficient: refits on groups drawn with replacement."""
    random = np.random.default_rng(SEED)
    _, index = np.unique(group, return_inverse=True)
    number = int(index.max()) + 1
    found = [
        fit(columns, alpha, weights * np.bincount(random.integers(number, size=number), minlength=number)[index])
        for _ in range(times)
    ]
    spread: Floats = np.std(found, axis=0, ddof=1)
    return spread

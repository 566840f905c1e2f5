"""Measure the published models of surface tension on the open glass data; nothing is fitted here.

The data base does not state the temperature of these melts, so the error holds that of the temperature too. A fit of our
own was tried and predicted no better than the mean (152 glasses, 46 sources): none is shipped.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from glass_database import OXIDES, joined_sources, lead_free, merge_within_source
from viscosity_fit import conformal_quantile
from viscosity_report import LEVELS

from glazecalc.estimate.surface_tension import MODELS, surface_tensions
from glazecalc.files.shipped import load_data
from glazecalc.oxides import AXIS, INDEX

PLAUSIBLE = (100.0, 700.0)
"""mN/m; a few rows are in other units."""
WITHOUT_FACTOR = 15.0
"""mol % of oxides without a factor up to which a glass is measured against; what a glaze may hold is stricter. Our choice."""


def measure_tension(glasses: pd.DataFrame) -> dict[str, Any]:
    """Return rows, error and conformal half widths of each model."""
    merged = merge_within_source(glasses[lead_free(glasses) & glasses["any_sut"].between(*PLAUSIBLE)], ["any_sut"])
    composition = np.zeros((len(merged), len(AXIS)))
    composition[:, [INDEX[oxide] for oxide in OXIDES]] = merged[list(OXIDES)].to_numpy()
    y, group = merged["any_sut"].to_numpy(), joined_sources(merged)
    entry: dict[str, Any] = {"measured_spread_mae": float(np.abs(y - np.median(y)).mean())}
    for model in MODELS:
        known = load_data("surface_tension_models.yaml")[model]
        named = {*known["factors"], *known.get("zero_by_the_regression", ())}
        without = composition[:, [column for oxide, column in INDEX.items() if oxide not in named]].sum(axis=1)
        rows = without <= WITHOUT_FACTOR
        error = surface_tensions(composition, model=model)[rows] - y[rows]
        size = np.abs(error)
        entry[model] = {
            "glasses": int(rows.sum()),
            "groups": len(np.unique(group[rows])),
            "mae": float(size.mean()),
            "median": float(np.median(size)),
            "bias": float(error.mean()),
            "interval": {
                "half_width": {
                    "inside": {level: conformal_quantile(size, group[rows], level / 100) for level in LEVELS}
                }
            },
        }
        print(f"surface tension, {model}: {entry[model]}")
    return entry

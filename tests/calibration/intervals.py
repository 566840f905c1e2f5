"""Intervals from errors on papers left out of a fit: conformal, every group of papers counting the same."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SEED = 20240


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

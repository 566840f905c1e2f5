"""Fit melt viscosity, glass transition and softening temperature to the open glass data; one command::

    pip download --no-deps glasspy==0.4.0 -d ~/.cache/glazecalc
    python tests/calibration/viscosity.py

It prints the table of candidate models and writes glazecalc/data/viscosity_fitted.yaml, glass_points.yaml and
surface_tension_error.yaml, to the last digit the same each time. The papers of the blind test (reserved_sources.txt) and their copies are left out throughout.
What is done and why: VISCOSITY.md beside this file.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from glass_database import (
    OXIDES,
    TEMPERATURE_AT_VISCOSITY,
    VISCOSITY_AT_TEMPERATURE,
    core,
    joined_sources,
    lead_free,
    load_glasses,
    merge_within_source,
    without_reserved,
)
from viscosity_fit import Array, VogelFit, fit_isotherms, fit_vogel, folds, isotherm_values
from viscosity_points import calibrate_points
from viscosity_report import KNOTS, giordano_widths, half_widths, region_of, score_line, write_yaml
from viscosity_tension import measure_tension

from glazecalc.estimate.fitted import design_matrix
from glazecalc.oxides import AXIS, INDEX

DATA = Path(__file__).parents[2] / "glazecalc" / "data"
LOWEST_C, HIGHEST_C = 800.0, 1400.0

# Plain oxides; colours and tin are too few in the data for a coefficient each.
OXIDE_TERMS = (
    "SiO2", "Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "TiO2", "ZrO2", "Fe2O3", "P2O5", "MnO", "other",
)  # fmt: skip
SIX = ("R2O*Al2O3", "R2O*B2O3", "RO*Al2O3", "R2O*RO", "RO*B2O3", "Al2O3*B2O3")
FIFTEEN = (
    *SIX, "R2O*R2O", "RO*RO", "Al2O3*Al2O3", "B2O3*B2O3", "Li2O*Na2O", "Na2O*K2O", "Li2O*K2O", "MgO*Al2O3", "CaO*Na2O",
)  # fmt: skip
_MAJOR = ("Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO")
ALL_PAIRS = tuple(f"{a}*{b}" for place, a in enumerate(_MAJOR) for b in _MAJOR[place:])

# mol %; narrowed after seeing where the errors of cross-validation grow, so slightly flattering
WINDOW = {
    "SiO2": (50, 78), "Al2O3": (1, 18), "B2O3": (0, 20), "R2O": (0, 20), "Li2O": (0, 8), "RO": (3, 38), "MgO": (0, 15), "CaO": (0, 28),
    "SrO": (0, 12), "BaO": (0, 12), "ZnO": (0, 10), "TiO2": (0, 5), "ZrO2": (0, 5), "Fe2O3": (0, 8), "P2O5": (0, 4), "MnO": (0, 4),
    "PbO": (0, 0.5), "other": (0, 2),
}  # fmt: skip
# what `glass_database.lead_free` lets in
FITTED_ON = {
    "SiO2": (45, 82), "Al2O3": (1, 20), "B2O3": (0, 25), "R2O": (0, 25), "RO": (0, 45), "TiO2": (0, 10), "ZrO2": (0, 8), "Fe2O3": (0, 8),
    "P2O5": (0, 6), "MnO": (0, 8), "PbO": (0, 0.5), "other": (0, 8),
}  # fmt: skip
IRON_FROM = 2.0
"""Above this Fe2O3 [mol %] a glaze is a class of its own: fewer sources, wider interval."""
TRACE, UNSEEN = 0.1, 0.5
"""Oxides of which the data hold no glass [mol %]: borne as a trace, without an interval. Our choice."""

ATTRIBUTION = (
    "From SciGlass data (c) 2019 EPAM Systems, Open Database License (ODbL) 1.0, as carried by the PyPI package glasspy 0.4.0; "
    "only its two data tables were read"
)


def domain() -> dict[str, Any]:
    """Return what the data file says about the range of composition [mol %]."""
    return {
        "tested_range": {
            "limits": {name: list(limits) for name, limits in {**WINDOW, "Fe2O3": (0, IRON_FROM)}.items()},
            "dark": {"Fe2O3": list(WINDOW["Fe2O3"])},
            "dark_is_tested": True,
            "wide": {name: list(limits) for name, limits in FITTED_ON.items()},
            "seen": list(OXIDES),
            "trace_mole_percent": TRACE,
            "unseen_mole_percent": UNSEEN,
        }
    }


def on_axis(glasses: pd.DataFrame) -> Array:
    """Return the compositions on the axis of the library, (n, len(AXIS)) [mol %]."""
    rows = np.zeros((len(glasses), len(AXIS)))
    rows[:, [INDEX[oxide] for oxide in OXIDES]] = glasses[list(OXIDES)].to_numpy()
    return rows


def viscosity_points(glasses: pd.DataFrame) -> pd.DataFrame:
    """Return one line a measured point: row of the glass, temperature [deg C], log10 Pa s, and whether it is an isotherm's."""
    parts = []
    for column, temperature in VISCOSITY_AT_TEMPERATURE.items():
        rows = np.flatnonzero(glasses[column].notna())
        parts.append(
            pd.DataFrame(
                {"row": rows, "t": float(temperature), "y": glasses[column].to_numpy()[rows] - 1.0, "isotherm": True}
            )
        )
    for column, log_pa_s in TEMPERATURE_AT_VISCOSITY.items():
        rows = np.flatnonzero(glasses[column].notna())
        parts.append(
            pd.DataFrame({"row": rows, "t": glasses[column].to_numpy()[rows], "y": float(log_pa_s), "isotherm": False})
        )
    points = pd.concat(parts, ignore_index=True)
    return points[points["t"].between(LOWEST_C, HIGHEST_C)].reset_index(drop=True)


class Cases:
    """The points with all that a candidate needs: folds, weights, compositions."""

    def __init__(self, glasses: pd.DataFrame) -> None:
        measured = [*VISCOSITY_AT_TEMPERATURE, *TEMPERATURE_AT_VISCOSITY]
        self.glasses = merge_within_source(glasses[lead_free(glasses)], measured)
        self.points = viscosity_points(self.glasses)
        self.row = self.points["row"].to_numpy()
        self.t = self.points["t"].to_numpy()
        self.y = self.points["y"].to_numpy()
        self.composition = on_axis(self.glasses)
        by_glass = joined_sources(self.glasses)
        self.group = by_glass[self.row]
        self.fold = folds(by_glass)[self.row]
        self.core = core(self.glasses).to_numpy()[self.row]
        self.region = region_of(self.composition, WINDOW, IRON_FROM)[self.row]
        # A source with many glasses, or a glass with many points, must not drown the others.
        used = np.unique(self.row)
        glasses_in_group = np.bincount(by_glass[used], minlength=by_glass.max() + 1)
        points_of_glass = np.bincount(self.row, minlength=len(self.glasses))
        self.weight = np.where(self.core, 3.0, 1.0) / np.sqrt(glasses_in_group[self.group] * points_of_glass[self.row])

    def terms(self, names: tuple[str, ...]) -> Array:
        """Return the terms (n_glasses, n_terms)."""
        return design_matrix(self.composition, names)

    def vogel(self, isokom: tuple[str, ...], offset: tuple[str, ...], rows: Array | slice = slice(None)) -> VogelFit:
        """Fit Vogel's form on some of the points."""
        at = self.row[rows]
        return fit_vogel(
            self.terms(isokom)[at],
            self.terms(offset)[at],
            self.t[rows],
            self.y[rows],
            self.weight[rows],
            oxides=len(OXIDE_TERMS),
        )

    def cross_validated_vogel(self, products: tuple[str, ...], offset_products: tuple[str, ...]) -> Array:
        """Predict each point from the sources of the other folds."""
        isokom, offset = (*OXIDE_TERMS, *products), (*OXIDE_TERMS, *offset_products)
        x, z = self.terms(isokom), self.terms(offset)
        predicted = np.full(len(self.y), np.nan)
        for fold in np.unique(self.fold):
            held = self.fold == fold
            fit = self.vogel(isokom, offset, np.flatnonzero(~held))
            predicted[held] = fit.values(x[self.row[held]], z[self.row[held]], self.t[held])
        return predicted

    def cross_validated_isotherms(self, products: tuple[str, ...], degree: int) -> Array:
        """Predict each point from tied isotherms, or with degree 0 the points at 1000 and 1200 deg C each by itself."""
        x = self.terms((*OXIDE_TERMS, *products))
        predicted = np.full(len(self.y), np.nan)
        isotherm = self.points["isotherm"].to_numpy()
        parts = [np.ones(len(self.y), dtype=bool)] if degree else [isotherm & (self.t == t) for t in (1000.0, 1200.0)]
        for part in parts:
            for fold in np.unique(self.fold):
                held, kept = part & (self.fold == fold), part & (self.fold != fold)
                b = fit_isotherms(x[self.row[kept]], self.t[kept], self.y[kept], self.weight[kept], degree=degree)
                predicted[held] = isotherm_values(b, x[self.row[held]], self.t[held], degree=degree)
        return predicted


def main() -> None:
    """Run the calibration."""
    options = argparse.ArgumentParser(
        description="Fit viscosity, glass transition and softening temperature; print and write the tables."
    )
    options.add_argument("--into", type=Path, default=DATA, help="folder to write to [default: the package's data]")
    into = options.parse_args().into
    glasses = without_reserved(load_glasses())
    cases = Cases(glasses)
    print(
        f"viscosity: {len(np.unique(cases.row))} glasses, {len(cases.y)} points, {len(np.unique(cases.group))} groups of sources"
    )
    table = []
    for name, products in (("oxides", ()), ("oxides + 6 products", SIX), ("oxides + 15 products", FIFTEEN)):
        numbers = len(OXIDE_TERMS) + len(products)
        table.append(
            score_line(f"one isotherm at a time: {name}", numbers, cases, cases.cross_validated_isotherms(products, 0))
        )
    for name, products in (("oxides", ()), ("6 products", SIX), ("15 products", FIFTEEN), ("all 55 pairs", ALL_PAIRS)):
        numbers = 3 * (len(OXIDE_TERMS) + len(products))
        table.append(
            score_line(f"tied isotherms: {name}", numbers, cases, cases.cross_validated_isotherms(products, 2))
        )
    chosen: Array | None = None
    for name, products, offsets in (
        ("oxides, oxides", (), ()), ("6, 6", SIX, SIX), ("15, oxides", FIFTEEN, ()), ("15, 6", FIFTEEN, SIX), ("15, 15", FIFTEEN, FIFTEEN),
    ):  # fmt: skip
        numbers = 1 + 2 * len(OXIDE_TERMS) + len(products) + len(offsets)
        predicted = cases.cross_validated_vogel(products, offsets)
        table.append(score_line(f"Vogel, products: {name}", numbers, cases, predicted))
        if (products, offsets) == (FIFTEEN, SIX):
            chosen = predicted
    assert chosen is not None

    isokom, offset = (*OXIDE_TERMS, *FIFTEEN), (*OXIDE_TERMS, *SIX)
    fit = cases.vogel(isokom, offset)
    entry: dict[str, Any] = {
        "model": "Vogel's form: log10(viscosity in Pa s) = A + (3 - A)(isokom - offset)/(T - offset), T in deg C",
        "temperature_range_c": [LOWEST_C, HIGHEST_C],
        "A": fit.a,
        "log_reference": 3.0,
        "isokom_c": dict(zip(isokom, fit.isokom.tolist(), strict=True)),
        "offset_c": dict(zip(offset, fit.offset.tolist(), strict=True)),
        **domain(),
        "interval": half_widths(cases, chosen, knots=KNOTS),
        "giordano": giordano_widths(cases, chosen),
        "data": {"glasses": len(np.unique(cases.row)), "points": len(cases.y), "groups": len(np.unique(cases.group))},
        "error_table": table,
    }
    write_yaml(into / "viscosity_fitted.yaml", "Melt viscosity fitted to open glass data", ATTRIBUTION, entry)
    points = calibrate_points(glasses, OXIDE_TERMS, SIX, FIFTEEN, WINDOW, IRON_FROM)
    points = {name: {**entry, **domain()} for name, entry in points.items()}
    write_yaml(
        into / "glass_points.yaml",
        "Glass transition and softening temperature fitted to open glass data",
        ATTRIBUTION,
        points,
    )
    write_yaml(
        into / "surface_tension_error.yaml",
        "Published models of surface tension against open glass data",
        ATTRIBUTION,
        measure_tension(glasses),
    )


if __name__ == "__main__":
    main()

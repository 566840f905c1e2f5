"""What the tolerance of analyses, the scale and moisture make of the results: seeded sampling over the array core.

Each sample draws every material's analysis anew, keeps its total (an analysis is closed: if one oxide falls, others
rise), weighs each line with the scale's own rounding, and runs the whole calculation. A material that stands on two
lines is one bag and is drawn once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.batch import Batch
from glazecalc.convert.moles import analysis_matrix, folded, molar_mass_array, unity_moles
from glazecalc.errors import CompositionError
from glazecalc.files.shipped import load_data
from glazecalc.material import Material
from glazecalc.oxides import ALKALIS, AXIS, INDEX

__all__ = ("Range", "Spread", "sample_moles", "spread")

Floats = NDArray[np.float64]
_DEFAULT = Convention()
_MOST = 1_000_000


@dataclass(frozen=True, slots=True)
class Range:
    """Low and high ends of a sampled result, and its standard deviation."""

    low: float
    high: float
    sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Ranges that follow from the materials, not from the models.

    Attributes
    ----------
    samples, seed : int
    level : float
        Share of samples between low and high.
    unity : Mapping
        Oxide -> Range, by the convention asked for; empty where there is no flux.
    silica_alumina_ratio : Range or None
    fired : Mapping
        Oxide -> Range [wt %].
    estimates : Mapping
        Name of the estimate -> Range in its unit.
    basis : tuple of str
        What was assumed.
    """

    samples: int
    seed: int
    level: float
    unity: Mapping[str, Range]
    silica_alumina_ratio: Range | None
    fired: Mapping[str, Range]
    estimates: Mapping[str, Range]
    basis: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return plain values; a range is ``[low, high]``."""
        pair: Callable[[Range], list[float]] = lambda r: [r.low, r.high]  # noqa: E731
        return {
            "samples": self.samples,
            "seed": self.seed,
            "level": self.level,
            "unity": {oxide: pair(r) for oxide, r in self.unity.items()},
            "silica_alumina_ratio": pair(self.silica_alumina_ratio) if self.silica_alumina_ratio else None,
            "fired_analysis_percent": {oxide: pair(r) for oxide, r in self.fired.items()},
            "estimates": {name: pair(r) for name, r in self.estimates.items()},
            "basis": list(self.basis),
        }


def spread(
    batch: Batch,
    *,
    estimates: Mapping[str, Callable[[Floats], Floats]] | None = None,
    convention: Convention = _DEFAULT,
    samples: int = 2000,
    seed: int = 1,
    level: float = 0.90,
    step_g: float = 0.0,
    batch_g: float = 0.0,
    moisture_percent: float = 0.0,
) -> Spread:
    """Sample the batch.

    Parameters
    ----------
    batch : Batch
    estimates : mapping of str to function
        Name -> function from mol % (n, k) to values (n,), run on every sample.
    convention : Convention
    samples : int
        1000 to a million.
    seed : int
        The same seed gives the same numbers.
    level : float
        Share of samples between low and high, 0.5 to 0.99.
    step_g, batch_g : float
        Step of the scale [g] and size of the all-in batch [g]; each weighing is off by up to half a step. 0: not counted.
        A recipe in real weights needs no `batch_g`.
    moisture_percent : float
        Unknown water in clays [% of the dry weight], anywhere from 0 to this.

    Returns
    -------
    Spread

    Raises
    ------
    CompositionError
        For numbers out of range, or a step without a batch size.
    """
    if not 1000 <= samples <= _MOST:
        raise CompositionError(f"{samples} samples were asked for; 1000 to {_MOST} was expected.")
    if not 0.5 <= level <= 0.99:
        raise CompositionError(f"the level is {level}; 0.5 to 0.99 was expected.")
    moles = sample_moles(
        batch, samples=samples, seed=seed, step_g=step_g, batch_g=batch_g, moisture_percent=moisture_percent
    )
    kept = folded(moles)
    fired = arrays.shares_percent(kept * molar_mass_array())
    percent = arrays.shares_percent(kept)
    unity = unity_moles(moles, convention)
    unity_ranges: dict[str, Range] = {}
    if np.isfinite(unity).all():
        unity_ranges = _ranges(unity, level)
        if convention.alkalis_together:
            together = unity[:, [INDEX[o] for o in ALKALIS]].sum(axis=1)
            unity_ranges = {
                "KNaO": _range(together, level),
                **{o: r for o, r in unity_ranges.items() if o not in ALKALIS},
            }
    alumina = kept[:, INDEX["Al2O3"]] + (kept[:, INDEX["B2O3"]] if convention.boron_with_alumina else 0.0)
    silica = kept[:, INDEX["SiO2"]] + (kept[:, INDEX["B2O3"]] if convention.boron_with_silica else 0.0)
    ratio = _range(silica / alumina, level) if (alumina > 0).all() else None
    basis = [_analysis_basis(batch)]
    if step_g > 0:
        basis.append(f"each weighing off by up to half a step of {step_g:g} g")
    if moisture_percent > 0:
        basis.append(f"clays hold 0 to {moisture_percent:g} % water that was not counted")
    drawn: dict[str, Range] = {}
    for name, function in (estimates or {}).items():
        values = function(percent)
        if np.isfinite(values).all():
            drawn[name] = _range(values, level)
        else:
            basis.append(f"{name}: no spread, the model has no answer for some samples")
    return Spread(
        samples=samples,
        seed=seed,
        level=level,
        unity=unity_ranges,
        silica_alumina_ratio=ratio,
        fired=_ranges(fired, level),
        estimates=drawn,
        basis=tuple(basis),
    )


def sample_moles(
    batch: Batch, *, samples: int, seed: int, step_g: float = 0.0, batch_g: float = 0.0, moisture_percent: float = 0.0
) -> Floats:
    """Return the moles of each oxide in each sample, shape (samples, k), iron as analysed; parameters as in `spread`."""
    generator = np.random.default_rng(seed)
    drawn: dict[str, Floats] = {}
    moles = np.zeros((samples, len(AXIS)))
    grams_per_part = 1.0
    if step_g > 0:
        if batch.recipe.has_mass_units and not batch_g:
            batch_g = batch.all_in_total
        if batch_g <= 0:
            raise CompositionError("a scale's step needs the size of the batch.", "Give the all-in batch in grams.")
        grams_per_part = batch_g / batch.all_in_total
    per_mole = 0.01 / molar_mass_array()
    for line in batch.lines:
        material, parts = line.material, line.parts
        if material.id not in drawn:
            drawn[material.id] = _draw(material, generator, samples)
        weight: Floats = np.full(samples, parts)
        if step_g > 0:
            weight = np.maximum(weight + generator.uniform(-0.5, 0.5, samples) * step_g / grams_per_part, 0.0)
        if moisture_percent > 0 and material.kind == "clay":
            weight = weight / (1.0 + generator.uniform(0.0, moisture_percent, samples) / 100.0)
        columns = np.flatnonzero(drawn[material.id][0] > 0) if samples else np.zeros(0, dtype=np.intp)
        moles[:, columns] += weight[:, None] * drawn[material.id][:, columns] * per_mole[columns]
    return moles


def _draw(material: Material, generator: np.random.Generator, samples: int) -> Floats:
    # (samples, k) analyses whose total with loss is that of the sheet
    centre = analysis_matrix([material])[0]
    loss = material.loi_percent or 0.0
    total = centre.sum() + loss
    columns = np.flatnonzero(centre)
    drawn = np.zeros((samples, len(AXIS)))
    if not len(columns):
        return drawn
    noise = np.empty((samples, len(columns)))
    for place, column in enumerate(columns):
        stated = material.tolerance.get(AXIS[int(column)])
        if stated is not None:
            noise[:, place] = generator.uniform(-stated, stated, samples)
        else:
            noise[:, place] = generator.normal(0.0, _typical_sd(material, float(centre[column])), samples)
    values = np.maximum(centre[columns] + noise, 0.0)
    loss_drawn = (
        loss + generator.normal(0.0, abs(loss) * _typical()["relative_sd_percent_loss"] / 100.0, samples)
        if loss
        else np.zeros(samples)
    )
    sums = values.sum(axis=1) + loss_drawn
    if total > 0:
        values *= (total / np.maximum(sums, 1e-9))[:, None]
    drawn[:, columns] = values
    return drawn


def _typical_sd(material: Material, share: float) -> float:
    data = _typical()
    relative = float(
        next(row["sd"] for row in data["relative_sd_percent_by_share"] if share > row["above"] or row["above"] == 0)
    )
    if material.kind == "ash":
        relative = float(data["relative_sd_percent_ash"])
    elif material.kind in data["refined_kinds"] and share == max(material.analysis.values()):
        relative = float(data["relative_sd_percent_refined_main_oxide"])
    return share * relative / 100.0


def _typical() -> dict[str, Any]:
    return load_data("analysis_spread.yaml")


def _analysis_basis(batch: Batch) -> str:
    stated = sorted({m.name for m in batch.materials if m.tolerance})
    assumed = sorted({m.name for m in batch.materials if not m.tolerance and len(m.analysis) + bool(m.loi_percent) > 1})
    parts = []
    if stated:
        parts.append(f"tolerances as stated for {', '.join(stated)}")
    if assumed:
        parts.append(f"typical ones, an assumption from producers' printed bands, for {', '.join(assumed)}")
    return "; ".join(parts) or "no material has a tolerance"


def _ranges(values: Floats, level: float) -> dict[str, Range]:
    return {oxide: _range(values[:, column], level) for oxide, column in INDEX.items() if values[:, column].any()}


def _range(values: Floats, level: float) -> Range:
    low, high = np.quantile(values, [(1 - level) / 2, (1 + level) / 2])
    return Range(float(low), float(high), float(values.std()))

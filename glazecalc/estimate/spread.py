"""What the tolerance of analyses, the scale and moisture make of the results: seeded sampling over the array core.

Each sample draws every material's analysis anew, keeps its total (an analysis is closed: if one oxide falls, others
rise), weighs each line with the scale's own rounding, and runs the whole calculation. A material that stands on two
lines is one bag and is drawn once.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TYPE_CHECKING, ClassVar, NamedTuple

import numpy as np
from numpy.typing import NDArray

from glazecalc.convention import Convention
from glazecalc.convert import arrays
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.moles import analysis_matrix, basis_of, counted, folded, molar_mass_array, moles_of
from glazecalc.display import BY_ROW, Shown
from glazecalc.errors import CompositionError
from glazecalc.estimate.all_models import on_arrays
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import ALKALIS, AXIS, molar_mass
from glazecalc.recipe import Recipe

if TYPE_CHECKING:
    import pandas as pd

__all__ = (
    "SampledRange",
    "Sampling",
    "Spread",
    "sample_moles",
    "spread",
    "spread_of_batch",
    "spread_of_estimates",
    "with_model_error",
)

Floats = NDArray[np.float64]
_DEFAULT = Convention()
_FEWEST, _MOST = 1000, 1_000_000
_BLOCK = 10_000  # samples at a time; the numbers of more than one block follow from it


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampling:
    """How to sample, in the words of `spread`."""

    samples: int = 2000
    seed: int = 1
    level: float = 0.90
    step_g: float = 0.0
    batch_mass_g: float = 0.0
    moisture_percent: float = 0.0

    def __post_init__(self) -> None:
        if not _FEWEST <= self.samples <= _MOST:
            raise CompositionError(f"{self.samples} random draws were asked for; {_FEWEST} to {_MOST} was expected.")
        if not 0.5 <= self.level <= 0.99:
            raise CompositionError(f"the level is {self.level}; 0.5 to 0.99 was expected.")


_USUAL = Sampling()


class SampledRange(NamedTuple):
    """Low and high ends of a sampled result."""

    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread(Shown):
    """Ranges that follow from the materials, not from the models.

    Attributes
    ----------
    level : float
        Share of samples between low and high.
    convention : Convention
        How the unity formula is counted.
    unity : Mapping
        Oxide -> SampledRange, by the convention asked for; empty where there is no flux.
    fired : Mapping
        Oxide -> SampledRange [wt %].
    estimates : Mapping
        Name of the estimate -> SampledRange in its unit.
    estimates_with_model_error : Mapping
        The same with the model's own error in it, for the estimates that have one.
    basis : tuple of str
        What was assumed.
    """

    PAGE: ClassVar[str] = "spread"
    JSON: ClassVar[tuple[str, ...]] = (
        "samples", "seed", "level", "convention", "unity", "silica_alumina_ratio", "fired_analysis_percent=fired", "estimates",
        "estimates_with_model_error", "basis",
    )  # fmt: skip

    samples: int
    seed: int
    level: float
    convention: Convention
    unity: Mapping[str, SampledRange]
    silica_alumina_ratio: SampledRange | None
    fired: Mapping[str, SampledRange]
    estimates: Mapping[str, SampledRange]
    basis: tuple[str, ...]
    estimates_with_model_error: Mapping[str, SampledRange] = field(default_factory=FrozenDict)

    def to_frame(self) -> pd.DataFrame:
        """Return one row a number that was sampled: ``of, name, low, high, unit``; an estimate is in the unit that its function gave it."""
        import pandas as pd

        ratio = {"SiO2:Al2O3": self.silica_alumina_ratio} if self.silica_alumina_ratio is not None else {}
        kinds = (
            ("unity", self.unity, self.convention.unit),
            ("ratio", ratio, "mol per mol"),
            ("fired", self.fired, "wt %"),
            ("estimate", self.estimates, ""),
            ("estimate with model error", self.estimates_with_model_error, ""),
        )
        rows = [(kind, name, *ends, unit) for kind, ranges, unit in kinds for name, ends in ranges.items()]
        frame = pd.DataFrame(rows, columns=["of", "name", "low", "high", "unit"])
        frame.attrs["units"] = {"low": BY_ROW, "high": BY_ROW}
        frame.attrs |= {"convention": self.convention.description, "level": self.level, "basis": list(self.basis)}
        return frame


def spread(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    estimates: Iterable[Estimate] | Mapping[str, Callable[[Floats], Floats]] | None = None,
    convention: Convention = _DEFAULT,
    samples: int = 2000,
    seed: int = 1,
    level: float = 0.90,
    step_g: float = 0.0,
    batch_mass_g: float = 0.0,
    moisture_percent: float = 0.0,
) -> Spread:
    """Sample what the tolerance of the analyses, the scale and moisture make of a recipe.

    Parameters
    ----------
    recipe, materials, convention
        As for `unity_formula`.
    estimates : iterable of Estimate, or mapping of str to function
        Estimates of this glaze, as a report has them: each by its own model, with and without the error of the model. Or name ->
        function from mol % (n, k) to values (n,), run on every sample.
    samples, seed : int
        1000 to a million; the same seed gives the same numbers.
    level : float
        Share of samples between low and high, 0.5 to 0.99.
    step_g, batch_mass_g : float
        Step of the scale [g] and mass of the all-in batch [g]; each weighing is off by up to half a step. 0: not counted.
        A recipe in real weights needs no `batch_mass_g`.
    moisture_percent : float
        Unknown water in clays [% of the dry weight], anywhere from 0 to this.

    Returns
    -------
    Spread
        Low and high of each oxide, ratio and estimate.

    Raises
    ------
    ArgumentError, FileFaultsError
        As in `unity_formula`.
    CompositionError
        For numbers out of range, a step without a batch mass, or one so coarse that nothing is left of some samples.

    Examples
    --------
    >>> import glazecalc as gc
    >>> found = gc.spread(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> [round(end, 1) for end in found.unity["SiO2"]]
    [3.5, 3.7]
    """
    how = Sampling(
        samples=samples,
        seed=seed,
        level=level,
        step_g=step_g,
        batch_mass_g=batch_mass_g,
        moisture_percent=moisture_percent,
    )
    batch = resolve(recipe, materials)
    if estimates is None or isinstance(estimates, Mapping):
        return spread_of_batch(batch, how, estimates=estimates, convention=convention)
    return spread_of_estimates(batch, how, estimates, convention=convention)


def spread_of_batch(
    batch: Batch,
    how: Sampling = _USUAL,
    *,
    estimates: Mapping[str, Callable[[Floats], Floats]] | None = None,
    convention: Convention = _DEFAULT,
) -> Spread:
    """Sample a batch; see `spread`."""
    drawn = _results(batch, how, estimates or {}, convention)
    level, basis = how.level, [_analysis_basis(batch)]
    if how.step_g > 0:
        basis.append(f"each weighing may be off by up to half a step of {how.step_g:g} g")
    if how.moisture_percent > 0:
        basis.append(f"clays may hold 0 to {how.moisture_percent:g} % water that was not counted")
    unity_ranges: dict[str, SampledRange] = {}
    if (drawn.basis > 0).all():
        moles = drawn.counted(convention)
        if convention.alkalis_together and any(oxide in moles for oxide in ALKALIS):
            together = sum(moles.pop(oxide) / drawn.basis for oxide in ALKALIS if oxide in moles)
            unity_ranges["KNaO"] = _range(np.asarray(together), level)
        unity_ranges |= {oxide: _range(column / drawn.basis, level) for oxide, column in moles.items()}
    elif drawn.basis.any():
        basis.append("unity formula: no spread, some draws have no flux")
    silica, alumina = drawn.ratio(convention)
    ratio = None
    if (alumina > 0).all():
        ratio = _range(silica / alumina, level)
    elif alumina.any():
        basis.append("SiO2:Al2O3: no spread, some draws have no alumina")
    ranges: dict[str, SampledRange] = {}
    for name, values in drawn.estimates.items():
        if np.isfinite(values).all():
            ranges[name] = _range(values, level)
        else:
            basis.append(f"{name}: no spread, the model has no answer for some draws")
    return Spread(
        samples=how.samples,
        seed=how.seed,
        level=level,
        convention=convention,
        unity=FrozenDict(unity_ranges),
        silica_alumina_ratio=ratio,
        fired=FrozenDict(
            {
                oxide: _range(100.0 * (column * molar_mass(oxide) / drawn.mass), level)
                for oxide, column in drawn.moles.items()
            }
        ),
        estimates=FrozenDict(ranges),
        basis=tuple(basis),
    )


def spread_of_estimates(
    batch: Batch, how: Sampling, estimates: Iterable[Estimate], *, convention: Convention = _DEFAULT
) -> Spread:
    """Sample a batch and each of its estimates by its own model, with the error of the model beside it; see `spread`."""
    asked = tuple(estimates)
    functions = {one.name: function for one in asked if (function := on_arrays(one)) is not None}
    return with_model_error(spread_of_batch(batch, how, estimates=functions, convention=convention), asked)


def with_model_error(spread: Spread, estimates: Iterable[Estimate]) -> Spread:
    """Return a spread in which bags and model stand together: their distances from the value added as independent errors are."""
    together = {}
    for estimate in estimates:
        drawn, low, high = spread.estimates.get(estimate.name), estimate.low, estimate.high
        if drawn is not None and low is not None and high is not None and estimate.level == spread.level:
            value = estimate.value
            down, up = math.hypot(value - drawn.low, value - low), math.hypot(drawn.high - value, high - value)
            together[estimate.name] = SampledRange(value - down, value + up)
    return replace(spread, estimates_with_model_error=FrozenDict(together))


@dataclass(frozen=True, slots=True)
class _Results:
    """What is kept of every sample, each an array (samples,)."""

    moles: Mapping[str, Floats]  # of the oxides that there are, iron as Fe2O3
    basis: Floats  # moles of what unity divides by
    mass: Floats  # of the fired glaze
    estimates: Mapping[str, Floats]

    def counted(self, convention: Convention) -> dict[str, Floats]:
        """Return the moles with iron in the convention's form."""
        if not convention.iron_as_feo:
            return dict(self.moles)
        return {"FeO" if o == "Fe2O3" else o: 2.0 * n if o == "Fe2O3" else n for o, n in self.moles.items()}

    def ratio(self, convention: Convention) -> tuple[Floats, Floats]:
        """Return the moles that stand with SiO2 and with Al2O3."""
        silica, alumina, boron = (self.moles.get(o, np.zeros(len(self.mass))) for o in ("SiO2", "Al2O3", "B2O3"))
        with_silica, with_alumina = convention.boron_with_silica, convention.boron_with_alumina
        return silica + boron if with_silica else silica, alumina + boron if with_alumina else alumina


def _results(
    batch: Batch, how: Sampling, functions: Mapping[str, Callable[[Floats], Floats]], convention: Convention
) -> _Results:
    """Return the results of every sample, drawn some at a time so that a million need little memory."""
    held = np.flatnonzero(folded(moles_of(batch.materials, _DEFAULT)).any(axis=0))
    kept, basis, mass = np.empty((len(held), how.samples)), np.empty(how.samples), np.empty(how.samples)
    estimates = {name: np.empty(how.samples) for name in functions}
    masses, start = molar_mass_array(), 0
    for moles in sample_moles(batch, how):
        block = slice(start, start := start + len(moles))
        iron_as_fe2o3 = folded(moles)
        percent = arrays.shares_percent(iron_as_fe2o3)
        kept[:, block] = iron_as_fe2o3[:, held].T
        basis[block] = counted(moles, convention)[:, basis_of(convention)].sum(axis=1)
        mass[block] = (iron_as_fe2o3 * masses).sum(axis=1)
        for name, function in functions.items():
            estimates[name][block] = function(percent)
    if empty := int(np.count_nonzero(~(mass > 0))):
        text = f"nothing is left of the batch in {empty} of {how.samples} random draws."
        hint = (
            "The scale's step is too large for this batch: take a finer scale or a larger batch." if how.step_g else ""
        )
        raise CompositionError(text, hint, batch.recipe.path)
    named = {AXIS[column]: kept[row] for row, column in enumerate(held) if kept[row].any()}
    return _Results(named, basis, mass, estimates)


def sample_moles(batch: Batch, how: Sampling) -> Iterator[Floats]:
    """Yield the moles of each oxide in each sample, shape (some samples, k), iron as analysed."""
    generator = np.random.default_rng(how.seed)
    grams_per_part = _grams_per_part(batch, how.batch_mass_g) if how.step_g > 0 else 1.0
    per_mole = 0.01 / molar_mass_array()
    for start in range(0, how.samples, _BLOCK):
        count = min(_BLOCK, how.samples - start)
        drawn: dict[str, Floats] = {}
        moles = np.zeros((count, len(AXIS)))
        for line in batch.lines:
            material = line.material
            if material.id not in drawn:
                drawn[material.id] = _draw(material, generator, count)
            weight: Floats = np.full(count, line.parts)
            if how.step_g > 0:
                off_g = generator.uniform(-0.5, 0.5, count) * how.step_g
                weight = np.maximum(weight + off_g / grams_per_part, 0.0)
            if how.moisture_percent > 0 and material.kind == "clay":
                weight = weight / (1.0 + generator.uniform(0.0, how.moisture_percent, count) / 100.0)
            columns = np.flatnonzero(drawn[material.id].any(axis=0))
            moles[:, columns] += weight[:, None] * drawn[material.id][:, columns] * per_mole[columns]
        yield moles


def _grams_per_part(batch: Batch, mass_g: float) -> float:
    if batch.recipe.has_mass_units and not mass_g:
        return 1.0
    if mass_g <= 0:
        raise CompositionError("a scale's step needs the weight of the batch.", "Give the total batch in grams.")
    return mass_g / batch.all_in_total


def _draw(material: Material, generator: np.random.Generator, samples: int) -> Floats:
    # (samples, k) analyses whose total with loss is that of the sheet
    typical = _typical()
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
            share = float(centre[column])
            noise[:, place] = generator.normal(0.0, share * typical.of_oxide(material, share) / 100.0, samples)
    values = np.maximum(centre[columns] + noise, 0.0)
    loss_sd = abs(loss) * typical.relative_sd_percent_loss / 100.0
    lost = loss + generator.normal(0.0, loss_sd, samples) if loss else 0.0
    if total > 0:
        values *= (total / np.maximum(values.sum(axis=1) + lost, 1e-9))[:, None]
    drawn[:, columns] = values
    return drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class _TypicalTolerance:
    """Relative standard deviations [%] of an analysis whose sheet states no tolerance."""

    relative_sd_percent_by_share: tuple[Mapping[str, float], ...]  # above this share of the material [wt %], this
    relative_sd_percent_loss: float
    relative_sd_percent_refined_main_oxide: float
    refined_kinds: tuple[str, ...]
    relative_sd_percent_ash: float

    def of_oxide(self, material: Material, share: float) -> float:
        """Return that of an oxide that is `share` [wt %] of a material."""
        if material.kind == "ash":
            return self.relative_sd_percent_ash
        if material.kind in self.refined_kinds and share == max(material.analysis.values()):
            return self.relative_sd_percent_refined_main_oxide
        rows = self.relative_sd_percent_by_share
        return next(row["sd"] for row in rows if share > row["above"] or row["above"] == 0)


@cache
def _typical() -> _TypicalTolerance:
    return read_entry(_TypicalTolerance, load_data("analysis_spread.yaml"), "analysis_spread.yaml")


def _analysis_basis(batch: Batch) -> str:
    stated = sorted({m.name for m in batch.materials if m.tolerance})
    assumed = sorted({m.name for m in batch.materials if not m.tolerance and len(m.analysis) + bool(m.loi_percent) > 1})
    parts = []
    if stated:
        parts.append(f"tolerances as stated for {', '.join(stated)}")
    if assumed:
        parts.append(f"typical tolerances, assumed from producers' printed ranges, for {', '.join(assumed)}")
    return "; ".join(parts) or "no material has a tolerance"


def _range(values: Floats, level: float) -> SampledRange:
    low, high = np.quantile(values, [(1 - level) / 2, (1 + level) / 2])
    return SampledRange(float(low), float(high))

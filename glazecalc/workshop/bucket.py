"""What a bucket of slurry holds, and what brings it to a gravity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from glazecalc.convert.batch import Batch, resolve
from glazecalc.display import Tabular
from glazecalc.errors import ArgumentError, Notice, VolumeNotReachedError, WorkshopError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.recipe import Recipe
from glazecalc.workshop.density import SolidsDensity, batch_density
from glazecalc.workshop.slurry import (
    Adjustment,
    SlurryContent,
    SlurrySample,
    adjust,
    bring_to_volume,
    content_of_mass,
    give_or_take,
)  # fmt: skip
from glazecalc.workshop.studio_size import questioned_size
from glazecalc.workshop.top_up import moist_share, too_coarse, top_up, whole_bucket
from glazecalc.workshop.weighing_list import WEIGH_COLUMNS, ScaledBatch, WeighLine

__all__ = ("Colouring", "SlurryReport", "slurry")


@dataclass(frozen=True, slots=True)
class Colouring:
    """A material to be stirred into a slurry: share [% of the dry glaze], mass for all of it in the full bucket and for its base alone."""

    material: str
    name: str
    percent: float
    mass_g: float
    mass_on_base_g: float


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class SlurryReport(Tabular):
    """What a bucket holds and what to add.

    Attributes
    ----------
    content : SlurryContent
        Dry material and water now.
    measured : str
        What `content` is of: ``"bucket"``, ``"sample"`` or ``"litre"``.
    change : Adjustment or None
        What to add; None where no gravity was asked for.
    lines : tuple of WeighLine
        The dry glaze to add, material by material; empty without a recipe.
    additions : tuple of Colouring
        Colourants, figured on what is in the bucket at the end.
    dry_give_or_take_g, water_give_or_take_g : float or None
        How far off the additions may be by the error of the sample [g]; None where nothing is added or the error is not known.
    to_weigh, bucket : ScaledBatch or None
        The weighing list of all that is added, and the bucket as it is at the end; None without a recipe.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = WEIGH_COLUMNS
    PAGE: ClassVar[str] = "slurry"
    JSON: ClassVar[tuple[str, ...]] = (
        "specific_gravity=content.specific_gravity", "volume_ml=content.volume_ml", "dry_g=content.dry_g",
        "water_g=content.water_g", "dry_g_per_l=content.dry_g_per_l", "low_dry_g=content.low_dry_g",
        "high_dry_g=content.high_dry_g", "solids_density=density.g_cm3", "solids_density_given=density.given",
        "add_dry_g=change.add_dry_g", "add_water_g=change.add_water_g", "volume_after_ml=change.volume_ml",
        "or_take_off_water_g=change.or_take_off_water_g", "dry_give_or_take_g", "water_give_or_take_g", "pour_water_g", "step_g",
        "lines", "additions", "notices",
    )  # fmt: skip
    content: SlurryContent
    measured: str
    density: SolidsDensity
    change: Adjustment | None = None
    lines: tuple[WeighLine, ...] = ()
    additions: tuple[Colouring, ...] = ()
    dry_give_or_take_g: float | None = None
    water_give_or_take_g: float | None = None
    to_weigh: ScaledBatch | None = None
    bucket: ScaledBatch | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def pour_water_g(self) -> float | None:
        """The water to pour [g]: what is added less what moist materials bring; None where no gravity was asked for."""
        if self.change is None:
            return None
        poured = None if self.to_weigh is None else self.to_weigh.pour_water_g
        return self.change.add_water_g if poured is None else poured

    @property
    def materials(self) -> tuple[Material, ...]:
        """The materials of the full bucket, what is stirred in included; empty without a recipe."""
        there = self.bucket.materials if self.bucket is not None else ()
        weighed = self.to_weigh.materials if self.to_weigh is not None else ()
        return tuple({material.id: material for material in (*there, *weighed)}.values())

    @property
    def step_g(self) -> float | None:
        """The step of the scale [g]; None where nothing was rounded."""
        return None if self.to_weigh is None else self.to_weigh.step_g

    def __repr__(self) -> str:
        content = self.content
        return f"<SlurryReport: {content.dry_g:.0f} g dry in {content.volume_ml / 1000:.2f} l at {content.specific_gravity:.3f}>"


def slurry(
    recipe: Recipe | Mapping[str, float] | None = None,
    materials: MaterialLibrary | None = None,
    *,
    sample: SlurrySample | None = None,
    specific_gravity_now: float | None = None,
    gross_g: float | None = None,
    tare_g: float | None = None,
    volume_l: float | None = None,
    solids_density_g_cm3: float | None = None,
    specific_gravity: float | None = None,
    to_volume_l: float | None = None,
    bucket_l: float | None = None,
    adding: Mapping[str, float] | None = None,
    step_g: float | None = None,
    moisture_percent: Mapping[str, float] | None = None,
) -> SlurryReport:
    """Measure a bucket: its gravity, the dry glaze and water in it, and what to add.

    Parameters
    ----------
    recipe : Recipe or Mapping, optional
        Gives the solids density, and splits what is to be added into its materials.
    materials : MaterialLibrary, optional
        Where names are looked up; needed with `recipe` or `adding`.
    sample, specific_gravity_now : SlurrySample or float, optional
        A stirred sample, weighed; or the gravity now. One of the two.
    gross_g, tare_g : float, optional
        Weight of the bucket with and without the slurry [g].
    volume_l : float, optional
        Volume of the slurry [l], in place of its weights. Without either, the answer is for the sample, or for a litre.
    solids_density_g_cm3 : float, optional
        Solids density [g/cm3] in place of the recipe's.
    specific_gravity : float, optional
        The gravity wanted. Without `to_volume_l` the one smallest addition is given.
    to_volume_l : float, optional
        Volume to bring it to [l]; where it cannot be had, the nearest that reaches the gravity, and why.
    bucket_l : float, optional
        What the bucket holds [l]; more is refused.
    step_g, moisture_percent : float, Mapping, optional
        The scale's step [g], and material -> water in the bag [% of the dry weight], as for `scale`.
    adding : Mapping, optional
        Material -> [% of the dry glaze] to stir in.

    Returns
    -------
    SlurryReport

    Raises
    ------
    ArgumentError
        If the sample, the bucket or the density is not said, or said twice.
    WorkshopError
        For a sample or a gravity that cannot be.

    Examples
    --------
    >>> import glazecalc as gc
    >>> found = gc.slurry(specific_gravity_now=1.47, volume_l=7, solids_density_g_cm3=2.6, specific_gravity=1.45)
    >>> round(found.content.dry_g), round(found.change.add_water_g)
    (5346, 311)
    """
    if materials is None and (recipe is not None or adding):
        raise ArgumentError("names of materials are given without 'materials'.", "Add materials=gc.load_materials().")
    batch = resolve(recipe, materials) if recipe is not None and materials is not None else None
    if batch is None and solids_density_g_cm3 is None:
        hint = "Name the recipe, or add --solids-density 2.6 (solids_density_g_cm3=2.6)."
        raise ArgumentError("what is the solids density?", hint)
    density = batch_density(batch, solids_density_g_cm3)
    taken = _sample(sample, specific_gravity_now)
    net_g, measured = _net_g(taken, gross_g, tare_g, volume_l, otherwise="sample" if sample else "litre")
    content = content_of_mass(net_g, taken, density.g_cm3)
    if to_volume_l is not None and specific_gravity is None:
        raise ArgumentError("--to says how much; at which specific gravity?", "Add --sg 1.45 (specific_gravity=1.45).")
    if bucket_l is not None and (to_volume_l or 0.0) > bucket_l:
        said = f"{to_volume_l:g} l do not fit into a bucket of {bucket_l:g} l."
        raise WorkshopError(said, "Ask for less, and leave some headroom.")
    if batch is None and (step_g is not None or moisture_percent):
        raise ArgumentError("a step or a moisture is of materials to weigh; of which recipe?", "Name the recipe.")
    wet = 0.0 if batch is None or materials is None else moist_share(batch, materials, moisture_percent or {})
    change, not_reached = _change(content, density.g_cm3, specific_gravity, to_volume_l, wet)
    if change is not None and bucket_l is not None and change.volume_ml > bucket_l * 1000:
        said = f"the slurry would come to {change.volume_ml / 1000:.2f} l, more than the bucket's {bucket_l:g} l."
        raise WorkshopError(said, "Take some out first.")
    end_g, end_ml = (
        (content.dry_g, content.volume_ml) if change is None else (content.dry_g + change.add_dry_g, change.volume_ml)
    )
    additions, read = _additions(adding, materials, end_g, batch) if adding and materials is not None else ((), ())
    large = questioned_size(end_g, end_ml)
    off: tuple[float, float] | None = None
    if change is not None and content.high_dry_g > content.low_dry_g:
        whole = to_volume_l is not None and not not_reached
        off = give_or_take(content, change, density.g_cm3, whole_volume=whole, moist_share=wet)
    listed, bucket = None, None
    if batch is not None and materials is not None:
        colours = [(materials[one.material], one.mass_g) for one in additions]
        listed = top_up(batch, materials, change, colours, density, step_g=step_g, moisture_percent=moisture_percent)
        gravity = content.specific_gravity if change is None else change.specific_gravity
        bucket = whole_bucket(batch, materials, end_g, end_ml, gravity, density)
    coarse = () if off is None or change is None else too_coarse(change.add_dry_g or change.add_water_g, max(off))
    rounding = tuple(n for n in listed.notices if n not in batch.notices) if listed is not None and batch else ()
    return SlurryReport(
        content=content,
        measured=measured,
        density=density,
        change=change,
        lines=() if listed is None else listed.lines[: len(listed.lines) - len({one.material for one in additions})],
        additions=additions,
        dry_give_or_take_g=None if off is None else off[0],
        water_give_or_take_g=None if off is None else off[1],
        to_weigh=listed,
        bucket=bucket,
        notices=(*(batch.notices if batch else ()), *density.notices, *not_reached, *read, *coarse, *rounding, *large),
    )


def _sample(sample: SlurrySample | None, gravity: float | None) -> SlurrySample:
    """Return the sample; a gravity given as a number is a litre of it, without error."""
    if gravity is not None and sample is None:
        return SlurrySample(volume_ml=1000.0, mass_g=1000.0 * gravity, volume_error_ml=0.0, mass_error_g=0.0)
    if sample is None or gravity is not None:
        sample_now = '--sample "500 ml 735 g" (sample=SlurrySample(volume_ml=500, mass_g=735))'
        hint = f"Write {sample_now} or --sg-now 1.47 (specific_gravity_now=1.47)."
        raise ArgumentError("give a weighed sample or the specific gravity, one of the two.", hint)
    return sample


def _net_g(
    sample: SlurrySample, gross_g: float | None, tare_g: float | None, volume_l: float | None, *, otherwise: str
) -> tuple[float, str]:
    """Return the weight of the slurry [g] and what it is of."""
    if (gross_g is None) != (tare_g is None):
        raise ArgumentError("--gross and --tare belong together: the bucket full and the bucket empty.")
    if gross_g is not None and volume_l is not None:
        raise ArgumentError("give the bucket's weights or the slurry's volume, not both.")
    if gross_g is not None and tare_g is not None:
        if gross_g <= tare_g:
            hint = "--gross is with the slurry, --tare without."
            raise WorkshopError("the full bucket weighs no more than the empty one.", hint)
        return gross_g - tare_g, "bucket"
    if volume_l is not None:
        return volume_l * 1000 * sample.gravity, "bucket"
    return sample.mass_g, otherwise


def _change(
    content: SlurryContent, density_g_cm3: float, gravity: float | None, to_volume_l: float | None, wet: float
) -> tuple[Adjustment | None, tuple[Notice, ...]]:
    """Return what to add; where the volume asked for cannot be had, the nearest that reaches the gravity, and why."""
    if gravity is None:
        return None, ()
    nearest = adjust(content.dry_g, content.water_g, gravity, density_g_cm3, moist_share=wet)
    if to_volume_l is None:
        return nearest, ()
    try:
        return bring_to_volume(content.dry_g, content.water_g, to_volume_l * 1000, gravity, density_g_cm3), ()
    except VolumeNotReachedError as error:
        return nearest, (Notice("volume-not-reached", str(error)),)


def _additions(
    adding: Mapping[str, float], materials: MaterialLibrary, dry_g: float, batch: Batch | None
) -> tuple[tuple[Colouring, ...], tuple[Notice, ...]]:
    base_share = batch.base_total / batch.all_in_total if batch else 1.0
    found: list[Colouring] = []
    notices: list[Notice] = []
    for name, percent in adding.items():
        if not percent > 0:
            said = f"'{name} {percent:g} %': a share above zero was expected."
            raise WorkshopError(said, 'Write it like "cobalt carbonate 1%".')
        material, read = materials.find(name)
        notices.extend(read)
        mass_g, on_base_g = dry_g * percent / 100, dry_g * base_share * percent / 100
        found.append(Colouring(material.id, material.name, percent, mass_g, on_base_g))
    return tuple(found), tuple(notices)

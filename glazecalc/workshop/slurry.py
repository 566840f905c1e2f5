"""Specific gravity of a slurry and the dry glaze in it, by Brongniart's relation.

Volumes add: a slurry of dry mass w, grain density d and water v (1 g/ml) has the volume w / d + v. From this follows the relation
printed by Brongniart and by Cardew (Pioneer Pottery, p. 269): dry g per litre = (g per litre - 1000) d / (d - 1).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from glazecalc.display import Shown
from glazecalc.errors import VolumeNotReachedError, WorkshopError
from glazecalc.units import MASS_UNITS, parse_quantity
from glazecalc.workshop.practice import choice

__all__ = (
    "Adjustment", "SlurryContent", "SlurrySample", "adjust", "bring_to_volume", "check_gravity", "content_of_mass", "dry_g_per_ml",
    "fill_amounts", "give_or_take", "ounces_per_pint", "water_for_gravity",
)  # fmt: skip

_IMPERIAL_PINT_WATER_OZ = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SlurrySample(Shown):
    """A weighed sample of known volume, net, and how far off each may be, either way."""

    volume_ml: float
    mass_g: float
    volume_error_ml: float = field(default_factory=lambda: choice("sample_error_ml"))
    mass_error_g: float = field(default_factory=lambda: choice("sample_error_g"))

    def __post_init__(self) -> None:
        if not (self.volume_ml > 0 and self.mass_g > 0):
            raise WorkshopError("a sample has a volume and a weight above zero.", 'Write it like "500 ml 735 g".')
        if not (0 <= self.volume_error_ml < self.volume_ml and 0 <= self.mass_error_g < self.mass_g):
            said = "the error of the sample is negative, or as large as the sample."
            raise WorkshopError(said, 'Write it like "1 ml 1 g".')

    @property
    def gravity(self) -> float:
        """Specific gravity: weight over that of as much water, water at 1 g/ml."""
        return self.mass_g / self.volume_ml

    @property
    def gravity_range(self) -> tuple[float, float]:
        """Lowest and highest specific gravity that the errors allow."""
        low = (self.mass_g - self.mass_error_g) / (self.volume_ml + self.volume_error_ml)
        high = (self.mass_g + self.mass_error_g) / (self.volume_ml - self.volume_error_ml)
        return low, high


@dataclass(frozen=True, slots=True, kw_only=True)
class SlurryContent:
    """What is in a bucket; `low_dry_g` and `high_dry_g` are its dry glaze at the ends of the sample's error."""

    specific_gravity: float
    volume_ml: float
    dry_g: float
    water_g: float
    low_dry_g: float
    high_dry_g: float

    @property
    def dry_g_per_l(self) -> float:
        """Dry material in a litre of slurry [g/l]."""
        return self.dry_g / self.volume_ml * 1000


@dataclass(frozen=True, slots=True)
class Adjustment:
    """What to add to a slurry, and what it then is; for thickening also the clear water whose loss does the same."""

    add_dry_g: float
    add_water_g: float
    volume_ml: float
    specific_gravity: float
    or_take_off_water_g: float | None = None


def check_gravity(gravity: float, solids_density_g_cm3: float, *, what: str = "the specific gravity") -> None:
    """Refuse a gravity that no slurry of these solids can have: at or below water's (1), at or above that of the solids."""
    if not math.isfinite(gravity):
        raise WorkshopError(f"{what} is not a number.")
    if 100 < gravity < 300 or 1000 < gravity < 3000:
        meant = gravity / (100 if gravity < 300 else 1000)
        raise WorkshopError(f"{what} is {gravity:g}; it is a ratio to water.", f"Did you mean {meant:g}?")
    if gravity <= 1:
        said = f"{what} is {gravity:.4g}: at or below water's (1), so there is no glaze in it."
        raise WorkshopError(said, "Dipping glazes lie near 1.4 to 1.6.")
    if gravity >= solids_density_g_cm3:
        raise WorkshopError(
            f"{what} is {gravity:.4g}: at or above the solids density ({solids_density_g_cm3:.3g} g/cm3).",
            "Check the sample's volume and weight, without its jar.",
        )


def dry_g_per_ml(gravity: float, solids_density_g_cm3: float) -> float:
    """Return the dry glaze [g per ml of slurry] of a slurry of this gravity and solids density [g/cm3]."""
    check_gravity(gravity, solids_density_g_cm3)
    return (gravity - 1) * solids_density_g_cm3 / (solids_density_g_cm3 - 1)


def fill_amounts(volume_ml: float, gravity: float, solids_density_g_cm3: float) -> tuple[float, float]:
    """Return dry glaze and water [g] that make `volume_ml` [ml] of slurry at `gravity`."""
    if not (math.isfinite(volume_ml) and volume_ml > 0):
        raise WorkshopError(f"a volume above zero was expected; got {volume_ml:g} ml.")
    dry = volume_ml * dry_g_per_ml(gravity, solids_density_g_cm3)
    return dry, volume_ml - dry / solids_density_g_cm3


def water_for_gravity(dry_g: float, gravity: float, solids_density_g_cm3: float) -> float:
    """Return the water [g] that brings `dry_g` [g] of dry glaze to `gravity`."""
    volume = dry_g / dry_g_per_ml(gravity, solids_density_g_cm3)
    return volume - dry_g / solids_density_g_cm3


def content_of_mass(net_g: float, sample: SlurrySample, solids_density_g_cm3: float) -> SlurryContent:
    """Return what `net_g` [g] of slurry holds, from a weighed sample of it.

    The range of the dry glaze follows from the sample's errors alone; the weight of the bucket is taken as exact.
    """
    if not (math.isfinite(net_g) and net_g > 0):
        hint = "Gross weight is bucket and glaze, tare the empty bucket."
        raise WorkshopError(f"the bucket holds {net_g:g} g.", hint)
    gravity = sample.gravity
    check_gravity(gravity, solids_density_g_cm3, what="the sample's specific gravity")
    low, high = sample.gravity_range

    def dry_at(value: float) -> float:
        inside = min(max(value, 1.0), solids_density_g_cm3)
        return net_g * (1 - 1 / inside) * solids_density_g_cm3 / (solids_density_g_cm3 - 1)

    dry = dry_at(gravity)
    return SlurryContent(
        specific_gravity=gravity,
        volume_ml=net_g / gravity,
        dry_g=dry,
        water_g=net_g - dry,
        low_dry_g=dry_at(low),
        high_dry_g=dry_at(high),
    )


def adjust(
    dry_g: float, water_g: float, gravity: float, solids_density_g_cm3: float, *, moist_share: float = 0.0
) -> Adjustment:
    """Return the one addition, water or dry, that brings a slurry to `gravity`; its volume is left free.

    Materials that are weighed moist bring `moist_share` [g per dry g] of water, which counts as added.
    """
    check_gravity(gravity, solids_density_g_cm3, what="the specific gravity wanted")
    needed_water = water_for_gravity(dry_g, gravity, solids_density_g_cm3) if dry_g > 0 else 0.0
    if needed_water >= water_g:
        return Adjustment(0.0, needed_water - water_g, dry_g / solids_density_g_cm3 + needed_water, gravity)
    # Dry over water is fixed by the gravity; the water grows by what the moist materials bring.
    ratio = _dry_per_water(gravity, solids_density_g_cm3)
    if ratio * moist_share >= 1:
        said = f"the moist materials bring too much water to reach {gravity:g}."
        raise WorkshopError(said, "Dry them, or ask for a lower specific gravity.")
    add_dry = (ratio * water_g - dry_g) / (1 - ratio * moist_share)
    volume_ml = (dry_g + add_dry) / solids_density_g_cm3 + water_g + moist_share * add_dry
    return Adjustment(add_dry, moist_share * add_dry, volume_ml, gravity, or_take_off_water_g=water_g - needed_water)


def _dry_per_water(gravity: float, solids_density_g_cm3: float) -> float:
    return (gravity - 1) / (1 - gravity / solids_density_g_cm3)


def give_or_take(
    content: SlurryContent,
    change: Adjustment,
    solids_density_g_cm3: float,
    *,
    whole_volume: bool,
    moist_share: float = 0.0,
) -> tuple[float, float]:
    """Return how far off the dry glaze and the water to add may be [g], by the error of the sample, the larger side of each.

    With `whole_volume` both are added, to a volume; else the one of them, to a gravity.
    """
    net, apart = (
        content.dry_g + content.water_g,
        (content.low_dry_g - content.dry_g, content.high_dry_g - content.dry_g),
    )
    if whole_volume:
        off = max(map(abs, apart))
        return off, off
    ratio = _dry_per_water(change.specific_gravity, solids_density_g_cm3)
    if change.add_dry_g > 0:
        dry = max(abs(ratio * -by - by) for by in apart) / (1 - ratio * moist_share)
        return dry, moist_share * dry
    if net <= 0 or not change.add_water_g > 0:
        return 0.0, 0.0
    return 0.0, max(abs(by / ratio + by) for by in apart)


def bring_to_volume(
    dry_g: float, water_g: float, volume_ml: float, gravity: float, solids_density_g_cm3: float
) -> Adjustment:
    """Return the dry glaze and water that bring a slurry to `volume_ml` [ml] at `gravity`.

    A slurry that already holds more of either is a VolumeNotReachedError that says what can be done instead.
    """
    want_dry, want_water = fill_amounts(volume_ml, gravity, solids_density_g_cm3)
    slack = 1e-9 * (dry_g + water_g)
    for what, has, wants in (("dry glaze", dry_g, want_dry), ("water", water_g, want_water)):
        if wants >= has - slack:
            continue
        now_ml = dry_g / solids_density_g_cm3 + water_g
        other = adjust(dry_g, water_g, gravity, solids_density_g_cm3)
        way = f"{other.add_water_g:.0f} g of water" if other.add_water_g else f"{other.add_dry_g:.0f} g of dry glaze"
        raise VolumeNotReachedError(
            f"{volume_ml / 1000:.2f} l at {gravity:g} take {wants:.0f} g of {what}; the {now_ml / 1000:.2f} l now in the bucket hold {has:.0f} g.",
            f"Adding {way} alone reaches {gravity:g} at {other.volume_ml / 1000:.2f} l.",
        )
    return Adjustment(max(want_dry - dry_g, 0.0), max(want_water - water_g, 0.0), volume_ml, gravity)


def ounces_per_pint(gravity: float, pint: str = "imp") -> float:
    """Return the weight of a pint of slurry [oz], ``"imp"`` or ``"us"``.

    An imperial pint of water weighs 20 oz by the old definition of the gallon (10 lb of water), which trade practice and
    Cardew keep; a US pint is 231/8 cubic inches and holds 473.18 g, 16.69 oz, of water at 1 g/ml.
    """
    if pint == "imp":
        return gravity * _IMPERIAL_PINT_WATER_OZ
    return gravity * parse_quantity("1 us pt", "volume").base / float(MASS_UNITS["oz"])

"""A numbered plan of tests: the series, its tiles and what each of them weighs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, ClassVar

from glazecalc.caution.caution import Caution
from glazecalc.convention import Convention
from glazecalc.convert.unity import MolePercent, UnityFormula
from glazecalc.display import Shown, Tabular
from glazecalc.errors import Notice
from glazecalc.estimate.difference import EstimateDifference, differences_between
from glazecalc.estimate.result import Estimate
from glazecalc.frozen import FrozenDict
from glazecalc.recipe import Recipe

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("Series", "Tile", "TileLine", "Way")


@dataclass(frozen=True, slots=True, kw_only=True)
class TileLine:
    """One material of a tile: `mass_g` in whole steps of the scale (its true weight where it takes a `fine_scale`), `exact_g` before rounding."""

    JSON: ClassVar[tuple[str, ...]] = ("material", "name", "mass_g", "exact_g", "fine_scale", "addition", "role")

    material: str
    name: str
    exact_g: float
    mass_g: float
    addition: bool
    fine_scale: bool = False

    @property
    def role(self) -> str:
        """``base`` or ``addition``."""
        return "addition" if self.addition else "base"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile(Tabular):
    """One test of a series.

    Attributes
    ----------
    code : str
        For the back of the tile: shares in per cent, or the amounts of the rising addition.
    shares : tuple of float
        Dry weight of each corner in the tile [0-1]; for a rising series the place between its ends.
    corners_g, corners_ml : tuple of float
        Dry mix [g] or slurry [ml] of each corner; no grams for a rising series, no millilitres where they are blended dry.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "material": "", "name": "", "role": "", "mass_g": "g", "exact_g": "g", "fine_scale": "",
    }  # fmt: skip
    PAGE: ClassVar[str] = "tile"
    JSON: ClassVar[tuple[str, ...]] = (
        "number", "code", "shares", "corners_g", "corners_ml", "lines", "unity=unity_moles", "estimates", "cautions", "notices",
    )  # fmt: skip

    number: int
    code: str
    shares: tuple[float, ...]
    corners_g: tuple[float, ...] = ()
    corners_ml: tuple[float, ...] = ()
    lines: tuple[TileLine, ...]
    recipe: Recipe
    unity: UnityFormula | None
    mole_percent: MolePercent
    estimates: tuple[Estimate, ...]
    cautions: tuple[Caution, ...]
    notices: tuple[Notice, ...]

    @property
    def unity_moles(self) -> Mapping[str, float]:
        """The unity formula; empty where there is none."""
        return self.unity if self.unity is not None else FrozenDict()


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """What differs from one tile at an end of a series to another, by their numbers: the second less the first."""

    JSON: ClassVar[tuple[str, ...]] = ("first", "second", "differences")

    first: int
    second: int
    differences: tuple[EstimateDifference, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Series(Shown):
    """A numbered plan; `str` gives the page that the command prints.

    Attributes
    ----------
    kind : str
        ``line``, ``triaxial`` or ``rising``; `corners` are the names of its ends.
    tile_g, step_g : float
        Dry weight of a tile (of its base, where additions rise), and the scale's step [g].
    needed_g, needed_ml : tuple of float
        Dry mix [g] and slurry [ml] of each corner for the whole series; empty as those of its tiles.
    dry_g_per_ml : tuple of float
        Dry content of each slurry; empty where they are blended dry.
    """

    PAGE: ClassVar[str] = "blend"
    JSON: ClassVar[tuple[str, ...]] = (
        "kind", "corners", "tile_g", "step_g", "tiles", "ways", "needed_g", "needed_ml", "dry_g_per_ml", "convention", "notices",
    )  # fmt: skip

    kind: str
    corners: tuple[str, ...]
    tiles: tuple[Tile, ...]
    tile_g: float
    step_g: float
    needed_g: tuple[float, ...]
    needed_ml: tuple[float, ...]
    dry_g_per_ml: tuple[float, ...]
    convention: Convention
    notices: tuple[Notice, ...]

    @property
    def ways(self) -> tuple[Way, ...]:
        """From the first end to each other, and in a triangle from the second to the third."""
        ends = [tile for tile in self.tiles if max(tile.shares) == 1.0]
        return tuple(
            Way(
                first=one.number,
                second=other.number,
                differences=differences_between(one.mole_percent, other.mole_percent, one.estimates, other.estimates),
            )
            for one, other in combinations(ends, 2)
        )

    def to_frame(self) -> pd.DataFrame:
        """Return one row a tile: its shares, unity formula, ``SiO2:Al2O3`` and estimates, None where a tile has none of one."""
        import pandas as pd

        rows: list[dict[str, object]] = []
        units: dict[str, str] = {}
        for tile in self.tiles:
            ratio = tile.unity.silica_alumina_ratio if tile.unity is not None else None
            shares = {f"share {place}": share for place, share in enumerate(tile.shares, start=1)}
            estimates = {one.name: one.value for one in tile.estimates}
            units |= dict.fromkeys(tile.unity_moles, self.convention.unit) | {
                one.name: one.unit for one in tile.estimates
            }
            rows.append({"code": tile.code, **shares, **tile.unity_moles, "SiO2:Al2O3": ratio, **estimates})
        frame = pd.DataFrame(rows, index=pd.Index([tile.number for tile in self.tiles], name="tile"))
        frame.attrs = {"units": units, "convention": self.convention.description, "corners": self.corners}
        frame.attrs["notices"] = [notice.message for notice in self.notices]
        return frame

    def __repr__(self) -> str:
        return f"<Series, {self.kind}: {' / '.join(self.corners)}, {len(self.tiles)} tiles>"

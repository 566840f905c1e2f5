"""Materials: a bag on the shelf, with its analysis and where the numbers came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from glazecalc.display import Shown
from glazecalc.errors import Notice
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import VOLATILES

__all__ = ("KINDS", "Material", "Source")

KINDS = (
    "silica", "clay", "feldspar", "alkaline_earth", "boron", "zinc", "frit", "lithium", "opacifier", "colourant", "alumina",
    "ash", "additive", "other",
)  # fmt: skip
_RAW_CLAY_LOSS_PERCENT = 4.0  # clay that still holds its combined water; kaolinite holds 14 % (ideal formula)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where the numbers of a material came from."""

    title: str
    publisher: str = ""
    year: str = ""
    table: str = ""
    seen_at: str = ""
    from_memory: bool = False
    confidence: str = ""

    def cite(self) -> str:
        """Return the source in one line, with its memory mark."""
        parts = [self.title, self.publisher, self.year, self.table]
        text = ", ".join(part for part in parts if part)
        if self.from_memory:
            text += " (from memory" + (f", confidence {self.confidence}" if self.confidence else "") + ")"
        return text


@dataclass(frozen=True, slots=True, kw_only=True)
class Material(Shown):
    """A raw material.

    Attributes
    ----------
    id, name : str
        Key and printed name.
    aliases : tuple of str
        Other names it answers to.
    kind : str
        One of `KINDS`.
    formula : str or None
        Ideal formula, where the numbers come from one.
    analysis : Mapping
        Oxide -> wt % of the dry material; an oxide that is absent was not reported.
    below_detection : Mapping
        Oxide -> the text printed (``trace``, ``n.d.``, ``<0.05``).
    loi_percent : float or None
        Loss on ignition [wt % of the dry material]; negative for a gain; None if not reported.
    loss : Mapping
        What leaves -> wt %.
    moisture_percent : float or None
        Water in the bag [% of the dry weight]; the analysis stands on the dry material.
    density_g_cm3 : float or None
        Density of the solid [g/cm3].
    solubility : str or None
        ``no``, ``slightly`` or ``yes``, in water at room temperature.
    hazards : tuple of str
        Keys of the bench hazards data, or the user's own words.
    tolerance : Mapping
        Oxide -> half width [wt %] of the stated tolerance.
    source : Source
        Where the numbers came from.
    path : str
        The file it was read from.
    notices : tuple of Notice
        What the loader found worth saying.
    """

    PAGE: ClassVar[str] = "material"
    JSON: ClassVar[tuple[str, ...]] = (
        "id", "name", "aliases", "kind", "formula", "analysis_percent=analysis", "below_detection", "loi_percent", "loss", "total_percent",
        "moisture_percent", "density_g_cm3", "solubility", "hazards", "tolerance", "supplier", "lot", "received", "source", "notes", "notices",
    )  # fmt: skip

    id: str
    name: str
    source: Source
    aliases: tuple[str, ...] = ()
    kind: str = "other"
    formula: str | None = None
    analysis: Mapping[str, float] = field(default_factory=dict)
    below_detection: Mapping[str, str] = field(default_factory=dict)
    loi_percent: float | None = None
    loss: Mapping[str, float] = field(default_factory=dict)
    moisture_percent: float | None = None
    density_g_cm3: float | None = None
    solubility: str | None = None
    hazards: tuple[str, ...] = ()
    tolerance: Mapping[str, float] = field(default_factory=dict)
    supplier: str = ""
    lot: str = ""
    received: str = ""
    notes: str = ""
    path: str = ""
    notices: tuple[Notice, ...] = ()

    @property
    def total_percent(self) -> float:
        """Oxides plus loss [wt %]; the loss counts as nothing where it was not reported."""
        return sum(value for oxide, value in self.analysis.items() if oxide not in VOLATILES) + (
            self.loi_percent or 0.0
        )

    @property
    def is_raw_clay(self) -> bool:
        """True for a clay that still holds its combined water (loss of 4 % or more)."""
        return self.kind == "clay" and (self.loi_percent or 0.0) >= _RAW_CLAY_LOSS_PERCENT

    @property
    def is_soluble(self) -> bool:
        """True where the material dissolves in the bucket."""
        return self.solubility == "yes"

    @property
    def is_slightly_soluble(self) -> bool:
        """True where a little of the material dissolves in the bucket, or all of it slowly."""
        return self.solubility == "slightly"

    @property
    def names(self) -> tuple[str, ...]:
        """Every name it answers to."""
        return (self.id, self.name, *self.aliases)


def frozen(mapping: Mapping[str, float]) -> Mapping[str, float]:
    """Return a read-only copy."""
    return FrozenDict(mapping)

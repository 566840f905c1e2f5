"""Materials: a bag on the shelf, with its analysis and where the numbers came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar, Literal, get_args

from glazecalc.analysis import StatedAnalysis, check_composition, remarks
from glazecalc.display import Shown
from glazecalc.errors import Notice, did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.oxides import VOLATILES

__all__ = ("KINDS", "Kind", "Material", "Solubility", "Source")

Kind = Literal[
    "silica", "clay", "feldspar", "alkaline_earth", "boron", "zinc", "frit", "lithium", "opacifier", "colourant", "alumina",
    "ash", "additive", "other",
]  # fmt: skip
KINDS: tuple[Kind, ...] = get_args(Kind)
Solubility = Literal["no", "slightly", "yes"]
_SOLUBILITY: dict[str, Solubility] = {
    "no": "no", "insoluble": "no", "slightly": "slightly", "slightly soluble": "slightly", "yes": "yes", "soluble": "yes",
}  # fmt: skip
_RAW_CLAY_LOSS_PERCENT = 4.0  # clay that still holds its combined water; kaolinite holds 14 % (ideal formula)
_NUMBERS = ("formula", "analysis", "below_detection", "loi_percent", "loss", "tolerance")
_SAID_OF_NUMBERS = ("loss-not-reported", "analysis-total", "oxide-equivalents", "carbonate-loss", "loss-parts-differ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where the numbers of a material came from; only `title` is required."""

    title: str
    publisher: str = ""
    year: str = ""
    table: str = ""
    seen_at: str = ""
    from_memory: bool = False
    confidence: str = ""

    def __post_init__(self) -> None:
        if isinstance(self.year, int):
            object.__setattr__(self, "year", str(self.year))
        checks = FieldChecks("Source")
        for name in ("title", "publisher", "year", "table", "seen_at", "confidence"):
            checks.text(name, getattr(self, name), required=name == "title")
        checks.flag("from_memory", self.from_memory)
        checks.done()

    def cite(self) -> str:
        """Return the source in one line, with its memory mark."""
        text = ", ".join(filter(None, (self.title, self.publisher, self.year, self.table)))
        confidence = f", confidence {self.confidence}" if self.confidence else ""
        return f"{text} (from memory{confidence})" if self.from_memory else text


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Material(Shown):
    """A raw material: its names, and an analysis or an ideal formula.

    A `formula` alone is enough: analysis, loss and loss on ignition follow from it. An `analysis` stands as it is
    printed; nothing is normalised.

    Attributes
    ----------
    analysis : Mapping
        Oxide -> wt % of the dry material; an oxide that is absent was not reported.
    below_detection : Mapping
        Oxide -> the text printed (``trace``, ``n.d.``, ``<0.05``).
    loi_percent : float or None
        Loss on ignition [wt % of the dry material]; negative for a gain; None if not reported.
    loss : Mapping
        What leaves -> wt %.
    moisture_percent : float or None
        Water in the bag [% of the dry weight].
    solubility : str or None
        ``no``, ``slightly`` or ``yes``, in water at room temperature.
    hazards : tuple of str
        Keys of the bench hazards data, or the user's own words.
    tolerance : Mapping
        Oxide -> half width [wt %] of the stated tolerance.
    notices : tuple of Notice
        What is odd about the numbers, but possible.
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
    kind: Kind = "other"
    formula: str | None = None
    analysis: Mapping[str, float] = field(default_factory=dict)
    below_detection: Mapping[str, str] = field(default_factory=dict)
    loi_percent: float | None = None
    loss: Mapping[str, float] = field(default_factory=dict)
    moisture_percent: float | None = None
    density_g_cm3: float | None = None
    solubility: Solubility | None = None
    hazards: tuple[str, ...] = ()
    tolerance: Mapping[str, float] = field(default_factory=dict)
    supplier: str = ""
    lot: str = ""
    received: str = ""
    notes: str = ""
    path: str = ""
    notices: tuple[Notice, ...] = ()

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Material '{self.name or self.id}'")
        checked = _plain_fields(self, checks)
        given = StatedAnalysis(**{name: getattr(self, name) for name in _NUMBERS})
        composition = check_composition(given, checks)
        checks.done()
        said = [Notice(code, f"{self.name}: {text}") for code, text in remarks(given, composition)]
        checked["notices"] = (*(n for n in self.notices if n.code not in _SAID_OF_NUMBERS), *said)
        checked |= {name: getattr(composition, name) for name in _NUMBERS}
        for name, value in checked.items():
            object.__setattr__(self, name, value)

    def __repr__(self) -> str:
        return f"<Material {self.id}, {self.name}>"

    @property
    def total_percent(self) -> float:
        """Oxides plus loss [wt %]; the loss counts as nothing where it was not reported."""
        oxides = sum(value for oxide, value in self.analysis.items() if oxide not in VOLATILES)
        return oxides + (self.loi_percent or 0.0)

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


def _plain_fields(given: Material, checks: FieldChecks) -> dict[str, Any]:
    """Check the texts and single numbers of a material; return those that are set anew."""
    for name in ("id", "name", "supplier", "lot", "received", "notes", "path"):
        checks.text(name, getattr(given, name), required=name in ("id", "name"))
    if given.source is None:
        checks.fault("source", "'source' is missing.", "Say where the numbers come from; its title is enough.")
    elif not isinstance(given.source, Source):
        checks.wrong_type("source", given.source, "a Source", "Write source=Source(title='the sheet of May').")
    if given.kind not in KINDS:
        hint = did_you_mean(str(given.kind), KINDS) or f"Known: {', '.join(KINDS)}."
        checks.fault("kind", f"'kind' is '{given.kind}', which is not a kind of material.", hint)
    solubility = _SOLUBILITY.get(str(given.solubility).lower())
    if given.solubility is not None and solubility is None:
        said = f"'solubility' is '{given.solubility}', which is not known."
        checks.fault("solubility", said, "Write no, slightly or yes.")
    return {
        "aliases": checks.texts("aliases", given.aliases),
        "hazards": checks.texts("hazards", given.hazards),
        "solubility": solubility,
        "moisture_percent": checks.number("moisture_percent", given.moisture_percent, 0, 500),
        "density_g_cm3": checks.number("density_g_cm3", given.density_g_cm3, 0.1, 25),
    }

"""Materials: a bag on the shelf, with its analysis and where the numbers came from."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ClassVar, Literal, get_args

from glazecalc.display import Shown
from glazecalc.errors import FormulaError, Notice, UnknownNameError, did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.formula import formula_yield
from glazecalc.frozen import FrozenDict
from glazecalc.kind_words import kind_meant
from glazecalc.oxides import FLUXES, VOLATILES, molar_mass
from glazecalc.source import BASES, Basis, Source

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("HOW_TO_SAY_NONE", "KINDS", "Kind", "Material", "Solubility")

Kind = Literal[
    "silica", "clay", "feldspar", "alkaline_earth", "boron", "zinc", "frit", "lithium", "opacifier", "colourant", "alumina",
    "ash", "additive", "other",
]  # fmt: skip
KINDS: tuple[Kind, ...] = get_args(Kind)
Solubility = Literal["no", "slightly", "yes"]
_SOLUBILITY: dict[str, Solubility] = {
    "no": "no", "insoluble": "no", "slightly": "slightly", "slightly soluble": "slightly", "yes": "yes", "soluble": "yes",
}  # fmt: skip
_CLAY_ALUMINA_PERCENT, _CLAY_SILICA_TO_ALUMINA, _CLAY_FLUX_PERCENT = (
    12.0,
    5.0,
    10.0,
)  # from kaolin to a red earthenware clay
_RAW_CLAY_LOSS_PERCENT = 4.0  # clay that still holds its combined water; kaolinite holds 14 % (ideal formula)
_SAID_OF_NUMBERS = ("loss-not-reported", "analysis-total", "oxide-equivalents", "carbonate-loss", "loss-parts-differ")
_NO_WORDS = ("none", "no", "nil", "n/a", "na", "-", "--", "not known", "unknown")
_BELOW_DETECTION = ("trace", "tr", "tr.", "n.d.", "nd", "n.d", "not detected", "bdl", "below detection")
_LOSSES = ("H2O", "CO2", "SO3", "F", "Cl", "N2O5", "organic", "O2")

HOW_TO_SAY_NONE = (
    "Leave the field out, and the hazards follow from the composition; or write 'hazards: []' and say why there are none: "
    "'hazards_note: the supplier's sheet of 2026 classifies nothing'."
)

# The bounds below are this program's own choice.
_LARGEST_SHARE = 100.5  # wt % of one oxide; rounding carries a pure one a little over 100
_LARGEST_SUM = 150.0  # wt %; beyond it the numbers are no shares of one material
_LARGEST_BOUND = 2.0  # wt %; a detection limit lies well below, above it stands a specification
_BURNS_AWAY = 99.0  # wt % of loss from which a material needs no oxides
_TOTAL_LOW, _TOTAL_HIGH = 98.0, 102.0  # wt %
_LOSS_SLACK = 0.5  # points between a loss and the sum of its parts, or that of the formula
_CARBONATE_SLACK = 2.0  # points of loss; a bag with more water or less carbonate than that is worth a look


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
        Keys of the bench hazards data, or the user's own words. Where there are none they follow from kind, formula and oxides.
    hazards_note : str
        A word on the hazards. With no hazards it says why there are none, and then none follow.
    inherited_hazards, inherited_from : tuple of str, str
        What a library keeps of a material that this one hides, and the name of that.
    instead_of : tuple of str
        Names of materials that are gone, for which it is offered; it does not answer to them.
    basis : str
        What the numbers stand on, one of `BASES`; a formula and a source from memory say it themselves.
    for_sale : bool
        False where no bag of that name exists: an end member, a specimen, a certified standard, a glass of the laboratory.
    not_sold_because : str
        Why it is not for sale.
    tolerance : Mapping
        Oxide -> half width [wt %] of the stated tolerance.
    notices : tuple of Notice
        What is odd about the numbers, but possible.
    """

    PAGE: ClassVar[str] = "material"
    JSON: ClassVar[tuple[str, ...]] = (
        "id", "name", "aliases", "instead_of", "kind", "basis", "for_sale", "not_sold_because", "formula", "analysis_percent=analysis",
        "below_detection", "loi_percent", "loss", "total_percent", "moisture_percent", "density_g_cm3", "solubility", "hazards", "hazards_note",
        "inherited_hazards", "inherited_from", "tolerance", "supplier", "lot", "received", "source", "notes", "notices",
    )  # fmt: skip

    id: str
    name: str
    source: Source
    aliases: tuple[str, ...] = ()
    instead_of: tuple[str, ...] = ()
    kind: Kind = "other"
    basis: Basis = "own-sheet"
    for_sale: bool = True
    not_sold_because: str = ""
    formula: str | None = None
    analysis: Mapping[str, float] = field(default_factory=dict)
    below_detection: Mapping[str, str] = field(default_factory=dict)
    loi_percent: float | None = None
    loss: Mapping[str, float] = field(default_factory=dict)
    moisture_percent: float | None = None
    density_g_cm3: float | None = None
    solubility: Solubility | None = None
    hazards: tuple[str, ...] = ()
    hazards_note: str = ""
    inherited_hazards: tuple[str, ...] = ()
    inherited_from: str = ""
    tolerance: Mapping[str, float] = field(default_factory=dict)
    supplier: str = ""
    lot: str = ""
    received: str = ""
    notes: str = ""
    path: str = ""
    notices: tuple[Notice, ...] = ()

    def __hash__(self) -> int:
        """Two that are equal have one id; the fields need not be gone through each time that a table asks for it."""
        return hash(self.id)

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Material '{self.name or self.id}'")
        checked = _plain_fields(self, checks) | _composition(self, checks)
        checked["basis"] = _basis(self, checked["formula"], checks)
        checks.done()
        stated = self.loi_percent
        for name, value in checked.items():
            object.__setattr__(self, name, value)
        said = (Notice(code, f"{self.name}: {text}") for code, text in _remarks(self, stated))
        kept = (notice for notice in self.notices if notice.code not in _SAID_OF_NUMBERS)
        object.__setattr__(self, "notices", (*kept, *said))

    def to_frame(self) -> pd.DataFrame:
        """Return the analysis, one row an oxide: ``oxide, percent, tolerance, reported``; `reported` has the text of what is below detection."""
        import pandas as pd

        oxides = [*self.analysis, *(oxide for oxide in self.below_detection if oxide not in self.analysis)]
        rows = [
            (o, self.analysis.get(o, math.nan), self.tolerance.get(o, math.nan), self.below_detection.get(o, ""))
            for o in oxides
        ]
        frame = pd.DataFrame(rows, columns=["oxide", "percent", "tolerance", "reported"])
        frame.attrs["units"] = {"percent": "wt %", "tolerance": "wt %, half width"}
        frame.attrs |= {"loi_percent": self.loi_percent, "notices": [notice.message for notice in self.notices]}
        return frame

    def __repr__(self) -> str:
        return f"<Material {self.id}, {self.name}>"

    @property
    def total_percent(self) -> float:
        """Oxides plus loss [wt %]; the loss counts as nothing where it was not reported."""
        oxides = sum(value for oxide, value in self.analysis.items() if oxide not in VOLATILES)
        return oxides + (self.loi_percent or 0.0)

    @property
    def is_raw_clay(self) -> bool:
        """True for a clay that still holds its combined water (loss of 4 % or more).

        A material of the kind ``other`` counts by its analysis: alumina and silica as in a clay, and hardly any flux.
        """
        if (self.loi_percent or 0.0) < _RAW_CLAY_LOSS_PERCENT:
            return False
        return self.kind == "clay" or (self.kind == "other" and self._reads_as_clay)

    @property
    def _reads_as_clay(self) -> bool:
        alumina, silica = (self.analysis.get(oxide, 0.0) for oxide in ("Al2O3", "SiO2"))
        fluxes = math.fsum(self.analysis.get(oxide, 0.0) for oxide in FLUXES)
        return (
            alumina >= _CLAY_ALUMINA_PERCENT
            and 1.0 <= silica / alumina <= _CLAY_SILICA_TO_ALUMINA
            and fluxes <= _CLAY_FLUX_PERCENT
        )

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
    for name in (
        "id",
        "name",
        "supplier",
        "lot",
        "received",
        "not_sold_because",
        "notes",
        "path",
        "hazards_note",
        "inherited_from",
    ):
        lines = name in ("notes", "path", "hazards_note")
        checks.text(name, getattr(given, name), required=name in ("id", "name"), lines=lines)
    if given.source is None:
        checks.fault("source", "'source' is missing.", "Say where the numbers come from; its title is enough.")
    elif not isinstance(given.source, Source):
        checks.wrong_type("source", given.source, "a Source", "Write source=Source(title='the sheet of May').")
    if given.kind not in KINDS:
        kind = kind_meant(str(given.kind))
        hint = f"Write '{kind}'." if kind else did_you_mean(str(given.kind), KINDS) or f"Known: {', '.join(KINDS)}."
        checks.fault("kind", f"'kind' is '{given.kind}', which is not a kind of material.", hint)
    solubility = _SOLUBILITY.get(str(given.solubility).lower())
    if given.solubility is not None and solubility is None:
        said = f"'solubility' is '{given.solubility}', which is not known."
        checks.fault("solubility", said, "Write no, slightly or yes.")
    listed = checks.texts("hazards", given.hazards)
    for word in listed:
        if word.strip().lower() in _NO_WORDS:
            said = f"'hazards' says '{word}', which is no hazard."
            checks.fault("hazards", said, HOW_TO_SAY_NONE)
    checks.flag("for_sale", given.for_sale)
    if given.not_sold_because and given.for_sale:
        said = "'not_sold_because' is given, but the material is for sale."
        checks.fault("not_sold_because", said, "Write for_sale: false beside it.")
    return {
        "aliases": checks.texts("aliases", given.aliases),
        "instead_of": checks.texts("instead_of", given.instead_of),
        "hazards": listed,
        "inherited_hazards": checks.texts("inherited_hazards", given.inherited_hazards),
        "solubility": solubility,
        "moisture_percent": checks.number("moisture_percent", given.moisture_percent, 0, 500),
        "density_g_cm3": checks.number("density_g_cm3", given.density_g_cm3, 0.1, 25),
    }


def _basis(given: Material, formula: str | None, checks: FieldChecks) -> Basis:
    """Return what the numbers stand on; what is stated may not contradict a formula or a source from memory."""
    if given.basis not in BASES:
        hint = did_you_mean(str(given.basis), BASES) or f"Known: {', '.join(BASES)}."
        checks.fault("basis", f"'basis' is '{given.basis}', which is not known.", hint)
        return "own-sheet"
    from_memory = isinstance(given.source, Source) and given.source.from_memory
    follows: Basis = "ideal-formula" if formula is not None else "recalled" if from_memory else given.basis
    if given.basis not in (follows, "own-sheet"):
        because = "a formula is given" if formula is not None else "the source says from_memory"
        checks.fault("basis", f"'basis' is '{given.basis}', but {because}.", f"Leave it out: it is {follows}.")
    elif follows == "ideal-formula" and formula is None:
        checks.fault(
            "basis", "'basis' is 'ideal-formula', but there is no formula.", "Give the formula, or another basis."
        )
    return follows


def _composition(given: Material, checks: FieldChecks) -> dict[str, Any]:
    """Return the numbers checked, copied and completed: from the formula, or the loss from its parts.

    Nothing is normalised. A text in the analysis such as ``n.d.`` or ``<0.05`` goes to `below_detection`.
    """
    below = dict(checks.mapping("below_detection", given.below_detection))
    percents: dict[str, object] = {}
    for oxide, value in checks.mapping("analysis", given.analysis).items():
        if isinstance(value, str) and (value.strip().lower() in _BELOW_DETECTION or _bound(value) is not None):
            below[oxide] = value.strip()
        else:
            percents[oxide] = value
    highest = math.inf if given.formula else _LARGEST_SHARE  # by its formula Cu2O comes to 111 % of CuO
    analysis: Mapping[str, float] = checks.numbers("analysis", percents, 0, highest)
    tolerance = checks.numbers("tolerance", given.tolerance, 0, 100)
    loss: Mapping[str, float] = checks.numbers("loss", given.loss, -50, 100)
    loi = checks.number("loi_percent", given.loi_percent, -50, 100)
    formula = None if given.formula is None else checks.text("formula", given.formula).strip() or None
    for name, entries in (("analysis", analysis), ("below_detection", below), ("tolerance", tolerance)):
        checks.oxides(name, entries, mend=_as_a_formula)
    for part in loss:
        if part not in _LOSSES:
            checks.fault(f"loss: {part}", f"'loss: {part}' is not a part of the loss.", f"Known: {', '.join(_LOSSES)}.")
    bounds = {oxide: checks.text(f"below_detection: {oxide}", text) for oxide, text in below.items()}
    for oxide, text in bounds.items():
        if (_bound(text) or 0.0) > _LARGEST_BOUND:
            field = f"analysis: {oxide}"
            said = f"'{field}' is given as a maximum of {_bound(text):g} %; a measured number was expected."
            checks.fault(field, said, "A specification is no analysis: give what was measured.")
    if formula is not None:
        analysis, loss, loi = _by_formula(formula, analysis, checks)
    else:
        left = [*loss.values(), *(percent for oxide, percent in analysis.items() if oxide in VOLATILES)]
        loi = math.fsum(left) if loi is None and left else loi
        _check_sum(analysis, loi, checks)
    found = {"formula": formula, "analysis": analysis, "below_detection": FrozenDict(bounds)}
    return found | {"loi_percent": loi, "loss": loss, "tolerance": tolerance}


def _as_a_formula(name: str) -> str:
    """Return the mend for a name in an analysis that is no oxide, but the formula of a mineral or salt."""
    try:
        holds = formula_yield(name)
    except (FormulaError, UnknownNameError):
        return ""
    leaves = set(holds.loss) - {"O2"}
    if len(holds.analysis) < 2 and not leaves:  # a slip in the name of an oxide
        return ""
    parts = ", ".join([*holds.analysis, *(["the loss"] if leaves else [])])
    return f"Give it as a formula, 'formula: {name}' in place of the analysis; or as what it holds: {parts}."


def _bound(text: str) -> float | None:
    """Return the detection limit [wt %] of ``<0.05``, or None for any other text."""
    if not text.strip().startswith(("<", "≤")):
        return None
    try:
        value = float(text.strip().lstrip("<≤= ").rstrip("% "))
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _by_formula(
    formula: str, analysis: Mapping[str, float], checks: FieldChecks
) -> tuple[Mapping[str, float], Mapping[str, float], float | None]:
    try:
        ideal = formula_yield(formula)
    except (FormulaError, UnknownNameError) as error:
        checks.fault("formula", f"'formula': {error.message}", error.hint)
        return analysis, FrozenDict(), None
    if analysis and analysis != ideal.analysis:
        hint = "Keep the one the numbers come from."
        checks.fault("formula", "'formula' and 'analysis' are given; a material has one, not both.", hint)
    return ideal.analysis, ideal.loss, ideal.loi_percent


def _check_sum(analysis: Mapping[str, float], loi: float | None, checks: FieldChecks) -> None:
    total = math.fsum(analysis.values())
    if total > _LARGEST_SUM:
        checks.fault("analysis", f"'analysis' adds to {total:.1f} %; about 100 was expected.")
    if total <= 0 and (loi or 0.0) < _BURNS_AWAY and not checks.faults:
        hint = "Give oxides, or a loi_percent of 100 for what burns away."
        checks.fault("analysis", "'analysis' names no oxide; a material needs 'formula' or 'analysis'.", hint)


def _remarks(of: Material, stated: float | None) -> Iterator[tuple[str, str]]:
    """Yield what is odd about its numbers, but possible: a code and a text. `stated` is the loss that was given with it."""
    loi = of.loi_percent
    if of.formula is not None:
        if stated is not None and abs(stated - (loi or 0.0)) > _LOSS_SLACK:
            text = f"the file says {stated:g} % loss, its formula gives {loi:.1f} %; the formula is used."
            yield "loss-differs-from-formula", text
        if "F" in of.loss or "Cl" in of.loss:
            text = "oxides are given as if all its fluorine or chlorine left and oxygen took its place."
            yield "oxide-equivalents", text
        return
    parts = math.fsum(of.loss.values())
    if stated is not None and of.loss and abs(parts - stated) > _LOSS_SLACK:
        yield "loss-parts-differ", f"the parts of the loss add to {parts:.1f} %, the loss is {stated:g} %."
    if not of.analysis:
        return
    total = math.fsum(percent for oxide, percent in of.analysis.items() if oxide not in VOLATILES) + (loi or 0.0)
    if loi is None:
        text = f"no loss on ignition is reported; it counts as nothing (oxides add to {total:.1f} %)."
        yield "loss-not-reported", text
    if not _TOTAL_LOW <= total <= _TOTAL_HIGH:
        text = f"oxides and loss add to {total:.1f} %, outside {_TOTAL_LOW:g}-{_TOTAL_HIGH:g}; used as it stands."
        yield "analysis-total", text
    if "F" in of.analysis or "F" in of.loss:
        yield "oxide-equivalents", "oxides are given as if all its fluorine left and oxygen took its place."
    carbonate = _carbon_dioxide_needed(of.analysis)
    if loi is not None and carbonate is not None and abs(carbonate - loi) > _CARBONATE_SLACK:
        text = f"the loss is {loi:.1f} %, but its CaO and MgO as carbonates would lose {carbonate:.1f} %."
        yield "carbonate-loss", text


def _carbon_dioxide_needed(analysis: Mapping[str, float]) -> float | None:
    # Only where the material can be nothing but a carbonate of lime and magnesia.
    earths = {oxide: analysis.get(oxide, 0.0) for oxide in ("CaO", "MgO")}
    others = math.fsum(v for o, v in analysis.items() if o not in earths and o not in VOLATILES)
    if not 30 <= math.fsum(earths.values()) <= 62 or others > 6:
        return None
    return math.fsum(value / molar_mass(oxide) for oxide, value in earths.items()) * molar_mass("CO2")

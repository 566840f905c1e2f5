"""Everything that is looked at for one recipe: chemistry, estimates, cautions, gathered into one report."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from glazecalc.arguments import the_names
from glazecalc.caution.all_cautions import all_cautions
from glazecalc.caution.caution import Caution
from glazecalc.caution.formula_holds import FormulaStanding, formula_standing
from glazecalc.caution.material_hazards import hazard_notices
from glazecalc.cone_temperatures import heats_apart
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.unity import (
    FiredAnalysis,
    MolePercent,
    UnityFormula,
    fired_analysis_of,
    mole_percent_of,
    named,
    unity_of,
)
from glazecalc.display import Tabular
from glazecalc.errors import CompositionError, Notice, UnknownNameError, did_you_mean
from glazecalc.estimate.all_models import estimates_of, without_colourants
from glazecalc.estimate.expansion import is_dark
from glazecalc.estimate.result import ESTIMATE_COLUMNS, Estimate
from glazecalc.heat import heat_words, read_heat
from glazecalc.library import MaterialLibrary
from glazecalc.readings.all_readings import all_readings
from glazecalc.readings.facts import Facts, heats_of
from glazecalc.readings.reading import ABOUT, Reading
from glazecalc.recipe import USES, Recipe, Use, as_recipe, unknown_use
from glazecalc.spelling import name_key

if TYPE_CHECKING:
    from glazecalc.body import ClayBody
    from glazecalc.estimate.firings import FitRange
    from glazecalc.estimate.stress import Mismatch

__all__ = ("CheckReport", "check", "fired_as", "unity_or_why_none")

_DEFAULT = Convention()


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport(Tabular):
    """What `check` found. It holds no verdict; `str` gives the page that the command prints.

    Attributes
    ----------
    unity : UnityFormula or None
        Moles per mole of flux, all-in; None where the batch has nothing to divide by (said in `notices`).
    formula : FormulaStanding
        Whether the unity formula holds; where it does not, rules that stand on it keep silent.
    fired, mole_percent : FiredAnalysis, MolePercent
        The fired glaze, all-in.
    cone, atmosphere, use : str
        As given in the call, else in the recipe; empty where neither says.
    estimates_without_colourants : tuple of Estimate
        Of the same glaze without its colouring oxides, where these take it out of what the models were tested on; else empty.
    readings : tuple of Reading
        The eight short answers: melt, run, surface, fit, coat, wear, food, bench.
    cautions : tuple of Caution
        Gravest first.
    """

    ROWS: ClassVar[str] = "estimates"
    COLUMNS: ClassVar[Mapping[str, str]] = {**ESTIMATE_COLUMNS, "in_window": ""}
    PAGE: ClassVar[str] = "check"
    JSON: ClassVar[tuple[str, ...]] = (
        "recipe=_checked_recipe", "convention", "unity=unity_moles", "formula", "mole_percent", "silica_alumina_ratio", "r2o=unity.r2o", "ro=unity.ro",
        "fired_analysis_percent=fired", "base_total=batch.base_total", "additions_total=batch.additions_total", "all_in_total=batch.all_in_total",
        "loi_percent_base", "loi_percent_all_in", "raw_clay_percent", "soluble_percent", "slightly_soluble_percent", "estimates",
        "estimates_without_colourants", "readings", "cautions", "notices",
    )  # fmt: skip

    batch: Batch
    convention: Convention
    unity: UnityFormula | None
    formula: FormulaStanding
    fired: FiredAnalysis
    mole_percent: MolePercent
    cone: str
    atmosphere: str
    use: Use | Literal[""]
    body: ClayBody | None
    estimates: tuple[Estimate, ...]
    estimates_without_colourants: tuple[Estimate, ...]
    readings: tuple[Reading, ...]
    cautions: tuple[Caution, ...]
    notices: tuple[Notice, ...]

    def __repr__(self) -> str:
        name = self.batch.recipe.name or "no title"
        return f"<CheckReport of {name}: {len(self.estimates)} estimates, {len(self.cautions)} cautions>"

    def reading(self, about: str) -> Reading:
        """Return one of the eight short answers: ``"melt"``, ``"run"``, ``"surface"``, ``"fit"``, ``"coat"``, ``"wear"``, ``"food"``, ``"bench"``."""
        found = next((one for one in self.readings if one.about == about), None)
        if found is None:
            raise UnknownNameError(f"there is no answer about '{about}'.", _one_of(about, ABOUT))
        return found

    def estimate(self, quantity: str, model: str = "") -> Estimate:
        """Return the estimate of a quantity, such as ``"expansion"`` or ``"viscosity"``; without a model the first of it.

        An UnknownNameError where the glaze has none: a glaze without a cone has no viscosity.
        """
        found = next((one for one in self.estimates if one.quantity == quantity and model in ("", one.model)), None)
        if found is None:
            named = f"'{quantity}'{f' by {model!r}' if model else ''}"
            known = [f"{one.quantity}, {one.model}" if model else one.quantity for one in self.estimates]
            raise UnknownNameError(f"there is no estimate of {named}.", _one_of(quantity, list(dict.fromkeys(known))))
        return found

    @property
    def _checked_recipe(self) -> dict[str, Any]:
        """Name and firing, and each line with its share of the base and the oxides that it brings [parts]."""
        batch = self.batch
        lines = [
            {
                "material": line.material.id,
                "name": line.material.name,
                "basis": line.material.basis,
                "parts": line.parts,
                "addition": line.addition,
                "percent_of_base": 100 * line.parts / batch.base_total,
                "brings": named(brought),
            }
            for line, brought in zip(batch.lines, batch.contributions(), strict=True)
        ]
        firing = {"cone": self.cone, "atmosphere": self.atmosphere, "cooling": batch.recipe.cooling, "use": self.use}
        return {"name": batch.recipe.name, **firing, "lines": lines}

    @property
    def unity_moles(self) -> Mapping[str, float]:
        """The unity formula; empty where there is none."""
        return self.unity if self.unity is not None else {}

    @property
    def silica_alumina_ratio(self) -> float | None:
        """SiO2 : Al2O3 by moles, boron placed by the convention; None without alumina or unity formula."""
        return self.unity.silica_alumina_ratio if self.unity is not None else None

    @property
    def loi_percent_base(self) -> float:
        """Loss on ignition [wt % of the base]."""
        return self.batch.loss_percent(base_only=True)

    @property
    def loi_percent_all_in(self) -> float:
        """Loss on ignition [wt % of the all-in batch]."""
        return self.batch.loss_percent()

    @property
    def raw_clay_percent(self) -> float:
        """Share of clay that still holds its water [wt % of the all-in batch]."""
        return self.batch.share_percent(lambda m: m.is_raw_clay)

    @property
    def soluble_percent(self) -> float:
        """Share of materials that dissolve in the bucket [wt % of the all-in batch]."""
        return self.batch.share_percent(lambda m: m.is_soluble)

    @property
    def slightly_soluble_percent(self) -> float:
        """Share of materials that dissolve slightly or slowly [wt % of the all-in batch]."""
        return self.batch.share_percent(lambda m: m.is_slightly_soluble)


def _one_of(name: str, known: Sequence[str]) -> str:
    return did_you_mean(name, known) or f"There are {', '.join(known)}."


def check(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    *,
    body: ClayBody | None = None,
    cone: str = "",
    use: Use | Literal[""] = "",
    surfaces: str | Iterable[str] = (),
    convention: Convention = _DEFAULT,
    firings: FitRange | None = None,
    measured: Mismatch | None = None,
) -> CheckReport:
    """Look at a recipe before it is mixed.

    Parameters
    ----------
    recipe : Recipe or mapping
        A recipe, or material name -> parts.
    materials : MaterialLibrary
        Where names are looked up.
    body : ClayBody, optional
        The clay it goes on.
    cone : str, optional
        As a card says it: ``"6"``, ``"06"``, ``"5-6"``, ``"10R"``, ``"1240 C"``; it wins over the recipe's own, which stands by default.
    use : str, optional
        One of `USES`; by default the recipe's own, else a food surface is assumed and said.
    surfaces : iterable of str
        How the fired surface is, where it is known: crawled, crazed, gloss, matt, or a name of the trade such as crackle or gun metal.
    convention : Convention
        What counts as flux in the unity formula.
    firings : FitRange, optional
        Your own firings on `body` at this cone, from `calibrate`: the fit is then read from them.
    measured : Mismatch, optional
        From `measured_mismatch`, where the expansions of glaze and body were both measured.

    Returns
    -------
    CheckReport
        Chemistry, estimates and cautions. It holds no verdict.

    Raises
    ------
    FileFaultsError, CompositionError
        Where the recipe cannot be used.
    UnknownNameError, ConeError, ArgumentError
        For a use, surface or cone that is none, or an argument of the wrong kind.

    Examples
    --------
    >>> import glazecalc as gc
    >>> report = gc.check({"potash feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 30}, gc.load_materials(), cone="9")
    >>> round(report.unity["SiO2"], 2), report.cautions[0].code
    (4.2, 'release-not-known')
    """
    recipe, of_the_call = fired_as(as_recipe(recipe), cone)
    batch = resolve(recipe, materials)
    notices = [*batch.notices, *of_the_call]
    cone = recipe.cone
    use_of_ware = use or batch.recipe.use
    if use_of_ware and use_of_ware not in USES:
        raise unknown_use(use_of_ware)
    fired = fired_analysis_of(batch)
    mole_percent = mole_percent_of(batch)
    unity, why_none = unity_or_why_none(batch, convention)
    notices += why_none
    if unity is not None and unity.silica_alumina_ratio is None:
        notices.append(Notice("no-alumina", "the batch holds no alumina: there is no SiO2:Al2O3 ratio."))
    if not use_of_ware:
        notices.append(Notice("use-not-given", "the use is not given: cautions are those of a food surface (--use)."))
    estimates, said = estimates_of(mole_percent, cone)
    notices.extend(said)
    notices += _about_body(body, cone, firings, measured)
    by_default = (
        unity if convention == _DEFAULT else unity_or_why_none(batch, _DEFAULT)[0]
    )  # cautions are written for it
    formula = formula_standing(batch, by_default)
    meant = use_of_ware or None
    stated = tuple(the_names(surfaces))
    notices += hazard_notices(batch.materials)
    cautions = all_cautions(
        batch, unity=by_default, formula=formula, fired=fired, mole_percent=mole_percent, cone=cone, use=meant, body=body, surfaces=stated
    )  # fmt: skip
    facts = Facts(
        batch=batch,
        unity=by_default,
        formula=formula,
        fired=fired,
        mole_percent=mole_percent,
        cone=cone,
        heats=heats_of(cone),
        atmosphere=recipe.atmosphere,
        use=meant,
        body=body,
        surfaces=stated,
        estimates=estimates,
        cautions=cautions,
        fit=firings,
        mismatch=measured,
    )
    return CheckReport(
        batch=batch,
        convention=convention,
        unity=unity,
        formula=formula,
        fired=fired,
        mole_percent=mole_percent,
        cone=cone,
        atmosphere=recipe.atmosphere,
        use=use_of_ware,
        body=body,
        estimates=estimates,
        estimates_without_colourants=_of_the_base(mole_percent, cone),
        readings=all_readings(facts),
        cautions=cautions,
        notices=tuple(dict.fromkeys(notices)),
    )


def _of_the_base(mole_percent: MolePercent, cone: str) -> tuple[Estimate, ...]:
    """Return the estimates of a dark glaze without its colouring oxides."""
    base = without_colourants(mole_percent) if is_dark(mole_percent) else None
    return estimates_of(base, cone)[0] if base is not None else ()


def _about_body(
    body: ClayBody | None, cone: str, firings: FitRange | None, measured: Mismatch | None
) -> Iterator[Notice]:
    """Yield what must be said of the body; CompositionError for firings on another one."""
    if firings is not None and (body is None or name_key(body.name) != name_key(firings.body)):
        on = f"on {body.name}" if body is not None else "on no body that is named"
        hint = "Give the body of the firings: body=ClayBody(name=...)."
        raise CompositionError(f"the firings are on {firings.body}, the glaze is {on}.", hint)
    if body is None:
        return
    if heats_apart(body.cone, cone):
        at, here = heat_words(body.cone), heat_words(cone)
        text = f"{body.name} is described at {at}, not at {here}: its absorption does not count."
        yield Notice("body-other-cone", text)
    if body.expansion_1e6_per_k is not None and firings is None and measured is None:
        text = (
            f"the measured expansion of {body.name} is not compared with the calculated one of the glaze: the two are not on the same scale. "
            "--firings FILE reads the fit from your own firings."
        )
        yield Notice("body-not-compared", text)


def fired_as(recipe: Recipe, cone: str) -> tuple[Recipe, list[Notice]]:
    """Return the recipe as it is fired: the cone of the call wins over its own, with the atmosphere where one stands beside it."""
    if not cone:
        if recipe.cone:
            return recipe, []
        hint = "the cone is not given: whether it melts, and what a rule says by cone, is left out. Write 'cone 6' on the card, or --cone 6."
        return recipe, [Notice("cone-not-given", hint)]
    heat, atmosphere = read_heat(cone)
    fired = replace(recipe, cone=heat.label, atmosphere=atmosphere or recipe.atmosphere)
    pairs = ((recipe.cone, fired.cone), (recipe.atmosphere, fired.atmosphere))
    other = [(heat_words(own), heat_words(given)) for own, given in pairs if own and own != given]
    said = "the card says {}; {} was asked for and counts."
    return fired, [Notice("card-says-otherwise", said.format(*pair)) for pair in other]


def unity_or_why_none(batch: Batch, convention: Convention) -> tuple[UnityFormula | None, list[Notice]]:
    """Return the unity formula, or None and why there is none."""
    try:
        return unity_of(batch, convention), []
    except CompositionError as error:
        return None, [Notice("no-unity-formula", f"{error.message} {error.hint}".strip())]

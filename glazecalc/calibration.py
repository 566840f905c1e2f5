"""Your own firings on one clay, read into ranges of calculated expansion, and where new glazes lie among them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from glazecalc.body import ClayBody
from glazecalc.cones import CONE_ORDER
from glazecalc.convert.unity import mole_percent
from glazecalc.errors import CompositionError, Fault, FileFaultsError, Notice, did_you_mean
from glazecalc.estimate.expansion import ExpansionModel, expansion
from glazecalc.estimate.firings import FiredResult, FitRange, Placed, fit_range, place
from glazecalc.files.firings import find_recipe_file
from glazecalc.files.recipes import read_recipe
from glazecalc.firing import Firing
from glazecalc.heat import heat_words, parse_heat
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.spelling import name_key

__all__ = ("calibrate", "fit_on_body")


def calibrate(
    firings: Iterable[Firing],
    materials: MaterialLibrary,
    *,
    path: str | Path = "firings.csv",
    body_name: str | None = None,
    cone: str | None = None,
    model: ExpansionModel = "fitted",
    new: Recipe | Iterable[Recipe] = (),
) -> FitRange:
    """Read firings on one clay into ranges, and place new glazes among them.

    Parameters
    ----------
    firings : iterable of Firing
        From `read_firings`; each names its recipe file.
    materials : MaterialLibrary
        Where names are looked up.
    path : str or Path
        The file of the firings: recipe files are looked for beside it.
    body_name : str, optional
        The clay, as the firings name it; needed where they name several.
    cone : str, optional
        The cone of the firings; needed where they are at several.
    model : str
        The expansion model, ``"fitted"`` or ``"appen"``; one for all.
    new : Recipe or iterable of Recipe
        Glazes to place among the results.

    Returns
    -------
    FitRange
        With `placed`, a line for each new glaze; expansions in 1e-6 per K.

    Raises
    ------
    FileFaultsError
        Where no firing is on the body, or recipe files cannot be found or used: all at once, each with its line.
    CompositionError
        For firings on several bodies without a name, at several cones without a cone, or none at all.
    ConeError
        If `cone` names neither a cone nor a temperature.

    Examples
    --------
    >>> import glazecalc as gc
    >>> recipes = ("recipes/rill-clear.txt", "recipes/harbour-black.txt")
    >>> firings = [gc.Firing(recipe=recipe, body="Osier Fold", result="sound") for recipe in recipes]
    >>> fit = gc.calibrate(firings, gc.load_materials("materials"))
    >>> [round(end, 1) for end in fit.good]
    [5.0, 5.7]
    """
    rows = tuple(firings)
    bodies = sorted({name_key(row.body): row.body for row in rows}.values())
    if body_name is None and len(bodies) > 1:
        raise CompositionError(f"the firings are on several bodies: {', '.join(bodies)}.", "Say on which: body_name.")
    used = [row for row in rows if body_name is None or name_key(row.body) == name_key(body_name)]
    if rows and not used:
        text = f"no result is on the body '{body_name}'."
        raise FileFaultsError(str(path), [Fault(None, text, did_you_mean(body_name or "", bodies))])
    notices = []
    if len(used) < len(rows):
        text = f"{len(rows) - len(used)} results on other bodies are left aside: expansions compare on one body only."
        notices.append(Notice("other-bodies", text))
    cones = sorted({row.cone for row in used}, key=lambda label: CONE_ORDER.get(label, -1))
    if cone is None and len(cones) > 1:
        text = f"the firings are at several cones: {', '.join(label or 'none given' for label in cones)}."
        raise CompositionError(text, "Say at which: cone.")
    if cone is not None:
        wanted = parse_heat(cone).label
        others = [row for row in used if row.cone != wanted]
        used = [row for row in used if row.cone == wanted]
        if others and not used:
            raise FileFaultsError(str(path), [Fault(None, f"no result is at {heat_words(wanted)}.")])
        if others:
            text = f"{len(others)} results at other cones are left aside: a body fits otherwise at each."
            notices.append(Notice("other-cones", text))
    fit = fit_range(_fired(used, materials, path, model))
    placed = []
    for recipe in [new] if isinstance(new, Recipe) else new:
        name = recipe.name or recipe.path
        estimate = expansion(mole_percent(recipe, materials), model=model)
        placed.append(Placed(recipe=name, expansion=estimate.value, place=place(estimate.value, fit)))
        notices += [Notice("outside-window", f"{name}: outside the tested range, {item}.") for item in estimate.outside]
    return replace(fit, placed=tuple(placed), notices=tuple(notices))


def fit_on_body(
    firings: Iterable[Firing], materials: MaterialLibrary, body: ClayBody, *, cone: str = "", path: str | Path
) -> tuple[FitRange | None, tuple[Notice, ...]]:
    """Return what firings say of a body at a cone, None where none of them is, and what was left aside.

    Firings without a cone count where none is at `cone`; without a `cone` all must be at one.
    """
    rows = tuple(firings)
    here = [row for row in rows if name_key(row.body) == name_key(body.name)]
    bodies = ", ".join(sorted({name_key(row.body): row.body for row in rows}.values()))
    if not here:
        return None, (Notice("no-firing-on-body", f"no firing is on {body.name}; {path} has: {bodies or 'none'}."),)
    at = [row for row in here if row.cone == cone] or [row for row in here if not row.cone] if cone else here
    cones = sorted({row.cone for row in at or here}, key=lambda label: CONE_ORDER.get(label, -1))
    if not at or len(cones) > 1:
        there = ", ".join(label or "no cone" for label in cones)
        wanted = f"at {heat_words(cone)}" if cone else "at one cone; give --cone"
        return None, (Notice("no-firing-at-cone", f"no firing on {body.name} is {wanted}: they are at {there}."),)
    said = []
    if len(at) < len(here):
        text = f"{len(here) - len(at)} firings on {body.name} at other cones are left aside: a body fits otherwise at each."
        said.append(Notice("other-cones", text))
    if cone and not at[0].cone:
        said.append(
            Notice(
                "firings-without-cone", f"the firings on {body.name} name no cone; they are read as {heat_words(cone)}."
            )
        )
    return calibrate(at, materials, path=path), tuple(said)


def _fired(
    rows: Sequence[Firing], materials: MaterialLibrary, path: str | Path, model: ExpansionModel
) -> list[FiredResult]:
    faults: list[Fault] = []
    fired: list[FiredResult] = []
    calculated: dict[str, float] = {}
    for row in rows:
        try:
            if row.recipe not in calculated:
                recipe = read_recipe(find_recipe_file(row.recipe, path))
                calculated[row.recipe] = expansion(mole_percent(recipe, materials), model=model).value
        except FileFaultsError as error:
            faults.append(Fault(row.line, str(error)))
            continue
        said = {"cone": row.cone, "result": row.result, "note": row.note}
        found = calculated[row.recipe]
        fired.append(FiredResult(recipe=row.recipe, body=row.body, **said, model=model, expansion=found))
    if faults:
        raise FileFaultsError(str(path), faults)
    return fired

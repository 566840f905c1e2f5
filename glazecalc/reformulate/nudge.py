"""The smallest change of a batch that does what is wished, by the estimates.

Oxides and ratios are linear in the parts once they are multiplied out, the base total is kept, and the change is the sum of
all moves. Estimates are not linear: they are taken as straight lines around the batch reached so far, the linear problem is
solved, and that is repeated until the estimate itself stands where it was wished (successive linear programming). The
result is checked by a fresh calculation.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from glazecalc.caution.caution import Caution
from glazecalc.check_report import check
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch, resolve
from glazecalc.convert.moles import basis_of
from glazecalc.convert.unity import UnityFormula, unity_of
from glazecalc.display import Shown
from glazecalc.errors import CompositionError, Notice
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import INDEX
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.reformulate.answers import Effect, Line
from glazecalc.reformulate.at_hand import find_all, find_in
from glazecalc.reformulate.blacks import less_cobalt
from glazecalc.reformulate.effects import cautions_between, effects_between
from glazecalc.reformulate.moves import Bench, bench_of, estimate_of, goal_of, least_moves, moles_before
from glazecalc.reformulate.wishes import Wish, read_wishes
from glazecalc.target import check_label

__all__ = ("Nudge", "WishResult", "nudge")

Floats = NDArray[np.float64]
_DEFAULT = Convention()
_FAR = 25.0  # per cent of the base that moves: beyond it one has another glaze
_MET = {"expansion": 0.005, "softening": 0.5, "ratio": 0.005, "oxide": 0.0005, "material": 1e-6, "less": 1e-6}


@dataclass(frozen=True, slots=True, kw_only=True)
class WishResult:
    """A wish and what became of it."""

    JSON: ClassVar[tuple[str, ...]] = ("wish=text", "before", "wanted", "reached", "met")

    text: str
    kind: str
    before: float
    wanted: float
    reached: float
    met: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Nudge(Shown):
    """The changed batch; `str` gives the page that the command prints.

    Attributes
    ----------
    recipe : Recipe
    lines : tuple of Line
        With the parts before.
    moved_percent : float
        Half the sum of all moves, per cent of the base total.
    wishes : tuple of WishResult
    unity_before, unity : UnityFormula
    change : Mapping
        Oxide -> change of the unity formula.
    effects : tuple of Effect
        Every estimate before and after.
    new_cautions, vanished_cautions : tuple of Caution
    base_total, total : float
    rounds : int
        How often the linear problem was solved.
    convention : Convention
    notices : tuple of Notice
    """

    PAGE: ClassVar[str] = "nudge"
    JSON: ClassVar[tuple[str, ...]] = (
        "met", "wishes", "lines", "moved_percent", "base_total", "total", "unity_before", "unity", "change", "effects", "new_cautions",
        "vanished_cautions", "rounds", "convention", "notices",
    )  # fmt: skip

    recipe: Recipe
    lines: tuple[Line, ...]
    moved_percent: float
    wishes: tuple[WishResult, ...]
    unity_before: UnityFormula
    unity: UnityFormula
    change: Mapping[str, float]
    effects: tuple[Effect, ...]
    new_cautions: tuple[Caution, ...]
    vanished_cautions: tuple[Caution, ...]
    base_total: float
    total: float
    rounds: int
    convention: Convention
    notices: tuple[Notice, ...]

    @property
    def met(self) -> bool:
        """True where every wish is met."""
        return all(wish.met for wish in self.wishes)


def nudge(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    wishes: str | Iterable[str],
    *,
    also: Sequence[str] = (),
    without: Sequence[str] = (),
    keep: Sequence[str] = (),
    model: str = "fitted",
    convention: Convention = _DEFAULT,
) -> Nudge:
    """Find the smallest change of a batch that does what is wished.

    Parameters
    ----------
    recipe : Recipe or mapping
        A recipe, or material name -> parts.
    materials : MaterialLibrary
        Where names are looked up.
    wishes : str or iterable of str
        E.g. ``"expansion down 0.4, ratio kept"``, ``"alumina +0.05"``, ``"softening 20 lower"``, ``"kaolin +3"``, ``"less cobalt"``.
        Expansion [1e-6 per K], softening temperature [deg C], oxides [mol per mol of flux], materials [parts].
    also : sequence of str
        Materials that may come in.
    without : sequence of str
        Lines of the recipe that must not move.
    keep : sequence of str
        Oxides and sums whose moles per flux are kept, as in the wish ``"CaO kept"``.
    model : str
        The expansion model, ``"fitted"`` or ``"appen"``.
    convention : Convention
        What counts as flux.

    Returns
    -------
    Nudge
        The base total and the additions are those of the recipe. Where not every wish can be met, the nearest batch.

    Raises
    ------
    CompositionError
        For words that are no wish, or a recipe without a unity formula.
    FileFaultsError, UnknownNameError, AmbiguousNameError
        For names.

    Notes
    -----
    Least sum of moves under linear conditions (HiGHS); estimates by successive linear programming with shrinking steps.
    """
    batch = resolve(recipe, materials)
    asked = list(read_wishes(wishes))
    asked += [
        Wish(text=f"{label.strip()} kept", kind="oxide", name=label.strip())
        for text in keep
        for label in text.split(",")
        if label.strip()
    ]
    notices = list(batch.notices)
    own = list({m.id: m for m in batch.materials}.values())
    changed, on_lines, said = _material_wishes(batch, asked, own, materials)
    notices += said
    still, said = find_in(without, own, materials)
    notices += [notice for notice in said if notice.code != "not-in-recipe"]
    new, said = find_all(also, materials)
    notices += said
    before_unity = unity_of(batch, convention)
    bench = bench_of(changed, [m for m in new if m.id not in {o.id for o in own}], convention)
    goals = [
        goal_of(wish, moles_before(batch, convention), convention, model)
        for wish in asked
        if wish.kind not in ("material", "less")
    ]
    if goals or on_lines:
        parts, rounds = least_moves(bench, goals, {m.id for m in still}, on_lines)
    else:
        parts, rounds = bench.start, 0
    result = _recipe(changed, bench, parts)
    return _report(batch, result, asked, materials, before_unity, model, convention, rounds, notices)


def _material_wishes(
    batch: Batch, asked: Sequence[Wish], own: Sequence[Material], library: MaterialLibrary
) -> tuple[Batch, dict[str, float], list[Notice]]:
    """Return the batch with its additions changed as wished, the base lines that are given, and notices."""
    notices: list[Notice] = []
    parts, on_lines = list(batch.parts), {}
    for wish in asked:
        if wish.kind == "less":
            parts, said = less_cobalt(_with_parts(batch, parts))
            notices.extend(said)
        if wish.kind != "material":
            continue
        (material,), said = find_in([wish.name], own, library)
        places = [i for i, m in enumerate(batch.materials) if m.id == material.id]
        if not places:
            raise CompositionError(
                f"'{wish.text}': {material.name} is not in the recipe.",
                "Name a line of the recipe, or bring it in with --also.",
            )
        notices.extend(said)
        amount = wish.wanted(parts[places[0]])
        if amount < 0:
            raise CompositionError(
                f"'{wish.text}': only {parts[places[0]]:g} of {material.name} is there to take away."
            )
        if batch.addition[places[0]]:
            parts[places[0]] = amount
        else:
            on_lines[material.id] = amount
    return _with_parts(batch, parts), on_lines, notices


def _with_parts(batch: Batch, parts: Sequence[float]) -> Batch:
    return replace(batch, lines=tuple(replace(line, parts=part) for line, part in zip(batch.lines, parts, strict=True)))


def _recipe(batch: Batch, bench: Bench, parts: Floats) -> tuple[Recipe, tuple[Line, ...]]:
    unit = "g" if batch.recipe.has_mass_units else ""
    moved = {m.id: float(p) for m, p in zip(bench.materials, parts, strict=True)}
    rows: list[tuple[Material, float, bool]] = []
    for material, part, added in zip(batch.materials, batch.parts, batch.addition, strict=True):
        rows.append((material, part if added or material.id not in moved else moved.pop(material.id), added))
    known = {m.id for m in batch.materials}
    rows += [(m, float(p), False) for m, p in zip(bench.materials, parts, strict=True) if m.id not in known]
    rows = sorted((row for row in rows if row[1] > 1e-9), key=lambda row: row[2])
    items = tuple(Ingredient(material=m.name, amount=amount, unit=unit, addition=added) for m, amount, added in rows)
    recipe = replace(
        batch.recipe,
        name=f"{batch.recipe.name or 'The recipe'}, nudged",
        ingredients=items,
        text="",
        path="",
        notices=(),
        based_on=batch.recipe.name,
    )
    return recipe, tuple(Line(material=m.id, name=m.name, parts=amount, addition=added) for m, amount, added in rows)


def _report(
    before: Batch, made: tuple[Recipe, tuple[Line, ...]], asked: Sequence[Wish], library: MaterialLibrary, unity_before: UnityFormula, model: str,
    convention: Convention, rounds: int, notices: list[Notice],
) -> Nudge:  # fmt: skip
    recipe, lines = made
    batch = resolve(recipe, library)
    unity = unity_of(batch, convention)
    was, now = check(before.recipe, library), check(recipe, library)
    old = {(m.id, added): p for m, p, added in zip(before.materials, before.parts, before.addition, strict=True)}
    lines = tuple(replace(line, before=old.get((line.material, line.addition), 0.0)) for line in lines)
    new = {(line.material, line.addition): line.parts for line in lines}
    moved = sum(abs(new.get(key, 0.0) - old.get(key, 0.0)) for key in {*new, *old}) / 2.0 / before.base_total * 100.0
    results = tuple(_result(wish, before, batch, model, convention) for wish in asked)
    effects = effects_between(was, now)
    notices += [
        Notice(
            "wish-not-met",
            f"'{found.text}' is not met with these lines: {found.wanted:.3g} was wished, {found.reached:.3g} is the nearest found.",
        )
        for found in results
        if not found.met
    ]
    if moved > _FAR:
        notices.append(Notice("far", f"{moved:.0f} % of the base moves: that is another glaze rather than a nudge."))
    for wish in asked:
        if wish.kind == "expansion" and not wish.kept:
            notices += _other_model(effects, model)
    new_cautions, gone = cautions_between(was, now)
    change = {oxide: unity[oxide] - unity_before[oxide] for oxide in dict.fromkeys([*unity_before, *unity])}
    return Nudge(
        recipe=recipe, lines=lines, moved_percent=moved, wishes=results, unity_before=unity_before, unity=unity, change=change, effects=effects,
        new_cautions=new_cautions, vanished_cautions=gone, base_total=batch.base_total, total=batch.all_in_total, rounds=rounds, convention=convention,
        notices=tuple(dict.fromkeys(notices)),
    )  # fmt: skip


def _result(wish: Wish, before: Batch, after: Batch, model: str, convention: Convention) -> WishResult:
    if wish.kind in ("material", "less"):
        ids = {m.id for m in before.materials if wish.kind == "less" and m.analysis.get("CoO", 0.0) > 10}
        if wish.kind == "material":
            ids = {find_in([wish.name], before.materials, MaterialLibrary(before.materials))[0][0].id}
        first, last = (
            math.fsum(p for m, p in zip(b.materials, b.parts, strict=True) if m.id in ids) for b in (before, after)
        )
        wanted = wish.wanted(first) if wish.kind == "material" else last
        met = abs(last - wanted) <= 1e-6 if wish.kind == "material" else last < first
        return WishResult(text=wish.text, kind=wish.kind, before=first, wanted=wanted, reached=last, met=met)
    values = []
    for batch in (before, after):
        moles = moles_before(batch, convention)
        if wish.kind in ("expansion", "softening"):
            values.append(estimate_of(wish.kind, model, convention)(moles))
        elif wish.kind == "ratio":
            values.append(
                float(moles[INDEX["SiO2"]] / moles[INDEX["Al2O3"]]) if moles[INDEX["Al2O3"]] > 0 else math.nan
            )
        else:
            values.append(
                float(moles[[INDEX[o] for o in check_label(wish.name)]].sum() / moles[basis_of(convention)].sum())
            )
    wanted = wish.wanted(values[0])
    return WishResult(
        text=wish.text,
        kind=wish.kind,
        before=values[0],
        wanted=wanted,
        reached=values[1],
        met=abs(values[1] - wanted) <= _MET[wish.kind],
    )


def _other_model(effects: Sequence[Effect], model: str) -> list[Notice]:
    moves = {e.model: e.after - e.before for e in effects if e.quantity == "expansion" and e.before is not None}
    mine = moves.get(model, 0.0)
    said = [
        Notice(
            "models-disagree",
            f"the other expansion model ({other}) moves by {move:+.2f}, against {mine:+.2f}: a test decides.",
        )
        for other, move in moves.items()
        if other != model and (move * mine < 0 or abs(move) < 0.5 * abs(mine))
    ]
    outside = [e for e in effects if e.quantity == "expansion" and e.model == model and not e.in_window]
    if outside:
        said.append(
            Notice(
                "outside-window",
                "the glaze lies outside the range that the expansion model was tested on: trust the direction, not the size.",
            )
        )
    return said

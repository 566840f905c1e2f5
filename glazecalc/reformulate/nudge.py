"""The smallest change of a batch that does what is wished, by the estimates: the least sum of moves, the base total kept.

Oxides and ratios are linear in the parts once they are multiplied out. Estimates are not: they are taken as straight lines
around the batch reached so far, the linear problem is solved, and that is repeated until the estimate itself stands where it
was wished (successive linear programming). The result is checked by a fresh calculation.
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
from glazecalc.convert.unity import UnityFormula, unity_of
from glazecalc.display import Tabular
from glazecalc.errors import CompositionError, Notice, UnknownNameError
from glazecalc.estimate.expansion import ExpansionModel
from glazecalc.frozen import FrozenDict
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.choices import choice
from glazecalc.recipe import Recipe
from glazecalc.reformulate.answering import changes_between, recipe_of
from glazecalc.reformulate.answers import LINE_COLUMNS, Effect, Line
from glazecalc.reformulate.at_hand import named
from glazecalc.reformulate.blacks import is_of, less_cobalt
from glazecalc.reformulate.moves import (
    Bench,
    Ends,
    Goal,
    bench_of,
    ends_of,
    goal_of,
    kept_parts,
    least_moves,
    moles_in,
    pro_rata,
    reading_of,
)  # fmt: skip
from glazecalc.reformulate.wishes import Kind, Wish, colour_kept, read_kept, read_wishes, wish_words

__all__ = ("Nudge", "WishResult", "nudge")

Floats = NDArray[np.float64]
_DEFAULT = Convention()


@dataclass(frozen=True, slots=True, kw_only=True)
class WishResult:
    """A wish and what became of it: its figures in `unit`, printed with `decimals`; None where the batch reached has none."""

    JSON: ClassVar[tuple[str, ...]] = (
        "wish=text",
        "read_as=meant",
        "kind",
        "unit",
        "before",
        "wanted",
        "reached",
        "met",
    )

    text: str
    kind: Kind
    unit: str
    decimals: int
    before: float
    wanted: float
    reached: float | None
    met: bool
    meant: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nudge(Tabular):
    """The changed batch; `str` gives the page that the command prints.

    Attributes
    ----------
    lines : tuple of Line
        Those that are gone too, with 0 parts; the `recipe` is without them.
    moved_percent : float
        Half the sum of all moves, per cent of the base total.
    change : Mapping
        Oxide -> change of the unity formula.
    effects : tuple of Effect
        Every estimate before and after.
    rounds : int
        How often the linear problem was solved.
    materials : tuple of Material
        Those of the batch before and after, each once.
    """

    ROWS: ClassVar[str] = "lines"
    COLUMNS: ClassVar[Mapping[str, str]] = LINE_COLUMNS
    PAGE: ClassVar[str] = "nudge"
    JSON: ClassVar[tuple[str, ...]] = (
        "met", "wishes", "lines", "moved_percent", "base_total", "total", "unity_before", "unity", "change", "effects", "new_cautions",
        "vanished_cautions", "standing_cautions", "rounds", "convention", "notices",
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
    standing_cautions: tuple[Caution, ...]
    base_total: float
    total: float
    rounds: int
    convention: Convention
    notices: tuple[Notice, ...]
    materials: tuple[Material, ...] = ()

    def __repr__(self) -> str:
        return f"<Nudge: {self.recipe.name}, {self.moved_percent:.1f} % of the base moves>"

    @property
    def met(self) -> bool:
        """True where every wish is met."""
        return all(wish.met for wish in self.wishes)


def nudge(
    recipe: Recipe | Mapping[str, float],
    materials: MaterialLibrary,
    wishes: str | Iterable[str],
    *,
    also: str | Iterable[str] = (),
    fixed: str | Iterable[str] = (),
    keep: str | Iterable[str] = (),
    model: ExpansionModel = "fitted",
    convention: Convention = _DEFAULT,
) -> Nudge:
    """Find the smallest change of a batch that does what is wished.

    Parameters
    ----------
    recipe, materials, convention
        As for `unity_formula`.
    wishes : str or iterable of str
        E.g. ``"expansion down 0.4, ratio kept"``, ``"alumina +0.05"``, ``"softening 20 lower"``, ``"kaolin +3"``, ``"less cobalt"``;
        or in words with a usual amount: ``"less expansion"``, ``"less crazing"``, ``"melt more"``, ``"stiffer"``, ``"keep the colour"``.
        Expansion [1e-6 per K], softening temperature [deg C], oxides [mol per mol of flux], materials [parts].
    also, fixed : str or iterable of str
        Materials that may come in; lines of the recipe that must not move.
    keep : str or iterable of str
        Oxides and sums whose moles per flux are kept, as in the wish ``"CaO kept"``.
    model : str
        The expansion model, ``"fitted"`` or ``"appen"``.

    Returns
    -------
    Nudge
        The base total and the additions are those of the recipe. Where not every wish can be met, the nearest batch. What is given
        to a line comes from the others in proportion; no line is emptied unasked, and no estimate is followed beyond what its model was
        tested on. No more than a quarter of the base moves, unless amounts of lines ask for it.

    Raises
    ------
    CompositionError
        For words that are no wish, for wishes and fixed lines about a material that is not in the recipe, and for a recipe
        without a unity formula.
    FileFaultsError, UnknownNameError, AmbiguousNameError
        For names.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> black = gc.read_recipe("recipes/harbour-black.txt")
    >>> nudged = gc.nudge(black, materials, "expansion down 0.2, ratio kept")
    >>> {line.name: round(line.parts - line.before, 1) for line in nudged.lines if abs(line.parts - line.before) > 0.05}
    {'Whiting': -2.1, 'Kaolin': 0.8, 'Silica': 1.3}
    """
    batch = resolve(recipe, materials)
    unity_before = unity_of(batch, convention)
    own = [material for material, _ in batch.by_material()]
    also_there, about_also = named(also, materials)
    wished = [*read_wishes(wishes), *read_kept(keep)]
    wished = [w for one in wished for w in (colour_kept(one, unity_before, wished) if one.kind == "colour" else (one,))]
    asked, about_names = _with_ids(wished, [*own, *also_there], materials)
    still, about_fixed = named(fixed, materials, own)
    if foreign := [material.name for material in still if material not in own]:
        text = f"{foreign[0]} is not in the recipe: there is no line to keep still."
        raise CompositionError(text, "Name a line of the recipe.")
    changed, given, about_wishes = _lines_wished(batch, asked)
    bench = bench_of(changed, [material for material in also_there if material not in own], convention)
    moles = moles_in(batch, convention)
    goals = [goal_of(wish, moles, convention, model) for wish in asked if wish.kind not in ("material", "less")]
    fixed_ids = {material.id for material in still}
    shared = pro_rata(bench, fixed_ids, given)
    bench = bench if shared is None else replace(bench, start=shared)
    ends = ends_of(bench, goals)
    parts, rounds = _least(bench, goals, fixed_ids, given, ends) if goals else (bench.start, 0)
    lines = _moved(batch, changed, bench, parts)
    title, unit = f"{batch.recipe.name or 'The recipe'}, nudged", "g" if batch.recipe.has_mass_units else ""
    there = [line for line in lines if line.parts > 0]
    made = recipe_of(title, batch.recipe, there, unit, based_on=batch.recipe.name)
    after = resolve(made, materials)
    results = tuple(_result(wish, batch, after, model, convention) for wish in asked)
    effects, new, gone, standing = changes_between(check(batch.recipe, materials), check(made, materials))
    unity = unity_of(after, convention)
    was, now = ({(line.material.id, line.addition): line.parts for line in b.lines} for b in (batch, after))
    moves = math.fsum(abs(now.get(key, 0.0) - was.get(key, 0.0)) for key in {*now, *was})
    moved = moves / 2.0 / batch.base_total * 100.0
    notices = [*batch.notices, *about_names, *about_fixed, *about_also, *about_wishes, *_about_words(wished)]
    notices += _about_results(results, moved)
    if not all(result.met for result in results):
        notices += _about_bounds(bench, parts, ends, {*fixed_ids, *given})
    if any(wish.kind == "expansion" and not wish.kept for wish in asked):
        notices += _other_model(effects, model)
    return Nudge(
        recipe=made,
        lines=lines,
        moved_percent=moved,
        wishes=results,
        unity_before=unity_before,
        unity=unity,
        change=FrozenDict({oxide: unity[oxide] - unity_before[oxide] for oxide in {**unity_before, **unity}}),
        effects=effects,
        new_cautions=new,
        vanished_cautions=gone,
        standing_cautions=standing,
        base_total=after.base_total,
        total=after.all_in_total,
        rounds=rounds,
        convention=convention,
        notices=tuple(dict.fromkeys(notices)),
        materials=tuple({material.id: material for material in (*batch.materials, *after.materials)}.values()),
    )


def _least(
    bench: Bench, goals: Sequence[Goal], still: set[str], given: Mapping[str, float], ends: Ends
) -> tuple[Floats, int]:
    """Return the parts of least moves and the rounds; a new line that would print as nothing stays out."""
    parts, rounds = least_moves(bench, goals, still, given, ends)
    little = (bench.start == 0) & (parts > 0) & (parts < choice("zero_parts") / 100.0 * parts.sum())
    if not little.any():
        return parts, rounds
    out = {m.id for m, none in zip(bench.materials, little, strict=True) if none}
    fewer, more_rounds = least_moves(bench, goals, still | out, given, ends)
    return fewer, rounds + more_rounds


def _with_ids(
    wishes: Iterable[Wish], own: Sequence[Material], library: MaterialLibrary
) -> tuple[list[Wish], list[Notice]]:
    """Return the wishes, those about a line with the id of its material for a name."""
    asked: list[Wish] = []
    notices: list[Notice] = []
    for wish in wishes:
        if wish.kind != "material":
            asked.append(wish)
            continue
        try:
            material, said = library.find_in(wish.name, own)
        except UnknownNameError as error:
            raise UnknownNameError(error.message, f"{error.hint} {wish_words()}".strip()) from None
        if material not in own:
            hint = "Name a line of the recipe, or bring it in with --also."
            raise CompositionError(f"'{wish.text}': {material.name} is not in the recipe.", hint)
        notices.extend(said)
        asked.append(replace(wish, name=material.id))
    return asked, notices


def _lines_wished(batch: Batch, asked: Sequence[Wish]) -> tuple[Batch, dict[str, float], list[Notice]]:
    """Return the batch with its additions changed as wished, the base lines that are given, and notices."""
    notices: list[Notice] = []
    given: dict[str, float] = {}
    for wish in asked:
        if wish.kind == "less":
            batch, said = less_cobalt(batch)
            notices.extend(said)
        if wish.kind == "material":
            line = next((line for line in batch.lines if line.material.id == wish.name), None)
            amount = wish.wanted(line.parts if line is not None else 0.0)
            if amount < 0:
                there = f"{line.parts:g} of {line.material.name}" if line is not None else "nothing"
                raise CompositionError(f"'{wish.text}': only {there} is there to take away.")
            if line is not None and line.addition:
                batch = replace(batch, lines=tuple(replace(o, parts=amount) if o is line else o for o in batch.lines))
            else:
                given[wish.name] = amount
    return batch, given, notices


def _moved(before: Batch, changed: Batch, bench: Bench, parts: Floats) -> tuple[Line, ...]:
    """Return the lines with the parts before, base before additions; those that are gone have no parts."""
    old = {(line.material.id, line.addition): line.parts for line in before.lines}
    moved = {material.id: float(amount) for material, amount in zip(bench.materials, parts, strict=True)}
    known = {line.material.id for line in changed.base}
    rows = [(line.material, moved.get(line.material.id, line.parts), False) for line in changed.base]
    rows += [(material, moved[material.id], False) for material in bench.materials if material.id not in known]
    rows += [(line.material, line.parts, True) for line in changed.additions]
    return tuple(
        Line(material=m.id, name=m.name, parts=amount, addition=added, before=old.get((m.id, added), 0.0))
        for m, amount, added in rows
        if amount > 1e-9 or old.get((m.id, added), 0.0) > 0
    )


def _result(wish: Wish, before: Batch, after: Batch, model: ExpansionModel, convention: Convention) -> WishResult:
    last: float | None
    if wish.kind in ("material", "less"):
        cobalt = {m.id for m, _ in before.by_material() if is_of(m, "CoO")}
        chosen = cobalt if wish.kind == "less" else {wish.name}
        first, last = (math.fsum(p for m, p in batch.by_material() if m.id in chosen) for batch in (before, after))
    else:
        first = reading_of(wish, moles_in(before, convention), convention, model)
        try:
            last = reading_of(wish, moles_in(after, convention), convention, model)
        except CompositionError:
            last = None
    wanted = last if wish.kind == "less" and last is not None else wish.wanted(first)
    met = last is not None and (last < first if wish.kind == "less" else abs(last - wanted) <= wish.measure.met_within)
    return WishResult(
        text=wish.text,
        meant=wish.meant,
        kind=wish.kind,
        unit=wish.measure.unit,
        decimals=wish.measure.decimals,
        before=first,
        wanted=wanted,
        reached=last,
        met=met,
    )


def _about_words(wished: Sequence[Wish]) -> list[Notice]:
    """Return what words of the bench are read as."""
    by_words: dict[str, list[str]] = {}
    for wish in wished:
        if wish.meant:
            by_words.setdefault(wish.text, []).append(wish.meant)
    return [Notice("read-as", f"'{text}' is read as '{', '.join(meant)}'.") for text, meant in by_words.items()]


def _about_bounds(bench: Bench, parts: Floats, ends: Ends, held: set[str]) -> list[Notice]:
    """Return what stands in the way of a wish that is not met: what was tested, and that no line is emptied unasked."""
    said = []
    if reached := ends.reached(bench, parts):
        text = (
            f"the estimates were tested up to there and no farther: {', '.join(reached)}. No batch beyond it is given."
        )
        said.append(Notice("tested-range-ends", text))
    kept = zip(bench.materials, bench.start, parts, kept_parts(bench), strict=True)
    low = [m for m, old, now, least in kept if old > 0 and now <= least + 1e-6 and m.id not in held]
    if low:
        names = " and ".join(material.name for material in low)
        share = f"{choice('kept_line_share'):.0%}".replace("%", " %")
        text = f"{names} stand{'s' if len(low) == 1 else ''} at {share} of what was there: no line is emptied unasked."
        said.append(Notice("line-kept", f"{text} To take one out write '{low[0].name.lower()} to 0'."))
    return said


def _about_results(results: Sequence[WishResult], moved_percent: float) -> list[Notice]:
    said = []
    for wish in results:
        if not wish.met:
            nearest = (
                "the nearest batch has no value for it"
                if wish.reached is None
                else f"{wish.reached:.3g} is the nearest found"
            )
            found = f"{wish.wanted:.3g} was wished for, {nearest}"
            said.append(Notice("wish-not-met", f"'{wish.text}' is not met with these lines: {found}."))
    if moved_percent > choice("far_percent") - 1e-3:
        text = f"{moved_percent:.0f} % of the base moves: farther than that is another glaze rather than a nudge."
        said.append(Notice("far", text))
    return said


def _other_model(effects: Sequence[Effect], model: str) -> list[Notice]:
    changes = {e.model: e.change for e in effects if e.quantity == "expansion" and e.change is not None}
    mine = changes.get(model, 0.0)
    said = []
    for other, change in changes.items():
        if other != model and (change * mine < 0 or abs(change) < choice("models_agree_share") * abs(mine)):
            text = f"the other expansion model ({other}) moves by {change:+.2f}, against {mine:+.2f}: a test decides."
            said.append(Notice("models-disagree", text))
    if any(e.quantity == "expansion" and e.model == model and not e.now.in_window for e in effects):
        text = "the glaze lies outside the tested range of the expansion model: test it before trusting even the direction."
        said.append(Notice("outside-window", text))
    return said

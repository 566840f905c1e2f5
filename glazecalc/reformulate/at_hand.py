"""Which materials may be used: what the recipe has, what is named, or the whole library with its odd ones left out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from glazecalc.arguments import the_names
from glazecalc.errors import CompositionError, Notice
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.optimise.choices import choice, chosen_kinds
from glazecalc.oxides import FLUXES, INDEX, POISONS, check_oxide
from glazecalc.price import Shelf

__all__ = ("AtHand", "at_hand", "general_use", "left_out_reason", "named")


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """The materials that may be used, those of the recipe first, and what is `gone`: must not be used.

    Ids of `on_top` go on top of the base. `unasked` says that they come from the whole library and nobody named them.
    """

    materials: tuple[Material, ...]
    on_top: frozenset[str] = frozenset()
    gone: tuple[Material, ...] = ()
    unasked: bool = False

    @property
    def banned(self) -> frozenset[str]:
        """Ids of what must not be used."""
        return frozenset(material.id for material in self.gone)


def named(
    names: str | Iterable[str], library: MaterialLibrary, own: Sequence[Material] = ()
) -> tuple[list[Material], list[Notice]]:
    """Return the materials that `names` mean, each once, with what is to be said; a comma may part names.

    `own` is what the recipe has, where the names speak about its lines. Raise for the first name that does not fit one material.
    """
    found: dict[str, Material] = {}
    notices: list[Notice] = []
    for given in the_names(names):
        # a comma may stand within a name ("Kaolin, ideal") or between names: the whole text goes first
        whole = "," not in given or library.candidates(given)[0]
        for name in [given] if whole else [part.strip() for part in given.split(",") if part.strip()]:
            material, said = library.find_in(name, own)
            notices.extend(said)
            found.setdefault(material.id, material)
    return list(found.values()), notices


def left_out_reason(material: Material, wanted: Collection[str]) -> str:
    """Return why a material is not taken unasked for a target of the oxides `wanted`, or an empty text."""
    trace = choice("poison_trace_percent")
    if not material.for_sale:
        return "of which no bag is sold"
    if material.kind in chosen_kinds("kinds_left_out"):
        return f"of the kind '{material.kind}'"
    if material.solubility == "yes":
        return "soluble in the bucket"
    if any(material.analysis.get(oxide, 0.0) > trace and oxide not in wanted for oxide in POISONS):
        return "with lead, cadmium, antimony, selenium or uranium"
    if "F" in material.loss or "F" in material.analysis:
        return "with fluorine, which leaves in the fire"
    if material.kind in ("colourant", "opacifier") and not _main_oxides(material) <= set(wanted):
        return "a colourant or opacifier that the target has no use for"
    if not any(oxide in INDEX for oxide in material.analysis):
        return "without any oxide that stays"
    return ""


def _main_oxides(material: Material) -> set[str]:
    least = choice("main_oxide_percent")
    mains = {oxide for oxide, percent in material.analysis.items() if oxide in INDEX and percent >= least}
    return mains - {"SiO2", *FLUXES}


def _brings(material: Material, oxides: Iterable[str]) -> bool:
    """Return True where the material holds more than a trace of one of the oxides."""
    least = choice("without_oxide_trace_percent")
    as_other = {"FeO": "Fe2O3", "Fe2O3": "FeO"}
    return any(
        material.analysis.get(o, 0.0) > least or material.analysis.get(as_other.get(o, o), 0.0) > least for o in oxides
    )


def general_use(library: MaterialLibrary, wanted: Collection[str]) -> tuple[list[Material], Notice]:
    """Return the materials of the library that are taken unasked, and a notice that says which are not."""
    reasons = {material.id: left_out_reason(material, wanted) for material in library.values()}
    taken = [material for material in library.values() if not reasons[material.id]]
    plainest: dict[tuple[tuple[str, float], ...], Material] = {}
    for material in taken:
        key = (*sorted(material.analysis.items()), ("loss", round(material.loi_percent or 0.0, 6)))
        if key not in plainest or len(material.name) < len(plainest[key].name):
            plainest[key] = material
    ids = {material.id for material in plainest.values()}
    kept = [material for material in taken if material.id in ids]
    counts = Counter(reason for reason in reasons.values() if reason)
    counts["with the same analysis as a plainer one"] = len(taken) - len(kept)
    left_out = "; ".join(f"{count} {reason}" for reason, count in counts.items() if count)
    text = f"searched {len(kept)} materials of the library; left out unless named: {left_out}."
    return kept, Notice("whole-library", f"{text} Name what you own to search your shelf.")


def at_hand(
    library: MaterialLibrary,
    *,
    own: Sequence[Material],
    without: str | Iterable[str],
    also: str | Iterable[str],
    only: str | Iterable[str],
    stock: str | Iterable[str] | Shelf,
    wanted: Collection[str],
    without_oxide: str | Iterable[str] = (),
) -> tuple[AtHand, list[Notice]]:
    """Return the materials that may be used, and what is to be said about them; raise where none is left.

    `own` is what the recipe has; `also` adds to it, `only` is all there is, `stock` what is on the shelf. With none of these
    the whole library is searched, of which the oxides `wanted` decide what makes sense. What brings more than a trace of an oxide
    of `without_oxide` is gone too.
    """
    gone, notices = named(without, library, own)
    refused = [check_oxide(oxide) for given in the_names(without_oxide) for oxide in given.replace(",", " ").split()]
    asked_more = bool(refused or also or only or stock)
    if gone and own and not asked_more and not {m.id for m in gone} & {m.id for m in own}:
        has = ", ".join(material.name for material in own)
        text = f"{' and '.join(m.name for m in gone)}: not in this recipe. Which of its materials is to be replaced?"
        raise CompositionError(
            text, f"It has {has}. What is only to be kept out of the answers is named beside one of them."
        )
    holding = [m for m in own if _brings(m, refused)]
    if refused and own and not holding:
        text = f"nothing in this recipe brings {' or '.join(refused)}, traces aside: there is nothing to replace."
        raise CompositionError(text, "Name the oxide that is to go, or a material with --without.")
    gone = list({m.id: m for m in (*gone, *holding)}.values())
    banned = {material.id for material in gone}
    also, only = the_names(also), the_names(only)
    shelf = stock.ids if isinstance(stock, Shelf) else the_names(stock)
    own_ids = [material.id for material in own]
    for material in gone:
        if own and material.id not in own_ids:
            text = f"{material.name} is not in the recipe: was another one meant? It is only kept out of the answers."
            notices.append(Notice("not-in-recipe", text))
    more, said = named(also, library)
    notices += said
    chosen, said = named(only or shelf or (), library, own if only else ())
    notices += said
    unasked = not (also or only or shelf)
    if only:
        chosen = sorted([*chosen, *more], key=lambda m: own_ids.index(m.id) if m.id in own_ids else len(own_ids))
    elif shelf:
        chosen += more
        known, kinds = banned | {material.id for material in chosen}, chosen_kinds("kinds_on_top")
        if missing := [material.name for material in own if material.id not in known and material.kind not in kinds]:
            text = f"in the recipe but not in the stock, so not used: {', '.join(missing)}."
            notices.append(Notice("not-in-stock", text))
    elif also:
        chosen = [*own, *more]
    else:
        general, notice = general_use(library, wanted)
        chosen = [*own, *general]
        notices.append(notice)
    left = tuple({m.id: m for m in chosen if m.id not in banned and not _brings(m, refused)}.values())
    traces = [f"{m.name} ({o} {m.analysis[o]:.2g} %)" for m in left for o in refused if m.analysis.get(o, 0.0) > 0]
    if traces:
        few = f"{', '.join(traces[:6])}{f' and {len(traces) - 6} more' if len(traces) > 6 else ''}"
        notices.append(Notice("oxide-traces", f"traces that may stay: {few}."))
    if not left:
        raise CompositionError("no material is left to make a batch from.", "Name some with --also or --only.")
    return AtHand(materials=left, gone=tuple(gone), unasked=unasked), notices

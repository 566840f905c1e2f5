"""Which materials may be used: what the recipe has, what is named, or the whole library with its odd ones left out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from glazecalc.errors import AmbiguousNameError, CompositionError, Notice, UnknownNameError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.oxides import FLUXES, INDEX, POISONS

__all__ = ("at_hand", "find_all", "find_in", "general_use", "left_out_reason")

_ODD_KINDS = ("additive", "ash", "other")
_TRACE_PERCENT = 0.5


def find_all(names: Iterable[str], library: MaterialLibrary) -> tuple[list[Material], list[Notice]]:
    """Return the materials that `names` mean, each once, with what is to be said about the names.

    Raises
    ------
    UnknownNameError, AmbiguousNameError
        For the first name that does not fit one material.
    """
    found: dict[str, Material] = {}
    notices: list[Notice] = []
    for name in _split_lists(names, library):
        material, said = library.find(name)
        notices.extend(said)
        found.setdefault(material.id, material)
    return list(found.values()), notices


def _split_lists(names: Iterable[str], library: MaterialLibrary) -> list[str]:
    # a comma may stand within a name ("Kaolin, ideal") or between names: the whole text goes first
    split: list[str] = []
    for name in names:
        try:
            library.find(name)
            split.append(name)
        except UnknownNameError:
            split.extend([part.strip() for part in name.split(",") if part.strip()] or [name])
        except AmbiguousNameError:
            split.append(name)
    return split


def find_in(
    names: Iterable[str], own: Sequence[Material], library: MaterialLibrary
) -> tuple[list[Material], list[Notice]]:
    """Return the materials that `names` mean, looked up among the recipe's `own` first and in the library after that."""
    mine = MaterialLibrary(own)
    found: dict[str, Material] = {}
    notices: list[Notice] = []
    for name in _split_lists(names, library):
        try:
            material, said = mine.find(name)
        except (UnknownNameError, AmbiguousNameError):
            material, said = library.find(name)
            notices.append(
                Notice("not-in-recipe", f"{material.name} is not in the recipe; it is only kept out of the answers.")
            )
        notices.extend(said)
        found.setdefault(material.id, material)
    return list(found.values()), notices


def left_out_reason(material: Material, wanted: Collection[str]) -> str:
    """Return why a material is not taken unasked from the whole library, or an empty text.

    `wanted` holds the oxides that the target has.
    """
    if material.kind in _ODD_KINDS:
        return f"of the kind '{material.kind}'"
    if material.solubility == "yes":
        return "soluble in the bucket"
    if any(material.analysis.get(oxide, 0.0) > _TRACE_PERCENT and oxide not in wanted for oxide in POISONS):
        return "with lead, cadmium, antimony, selenium or uranium"
    if "F" in material.loss or "F" in material.analysis:
        return "with fluorine, which leaves in the fire"
    if material.kind in ("colourant", "opacifier") and not _main_oxides(material) <= set(wanted):
        return "a colourant or opacifier that the target has no use for"
    if not any(oxide in INDEX for oxide in material.analysis):
        return "without any oxide that stays"
    return ""


def _main_oxides(material: Material) -> set[str]:
    return {
        oxide
        for oxide, percent in material.analysis.items()
        if oxide in INDEX and percent >= 10.0 and oxide not in ("SiO2", *FLUXES)
    }


def general_use(library: MaterialLibrary, wanted: Collection[str]) -> tuple[list[Material], Notice]:
    """Return the materials of the library that are taken unasked, and a notice that says which are not."""
    reasons: dict[str, int] = {}
    taken = []
    for material in library.values():
        reason = left_out_reason(material, wanted)
        if reason:
            reasons[reason] = reasons.get(reason, 0) + 1
        else:
            taken.append(material)
    plainest: dict[tuple[tuple[str, float], ...], Material] = {}
    for material in taken:
        key = (*sorted(material.analysis.items()), ("loss", round(material.loi_percent or 0.0, 6)))
        if key not in plainest or len(material.name) < len(plainest[key].name):
            plainest[key] = material
    if len(plainest) < len(taken):
        reasons["with the same analysis as a plainer one"] = len(taken) - len(plainest)
        taken = [material for material in taken if material in plainest.values()]
    text = "; ".join(f"{count} {reason}" for reason, count in reasons.items())
    return taken, Notice(
        "whole-library",
        f"searched {len(taken)} materials of the library; left out unless named: {text}. Name what you own to search your shelf.",
    )


def at_hand(
    library: MaterialLibrary,
    *,
    own: Sequence[Material],
    without: Sequence[Material],
    also: Sequence[str],
    only: Sequence[str],
    stock: Sequence[str],
    wanted: Collection[str],
) -> tuple[list[Material], list[Notice]]:
    """Return the materials that may be used, those of the recipe first.

    Parameters
    ----------
    library : MaterialLibrary
    own : sequence of Material
        What the recipe has.
    without : sequence of Material
        What must not be used.
    also, only, stock : sequences of str
        Names added to what the recipe has; names that are all there is; names on the shelf. With none of the three the
        whole library is searched.
    wanted : collection of str
        Oxides of the target, which decide what of the whole library makes sense.

    Raises
    ------
    CompositionError
        Where nothing is left.
    """
    notices: list[Notice] = []
    if only:
        chosen, said = find_all([*only, *also], library)
        chosen = sorted(
            chosen, key=lambda m: [o.id for o in own].index(m.id) if m.id in {o.id for o in own} else len(own)
        )
        notices.extend(said)
    elif stock:
        chosen, said = find_all([*stock, *also], library)
        notices.extend(said)
        missing = [
            m.name
            for m in own
            if m.id not in {c.id for c in chosen} | {w.id for w in without}
            and m.kind not in ("colourant", "opacifier", "additive")
        ]
        if missing:
            notices.append(
                Notice("not-in-stock", f"in the recipe but not in the stock, so not used: {', '.join(missing)}.")
            )
    elif also:
        more, said = find_all(also, library)
        chosen = [*own, *more]
        notices.extend(said)
    else:
        general, notice = general_use(library, wanted)
        chosen = [*own, *general]
        notices.append(notice)
    banned = {material.id for material in without}
    left = list({material.id: material for material in chosen if material.id not in banned}.values())
    if not left:
        raise CompositionError("no material is left to make a batch from.", "Name some with --also or --only.")
    return left, notices

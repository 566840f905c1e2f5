"""Materials: the library with sources and hazards, the studio's own bags first; one material; a new bag from its sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from starlette.exceptions import HTTPException

from glazecalc.caution.material_hazards import hazards_of
from glazecalc.errors import FileFaultsError, GlazeError, Notice
from glazecalc.files.recipes import parse_recipe
from glazecalc.library import MaterialLibrary
from glazecalc.material import KINDS, Material
from glazecalc.show.material_list import row
from glazecalc.workbench import pages
from glazecalc.workbench.app import Asked
from glazecalc.workbench.asking import as_here
from glazecalc.workbench.bag import OTHERS, Bag, Checked, bag_of, checked, like
from glazecalc.workbench.bench import Bench, faults_of
from glazecalc.workbench.folder import new_name
from glazecalc.workbench.saving import NOT_THERE, Card, ChangedMeanwhileError, digest_of

__all__ = ("ROUTES",)

_SAID = {
    "saved": "Saved. From now on your cards are worked out with it.",
    "over": "Saved. The file as it stood before is kept beside it, in .glaze-history.",
    "same": "Nothing was to be saved: the file holds this already.",
}


@dataclass(frozen=True, slots=True)
class _Row:
    """One material of the list."""

    id: str
    name: str
    basis: str
    loss: str
    oxides: str
    hazards: str
    words: str


def materials(bench: Bench, asked: Asked) -> pages.Response:
    """List the materials, or those that a search finds; the studio's own first."""
    found = bench.materials()
    wanted = asked.query.get("q", "").strip()[:200]
    words = wanted.casefold().split()
    own = _own(bench)
    groups: dict[str, list[_Row]] = {"your own bags": []} if own else {}
    for material in sorted(found.library.values(), key=lambda m: (m.kind, m.name.casefold())):
        one = _row(material)
        if all(word in one.words for word in words):
            kind = "your own bags" if material in own else material.kind.replace("_", " ")
            groups.setdefault(kind, []).append(one)
    return pages.page(
        "materials.html",
        groups={kind: rows for kind, rows in groups.items() if rows},
        wanted=wanted,
        total=len(found.library),
        found=sum(map(len, groups.values())),
        not_read=found.not_read,
        notices=[notice.message for notice in _here(bench, found.library)],
    )


def material(bench: Bench, asked: Asked) -> pages.Response:
    """Show one material, and the cards that use it."""
    library = bench.materials().library
    found = library.get(asked.names["id"])
    if found is None:
        raise HTTPException(404)
    own = found in _own(bench)
    return pages.page(
        "material.html",
        material=found,
        answer=pages.answer(found, notices=(*found.notices, *_about(_here(bench, library), found)), full=True),
        own=own,
        changeable=own and not _more_than_the_form(found),
        cards=list(_cards_with(bench, library, found)),
        said=_SAID.get(asked.query.get("said", ""), ""),
    )


def new(bench: Bench, asked: Asked) -> pages.Response:
    """Show the sheet of a new bag, check it, save it."""
    library, own = bench.materials().library, _own(bench)
    if asked.method == "GET":
        model = library.get(asked.query.get("like", "") or asked.query.get("change", ""))
        whole = "change" in asked.query
        if model is None:
            return _sheet(bag_of({"kind": asked.query.get("kind", "")}), None)
        if whole and (model not in own or _more_than_the_form(model)):
            raise HTTPException(404)
        return _sheet(like(model, whole=whole), None)
    bag = bag_of(asked.form)
    if asked.form.get("do") == "kind":
        return _sheet(bag, None)
    found = checked(bag, library, own)
    if asked.form.get("do") != "save" or found.material is None:
        return _sheet(bag, found, status=409 if found.faults else 200)
    try:
        place = bench.studio.materials_folder / _file(bench, found)
        seen = asked.form.get("seen") or NOT_THERE
        if why := bench.studio.why_not(bench.studio.materials_folder):
            raise GlazeError(why)
        written = Card(bench.studio, place).save(found.text, seen)
    except ChangedMeanwhileError as error:
        return _sheet(bag, found, status=409, on_disk=error.on_disk, asks=error.on_disk is not None)
    except GlazeError as error:
        told = tuple(f"{fault.message} {fault.hint}".strip() for fault in faults_of(error))
        return _sheet(bag, found, status=409, told=told)
    said = "same" if not written else "saved" if seen == NOT_THERE else "over"
    return pages.go_to(f"/material/{quote(found.material.id, safe='')}?said={said}")


def check(bench: Bench, asked: Asked) -> pages.Response:
    """Check what is typed, for the script of the page."""
    found = checked(bag_of(asked.form), bench.materials().library, _own(bench))
    return pages.as_json(
        {
            "sum": pages.html("bag_sum.html", found=found),
            "faults": {field: " ".join(f) for field, f in found.faults.items()},
        }
    )


def _file(bench: Bench, found: Checked) -> str:
    """Return the name of the file; FileFaultsError for one that some system would not take."""
    there = [file.name for file in bench.studio.materials()]
    if found.file_name in there:
        return found.file_name
    return new_name(found.file_name, bench.studio.materials())


def _sheet(
    bag: Bag,
    found: Checked | None,
    *,
    status: int = 200,
    on_disk: str | None = None,
    asks: bool = False,
    told: Iterable[str] = (),
) -> pages.Response:
    return pages.page(
        "bag.html",
        status,
        bag=bag,
        kinds=KINDS,
        found=found,
        faults=found.faults if found is not None else {},
        told=tuple(told),
        asks=asks,
        on_disk=on_disk,
        seen=digest_of(on_disk) if asks else "",
        blank_rows=range(1, OTHERS + 1),
    )


def _own(bench: Bench) -> list[Material]:
    """Return the materials that come from the studio's own folder."""
    folder = str(bench.studio.materials_folder)
    return [one for one in bench.materials().library.values() if one.path.startswith(folder)]


def _more_than_the_form(found: Material) -> bool:
    """Whether a material's file holds what the form has no field for, which saving would lose."""
    return bool(
        found.tolerance or (found.loss and not found.formula) or found.hazards or found.hazards_note or found.instead_of
        or not found.for_sale or found.source.from_memory or found.source.table or found.source.kind or found.source.place
        or found.source.also or found.source.seen_at or found.basis not in ("own-sheet", "measured", "ideal-formula")
    )  # fmt: skip


def _here(bench: Bench, library: MaterialLibrary) -> list[Notice]:
    return list(as_here(bench, library.notices))


def _about(notices: Iterable[Notice], found: Material) -> list[Notice]:
    return [notice for notice in notices if notice.message.startswith(f"{found.name} (")]


def _row(found: Material) -> _Row:
    name, basis, loss, oxides = row(found)
    known = hazards_of(found)
    hazards = ", ".join([item.hazard.label for item in known.known] + list(known.own_words))
    said = (*found.names, found.kind, found.supplier, found.lot, basis, hazards, *found.analysis)
    return _Row(
        found.id,
        name,
        basis,
        loss,
        oxides,
        hazards or "no hazard data" if known.is_unknown else hazards,
        " ".join(said).casefold(),
    )


def _cards_with(bench: Bench, library: MaterialLibrary, found: Material) -> Iterable[tuple[str, str]]:
    """Yield the cards that use a material: file and name."""
    for file in bench.studio.cards():
        try:
            text = None if file.reason else Card(bench.studio, file.path).text()
            recipe = parse_recipe(text or "", file.name)
            if any(library.find(item.material, suggest=False)[0] is found for item in recipe.ingredients):
                yield file.name, recipe.name or file.shown
        except (FileFaultsError, GlazeError, KeyError):
            continue  # the shelf says why


ROUTES = (
    (("GET",), "/materials", materials),
    (("GET", "POST"), "/materials/new", new),
    (("POST",), "/materials/check", check),
    (("GET",), "/material/{id}", material),
)

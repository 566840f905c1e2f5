"""Reading materials: one YAML file a material, a folder of them over the bundled library."""

from __future__ import annotations

import os
import re
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from glazecalc.errors import Fault, FileFaultsError
from glazecalc.files.bag_analysis import as_printed, field_meant
from glazecalc.files.fields import FieldReader
from glazecalc.files.shipped import materials_folder
from glazecalc.files.text_file import file_fault, read_text
from glazecalc.files.yaml_events import read_yaml
from glazecalc.library import MaterialLibrary, OnFile, library_of
from glazecalc.material import HOW_TO_SAY_NONE, Material
from glazecalc.source import Source
from glazecalc.spelling import name_key

if TYPE_CHECKING:
    from collections.abc import Callable
    from importlib.resources.abc import Traversable

__all__ = ("bundled_entry", "load_materials", "read_material", "read_material_text")

_TEXTS = (
    "id", "name", "formula", "kind", "basis", "aliases", "instead_of", "supplier", "lot", "received", "solubility", "hazards", "hazards_note",
)  # fmt: skip
_OTHERS = ("analysis", "loi_percent", "loss", "moisture_percent", "density_g_cm3", "tolerance", "for_sale")
_FIELDS = (*_TEXTS, *_OTHERS, "not_sold_because", "source", "dried_basis", "notes")
_SOURCE_TEXTS = ("title", "kind", "place", "publisher", "year", "table", "seen_at", "also", "confidence")
_WHERE_FROM = "Say where the numbers come from, e.g. 'the maker's sheet of May 2026'."
_MOST_FILES = 2000
_NAMES = ("id", "name", "aliases")
_HEAD = re.compile(r"id:.*\nname:.*\n(?:aliases:.*\n(?:[ -].*\n)*)?")
_NAMED = re.compile(r"^(?:[\"'?]\W*)?(?:id|name|aliases)\b", re.MULTILINE)

Found = TypeVar("Found", bound="Material | OnFile")


def load_materials(*folders: str | Path, bundled: bool = True) -> MaterialLibrary:
    """Load the bundled materials, with a user's own folders over them.

    Parameters
    ----------
    *folders : str or Path
        Folders of ``.yaml`` files, one material a file; a later one lies over an earlier one.
    bundled : bool
        Start from the bundled library.

    Returns
    -------
    MaterialLibrary
        Its `notices` name every bundled material that is hidden.

    Raises
    ------
    FileFaultsError
        With all faults of a file; for several faulty files, all of them together.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> material, notices = materials.find("studio frit, zinc")
    >>> material.id, material.kind
    ('studio_frit_zinc', 'frit')
    """
    materials: list[Material | OnFile] = list(_bundled()) if bundled else []
    broken: list[FileFaultsError] = []
    for folder in map(Path, folders):
        if not os.path.isdir(folder):  # unlike Path.is_dir, also for a name too long
            raise file_fault(folder, "there is no such folder of materials.")
        paths = [folder / file.name for file in _yaml_files(folder)]
        if len(paths) > _MOST_FILES:
            raise file_fault(folder, f"the folder holds more than {_MOST_FILES} material files.")
        materials += _read_layer([(str(path), read_text(path)) for path in paths], read_material_text, broken)
    if len(broken) == 1:
        raise broken[0]
    if broken:
        faults = [Fault(None, str(error).replace("\n", "\n  ")) for error in broken]
        raise FileFaultsError(f"{len(broken)} material files", faults)
    return library_of(materials)


@cache
def _bundled() -> tuple[Material | OnFile, ...]:
    """Return the bundled materials, which do not change while the program runs; all that is read of most is their names."""
    broken: list[FileFaultsError] = []
    files = _yaml_files(materials_folder())
    texts = [(f"materials/{file.name}", file.read_text(encoding="utf-8")) for file in files]
    found = _read_layer(texts, bundled_entry, broken)
    if broken:
        raise broken[0]
    return tuple(found)


def bundled_entry(text: str, path: str) -> Material | OnFile:
    """Return a bundled material by its names where they stand at the head of the file, as they should; else read the whole of it."""
    head = _HEAD.match(text)
    if head is not None and not _NAMED.search(text, head.end()):
        known = FieldReader(read_yaml(head[0], path), "a material", _NAMES).given(_NAMES)
        names = [known.get("id"), known.get("name"), *known.get("aliases", ())]
        if isinstance(known.get("aliases", []), list) and all(isinstance(name, str) and name for name in names):
            return OnFile(tuple(names), path, partial(read_material_text, text, path))
    return read_material_text(text, path)


def _read_layer(
    texts: list[tuple[str, str]], read: Callable[[str, str], Found], broken: list[FileFaultsError]
) -> list[Found]:
    """Return the materials of one folder, given the path and text of each file; what is wrong is put into `broken`."""
    seen: dict[tuple[str, ...], Found] = {}
    found = []
    for path, text in texts:
        try:
            material = read(text, path)
            _check_unique(material, seen)
        except FileFaultsError as error:
            broken.append(error)
            continue
        found.append(material)
    return found


def _yaml_files(folder: Traversable) -> list[Traversable]:
    files = (item for item in folder.iterdir() if item.name.endswith((".yaml", ".yml")) and item.name[0] != ".")
    return sorted(files, key=lambda item: item.name)


def _check_unique(material: Found, seen: dict[tuple[str, ...], Found]) -> None:
    for name in material.names:
        other = seen.get(name_key(name))
        if other is not None and other.path != material.path:
            said = f"the name '{name}' is already that of {other.name} ({other.path})."
            raise file_fault(material.path, said, "Names are unique within a folder.")
    seen |= {name_key(name): material for name in material.names}


def read_material(path: str | Path) -> Material:
    """Read one material from a YAML file.

    Parameters
    ----------
    path : str or Path
        The file; its name is the id of a material that has none.

    Returns
    -------
    Material

    Raises
    ------
    FileFaultsError
        With every fault and its line.

    Examples
    --------
    >>> import glazecalc as gc
    >>> frit = gc.read_material("materials/studio_frit_zinc.yaml")
    >>> frit.name, frit.analysis["ZnO"]
    ('Studio zinc frit', 17.11)
    """
    return read_material_text(read_text(path), str(path))


def read_material_text(text: str, path: str = "<text>") -> Material:
    """Read one material from YAML text; `path` is its name in messages."""
    reader = FieldReader(read_yaml(text, path), "a material", _FIELDS, meant=field_meant)
    reader.flag("dried_basis")
    file_name = Path(path).stem if path.endswith((".yaml", ".yml")) else ""
    said = {name: reader.lines(name) for name in ("not_sold_because", "notes")}
    fields = {"id": file_name, "name": "", **reader.given(_TEXTS, _OTHERS), **said}
    as_printed(fields, reader)
    _check_no_hazards(fields, reader)
    return reader.build(Material, path, **fields, source=_source(reader), path=path)


def _check_no_hazards(fields: dict[str, Any], reader: FieldReader) -> None:
    """Note the fault of a list of hazards that is empty without a why: nobody could tell it from one that was forgotten."""
    if fields.get("hazards") == [] and not fields.get("hazards_note"):
        reader.fault("hazards", "'hazards' is empty and the file does not say why.", HOW_TO_SAY_NONE)


def _source(reader: FieldReader) -> Source | None:
    node = reader.fields.get("source")
    if node is None:
        return None
    fields = FieldReader(node, "a source", (*_SOURCE_TEXTS, "from_memory"), reader.faults)
    texts = {name: fields.text(name) for name in _SOURCE_TEXTS}
    from_memory = fields.flag("from_memory")
    if isinstance(node.value, dict) and not texts["title"]:
        fields.fault("title", "'source: title' is not filled in.", _WHERE_FROM)
        return Source(title="not read")
    made = fields.make(Source, **texts, from_memory=from_memory) if isinstance(node.value, dict) else None
    return made or Source(title="not read")  # its faults are noted

"""Reading materials: one YAML file a material, a folder of them over the bundled library."""

from __future__ import annotations

import math
from importlib.resources.abc import Traversable
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, FormulaError, Notice, UnknownNameError, did_you_mean
from glazecalc.files.fields import FieldReader, check_number
from glazecalc.files.shipped import materials_folder
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import YamlValue, read_yaml
from glazecalc.formula import formula_yield
from glazecalc.library import MaterialLibrary, name_key
from glazecalc.material import KINDS, Material, Source, frozen
from glazecalc.oxides import VOLATILES, check_oxide, molar_mass

__all__ = ("load_materials", "read_material", "read_material_text")

_FIELDS = (
    "id", "name", "formula", "analysis", "source", "kind", "aliases", "supplier", "lot", "received", "loi_percent", "loss",
    "dried_basis", "moisture_percent", "density_g_cm3", "solubility", "hazards", "tolerance", "notes",
)  # fmt: skip
_SOURCE_FIELDS = ("title", "publisher", "year", "table", "seen_at", "from_memory", "confidence")
_LOSSES = ("H2O", "CO2", "SO3", "F", "Cl", "N2O5", "organic", "O2")
_SOLUBILITY = {
    "no": "no",
    "insoluble": "no",
    "slightly": "slightly",
    "slightly soluble": "slightly",
    "yes": "yes",
    "soluble": "yes",
}
_TOTAL_LOW, _TOTAL_HIGH = 98.0, 102.0  # per cent; the range that the design names for a sound total
_CARBONATE_SLACK = 2.0  # points of loss; a bag with more water or less carbonate than that is worth a look
_LARGEST_BOUND = 2.0  # per cent; a detection limit lies well below; above it stands a specification
_MOST_FILES = 2000


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
    """
    layers: list[list[tuple[str, str]]] = []
    if bundled:
        layers.append([(f"materials/{name}", text) for name, text in _folder_texts(materials_folder())])
    for folder in folders:
        path = Path(folder)
        if not path.is_dir():
            raise FileFaultsError(str(folder), [Fault(None, "there is no such folder of materials.")])
        layers.append([(str(path / name), read_text(path / name)) for name in _yaml_names(path)])
    materials: list[Material] = []
    broken: list[FileFaultsError] = []
    for layer in layers:
        seen: dict[tuple[str, ...], Material] = {}
        for path_text, text in layer:
            try:
                material = read_material_text(text, path_text)
                _check_unique(material, seen)
            except FileFaultsError as error:
                broken.append(error)
                continue
            materials.append(material)
    if len(broken) == 1:
        raise broken[0]
    if broken:
        raise FileFaultsError(
            f"{len(broken)} material files",
            [Fault(None, str(error).replace("\n", "\n  ")) for error in broken],
        )
    return MaterialLibrary(materials)


def _folder_texts(folder: Traversable) -> list[tuple[str, str]]:
    files = sorted((item for item in folder.iterdir() if item.name.endswith(".yaml")), key=lambda item: item.name)
    return [(item.name, item.read_text(encoding="utf-8")) for item in files]


def _yaml_names(folder: Path) -> list[str]:
    names = sorted(
        item.name for item in folder.iterdir() if item.suffix in (".yaml", ".yml") and not item.name.startswith(".")
    )
    if len(names) > _MOST_FILES:
        raise FileFaultsError(str(folder), [Fault(None, f"the folder holds more than {_MOST_FILES} material files.")])
    return names


def _check_unique(material: Material, seen: dict[tuple[str, ...], Material]) -> None:
    for name in material.names:
        other = seen.get(name_key(name))
        if other is not None and other.path != material.path:
            raise FileFaultsError(
                material.path,
                [
                    Fault(
                        None,
                        f"the name '{name}' is already that of {other.name} ({other.path}).",
                        "Names are unique within a folder.",
                    )
                ],
            )
    for name in material.names:
        seen[name_key(name)] = material


def read_material(path: str | Path) -> Material:
    """Read one material file.

    Raises
    ------
    FileFaultsError
        With every fault of the file.
    """
    return read_material_text(read_text(path), str(path))


def read_material_text(text: str, path: str = "<text>") -> Material:
    """Read one material from YAML text; `path` is its name in messages.

    Raises
    ------
    FileFaultsError
        With every fault of the text.
    """
    faults: list[Fault] = []
    reader = FieldReader(read_yaml(text, path), faults, "a material", _FIELDS)
    notices: list[Notice] = []
    identifier = reader.text("id", required=True)
    name = reader.text("name", required=True)
    if identifier and not name_key(identifier):
        reader.fault("id", f"the id '{identifier}' holds no letter or figure.")
    if name and not name_key(name):
        reader.fault("name", f"the name '{name}' holds no letter or figure.")
    kind = reader.text("kind", default="other")
    if kind not in KINDS:
        reader.fault(
            "kind", f"'{kind}' is not a kind of material.", did_you_mean(kind, KINDS) or f"Known: {', '.join(KINDS)}."
        )
    solubility = reader.text("solubility").lower()
    if solubility and solubility not in _SOLUBILITY:
        reader.fault("solubility", f"the solubility '{solubility}' is not known.", "Write no, slightly or yes.")
    loi = reader.number("loi_percent", low=-50, high=100)
    loss = reader.numbers("loss", low=-50, high=100)
    for part in loss:
        if part not in _LOSSES:
            reader.fault("loss", f"'{part}' is not a part of the loss.", f"Known: {', '.join(_LOSSES)}.")
    reader.flag("dried_basis")
    formula = reader.text("formula") or None
    analysis, below = _analysis(reader)
    if formula is not None and "analysis" in reader.fields:
        reader.fault(
            "formula", "a material has a formula or an analysis, not both.", "Keep the one the numbers come from."
        )
    if formula is None and "analysis" not in reader.fields:
        reader.faults.append(Fault(reader.line, "a material needs 'formula' or 'analysis'."))
    if formula is not None and not faults:
        analysis, loi, loss = _from_formula(reader, formula, loi, name, notices)
    elif formula is None:
        loi = _loss_of_analysis(reader, analysis, loi, loss, name, notices)
    source = _source(reader)
    tolerance = reader.numbers("tolerance", low=0, high=100)
    for oxide in tolerance:
        _oxide(reader, "tolerance", oxide)
    material = Material(
        id=identifier, name=name, source=source, aliases=reader.texts("aliases"), kind=kind, formula=formula, analysis=frozen(analysis),
        below_detection=below, loi_percent=loi, loss=frozen(loss),
        moisture_percent=reader.number("moisture_percent", low=0, high=500), density_g_cm3=reader.number("density_g_cm3", low=0.1, high=25),
        solubility=_SOLUBILITY.get(solubility), hazards=reader.texts("hazards"), tolerance=frozen(tolerance), supplier=reader.text("supplier"),
        lot=reader.text("lot"), received=reader.text("received"), notes="\n".join(reader.texts("notes")), path=path, notices=tuple(notices),
    )  # fmt: skip
    if faults:
        raise FileFaultsError(path, faults)
    return material


def _oxide(reader: FieldReader, field: str, oxide: str) -> bool:
    try:
        check_oxide(oxide)
    except UnknownNameError as error:
        reader.fault(field, f"in '{field}': {error.message}", error.hint)
        return False
    return True


def _analysis(reader: FieldReader) -> tuple[dict[str, float], dict[str, str]]:
    item = reader.fields.get("analysis")
    analysis: dict[str, float] = {}
    below: dict[str, str] = {}
    if item is None:
        return analysis, below
    if not isinstance(item.value, dict):
        reader.fault("analysis", "'analysis' is a mapping of 'oxide: wt %' lines.")
        return analysis, below
    for oxide, entry in item.value.items():
        line = item.key_lines[oxide]
        try:
            check_oxide(oxide)
        except UnknownNameError as error:
            reader.faults.append(Fault(line, error.message, error.hint))
            continue
        if isinstance(entry.value, str) and _is_below_detection(entry.raw):
            bound = _bound(entry.raw)
            if bound is not None and bound > _LARGEST_BOUND:
                hint = "A specification is no analysis: give what was measured."
                reader.faults.append(
                    Fault(
                        line, f"'{oxide}' is given as a maximum of {bound:g} %; a measured number was expected.", hint
                    )
                )
            below[oxide] = entry.raw.strip()
            continue
        value = check_number(YamlValue(entry.value, line, entry.raw), oxide, reader.faults, low=0, high=100.5)
        if value is not None:
            analysis[oxide] = value
    if math.fsum(analysis.values()) > 150:
        reader.fault("analysis", f"the analysis adds to {math.fsum(analysis.values()):.1f} %; about 100 was expected.")
    return analysis, below


def _is_below_detection(text: str) -> bool:
    clean = text.strip().lower()
    if clean in ("trace", "tr", "tr.", "n.d.", "nd", "n.d", "not detected", "bdl", "below detection"):
        return True
    return _bound(clean) is not None


def _bound(text: str) -> float | None:
    if not text.strip().startswith(("<", "≤")):
        return None
    try:
        value = float(text.strip().lstrip("<≤= ").rstrip("% "))
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _from_formula(
    reader: FieldReader, formula: str, loi: float | None, name: str, notices: list[Notice]
) -> tuple[dict[str, float], float | None, dict[str, float]]:
    try:
        ideal = formula_yield(formula)
    except (FormulaError, UnknownNameError) as error:
        reader.fault("formula", error.message, error.hint)
        return {}, loi, {}
    if loi is not None and abs(loi - ideal.loi_percent) > 0.5:
        notices.append(
            Notice(
                "loss-differs-from-formula",
                f"{name}: the file says {loi:g} % loss, its formula gives {ideal.loi_percent:.1f} %; the formula is used.",
            )
        )
    if "F" in ideal.loss or "Cl" in ideal.loss:
        notices.append(
            Notice(
                "oxide-equivalents",
                f"{name}: oxides are given as if all its fluorine or chlorine left and oxygen took its place.",
            )
        )
    return dict(ideal.analysis), ideal.loi_percent, dict(ideal.loss)


def _loss_of_analysis(
    reader: FieldReader,
    analysis: dict[str, float],
    loi: float | None,
    loss: dict[str, float],
    name: str,
    notices: list[Notice],
) -> float | None:
    volatile = {oxide: value for oxide, value in analysis.items() if oxide in VOLATILES}
    oxides = math.fsum(value for oxide, value in analysis.items() if oxide not in VOLATILES)
    parts = math.fsum([*loss.values(), *volatile.values()])
    if loi is None and (loss or volatile):
        loi = parts
    elif loi is not None and loss and abs(math.fsum(loss.values()) - loi) > 0.5:
        notices.append(
            Notice(
                "loss-parts-differ",
                f"{name}: the parts of the loss add to {math.fsum(loss.values()):.1f} %, the loss is {loi:g} %.",
            )
        )
    if not analysis and (loi or 0) < 99:
        if "analysis" in reader.fields and not reader.faults:
            reader.fault(
                "analysis", "the analysis names no oxide.", "Give oxides, or loi_percent: 100 for what burns away."
            )
        return loi
    total = oxides + (loi or 0.0)
    if loi is None:
        notices.append(
            Notice(
                "loss-not-reported",
                f"{name}: no loss on ignition is reported; it counts as nothing (oxides add to {total:.1f} %).",
            )
        )
    if not _TOTAL_LOW <= total <= _TOTAL_HIGH:
        notices.append(
            Notice(
                "analysis-total",
                f"{name}: oxides and loss add to {total:.1f} %, outside {_TOTAL_LOW:g}-{_TOTAL_HIGH:g}; used as it stands.",
            )
        )
    if "F" in {**volatile, **loss}:
        notices.append(
            Notice(
                "oxide-equivalents", f"{name}: oxides are given as if all its fluorine left and oxygen took its place."
            )
        )
    carbonate = _carbon_dioxide_needed(analysis)
    if loi is not None and carbonate is not None and abs(carbonate - loi) > _CARBONATE_SLACK:
        notices.append(
            Notice(
                "carbonate-loss",
                f"{name}: the loss is {loi:.1f} %, but its CaO and MgO as carbonates would lose {carbonate:.1f} %.",
            )
        )
    return loi


def _carbon_dioxide_needed(analysis: dict[str, float]) -> float | None:
    # Only where the material can be nothing but a carbonate of lime and magnesia.
    earths = {oxide: analysis.get(oxide, 0.0) for oxide in ("CaO", "MgO")}
    others = math.fsum(v for o, v in analysis.items() if o not in earths and o not in VOLATILES)
    if not 30 <= math.fsum(earths.values()) <= 62 or others > 6:
        return None
    return math.fsum(value / molar_mass(oxide) for oxide, value in earths.items()) * molar_mass("CO2")


def _source(reader: FieldReader) -> Source:
    node = reader.fields.get("source")
    if node is None:
        reader.faults.append(
            Fault(
                reader.line, "the field 'source' is missing.", "Say where the numbers come from: source: {title: ...}."
            )
        )
        return Source(title="")
    fields = FieldReader(node, reader.faults, "a source", _SOURCE_FIELDS)
    if not isinstance(node.value, dict):
        return Source(title="")
    return Source(
        title=fields.text("title", required=True), publisher=fields.text("publisher"), year=fields.text("year"), table=fields.text("table"),
        seen_at=fields.text("seen_at"), from_memory=fields.flag("from_memory"), confidence=fields.text("confidence"),
    )  # fmt: skip

"""A new bag from its sheet: what was typed becomes the text of a material file, read back as any such file is; each fault goes to its field."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import yaml

from glazecalc.errors import Fault, FileFaultsError, GlazeError, UnitError
from glazecalc.files.material_sheet import listed_oxides, new_sheet
from glazecalc.files.materials import read_material_text
from glazecalc.library import MaterialLibrary
from glazecalc.material import KINDS, Material
from glazecalc.spelling import name_key
from glazecalc.units import parse_number

__all__ = ("OTHERS", "Bag", "Checked", "bag_of", "checked", "like")

OTHERS = 4
"""Lines for oxides that the list of the kind does not have; this program's own choice."""
_TEXTS = ("supplier", "lot", "received", "formula")
_NUMBERS = ("loi_percent", "moisture_percent", "density_g_cm3")
_SOURCE = ("title", "publisher", "year")
_PLAIN_NUMBER = re.compile(r"[-+]?\d{1,9}(\.\d{1,9})?")
_BLANK = re.compile(r"^'[a-z: ]+' is not filled in\.")
_FIELD_NAMED = re.compile(r"\A'[^']*' is ('[^']*'); ")
_LONGEST = 2000  # letters of one field; this program's own choice


@dataclass(frozen=True, slots=True)
class Bag:
    """What the form holds, as typed: `fields` by the names of the material file, the analysis in the order of the sheet."""

    fields: Mapping[str, str]
    analysis: tuple[tuple[str, str], ...]

    def __getitem__(self, name: str) -> str:
        return self.fields.get(name, "")


@dataclass(frozen=True, slots=True)
class Checked:
    """What a bag comes to: the material where it is one, the text of its file, its faults by field, and the sum of oxides and loss [%]."""

    material: Material | None
    text: str
    file_name: str
    faults: Mapping[str, tuple[str, ...]]
    sum_percent: float
    hides: Material | None = None

    @property
    def notices(self) -> tuple[str, ...]:
        """What is odd about its numbers, but possible."""
        return tuple(notice.message for notice in self.material.notices) if self.material is not None else ()


def bag_of(form: Mapping[str, str]) -> Bag:
    """Return what a form holds; line ends and runs of spaces become single spaces, except in the notes."""
    fields = {
        name: value.strip() if name == "notes" else " ".join(value.split())
        for name, value in form.items()
        if not name.startswith(("o-", "other-"))
    }
    kind = fields.get("kind", "")
    listed = listed_oxides(kind if kind in KINDS else "other")
    typed = {name.removeprefix("o-"): " ".join(value.split()) for name, value in form.items() if name.startswith("o-")}
    rows = [(oxide, typed.pop(oxide, "")) for oxide in listed]
    rows += [(oxide, value) for oxide, value in typed.items() if value]
    for number in range(1, OTHERS + 1):
        oxide, value = (" ".join(form.get(f"other-{number}{part}", "").split()) for part in ("-name", ""))
        if oxide or value:
            rows.append((oxide, value))
    return Bag(fields, tuple(rows))


def like(material: Material, *, whole: bool) -> Bag:
    """Return the bag of a material: its name and kind for a new one of it, or `whole` to change it."""
    fields = {"name": material.name, "kind": material.kind}
    if not whole:
        return bag_of(fields)
    fields |= {name: str(getattr(material, name) or "") for name in _TEXTS}
    fields |= {name: "" if (n := getattr(material, name)) is None else f"{n:g}" for name in _NUMBERS}
    fields |= {name: str(getattr(material.source, name) or "") for name in _SOURCE}
    fields |= {
        "aliases": ", ".join(material.aliases),
        "solubility": material.solubility or "",
        "notes": material.notes,
        "measured": "1" if material.basis == "measured" else "",
    }
    if material.formula is None:
        shares = {oxide: f"{value:g}" for oxide, value in material.analysis.items()} | dict(material.below_detection)
        fields |= {f"o-{oxide}": value for oxide, value in shares.items()}
    else:
        fields["loi_percent"] = ""
    return bag_of(fields)


def checked(bag: Bag, library: MaterialLibrary, own: Iterable[Material]) -> Checked:
    """Return what a bag comes to beside the materials that there are; `own` are those of the studio's folder."""
    faults: dict[str, list[str]] = {}
    bag, too_long = _in_bounds(bag)
    faults.update(too_long)
    try:
        sheet = new_sheet(bag["name"], library, kind=bag["kind"])
    except GlazeError as error:
        told = "a name is needed, as the bag has it." if not bag["name"] else str(error)
        faults.setdefault("name", [told])
        sheet = new_sheet("bag", library, kind="other")
    text, at = _text(bag, sheet.id, sheet.kind)
    material = None
    try:
        material = read_material_text(text, sheet.file_name)
    except FileFaultsError as error:
        for fault in error.faults:
            field = at.get(fault.line or 0, "")
            if not (field == "name" and "name" in faults):
                faults.setdefault(field, []).append(_told(fault))
    for row, (oxide, value) in enumerate(bag.analysis):
        if value and not oxide:
            faults.setdefault(f"row-{row}", []).append("Which oxide? Write it beside the number.")
    hides = library.exact(bag["name"]) or library.get(sheet.id)
    if material is not None and (other := _taken(material, sheet.file_name, own)):
        faults.setdefault("name", []).append(other)
    found = {field: tuple(dict.fromkeys(lines)) for field, lines in faults.items()}
    return Checked(
        material=None if found else material,
        text=text,
        file_name=sheet.file_name,
        faults=found,
        sum_percent=math.fsum(filter(None, map(_value, [v for _, v in bag.analysis] + [bag["loi_percent"]]))),
        hides=hides if hides is not None and hides not in own else None,
    )


def _in_bounds(bag: Bag) -> tuple[Bag, dict[str, list[str]]]:
    """Return the bag without what is longer than a sheet's field can be, and the faults that say so."""
    told = f"this has more than {_LONGEST:,} letters. Say it in fewer."
    fields = {name: value for name, value in bag.fields.items() if len(value) <= _LONGEST}
    rows = tuple((oxide[:_LONGEST], value if len(value) <= _LONGEST else "") for oxide, value in bag.analysis)
    long_rows = (f"row-{n}" for n, (oxide, value) in enumerate(bag.analysis) if max(len(oxide), len(value)) > _LONGEST)
    long = [*(name for name in bag.fields if name not in fields), *long_rows]
    return Bag(fields, rows), {field: [told] for field in long}


def _taken(material: Material, file_name: str, own: Iterable[Material]) -> str:
    """Return that another bag of the studio has one of the names already; empty where none has."""
    keys = {name_key(name): name for name in material.names}
    for other in own:
        if not other.path.replace("\\", "/").endswith(f"/{file_name}"):
            for name in other.names:
                if name_key(name) in keys:
                    return f"Your bag '{other.name}' answers to '{keys[name_key(name)]}' already. Give this one a name of its own, such as with its lot."
    return ""


def _told(fault: Fault) -> str:
    """Return what is wrong as it stands beside its field, which need not be named there."""
    return _BLANK.sub("Not filled in.", _FIELD_NAMED.sub(r"\1: ", f"{fault.message} {fault.hint}".strip()))


def _text(bag: Bag, made: str, kind: str) -> tuple[str, dict[int, str]]:
    """Return the text of the file, and which field stands at each of its lines."""
    lines: list[tuple[str, str]] = [(f"id: {_scalar(made)}", "name"), (f"name: {_scalar(bag['name'] or made)}", "name")]
    lines.append((f"kind: {kind}", "kind"))
    aliases = [alias.strip() for alias in bag["aliases"].split(",") if alias.strip()]
    if aliases:
        lines.append((f"aliases: [{', '.join(_quoted(alias) for alias in aliases)}]", "aliases"))
    lines += [(f"{name}: {_scalar(bag[name])}", name) for name in _TEXTS if bag[name]]
    if bag["measured"]:
        lines.append(("basis: measured", "measured"))
    given = [(row, oxide, value) for row, (oxide, value) in enumerate(bag.analysis) if oxide and value]
    if given or not bag["formula"]:
        lines.append(("analysis:", "analysis"))
        lines += [(f"  {_quoted(oxide)}: {_share(value)}", f"row-{row}") for row, oxide, value in given]
    lines += [(f"{name}: {_share(bag[name])}", name) for name in _NUMBERS if bag[name]]
    if bag["solubility"]:
        lines.append((f"solubility: {_quoted(bag['solubility'])}", "solubility"))
    lines.append(("source:", "title"))
    lines += [(f"  {name}: {_scalar(bag[name])}", name) for name in _SOURCE if bag[name] or name == "title"]
    if bag["notes"]:
        lines.append((f"notes: {_quoted(bag['notes'])}", "notes"))
    return "".join(f"{line}\n" for line, _ in lines), {n: field for n, (_, field) in enumerate(lines, start=1)}


def _scalar(text: str) -> str:
    """Return a text as one YAML value on one line, quoted only where it must be."""
    dumped: str = yaml.safe_dump(text, allow_unicode=True, width=10**9)
    one_line = dumped.removesuffix("\n").removesuffix("...").strip()
    return _quoted(text) if "\n" in one_line else one_line


def _quoted(text: str) -> str:
    """Return a text as one YAML value on one line: plain where it is a word, else in quotes."""
    if re.fullmatch(r"[A-Za-z][A-Za-z0-9]*", text) and text.lower() not in (
        "no",
        "yes",
        "on",
        "off",
        "true",
        "false",
        "null",
    ):
        return text
    dumped: str = yaml.safe_dump(text, allow_unicode=True, default_style='"', width=10**9)
    return dumped.strip()


def _share(text: str) -> str:
    """Return a number as the file has it: ``60,1 %`` is 60.1; what is no number stays as printed, for the reader to judge."""
    if _PLAIN_NUMBER.fullmatch(text):
        return text
    bare = text.removesuffix("%").strip()
    bound = "<" if bare.startswith("<") else ""
    value = _value(bare.removeprefix("<"))
    if value is None or "/" in bare:
        return _quoted(text)
    return _quoted(f"<{value:g}") if bound else repr(value)


def _value(text: str) -> float | None:
    """Return the number of ``60.1 %`` or ``60,1``; None for anything else."""
    try:
        return float(parse_number(text.removesuffix("%").strip())[0]) if text else None
    except (UnitError, OverflowError):
        return None

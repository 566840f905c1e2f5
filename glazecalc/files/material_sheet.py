"""A sheet for a material of one's own, to fill in from the bag: a material file with its fields blank and a remark beside each."""

from __future__ import annotations

import re
import shlex
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar

import yaml

from glazecalc.errors import ArgumentError, UnknownNameError, did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.files.shipped import load_data
from glazecalc.kind_words import kind_meant
from glazecalc.library import MaterialLibrary
from glazecalc.material import KINDS
from glazecalc.spelling import name_key

__all__ = ("MaterialSheet", "listed_oxides", "new_sheet", "sheet_commands")

_FILE = "material_sheets.yaml"
_LONGEST_NAME = 120  # of a file's name on common systems, with room to spare; this program's own choice
_REMARKS_AT = 26  # column
_MOST_OFFERED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialSheet:
    """A blank material file: its text, and the name under which to save it."""

    PAGE: ClassVar[str] = "material_sheet"
    JSON: ClassVar[tuple[str, ...]] = ("id", "name", "kind", "file_name", "sheet=text")

    id: str
    name: str
    kind: str
    text: str

    @property
    def file_name(self) -> str:
        """The name of the file, from the id."""
        return f"{self.id}.yaml"

    def __str__(self) -> str:
        return self.text


@cache
def _kinds() -> dict[str, dict[str, Any]]:
    kinds: dict[str, dict[str, Any]] = load_data(_FILE)["kinds"]
    return kinds


def listed_oxides(kind: str) -> tuple[str, ...]:
    """Return the oxides that makers' sheets of a kind print, in their order."""
    return tuple(_kinds()[kind]["oxides"])


def new_sheet(name: str, library: MaterialLibrary, *, kind: str = "") -> MaterialSheet:
    """Return a sheet to fill in.

    Parameters
    ----------
    name : str
        As the bag prints it; the id and the file's name are made of it.
    library : MaterialLibrary
        Where it is looked up whether the name is taken, and of what kind a like one is.
    kind : str
        One of `KINDS` or a word of the trade (``kaolin``); by default that of the name, else ``other``.

    Raises
    ------
    UnknownNameError
        For a kind that is none.
    CompositionError, ArgumentError
        For a name without letters, or with characters that no name may carry.
    """
    checks = FieldChecks("A new material")
    checks.text("name", name, required=True)
    checks.done()
    name = " ".join(name.split())
    if len(name) > _LONGEST_NAME:
        raise ArgumentError(f"the name has {len(name)} letters.", f"Give one of up to {_LONGEST_NAME}.")
    chosen, how = _kind(name, kind, library)
    made = re.sub(r"\W+", "_", name.lower()).strip("_")
    return MaterialSheet(id=made, name=name, kind=chosen, text=_text(made, name, chosen, how, library))


def _kind(name: str, given: str, library: MaterialLibrary) -> tuple[str, str]:
    if given:
        found = next(
            (known for known in KINDS if known == given.strip().lower().replace(" ", "_")), None
        ) or kind_meant(given)
        if found is None:
            raise UnknownNameError(
                f"'{given[:40]}' is not a kind.", did_you_mean(given, KINDS) or f"Known: {', '.join(KINDS)}."
            )
        return found, f"one of {', '.join(KINDS)}"
    words = set(name_key(name))
    known = [
        (len(key), material.kind)
        for material in library.values()
        for key in map(name_key, material.names)
        if words.issuperset(key)
    ]
    most = max((length for length, _ in known), default=0)
    kinds = {kind for length, kind in known if length == most}
    by_name = kinds.pop() if len(kinds) == 1 else kind_meant(name)
    return by_name or "other", (
        "taken from the name" if by_name else "not known from the name"
    ) + f": one of {', '.join(KINDS)}"


def _text(made: str, name: str, kind: str, how: str, library: MaterialLibrary) -> str:
    listed, formula = _kinds()[kind]["oxides"], _kinds()[kind].get("formula", "")
    hidden = library.exact(name) or library.get(made)
    stands = (
        [f"It stands in place of {hidden.name} ({hidden.path}) wherever a recipe names that."]
        if hidden is not None
        else []
    )
    lines = [
        *(f"# {line}" for line in (
            f"{name}: fill in what the bag or its maker's sheet says. What stays blank counts as not reported.",
            f"Save it as {made}.yaml in a folder of your own; then: glazecalc check RECIPE --materials FOLDER",
            *stands,
        )),
        _line("id", _scalar(made)), _line("name", _scalar(name)), _line("aliases", "[]", "other names that cards use, e.g. [our spar, spar no. 2]"),
        *_wrapped("kind", kind, how),
        _line("supplier"), _line("lot"), _line("received", "", "the day, e.g. 2026-05-04"),
        _line("formula", "", f"instead of an analysis, e.g. {formula}") if formula else "",
        _line("analysis", "", "wt % as printed; n.d., <0.05 and % signs may stand"),
        *(f"  {oxide}:" for oxide in listed),
        _line("loi_percent", "", "loss on ignition (LOI), wt %"),
        _line("moisture_percent", "", "water in the bag, % of the dry weight"),
        _line("density_g_cm3"),
        _line("solubility", "", "in water: no, slightly or yes"),
        "source:",
        _line("  title", "", "needed: the sheet that you read, and its date"),
        _line("  publisher"), _line("  year"),
        "# hazards: [silica, ...]   left out, they follow from kind and oxides; 'hazards: []' wants a 'hazards_note' that says why",
        "# basis: own-sheet         left out, it is that; 'basis: measured' for an analysis of your own bag",
        "# tolerance: {SiO2: 0.5}   half the width of what the maker allows, wt %",
        _line("notes"),
    ]  # fmt: skip
    return "\n".join(line for line in lines if line)


def _scalar(text: str) -> str:
    """Return a text as one YAML value on one line, quoted only where it must be."""
    dumped: str = yaml.safe_dump(text, allow_unicode=True, width=10_000, default_style=None)
    return dumped.removesuffix("\n").removesuffix("...").strip()


def _line(key: str, value: str = "", remark: str = "") -> str:
    start = f"{key}: {value}".rstrip()
    return f"{start:{_REMARKS_AT}s}# {remark}" if remark else start


def _wrapped(key: str, value: str, remark: str) -> Sequence[str]:
    """Return a line whose remark is long, the remark in lines of its own above it."""
    return [*(f"# {line}" for line in textwrap.wrap(f"{key}: {remark}", 96)), _line(key, value)]


def sheet_commands(names: Sequence[str]) -> str:
    """Return, for names that no material has, the commands that print their sheets; the first few, empty for none."""
    once = list(dict.fromkeys(names))
    commands = [f"glazecalc materials --new {_quoted(name)}" for name in once[:_MOST_OFFERED]]
    more = f"; and so for {len(once) - _MOST_OFFERED} more" if len(once) > _MOST_OFFERED else ""
    return f"For a bag of your own, a sheet to fill in: {'; '.join(commands)}{more}." if commands else ""


def _quoted(name: str) -> str:
    """Return a name as a word for a shell: in double quotes, which every one has, where nothing in it is read."""
    return shlex.quote(name) if re.search(r'["$`\\!%]', name) else f'"{name}"'

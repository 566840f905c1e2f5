"""Where the shipped data lies: the one place that knows about the wheel and the checkout."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from glazecalc.errors import GlazeError, did_you_mean
from glazecalc.files.yaml_events import read_yaml
from glazecalc.frozen import FrozenDict

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

__all__ = ("load_data", "materials_folder", "read_entry")

T = TypeVar("T")
# What an entry of a data file may say about itself beside the fields of its class: where it comes from, and a note.
PROVENANCE = frozenset(
    ("source", "also", "evidence", "from_memory", "citation", "confidence", "recommendation", "basis", "memory", "note")
)
_KINDS: dict[str, type | tuple[type, ...]] = {"str": str, "float": (int, float), "int": int, "bool": bool}


def _package() -> Traversable:
    here = Path(__file__).parents[1]
    if here.is_dir():
        return here
    from importlib import resources  # slow to load: only in a zipped wheel

    return resources.files("glazecalc")


def materials_folder() -> Traversable:
    """Return the folder of bundled materials: inside the wheel, or beside the package in a checkout.

    Raises
    ------
    GlazeError
        If neither place holds materials; both are named.
    """
    package = _package()
    shipped = package / "_materials"
    if shipped.is_dir():
        return shipped
    beside = Path(str(package)).parent / "materials"
    if beside.is_dir():
        return beside
    raise GlazeError(
        f"the bundled materials were found neither at {shipped} nor at {beside}.", "Install glazecalc again."
    )


@cache
def load_data(name: str) -> dict[str, Any]:
    """Return one file of ``glazecalc/data`` as plain values; read once and shared by all callers, so for reading only.

    Parameters
    ----------
    name : str
        File name, e.g. ``"cone_tables.yaml"``.
    """
    file = _package() / "data" / name
    value = read_yaml(file.read_text(encoding="utf-8"), f"glazecalc/data/{name}", largest_bytes=4_000_000).plain()
    if not isinstance(value, dict):
        raise GlazeError(f"the data file {name} does not hold a mapping.")
    return value


def read_entry(kind: type[T], entry: Mapping[str, Any], where: str, **made: Any) -> T:
    """Return one entry of a data file as a value of its dataclass.

    Parameters
    ----------
    kind : type
        The dataclass; its fields are taken from the entry by name, lists as tuples and mappings frozen.
    entry : Mapping
        What the file says.
    where : str
        File and entry, for an error.
    **made
        Fields that were worked out.

    Raises
    ------
    GlazeError
        For a field that is missing, not known or of another type: a slip in the data, not in the input.
    """
    known = _fields(kind)  # type: ignore[arg-type]  # any class can be hashed
    given = {name: value for name, value in entry.items() if name in known} | made
    for name in entry:
        if name not in known and name not in PROVENANCE:
            raise GlazeError(f"'{name}' is not a field of this entry.", did_you_mean(name, known), where)
    for name, (wanted, required) in known.items():
        if name not in given:
            if required:
                raise GlazeError(f"the field '{name}' is missing.", where=where)
        elif wanted in _KINDS and not isinstance(given[name], _KINDS[wanted]):
            raise GlazeError(f"'{name}' is {given[name]!r}; {wanted} was expected.", where=where)
    return kind(**{name: _value(value, known[name][0]) for name, value in given.items()})


@cache
def _fields(kind: type[Any]) -> Mapping[str, tuple[str, bool]]:
    """Return field -> its type as written, and whether it must be given."""
    return {f.name: (str(f.type), f.default is MISSING and f.default_factory is MISSING) for f in fields(kind)}


def _value(value: Any, kind: str) -> Any:
    if isinstance(value, list):
        return tuple(value)
    if isinstance(value, dict):
        return FrozenDict(value)
    return float(value) if kind == "float" else value

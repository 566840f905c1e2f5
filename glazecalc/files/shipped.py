"""Where the shipped data lies, and how an entry of it becomes a value of its class: the one place that knows both."""

from __future__ import annotations

import marshal
import os
import sys
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from functools import cache
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType, NoneType, UnionType
from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_args, get_origin, get_type_hints

from glazecalc.display import RECALLED
from glazecalc.errors import GlazeError, did_you_mean
from glazecalc.files import yaml_events
from glazecalc.frozen import FrozenDict

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

__all__ = (
    "cite",
    "load_data",
    "load_rows",
    "materials_folder",
    "read_entry",
    "read_list",
    "read_mapping",
    "read_one",
    "studio_folder",
)

T = TypeVar("T")
# What an entry of a data file may say about itself beside the fields of its class: where it comes from, and a note.
PROVENANCE = frozenset(
    ("source", "also", "evidence", "from_memory", "citation", "confidence", "recommendation", "basis", "memory", "note")
)


@cache
def _package() -> Traversable:
    here = Path(__file__).parents[1]
    if here.is_dir():
        return here
    from importlib import resources  # slow to load: only in a zipped wheel

    return resources.files("glazecalc")


def materials_folder() -> Traversable:
    """Return the folder of bundled materials: inside the wheel, or beside the package in a checkout."""
    return _folder("bundled materials", "_materials", "materials")


def studio_folder() -> Traversable:
    """Return the folder of the invented studio: its cards, materials, body and lists."""
    return _folder("files of the invented studio", "_studio", "notebooks/studio")


def _folder(what: str, in_the_wheel: str, in_the_checkout: str) -> Traversable:
    package = _package()
    shipped = package / in_the_wheel
    if shipped.is_dir():
        return shipped
    beside = Path(str(package)).parent / in_the_checkout
    if beside.is_dir():
        return beside
    raise GlazeError(f"the {what} were found neither at {shipped} nor at {beside}.", "Install glazecalc again.")


@cache
def load_data(name: str) -> dict[str, Any]:
    """Return one file of ``glazecalc/data`` as plain values; read once and shared by all callers, so for reading only."""
    file = _package() / "data" / name
    if isinstance(file, Path) and not sys.dont_write_bytecode:
        value = _Kept(name, str(file)).value
    else:
        value = _plain(file.read_text(encoding="utf-8"), name)
    if not isinstance(value, dict):
        raise GlazeError(f"the data file {name} does not hold a mapping.")
    return value


def _plain(text: str, name: str) -> Any:
    return yaml_events.read_yaml(text, f"glazecalc/data/{name}").plain()


class _Kept(SourceFileLoader):
    """A data file read as Python reads a module: what it holds stands in ``__pycache__`` until the file, or its reader, changes."""

    @property
    def value(self) -> Any:
        """The plain values that the file holds."""
        code = self.get_code(self.name)
        return marshal.loads(eval(code))  # type: ignore[arg-type]  # there is always code

    def source_to_code(self, data: Any, path: Any) -> CodeType:  # type: ignore[override]  # it is called so
        """Return code that is one constant: the values, as Python keeps values."""
        return compile(repr(marshal.dumps(_plain(data.decode("utf-8"), Path(path).name))), path, "eval")

    def path_stats(self, path: str) -> dict[str, float]:
        """Return what the kept values are held against: the file's size and time, and the time of its reader."""
        stats = dict(super().path_stats(path))
        return stats | {"mtime": stats["mtime"] + os.stat(yaml_events.__file__).st_mtime}


@cache
def load_rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of a CSV file of ``glazecalc/data``, column -> text; its comments are left aside."""
    import csv

    text = (_package() / "data" / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return tuple(FrozenDict(row) for row in csv.DictReader(lines))


def read_mapping(kind: type[T], file: str, section: str, **made: Any) -> Mapping[str, T]:
    """Return the entries of one section by their key; a class with a field `key` learns it."""
    keyed = "key" in _fields(kind)  # type: ignore[arg-type]  # any class can be hashed
    return FrozenDict(
        {
            key: read_entry(kind, entry, f"{file}: {key}", **made, **({"key": key} if keyed else {}))
            for key, entry in load_data(file)[section].items()
        }
    )


def read_list(kind: type[T], file: str, section: str) -> tuple[T, ...]:
    """Return the entries of one section, in order; what stands first in an entry names it in an error."""
    entries = load_data(file)[section]
    return tuple(read_entry(kind, entry, f"{file}: {next(iter(entry.values()))}") for entry in entries)


def read_one(kind: type[T], file: str, section: str, **made: Any) -> T:
    """Return a section that is a single entry."""
    return read_entry(kind, load_data(file)[section], f"{file}: {section}", **made)


def read_entry(kind: type[T], entry: Mapping[str, Any], where: str, **made: Any) -> T:
    """Return one entry of a data file as a value of its dataclass; `where` names it in an error, `made` holds what was worked out.

    Fields are taken by name and held against their annotations, entries within entries too; a field `source` is cited.
    """
    known = _fields(kind)  # type: ignore[arg-type]  # any class can be hashed
    for name in entry:
        if name not in known and name not in PROVENANCE:
            raise GlazeError(f"'{name}' is not a field of this entry.", did_you_mean(name, known), where)
    given = {name: value for name, value in entry.items() if name in known} | made
    cited = "source" in known and "source" not in made
    if cited:
        given["source"] = ""
    for name, (_, required) in known.items():
        if required and name not in given:
            raise GlazeError(f"the field '{name}' is missing.", where=where)
    values = {name: _value(name, value, known[name][0], where) for name, value in given.items()}
    return kind(**(values | {"source": cite(entry)} if cited else values))


@cache
def _fields(kind: type[Any]) -> Mapping[str, tuple[Any, bool]]:
    """Return field -> its type, and whether it must be given."""
    types = get_type_hints(kind)
    return {f.name: (types[f.name], f.default is MISSING and f.default_factory is MISSING) for f in fields(kind)}


def _value(name: str, value: Any, wanted: Any, where: str) -> Any:
    if type(value) is wanted:  # as nearly all are
        return value
    origin, inside = get_origin(wanted), get_args(wanted)
    if origin is UnionType:  # of one kind and None
        return None if value is None else _value(name, value, next(one for one in inside if one is not NoneType), where)
    if origin is tuple and isinstance(value, list | tuple):
        kinds = inside[:1] * len(value) if Ellipsis in inside else inside
        if len(kinds) == len(value):
            return tuple(_value(name, item, one, where) for item, one in zip(value, kinds, strict=True))
    if origin is Mapping and isinstance(value, Mapping):
        return FrozenDict({key: _value(f"{name}: {key}", item, inside[1], where) for key, item in value.items()})
    if origin is Literal and value in inside:
        return value
    if origin is None and isinstance(value, wanted):
        return value
    if wanted is float and isinstance(value, int):
        return float(value)
    if is_dataclass(wanted) and isinstance(value, Mapping):
        return read_entry(wanted, value, f"{where}: {name}")  # type: ignore[arg-type]  # a class, not a value of one
    if isinstance(wanted, type) and issubclass(wanted, Enum) and value in tuple(wanted):
        return wanted(value)
    raise GlazeError(f"'{name}' is {value!r}; {getattr(wanted, '__name__', wanted)} was expected.", where=where)


def cite(entry: Mapping[str, Any]) -> str:
    """Return where an entry of the data comes from, in one line with its memory mark.

    It holds ``source`` (with ``evidence``), or ``from_memory`` with ``citation``, or ``recommendation`` with ``basis``.
    """
    parts = []
    if "source" in entry:
        parts.append(_title(entry["source"]))
    if entry.get("from_memory"):
        parts.append(f"{entry['citation']} ({RECALLED}; confidence {entry['confidence']})")
    if entry.get("recommendation"):
        parts.append(f"this program's own choice, confidence {entry['confidence']}: {entry['basis']}")
    if not parts:
        raise GlazeError(f"an entry of the data has no source: {dict(entry)}.")
    return "; ".join([*parts, *(_title(key) for key in entry.get("evidence", ()))])


def _title(key: str) -> str:
    sources = load_data("food_limits_sources.yaml")["sources"]
    if key not in sources:
        raise GlazeError(f"'{key}' is not a source.", where="glazecalc/data/food_limits_sources.yaml")
    second_hand = " (second-hand)" if sources[key]["kind"] == "secondary_summary" else ""
    return f"{sources[key]['title']}{second_hand}"

"""Reading a clay body from YAML."""

from __future__ import annotations

from pathlib import Path

from glazecalc.body import ClayBody
from glazecalc.errors import Fault, FileFaultsError
from glazecalc.files.fields import FieldReader
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import read_yaml

__all__ = ("read_body",)

_TEXTS = ("name", "cone", "source")
_NUMBERS = ("absorption_percent", "shrinkage_percent", "expansion_1e6_per_k", "expansion_range_c")


def read_body(path: str | Path) -> ClayBody:
    """Read a clay body file; `name` is required.

    Raises
    ------
    FileFaultsError
        With every fault.
    """
    faults: list[Fault] = []
    reader = FieldReader(read_yaml(read_text(path), str(path)), faults, "a clay body", (*_TEXTS, *_NUMBERS, "notes"))
    fields = {"name": "", **reader.given(_TEXTS, _NUMBERS), "notes": "\n".join(reader.texts("notes"))}
    body = reader.make(ClayBody, **fields)
    if body is None or faults:
        raise FileFaultsError(str(path), faults)
    return body

"""Reading a clay body from YAML."""

from __future__ import annotations

from pathlib import Path

from glazecalc.body import ClayBody
from glazecalc.files.fields import FieldReader
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import read_yaml

__all__ = ("read_body",)

_TEXTS = ("name", "cone", "source")
_NUMBERS = ("absorption_percent", "shrinkage_percent", "expansion_1e6_per_k", "expansion_range_c")


def read_body(path: str | Path) -> ClayBody:
    """Read a clay body from a YAML file; `name` is required.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    ClayBody

    Raises
    ------
    FileFaultsError
        With every fault and its line.

    Examples
    --------
    >>> import glazecalc as gc
    >>> body = gc.read_body("body-slate.yaml")
    >>> body.name, body.cone, body.absorption_percent
    ('Osier Fold stoneware', '6', 1.4)
    """
    reader = FieldReader(read_yaml(read_text(path), str(path)), "a clay body", (*_TEXTS, *_NUMBERS, "notes"))
    fields = {"name": "", **reader.given(_TEXTS, _NUMBERS), "notes": reader.lines("notes")}
    return reader.build(ClayBody, str(path), **fields)

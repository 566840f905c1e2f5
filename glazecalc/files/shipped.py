"""Where the shipped data lies: the one place that knows about the wheel and the checkout."""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from glazecalc.errors import GlazeError
from glazecalc.files.yaml_events import read_yaml

__all__ = ("load_data", "materials_folder")


def materials_folder() -> Traversable:
    """Return the folder of bundled materials: inside the wheel, or beside the package in a checkout.

    Raises
    ------
    GlazeError
        If neither place holds materials; both are named.
    """
    package = resources.files("glazecalc")
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
    """Return one file of ``glazecalc/data`` as plain values; read once.

    Parameters
    ----------
    name : str
        File name, e.g. ``"cone_tables.yaml"``.
    """
    file = resources.files("glazecalc") / "data" / name
    value = read_yaml(file.read_text(encoding="utf-8"), f"glazecalc/data/{name}", largest_bytes=4_000_000).plain()
    if not isinstance(value, dict):
        raise GlazeError(f"the data file {name} does not hold a mapping.")
    return value

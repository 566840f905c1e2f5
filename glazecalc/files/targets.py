"""A target for `match` in a YAML file."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, GlazeError
from glazecalc.files.fields import FieldReader
from glazecalc.files.recipes import read_recipe
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import YamlValue, read_yaml
from glazecalc.oxides import check_oxide
from glazecalc.recipe import Recipe
from glazecalc.target import Target, check_entry

__all__ = ("read_target",)

_FIELDS = ("name", "unity", "fired_analysis_percent", "colourants", "total", "notes", "source")


def read_target(path: str | Path) -> Target | Recipe:
    """Read a target: a YAML file with `unity` or `fired_analysis_percent`, or a recipe file of any kind.

    Raises
    ------
    FileFaultsError
        With all faults of the file.
    """
    if str(path).lower().endswith((".yaml", ".yml")):
        node = read_yaml(read_text(path), str(path))
        if isinstance(node.value, dict) and ("unity" in node.value or "fired_analysis_percent" in node.value):
            return _target(node, str(path))
    return read_recipe(path)


def _target(node: YamlValue, path: str) -> Target:
    faults: list[Fault] = []
    reader = FieldReader(node, faults, "a target", _FIELDS)
    if "unity" in reader.fields and "fired_analysis_percent" in reader.fields:
        reader.fault("fired_analysis_percent", "a target has a unity formula or a fired analysis, not both.")
    unity = _unity(reader)
    fired = reader.numbers("fired_analysis_percent", low=0, high=100)
    colourants = reader.numbers("colourants", low=0, high=1000)
    total = reader.number("total", low=1e-6, high=1e9)
    name = reader.text("name")
    for oxide in fired:
        try:
            check_oxide(oxide)
        except GlazeError as error:
            reader.fault("fired_analysis_percent", error.message, error.hint)
    if faults:
        raise FileFaultsError(path, faults)
    return Target(
        name=name,
        unity=unity,
        fired_analysis_percent=fired,
        colourants=colourants,
        total=total if total is not None else 100.0,
        path=path,
    )


def _unity(reader: FieldReader) -> dict[str, object]:
    item = reader.fields.get("unity")
    unity: dict[str, object] = {}
    if item is None:
        return unity
    if not isinstance(item.value, dict):
        reader.fault("unity", "'unity' is a mapping of 'oxide: moles' lines.")
        return unity
    for label, entry in item.value.items():
        line = item.key_lines[label]
        if isinstance(entry.value, dict):
            message = f"'{label}' is a number or a range; a mapping was found."
            reader.faults.append(Fault(line, message, "Write 3.4, or 3.2..3.6."))
            continue
        value = [part.value for part in entry.value] if isinstance(entry.value, list) else entry.value
        try:
            check_entry(label, value)
            unity[label] = value
        except GlazeError as error:
            reader.faults.append(Fault(line, error.message, error.hint))
    return unity
